"""Rings with their round corners as true arcs, and inner corners opened so that a round tool reaches into them. Metres."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.ops import substring

from sketcher.geometry.mesh import Floats

ON_ARC = 1e-6
"""[m] Points no further off from one circle lie on it."""

_FEWEST = 5
"""Points in a row that make an arc: any three lie on a circle, and four of a fair curve may."""

_LARGEST = 5.0
"""[m] A flatter arc is left as lines."""

_STEP = 0.8
"""[rad] Neighbours further round than this are corners of a polygon, not points of an arc."""

_SHARP = 0.35
"""[rad] A ring that turns by more is sharp there."""

Bulged = tuple[float, float, float]
"""A point and the tangent of a quarter of the angle by which the way to the next one bends, 0 where it is straight."""


def with_arcs(ring: shapely.LinearRing) -> list[Bulged]:
    """The points of a ring, those of each arc but its ends left out; anticlockwise arcs bulge by more than 0.

    >>> circle = shapely.Point(0.0, 0.0).buffer(0.05).exterior
    >>> [round(bulge, 9) for _, _, bulge in with_arcs(circle)]
    [-1.0, -1.0]
    """
    points = np.asarray(ring.coords)[:-1]
    # Begun behind the longest side, no arc is begun in its middle.
    sides = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    points = np.roll(points, -(int(np.argmax(sides)) + 1), axis=0)
    closed = np.vstack([points, points[:1]])
    bulged: list[Bulged] = []
    k = 0
    while k < len(points):
        end, turn, middle = _arc_from(closed, k)
        parts = max(1, int(np.ceil(abs(turn) / np.pi - 1e-9)))
        for part in range(parts):
            x, y = closed[k] if part == 0 else _turned_about(middle, closed[k], turn * part / parts)
            bulged.append((float(x), float(y), float(np.tan(turn / parts / 4))))
        k = end
    return bulged


def _arc_from(points: Floats, k: int) -> tuple[int, float, Floats]:
    """Where the arc that begins at a point ends, its angle [rad] and middle; the next point and 0 where none begins."""
    none = (k + 1, 0.0, points[k])
    if k + _FEWEST > len(points):
        return none
    (ax, ay), (bx, by), (cx, cy) = points[k], points[k + 1], points[k + 2]
    double = 2.0 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    if abs(double) < 1e-15:
        return none
    a, b, c = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    middle = np.array([a * (by - cy) + b * (cy - ay) + c * (ay - by), a * (cx - bx) + b * (ax - cx) + c * (bx - ax)]) / double
    away = points[k:] - middle
    radius = float(np.hypot(*away[0]))
    steps = np.arctan2(away[:-1, 0] * away[1:, 1] - away[:-1, 1] * away[1:, 0], (away[:-1] * away[1:]).sum(axis=1))
    on = (abs(np.hypot(*away[1:].T) - radius) < ON_ARC) & (np.sign(steps) == np.sign(steps[0])) & (abs(steps) < _STEP)
    count = int(np.argmin(on)) if not on.all() else len(on)
    if count + 1 < _FEWEST or radius > _LARGEST:
        return none
    return k + count, float(steps[:count].sum()), middle


def _turned_about(middle: Floats, point: Floats, angle: float) -> Floats:
    x, y = point - middle
    cos, sin = np.cos(angle), np.sin(angle)
    return np.asarray(middle + np.array([cos * x - sin * y, sin * x + cos * y]), dtype=np.float64)


def opened_corners(area: shapely.Polygon, radius: float) -> shapely.Polygon:
    """An area with each sharp inner corner opened by a round of a tool's radius, whose rim passes through the corner."""
    rounds = [
        shapely.Point(corner + radius * into).buffer(radius, quad_segs=16)
        for ring in (area.exterior, *area.interiors)
        for corner, into in _inner_corners(area, np.asarray(ring.coords)[:-1])
    ]
    opened = shapely.difference(area, shapely.union_all(rounds)) if rounds else area
    return max(shapely.get_parts(opened).tolist(), key=lambda part: part.area)


def _inner_corners(area: shapely.Polygon, points: Floats) -> Iterator[tuple[Floats, Floats]]:
    """Sharp corners that stand out of the wood, and the direction out of it between their sides."""
    for k, corner in enumerate(points):
        before, after = points[k - 1] - corner, points[(k + 1) % len(points)] - corner
        one, two = before / np.hypot(*before), after / np.hypot(*after)
        between = one + two
        run = float(np.hypot(*between))
        if run < 2 * np.sin(_SHARP / 2):
            continue
        into = between / run
        if not area.intersects(shapely.Point(corner + 1e-5 * into)):
            yield corner, into


def tab_places(ring: shapely.LinearRing, width: float, apart: float) -> Sequence[shapely.LineString]:
    """Short stretches of a ring, evenly round it, three or more and no further apart than said, that hold it in its sheet."""
    count = max(3, int(np.ceil(ring.length / apart)))
    starts = (np.arange(count) + 0.5) / count * ring.length - width / 2
    return [substring(ring, float(start), float(start) + width) for start in starts]
