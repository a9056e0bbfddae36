"""Water standing in flooded spaces: its surface and wetted walls."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from manifold3d import triangulate

from sketcher.analysis.results import Compartment, WaterPlane
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, section
from sketcher.outputs.scene3d.shapes import Colour, Surface

DRAWN_IN = 0.995
"""Wetted walls are drawn so much smaller than the space, to lie before its own."""
AS_FINE = 0.001
"""[m] The outline of the water in the picture is so near to that of the space."""


@lru_cache(maxsize=32)
def water_surface(mesh: TriMesh, plane: Plane) -> Floats:
    """The level water inside a space as loose triangles (3k, 3); none where the water does not stand in it."""
    frame = frame_on(plane)
    try:
        cut = section(mesh, frame)
    except GeometryError:
        return np.zeros((0, 3))
    rings: list[Floats] = []
    for polygon in polygons(cut.simplify(AS_FINE)):
        turned = shapely.geometry.polygon.orient(polygon)
        rings += [shapely.get_coordinates(ring)[:-1] for ring in (turned.exterior, *turned.interiors)]
    if not rings:
        return np.zeros((0, 3))
    return frame.space(np.concatenate(rings)[triangulate(rings).ravel()])


@lru_cache(maxsize=32)
def walls_under(mesh: TriMesh, plane: Plane) -> Floats:
    """The walls of a space below the water, drawn in a little towards its middle, as loose triangles (3k, 3)."""
    corners = mesh.vertices[mesh.triangles]
    depth = -plane.over(corners)
    wet = (depth > 0.0).sum(axis=1)
    pieces = [corners[wet == 3]]
    for count in (1, 2):
        some, under = corners[wet == count], depth[wet == count]
        # The corner that is alone on its side of the water first, the order of the others kept.
        lone = np.argmax(((under > 0.0) == (count == 1)), axis=1)
        turn = (lone[:, None] + np.arange(3)) % 3
        some, under = np.take_along_axis(some, turn[:, :, None], axis=1), np.take_along_axis(under, turn, axis=1)
        a, b, c = some[:, 0], some[:, 1], some[:, 2]
        share_b, share_c = (under[:, :1] / (under[:, :1] - under[:, k : k + 1]) for k in (1, 2))
        ab, ac = a + share_b * (b - a), a + share_c * (c - a)
        pieces += [np.stack([a, ab, ac], axis=1)] if count == 1 else [np.stack(t, axis=1) for t in ((ab, b, c), (ab, c, ac))]
    points = np.concatenate(pieces).reshape(-1, 3)
    middle = points.mean(axis=0) if len(points) else np.zeros(3)
    drawn_in: Floats = middle + (points - middle) * DRAWN_IN
    return drawn_in


def standing_walls(space: Compartment, water: WaterPlane, colour: Colour) -> Surface | None:
    """The wetted walls of a flooded space, to be drawn; None where it is dry."""
    points = walls_under(space.mesh, water.plane)
    if not len(points):
        return None
    return Surface(
        points=points,
        triangles=np.arange(len(points)).reshape(-1, 3),
        colours=np.array([colour], dtype=np.uint8),
        owner_of=np.array([-1]),
        source=(space.mesh, water, "walls"),
    )


def standing_water(space: Compartment, water: WaterPlane, colour: Colour) -> Surface | None:
    """The surface of the water that stands in a flooded space, to be drawn; None where it is full or dry."""
    points = water_surface(space.mesh, water.plane)
    if not len(points):
        return None
    return Surface(
        points=points,
        triangles=np.arange(len(points)).reshape(-1, 3),
        colours=np.array([colour], dtype=np.uint8),
        owner_of=np.array([-1]),
        culling="none",
        opacity=0.8,
        source=(space.mesh, water),
    )
