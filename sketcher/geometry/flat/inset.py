"""Areas made smaller from their edges, and their inner corners rounded."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import PLOTTED, SAME_PLACE

_ARC = 8
"""Straight sides in a quarter of a turn round a corner: 0.5 % of the distance is lost at most."""

_ALIKE = 2e-5
"""[m] Distances that differ by less are taken as the largest of them: one long edge takes far less time than many."""


def inset(area: shapely.Geometry, starts: Floats, ends: Floats, distances: Floats) -> shapely.Geometry:
    """The part of an area that keeps its distance from each of its edges.

    starts, ends: (k, 2) [m] of the edges; distances: (k,) [m] to keep from each, 0 where nothing is kept.
    """
    kept = distances > 0.0
    if not kept.any():
        return area
    lines, reach = _runs(starts[kept], ends[kept], distances[kept])
    return area.difference(shapely.union_all(shapely.buffer(lines, reach, quad_segs=_ARC)))


def drawn_in(area: shapely.Geometry, places: Floats, by: float) -> Floats:
    """Places (n, 2), those outside an area brought to its edge, then all moved so that they stand `by` [m] inside it.

    In necks and sharp corners, where that would carry a place off by more than twice as much, it stands less far inside.
    """
    nearest = _nearest(area, places)
    left = np.ones(len(nearest), dtype=bool)
    while by > SAME_PLACE and left.any():
        within = shapely.buffer(area, -by)
        if not within.is_empty:
            moved = _nearest(within, nearest[left])
            near = np.hypot(*(moved - nearest[left]).T) <= 2.0 * by
            chosen = np.flatnonzero(left)[near]
            nearest[chosen] = moved[near]
            left[chosen] = False
        by /= 2.0
    return nearest


def _nearest(area: shapely.Geometry, places: Floats) -> Floats:
    """The places (n, 2) of an area nearest to these (n, 2)."""
    found: Floats = shapely.get_coordinates(shapely.shortest_line(area, shapely.points(places)))[::2]
    return found


def _runs(starts: Floats, ends: Floats, distances: Floats) -> tuple[NDArray[np.object_], Floats]:
    """Edges that follow one another with distances alike, as lines (n,) with the largest distance of each (n,)."""
    follows = np.abs(starts[1:] - ends[:-1]).max(axis=1) == 0.0
    begins, least, most = [0], distances[0], distances[0]
    for k, distance in enumerate(distances[1:].tolist(), start=1):
        least, most = min(least, distance), max(most, distance)
        if not follows[k - 1] or most - least > _ALIKE:
            begins.append(k)
            least = most = distance
    owner = np.repeat(np.arange(len(begins)), np.diff([*begins, len(distances)]) + 1)
    last = np.array([*begins[1:], len(distances)]) - 1
    points = np.insert(starts, last + 1, ends[last], axis=0)
    return shapely.linestrings(points, indices=owner), np.maximum.reduceat(distances, begins)


def tidy(area: shapely.Geometry) -> shapely.Geometry:
    """The area without points that a drawing cannot show."""
    return shapely.simplify(area, PLOTTED)


def with_round_corners(hole: shapely.Polygon, radius: float) -> shapely.Polygon:
    """A hole whose corners have at least a radius [m], as far as it is wide enough for that; never larger than it was."""
    while radius > PLOTTED:
        rounded = hole.buffer(-radius, quad_segs=16).buffer(radius, quad_segs=16)
        if rounded.geom_type == "Polygon" and not rounded.is_empty:
            return rounded
        radius /= 2
    return hole
