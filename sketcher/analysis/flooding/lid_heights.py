"""How high lids must be over flooded spaces: when a lid is raised, the room below it grows and fills with water too."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from sketcher.analysis.afloat.buoyancy import Lost
from sketcher.analysis.flooding.freeboards import LidLevel, lid_levels
from sketcher.analysis.results import Compartment, Layout, PanelShape
from sketcher.analysis.spaces.panel_planes import BACK, FACE_NAMES, FRONT
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import crossed_at, met, snapped
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface
from sketcher.geometry.solid.clip import clip_body
from sketcher.geometry.solid.half_space import FaceCut, beyond
from sketcher.model.scene import Lid

if TYPE_CHECKING:
    from sketcher.analysis.flooding.results import FloodingCase

OVERLAP = 1e-3
"""[m] Edges run a little into what they are tied to; no room is cut off for less than this."""
OPPOSITE = {front: back for kind, front in FRONT.items() for back in (BACK[kind],)}
OPPOSITE |= {back: front for front, back in OPPOSITE.items()}

WIDER_STEPS = 3
"""A lid's edge moves out by a share of what it is raised, and sinks by that times the heel: this many steps end under 0.01 mm."""
ROOMS_KEPT = 256
"""Rooms over lids kept for a layout: those of all its cases of one space holed, or of two next to each other."""


def over_and_under(layout: Layout, lid: str) -> tuple[list[Compartment], list[Compartment]]:
    """The spaces that stand on a lid, and those that it closes."""
    over = [space for space in layout.compartments if (lid, "top") in space.bounds]
    under = [space for space in layout.compartments if (lid, "under") in space.bounds]
    return over, under


def cut_when_raised(layout: Layout, lid: str, height: float) -> tuple[str, ...]:
    """Openings in upright panels over a lid that it would lie across, raised to a height [m]: it would join what it parts."""
    now = next(shape.panel.height for shape in layout.panels if shape.name == lid and isinstance(shape.panel, Lid))
    over = {space.name for space in over_and_under(layout, lid)[0]}
    upright = {shape.name for shape in layout.panels if shape.kind != "lid"}
    return tuple(
        path.name
        for path in (*layout.flow_paths, *layout.closed)
        if path.through in upright
        and over & set(path.between)
        and path.outline[:, 2].max() > now
        and path.outline[:, 2].min() < height
    )


def reached(layout: Layout, lid: str, states: Sequence[FloodingCase]) -> list[FloodingCase]:
    """The states whose water comes to one of a lid's two sides; in any other it does not matter how high the sea stands."""
    sides = {space.name for spaces in over_and_under(layout, lid) for space in spaces}
    return [state for state in states if sides & set(state.floods)]


def lids_in_water(
    layout: Layout,
    tops: Mapping[str, Floats],
    plane: Plane,
    margin: float,
    shares: Mapping[str, float],
    rest: Callable[[Lost], Plane | None],
) -> tuple[LidLevel, ...]:
    """Each lid's height over the water, and the height it must have to stay the margin clear of it.

    A lid under water, over a flooded space and with a dry one on it, must clear the water that stands there with the lid out of
    its way; raised it is as wide as the room is there. shares: permeability of each flooded space; rest: the water with more room
    open to the sea, None where there is none.
    """
    levels = lid_levels(layout, tops, plane, margin)
    return tuple(
        _raised(layout, tops, level, margin, shares, rest if level.clear_of_water < 0 else lambda _: plane)
        if level.clear_of_water < margin
        else level
        for level in levels
    )


