"""Water standing in flooded spaces: its surface and wetted walls."""

from __future__ import annotations

import numpy as np
import shapely
from manifold3d import triangulate

from sketcher.analysis.results import Compartment, WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import met, split
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, section
from sketcher.outputs.scene3d.shapes import Colour, Surface

DRAWN_IN = 0.995
"""Wetted walls are drawn so much smaller than the space, to lie before its own."""
AS_FINE = 0.001
"""[m] The outline of the water in the picture is so near to that of the space."""


@kept_with_owner(4)
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


@kept_with_owner(4)
def walls_under(mesh: TriMesh, plane: Plane) -> Floats:
    """The walls of a space below the water, drawn in a little towards its middle, as loose triangles (3k, 3)."""
    height = plane.over(mesh.vertices)
    wet = split(height, mesh.triangles, under=True)
    places = np.concatenate([mesh.vertices, met(mesh.vertices, height, *wet.edges.T)])
    points = places[np.concatenate([mesh.triangles[wet.whole], wet.triangles]).ravel()]
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
