"""The surface of water that stands in flooded spaces."""

from __future__ import annotations

import numpy as np
import shapely
from manifold3d import triangulate

from sketcher.analysis.results import Compartment, WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on, section
from sketcher.outputs.scene3d.shapes import Colour, Surface

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
