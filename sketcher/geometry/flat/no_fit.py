"""Where one flat shape may stand beside another: the places at which they would overlap, as a polygon of translations."""

from __future__ import annotations

import math

import numpy as np
import shapely

from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import NEST_SLACK, NEST_STEP

_CONVEX_SHARE = 1e-9
"""[1] Two convex pieces make a convex one where its hull is larger by no more than this share."""


def grown_outline(outline: shapely.Polygon, by: float) -> shapely.Polygon:
    """An outline without holes and fine detail that contains all within `by` [m] of the given one, less `NEST_SLACK`."""
    solid = shapely.Polygon(outline.exterior)
    plain = shapely.simplify(solid, NEST_STEP)
    # Left-out points stand off the line that replaces them, and so do the edges between them, by no more than the worst of them.
    missed = float(shapely.distance(shapely.points(shapely.get_coordinates(solid)), plain).max())
    result = plain.buffer(by + missed - NEST_SLACK, join_style="mitre", mitre_limit=2.0)
    return max(polygons(result), key=lambda part: part.area)


def convex_pieces(shape: shapely.Polygon) -> list[Floats]:
    """Corners (k, 2) of convex pieces that make up a shape without holes, as few as merging neighbours gives."""
    if shape.convex_hull.area <= shape.area * (1 + _CONVEX_SHARE):
        return [np.asarray(shape.convex_hull.exterior.coords)[:-1]]
    pieces = polygons(shapely.constrained_delaunay_triangles(shape))
    merged = True
    while merged:
        merged = False
        for i in range(len(pieces)):
            j = _partner(pieces, i)
            if j is not None:
                pieces[i] = shapely.union(pieces[i], pieces.pop(j)).convex_hull
                merged = True
                break
    return [np.asarray(piece.exterior.coords)[:-1] for piece in pieces]


def _partner(pieces: list[shapely.Polygon], i: int) -> int | None:
    """A later piece that shares an edge with piece i and makes a convex whole with it, the largest of such."""
    later = np.array(pieces[i + 1 :], dtype=object)
    if not len(later):
        return None
    shared = shapely.length(shapely.intersection(later, pieces[i])) > 0.0
    areas = shapely.area(later)
    hulls = shapely.area(shapely.convex_hull(shapely.union(later, pieces[i])))
    whole = shared & (hulls <= (areas + pieces[i].area) * (1 + _CONVEX_SHARE))
    return None if not whole.any() else i + 1 + int(np.argmax(np.where(whole, areas, -1.0)))


def no_fit(fixed: list[Floats], moving: list[Floats]) -> shapely.Geometry:
    """The translations at which the moving shape overlaps the fixed one, both given as convex pieces."""
    sums = [(a[:, None] - b[None]).reshape(-1, 2) for a in fixed for b in moving]
    clouds = shapely.multipoints(np.concatenate(sums), indices=np.repeat(np.arange(len(sums)), [len(points) for points in sums]))
    hulls = shapely.convex_hull(clouds)
    return hulls[0] if len(hulls) == 1 else shapely.union_all(hulls)


def holes_in(outline: shapely.Polygon, by: float) -> list[Floats]:
    """Corners (k, 2) of what is left of each hole, without fine detail, `by` [m] and a little more from its edge."""
    found = [shapely.Polygon(ring).buffer(-(by + NEST_STEP)) for ring in outline.interiors]
    return [np.asarray(part.simplify(NEST_STEP).exterior.coords)[:-1] for hole in found for part in polygons(hole)]


def inner_fit(hole: shapely.Polygon, moving: list[Floats]) -> shapely.Geometry:
    """The translations at which the moving shape, given as convex pieces, lies inside a hole; empty where it is too large."""
    points = np.concatenate(moving)
    (west, south), (east, north) = points.min(axis=0), points.max(axis=0)
    low, high = (hole.bounds[0] - west, hole.bounds[1] - south), (hole.bounds[2] - east, hole.bounds[3] - north)
    if low[0] >= high[0] or low[1] >= high[1]:
        return shapely.Polygon()
    about = shapely.box(*hole.bounds).buffer(float(np.hypot(east - west, north - south)), join_style="mitre")
    walls = [np.asarray(part.exterior.coords)[:-1] for part in polygons(shapely.constrained_delaunay_triangles(about - hole))]
    return shapely.difference(shapely.box(*low, *high), no_fit(walls, moving))


def turned(points: Floats, degrees: float, mirrored: bool = False) -> Floats:
    """Points (k, 2) mirrored in the y axis first, where so asked, then turned anticlockwise about the origin."""
    flipped = points * np.array([-1.0, 1.0]) if mirrored else points
    if degrees % 90.0 == 0.0:
        c, s = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][int(degrees // 90) % 4]
    else:
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    result: Floats = flipped @ np.array([[c, s], [-s, c]])
    return result
