"""What the points of stations must fulfil before a hull can be made of them, whatever file they came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from sketcher.geometry.tolerances import POINTS_APART, SECTIONS_APART
from sketcher.model.hull import Point2, Station

STATIONS_LIMIT = 500
"""More would be a scan, not a tape's measurements."""
POINTS_LIMIT = 200
"""A station's points; finding lines that cross grows with their square."""


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong and what to do; place: the point or station it is about, counted from 1, or None for the whole."""

    message: str
    remedy: str
    place: int | None = None


def points_problem(points: Sequence[Point2], knuckles: Sequence[int] = ()) -> Problem | None:
    """What is wrong with a station's points, from the centreline up to the sheer; None where they are in order."""
    if not points:
        return Problem("the station has no points", "Give at least two, from the centreline up to the sheer.")
    for i, (before, after) in enumerate(pairwise(points), 2):
        if abs(after[0] - before[0]) + abs(after[1] - before[1]) < POINTS_APART:
            return Problem(f"point {i} lies on the point before it", "Remove one of them.", i)
        if after[0] < before[0] and after[1] < before[1]:
            return Problem(
                f"point {i} goes back down and inwards: the points are out of order",
                "List them from the centreline up to the sheer, and look for a mistyped number.",
                i,
            )
    crossing = _crossing(points)
    if crossing is not None:
        a, b = crossing
        return Problem(
            f"the line between points {a} and {a + 1} crosses the one between {b} and {b + 1}",
            "List the points from the centreline up to the sheer, and look for a mistyped number.",
            b + 1,
        )
    for i in knuckles:
        if not 1 <= i <= len(points):
            return Problem(f"knuckle {i} of {len(points)} points", "Knuckles say which points, counted from 1 at the centreline.")
    return None


def order_problem(places: Sequence[float], written: Sequence[str]) -> Problem | None:
    """What is wrong with the order of stations at `places` [m], each also as written with its unit."""
    for i, (before, after) in enumerate(pairwise(places), 1):
        if after - before >= SECTIONS_APART:
            continue
        where = "is at the same place as" if abs(after - before) < SECTIONS_APART else "is forward of"
        return Problem(
            f"station {i + 1} at {written[i]} {where} station {i} at {written[i - 1]}",
            "List stations from forward to aft, each at its own place.",
            i + 1,
        )
    return None


def area_problem(stations: Sequence[Station]) -> Problem | None:
    """What is wrong with the stations' areas: only an end station may be sharp, a line or one point on the centreline."""
    for i, station in enumerate(stations, 1):
        widest = max(half_breadth for half_breadth, _ in station.points)
        if widest == 0.0 and i not in (1, len(stations)):
            return Problem(f"station {i} has no area", "Only the first and the last may have half-breadths of 0 throughout.", i)
        if widest > 0.0 and len(station.points) < 2:
            return Problem(f"station {i} has one point", "Give two or more, from the centreline up to the sheer.", i)
        if widest > 0.0 and station.points[-1][1] <= station.points[0][1]:
            return Problem(
                f"station {i} ends no higher than it begins", "List its points from the centreline up to the sheer.", i
            )
    if not any(half_breadth for station in stations for half_breadth, _ in station.points):
        return Problem("no station has any area", "Give half-breadths above 0.")
    return None


def _crossing(points: Sequence[Point2]) -> tuple[int, int] | None:
    """The first two pieces of an open line that cross, each by the number of its first point from 1; None if none do."""
    if all(after[1] >= before[1] for before, after in pairwise(points)):
        return None  # a line that never goes down cannot cross itself
    for j in range(2, len(points) - 1):
        for i in range(j - 1):
            if _cross(points[i], points[i + 1], points[j], points[j + 1]):
                return (i + 1, j + 1)
    return None


def _cross(a: Point2, b: Point2, c: Point2, d: Point2) -> bool:
    return _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0


def _side(p: Point2, q: Point2, r: Point2) -> float:
    """Twice the area of a triangle, positive anticlockwise."""
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