def _raised(
    layout: Layout,
    tops: Mapping[str, Floats],
    level: LidLevel,
    margin: float,
    shares: Mapping[str, float],
    rest: Callable[[Lost], Plane | None],
) -> LidLevel:
    over, under = over_and_under(layout, level.name)
    filled = [shares[space.name] for space in under if space.name in shares]
    if not filled or any(space.name in shares for space in over):
        return level
    number = next(k for k, shape in enumerate(layout.panels) if shape.name == level.name)
    flooded = frozenset(space.name for space in under if space.name in shares)
    rooms = room_over(layout, number, flooded)
    there = rest([(clip_body(mesh), max(filled)) for mesh in rooms])
    if there is None:
        return replace(level, lowest_safe_height=None)
    (then,) = lid_levels(layout, {level.name: tops[level.name]}, there, margin)
    needed, highest = then.lowest_safe_height, max(space.highest for space in over)
    if needed is not None:
        needed += _for_its_width(layout.panels[number], needed, rooms, there, margin)
    return replace(level, lowest_safe_height=needed if needed is not None and needed < highest else None)


def _for_its_width(shape: PanelShape, height: float, rooms: Sequence[TriMesh], water: Plane, margin: float) -> float:
    """How much more [m] a lid of one plane must be raised than to a height [m], since it is wider there than it was."""
    tops = shape.named("top")
    if len(tops) != 1 or not isinstance(shape.panel, Lid):
        return 0.0
    more = 0.0
    for _ in range(WIDER_STEPS):
        raised = tops[0].moved((height + more - shape.panel.height) * float(tops[0].normal[2]))
        edge = np.concatenate([_cut(mesh, raised) for mesh in rooms])
        if not len(edge):
            break
        more += (margin - float(water.over(edge).min())) / float(water.normal[2])
    return more


def _cut(mesh: TriMesh, plane: Plane) -> Floats:
    """Where a plane meets the edges of a mesh, points (n, 3) [m]."""
    over = plane.over(mesh.vertices)
    a, b, c = crossed_at(over, mesh.triangles).vertices(mesh.triangles)
    return np.concatenate([met(mesh.vertices, over, a, other) for other in (b, c)])


@kept_with_owner(ROOMS_KEPT)
def room_over(layout: Layout, number: int, flooded: frozenset[str]) -> list[TriMesh]:
    """The room of the panel of that number and over it, as closed meshes; what lies over spaces not flooded is left out.

    The board itself counts: raised, it leaves its place to the water. Its edges rise in their own planes, along the panels they
    are tied to. A lid over several spaces, of which only some are flooded, is taken to rise with the panels between them.
    """
    shape = layout.panels[number]
    over, under = over_and_under(layout, shape.name)
    sides = [*_within_edges(shape), *_between(layout, under, flooded)]
    return [
        mesh for mesh in (_kept(mesh, sides) for mesh in (shape.trimmed, *(space.mesh for space in over))) if mesh is not None
    ]


def _within_edges(shape: PanelShape) -> list[Plane]:
    """The lid's edges as planes whose normals point to its side."""
    return [plane.flipped for name, plane in shape.faces if name not in FACE_NAMES]


def _between(layout: Layout, under: Sequence[Compartment], flooded: Collection[str]) -> list[Plane]:
    """The faces of panels with a flooded space on one side and a dry one on the other, normals pointing to the flooded one."""
    wet = {bound for space in under if space.name in flooded for bound in space.bounds}
    dry = {panel for space in under if space.name not in flooded for panel, _ in space.bounds}
    faces = {(shape.name, name): plane for shape in layout.panels if shape.kind != "lid" for name, plane in shape.faces}
    shared = [(panel, face) for panel, face in sorted(wet) if panel in dry and (panel, OPPOSITE.get(face, "")) not in wet]
    return [faces[each] for each in shared if each in faces]


def _kept(mesh: TriMesh, sides: Sequence[Plane]) -> TriMesh | None:
    """The part of a closed mesh over every plane; the mesh itself where all of it is."""
    crossing = [plane for plane in sides if plane.over(mesh.vertices).min() < -OVERLAP]
    if not crossing:
        return mesh
    none = np.zeros(len(mesh.triangles), dtype=np.int64)
    surface = TracedSurface(mesh.vertices, mesh.triangles, none, none)
    for plane in crossing:
        surface = beyond(surface, FaceCut(plane, 0, 0, snapped(plane.over(surface.vertices))))
    return TriMesh(surface.vertices, surface.triangles, surface.face) if len(surface.triangles) else None
