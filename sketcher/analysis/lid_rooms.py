"""The room that a lid would give away if it were raised: what lies over it, over the flooded spaces that it closes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.cutting import FIRST_PANEL
from sketcher.analysis.results import Compartment, Layout
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid import reserve_ids, surface_of, to_manifold

AS_HIGH = 10.0
"""[m] higher than any boat's deck over any of her lids"""


def over_and_under(layout: Layout, lid: str) -> tuple[list[Compartment], list[Compartment]]:
    """The spaces that stand on a lid, and those that it closes."""
    over = [space for space in layout.compartments if (lid, "top") in space.bounds]
    under = [space for space in layout.compartments if (lid, "under") in space.bounds]
    return over, under


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
