"""Flat regions of a surface as outlines in the plane they lie in."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import SAME_AREA


def rims(triangles: Ints, group: Ints, count: int) -> tuple[Ints, Ints, Ints]:
    """The edges on the rim of each group of triangles: where each starts and ends (k,), and its group (k,), groups ascending.

    triangles: (m, 3) of `count` vertices; group: (m,). Triangles of a group share whole edges; those within it are no rim.
    """
    start, end = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    of = np.repeat(group, 3)
    keys, mates = (of * count + start) * count + end, np.sort((of * count + end) * count + start)
    place = np.minimum(np.searchsorted(mates, keys), max(len(mates) - 1, 0))
    rim = np.flatnonzero(mates[place] != keys) if len(mates) else place
    rim = rim[np.argsort(of[rim], kind="stable")]
    return start[rim], end[rim], of[rim]


def areas_within(starts: Floats, ends: Floats, group: Ints) -> dict[int, shapely.Geometry]:
    """The area that each group of rim edges encloses, holes left out, by group.

    starts, ends: (k, 2) [m], each group's all in one sense round it; group: (k,) ascending. Where rounding has put a corner on
    the wrong side of an edge, so that a rim crosses itself, it is parted there first: else the whole area would be lost.
    """
    if not len(group):
        return {}
    first = np.concatenate([[True], group[1:] != group[:-1]])
    groups, number = group[first], np.cumsum(first) - 1
    rings = shapely.multilinestrings(shapely.linestrings(np.stack([starts, ends], axis=1)), indices=number)
    found = shapely.build_area(rings)
    (x, y), (to_x, to_y) = (starts - starts[0]).T, (ends - starts[0]).T
    within = np.abs(np.bincount(number, x * to_y - y * to_x)) / 2
    lost = np.flatnonzero(np.abs(shapely.area(found) - within) > SAME_AREA * within)
    found[lost] = shapely.build_area(shapely.union_all(rings[lost, None], axis=1))
    return dict(zip(groups.tolist(), found, strict=True))


def flat_regions(points: Floats, triangles: Ints, group: Ints) -> dict[int, shapely.Geometry]:
    """The outline of each group of triangles, holes included, by group.

    points: (n, 2) vertices in plane coordinates [m]; triangles: (m, 3); group: (m,).
    """
    start, end, of = rims(triangles, group, len(points))
    return areas_within(points[start], points[end], of)


def polygons(area: shapely.Geometry) -> list[shapely.Polygon]:
    """The polygons of an area, without lines and points."""
    return [part for part in shapely.get_parts(area).tolist() if part.geom_type == "Polygon" and part.area > 0]


def largest(area: shapely.Geometry) -> shapely.Polygon:
    """The largest polygon of an area; an empty one where it has none."""
    return max(polygons(area), key=lambda part: part.area, default=shapely.Polygon())
