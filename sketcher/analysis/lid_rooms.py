"""How high lids must be over flooded spaces: the room that a lid gives away when it is raised fills with water too."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.buoyancy import Lost
from sketcher.analysis.cutting import FIRST_PANEL
from sketcher.analysis.flooding_levels import LidLevel, lid_levels
from sketcher.analysis.results import Compartment, Layout, Plane
from sketcher.geometry.clip import clip_body
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid import reserve_ids, surface_of, to_manifold

AS_HIGH = 10.0
"""[m] higher than any boat's deck over any of her lids"""


def over_and_under(layout: Layout, lid: str) -> tuple[list[Compartment], list[Compartment]]:
    """The spaces that stand on a lid, and those that it closes."""
    over = [space for space in layout.compartments if (lid, "top") in space.bounds]
    under = [space for space in layout.compartments if (lid, "under") in space.bounds]
    return over, under


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
    its way. shares: permeability of each flooded space; rest: the water with more room open to the sea, None where there is none.
    """
    levels = lid_levels(layout, tops, plane, margin)
    return tuple(_raised(layout, tops, level, margin, shares, rest) if level.clear_of_water < 0 else level for level in levels)


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
    there = rest([(clip_body(mesh), max(filled)) for mesh in room_over(layout, number, tuple(shares))])
    if there is None:
        return replace(level, lowest_safe_height=None)
    (then,) = lid_levels(layout, {level.name: tops[level.name]}, there, margin)
    needed, highest = then.lowest_safe_height, max(space.highest for space in over)
    return replace(level, lowest_safe_height=needed if needed is not None and needed < highest else None)


def room_over(layout: Layout, number: int, flooded: Sequence[str]) -> list[TriMesh]:
    """The room of the panel of that number and over it, as closed meshes; what lies over spaces not flooded is left out.

    The board itself counts: raised, it leaves its place to the water. A lid over several spaces, of which only some are flooded,
    is taken to rise with the panels between them.
    """
    shape = layout.panels[number]
    over, under = over_and_under(layout, shape.name)
    column = _swept(shape.mesh.vertices)
    for space in under:
        if space.name not in flooded:
            column -= _swept(_lid_points(space, number))
    meshes = [shape.trimmed, *(space.mesh for space in over)]
    origin = reserve_ids(len(meshes))
    rooms = []
    for k, mesh in enumerate(meshes):
        part = column ^ to_manifold(mesh, origin + k, what=shape.name)
        if not part.is_empty():
            surface = surface_of(part)
            rooms.append(TriMesh(surface.vertices, surface.triangles, np.zeros(len(surface.triangles), dtype=np.int64)))
    return rooms


def _lid_points(space: Compartment, number: int) -> Floats:
    points: Floats = space.mesh.vertices[np.unique(space.mesh.triangles[space.mesh.labels == FIRST_PANEL + number])]
    return points


def _swept(points: Floats) -> Manifold:
    """The convex solid of points and the same points far up."""
    return Manifold.hull_points(np.concatenate([points, points + np.array([0.0, 0.0, AS_HIGH])]))
