"""How far lids and openings stand over the water of a flooded boat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.results import FlowPath, Layout
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import face_areas
from sketcher.model.scene import Lid

LEVEL_ENOUGH = 0.5
"""Share of a face's area that must look up or down for it to be a lid's top or underside and not its edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LidLevel:
    """A lid's top over the water [m], at its lowest place inside the hull; negative: under water.

    lowest_safe_height [m]: the lowest `height` at which its top would stay the margin clear of this case's water, the room that a
    higher lid leaves for it counted; None: there is none under the deck.
    """

    name: str
    clear_of_water: float
    lowest_safe_height: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningLevel:
    """An opening that is not tight, its lowest point over the water [m]; negative: under water."""

    name: str
    between: tuple[str, str]
    clear_of_water: float


@kept_with_owner(1)
def lid_tops(layout: Layout) -> dict[str, Floats]:
    """For each lid the corners (k, 3) of its top face inside the hull [m], as the spaces over it see it."""
    tops: dict[str, Floats] = {}
    for number, shape in enumerate(layout.panels):
        if shape.kind != "lid":
            continue
        pieces = []
        for space in layout.compartments:
            if any(panel == shape.name and face == "top" for panel, face in space.bounds):
                own = space.mesh.labels == FIRST_PANEL + number
                surface = TriMesh(space.mesh.vertices, space.mesh.triangles[own], space.mesh.labels[own])
                areas = face_areas(surface)
                looks_up = areas[2] < -LEVEL_ENOUGH * np.linalg.norm(areas, axis=0)
                pieces.append(surface.vertices[surface.triangles[looks_up].ravel()])
        if pieces and sum(map(len, pieces)):
            tops[shape.name] = np.concatenate(pieces)
    return tops


def lid_levels(layout: Layout, tops: Mapping[str, Floats], plane: Plane, margin: float) -> tuple[LidLevel, ...]:
    """Each lid's height over the water, in the layout's order; margin [m]."""
    levels = []
    for shape in layout.panels:
        if isinstance(shape.panel, Lid) and shape.name in tops:
            clear = float(plane.over(tops[shape.name]).min())
            needed = shape.panel.height + (margin - clear) / plane.normal[2]
            levels.append(LidLevel(name=shape.name, clear_of_water=clear, lowest_safe_height=needed))
    return tuple(levels)


def opening_levels(paths: Sequence[FlowPath], plane: Plane) -> tuple[OpeningLevel, ...]:
    """Each flow path's height over the water."""
    return tuple(
        OpeningLevel(name=path.name, between=path.between, clear_of_water=float(plane.over(path.outline).min()))
        for path in paths
        if len(path.outline)
    )
