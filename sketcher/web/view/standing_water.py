"""Water standing in flooded spaces: its surface and wetted walls in the picture, and what of an outline it fills in a drawing."""

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
from sketcher.outputs.drawing.recording import Area, Item, PaperPlacing
from sketcher.outputs.palette import FLOODED
from sketcher.web.view.shapes import Colour, Surface

DRAWN_IN = 0.995
"""Wetted walls are drawn so much smaller than the space, to lie before its own."""
AS_FINE = 0.001
"""[m] The outline of the water in the picture is so near to that of the space."""
FAR = 5000.0
"""[mm]: beyond any sheet of paper."""


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


def flooded_items(
    items: list[Item], floods: tuple[str, ...], water: WaterPlane | None, placing: PaperPlacing, at: float
) -> list[Item]:
    """The items of a view, and in each flooded compartment the part of it that is filled."""
    if water is None or not floods:
        return items
    filled: list[Item] = []
    for item in items:
        filled.append(item)
        if isinstance(item, Area) and item.layer == "compartments" and item.part.removeprefix("compartment/") in floods:
            filled += _filled(item, _below(water, placing, at))
    return filled


def _filled(area: Area, below: shapely.Polygon) -> list[Item]:
    outline = shapely.Polygon()
    for ring in area.rings:
        outline = shapely.symmetric_difference(outline, shapely.Polygon(ring))
    wet = polygons(shapely.intersection(outline, below))
    return [
        Area(
            tuple(tuple((x, y) for x, y in ring.coords) for ring in (part.exterior, *part.interiors)),
            FLOODED,
            None,
            area.layer,
            area.part,
        )
        for part in wet
    ]


def _below(water: WaterPlane, placing: PaperPlacing, at: float) -> shapely.Polygon:
    """The part of the paper that lies under the water in a view cut at `at` [m]."""

    def depth(spot: tuple[float, float]) -> float:
        u, v = placing.boat(*spot)
        x, y, z = {"xz": (u, at, v), "yz": (at, u, v), "xy": (u, v, at)}[placing.axes]
        return water.height(x, y) - z

    corners = [(-FAR, -FAR), (FAR, -FAR), (FAR, FAR), (-FAR, FAR)]
    kept: list[tuple[float, float]] = []
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        da, db = depth(a), depth(b)
        if da >= 0:
            kept.append(a)
        if (da >= 0) != (db >= 0):
            share = da / (da - db)
            kept.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
    return shapely.Polygon(kept) if len(kept) > 2 else shapely.Polygon()
