"""Flat regions of a surface as outlines in the plane they lie in."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, Ints


def flat_regions(points: Floats, triangles: Ints, group: Ints) -> dict[int, shapely.Geometry]:
    """The outline of each group of triangles, holes included, by group.

    points: (n, 2) vertices in plane coordinates [m]; triangles: (m, 3); group: (m,). Triangles of a group share whole edges.
    """
    if not len(triangles):
        return {}
    start, end = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    of = np.repeat(group, 3)
    count = len(points)
    order = np.argsort((of * count + end) * count + start)
    keys, mates = (of * count + start) * count + end, ((of * count + end) * count + start)[order]
    place = np.minimum(np.searchsorted(mates, keys), len(mates) - 1)
    rim = np.flatnonzero(mates[place] != keys)
    rim = rim[np.argsort(of[rim], kind="stable")]
    if not len(rim):
        return {}
    ends = np.stack([points[start[rim]], points[end[rim]]], axis=1)
    groups, number = np.unique(of[rim], return_inverse=True)
    areas = shapely.build_area(shapely.multilinestrings(shapely.linestrings(ends), indices=number))
    return dict(zip(groups.tolist(), areas, strict=True))


def polygons(area: shapely.Geometry) -> list[shapely.Polygon]:
    """The polygons of an area, without lines and points."""
    return [part for part in shapely.get_parts(area).tolist() if part.geom_type == "Polygon" and part.area > 0]
