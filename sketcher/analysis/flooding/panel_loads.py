"""Water in a flooded boat: its load on panels and lids, and its flow through the holes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Compartment, Layout, PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.analysis.spaces.leaks.orifice_flow import mean_head, orifice_flow
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import compact
from sketcher.geometry.solid.clip import depth_load, face_areas

FACING = 0.5
"""Share of a triangle's area that must look square out of a face for it to be that face and not an edge."""
EVEN = 1e-6
"""[m3 of water] a smaller difference between both sides of a panel is rounding."""
KEPT = 256
"""Faces of panels, and cases, whose figures are kept with a layout."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelLoad:
    """Water against a panel. face: the wet side; head [m]: over its deepest point; pressure [kg/m2] there; load [kg]: in all.

    For a lid wet from below the load is the uplift that its fastenings must hold, the lid's own weight not taken off.
    """

    panel: str
    kind: str
    face: str
    head: float
    pressure: float
    load: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleFlow:
    """The flow through a hole when the water first stands over it; head [m] over the middle of its wet part.

    between: the space, or outside, that it runs from, and the one that it fills.
    """

    name: str
    between: tuple[str, str]
    head: float
    litres_per_minute: float


def panel_loads(layout: Layout, case: FloodingCase) -> tuple[PanelLoad, ...]:
    """Every panel with water on one side only, or more on one than on the other; none where she finds no rest.

    Where both sides are flooded and face each other, the levels are the same and only the difference counts.
    """
    return () if case.water is None else _loads_under(layout, frozenset(case.floods), case.water.plane)


@kept_with_owner(KEPT)
def _loads_under(layout: Layout, flooded: frozenset[str], plane: Plane) -> tuple[PanelLoad, ...]:
    loads = (_panel_load(layout, number, shape, flooded, plane) for number, shape in enumerate(layout.panels))
    return tuple(load for load in loads if load is not None)


def hole_flows(layout: Layout, case: FloodingCase) -> tuple[HoleFlow, ...]:
    """For each hole that was crossed: litres a minute at the head it then had, while the space behind it is still empty."""
    paths = {(path.name, name): path for path in layout.flow_paths for name in path.between}
    flows = []
    for crossing in case.crossed:
        path = paths[crossing.path, crossing.into]
        one, other = path.between
        between = (other, one) if crossing.into == one else (one, other)
        wet, head = mean_head(float(np.ptp(path.outline[:, 2])), crossing.head)
        flows.append(HoleFlow(name=path.name, between=between, head=head, litres_per_minute=orifice_flow(wet * path.area, head)))
    return tuple(flows)


def _panel_load(layout: Layout, number: int, shape: PanelShape, flooded: frozenset[str], plane: Plane) -> PanelLoad | None:
    """Loads on both faces, set against each other where the flooded spaces behind them adjoin."""
    faces = list(dict.fromkeys(face for space in layout.compartments for panel, face in space.bounds if panel == shape.name))
    pushed: dict[str, tuple[float, float]] = {}
    behind: dict[str, list[str]] = {face: [] for face in faces}
    for face in faces:
        load = head = 0.0
        for space, surface in face_parts(layout, number, face).items():
            if space in flooded:
                volume, depth = depth_load(surface, plane)
                load, head = load + volume, max(head, depth)
                behind[face].append(space)
        pushed[face] = load, head
    if not pushed:
        return None
    face = max(pushed, key=lambda name: pushed[name][0])
    against = sum(pushed[other][0] for other in faces if other != face and _adjoin(layout, behind[face], behind[other]))
    load, head = pushed[face][0] - against, pushed[face][1]
    if load <= EVEN:
        return None
    density = layout.scene.water_density
    return PanelLoad(panel=shape.name, kind=shape.kind, face=face, head=head, pressure=density * head, load=density * load)


@kept_with_owner(KEPT)
def face_parts(layout: Layout, number: int, face: str) -> dict[str, TriMesh]:
    """What each space sees of that face of the panel of that number, as an open mesh, by the space's name."""
    shape = layout.panels[number]
    seen = [space for space in layout.compartments if (shape.name, face) in space.bounds]
    return {space.name: _looking_in(space, number, shape, face) for space in seen}


def _looking_in(space: Compartment, number: int, shape: PanelShape, face: str) -> TriMesh:
    """The triangles of a space that lie on that face of the panel: they look into the panel, square to it."""
    own = space.mesh.triangles[space.mesh.labels == FIRST_PANEL + number]
    used, triangles = compact(own, len(space.mesh.vertices))
    surface = TriMesh(space.mesh.vertices[used], triangles, np.full(len(triangles), FIRST_PANEL + number))
    areas = face_areas(surface)
    sizes = np.linalg.norm(areas, axis=0)
    looks = np.zeros(len(sizes), dtype=np.bool_)
    for plane in shape.named(face):
        looks |= plane.normal @ areas < -FACING * sizes
    return TriMesh(surface.vertices, triangles[looks], surface.labels[looks])


def _adjoin(layout: Layout, some: list[str], others: list[str]) -> bool:
    pairs = {frozenset(pair) for pair in layout.adjoining}
    return any(frozenset((one, other)) in pairs for one in some for other in others)
