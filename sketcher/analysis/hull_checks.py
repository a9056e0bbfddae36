"""What no surface can be made from: a hull's measurements looked over once more, for hulls that come from no file."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import dist, isfinite

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import POINTS_APART, SAME_PLACE, SECTIONS_APART
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.units import format_length

FROM_THE_KEEL = "List its points from the centreline up to the sheer."


def station_name(hull: Hull, number: int) -> str:
    """What a station is called: its number from 1 and its distance as the file writes it."""
    return f"station {number} at {format_length(hull.stations[number - 1].at, hull.units)} {hull.units}"


def is_sharp(station: Station) -> bool:
    """Whether a station is a line or one point on the centreline."""
    return all(half_breadth == 0.0 for half_breadth, _ in station.points)


def check_measurements(hull: Hull) -> None:
    """Raises SketchError where stations or profiles cannot be cross curves of a hull, naming the station and the point."""
    stations = hull.stations
    if len(stations) < 2:
        raise SketchError(f"{len(stations)} stations; a hull needs two or more", "Measure another.", hull.file, key="stations")
    for number, station in enumerate(stations, 1):
        _check_station(hull, number, station)
    if all(is_sharp(station) for station in stations):
        raise SketchError("no station has any area", "Measure half-breadths.", hull.file, key="stations")
    for number, (before, after) in enumerate(pairwise(stations), 2):
        if after.at - before.at < SECTIONS_APART:
            message = f"{station_name(hull, number)} is not aft of {station_name(hull, number - 1)}"
            raise _error(hull, number, message, "List stations from forward to aft, each at its own place.")
    for profile, end, number in ((hull.stem, "stem", 1), (hull.stern, "stern", len(stations))):
        if profile:
            _check_profile(hull, profile, end, number)


def check_sections(hull: Hull, points: Floats, columns: Sequence[int], names: Sequence[str]) -> None:
    """Raises SketchError where a section of the loft, points (columns, rows, 3), lies inside out.

    columns: the section at each of the ribs that are called `names`.
    """
    y, z = points[..., 1], points[..., 2]
    area = np.einsum("cr,cr->c", y[:, 1:] + y[:, :-1], np.diff(z, axis=1)) / 2.0
    wide = y.max(axis=1) > SAME_PLACE
    bad = np.flatnonzero(wide & (area <= 0.0))
    if len(bad):
        after = int(np.searchsorted(np.asarray(columns), bad[0]))
        near = names[after] if columns[after] == bad[0] or after == 0 else f"{names[after - 1]} and {names[after]}"
        where = f"between {near}" if " and " in near else f"at {near}"
        raise SketchError(
            f"the hull turns inside out {where}", "Check the heights and half-breadths there for a mistyped number.", hull.file
        )


def _check_station(hull: Hull, number: int, station: Station) -> None:
    points = station.points
    name = station_name(hull, number)
    sharp = is_sharp(station)
    if not points or not all(isfinite(value) for point in points for value in point) or not isfinite(station.at):
        raise _error(hull, number, f"{name} has no points, or one that is not a number", FROM_THE_KEEL)
    if min(half_breadth for half_breadth, _ in points) < 0.0:
        raise _error(hull, number, f"{name} has a half-breadth below 0", "Give distances off the centreline, 0 or more.")
    if sharp and 1 < number < len(hull.stations):
        raise _error(hull, number, f"{name} has no area", "Only the first and the last may have half-breadths of 0 throughout.")
    if not sharp and (len(points) < 2 or points[-1][1] <= points[0][1]):
        raise _error(hull, number, f"{name} ends no higher than it begins", FROM_THE_KEEL)
    for k, (before, after) in enumerate(pairwise(points), 2):
        if dist(before, after) < POINTS_APART:
            raise _error(hull, number, f"point {k} of {name} lies on the point before it", "Remove one of them.")
    crossing = _crossing(points)
    if crossing is not None:
        a, b = crossing
        message = f"in {name} the line between points {a} and {a + 1} crosses the one between {b} and {b + 1}"
        raise _error(hull, number, message, f"{FROM_THE_KEEL[:-1]}, and look for a mistyped number.")


def _check_profile(hull: Hull, profile: Sequence[Point2], end: str, number: int) -> None:
    if is_sharp(hull.stations[number - 1]):
        message = f"{station_name(hull, number)} has no area, and there is a {end} besides"
        raise _error(hull, number, message, f"Remove the station or the {end}.")
    if len(profile) < 2 or profile[-1][1] <= profile[0][1]:
        raise SketchError(f"the {end} ends no higher than it begins", "List it from the keel end up.", hull.file, key=end)
    for k, (before, after) in enumerate(pairwise(profile), 2):
        if dist(before, after) < POINTS_APART:
            raise SketchError(f"point {k} of the {end} lies on the point before it", "Remove one of them.", hull.file, key=end)


def _error(hull: Hull, number: int, message: str, remedy: str) -> SketchError:
    return SketchError(message, remedy, hull.file, key=f"stations.{number}")


def _crossing(points: Sequence[Point2]) -> tuple[int, int] | None:
    """The first two pieces of an open line that cross, each by the number of its first point from 1; None if none do."""
    p = np.array(points)
    if len(p) < 4:
        return None
    i, j = np.triu_indices(len(p) - 1, 2)
    a, b, c, d = p[i], p[i + 1], p[j], p[j + 1]
    met = (_turn(a, b, c) * _turn(a, b, d) < 0.0) & (_turn(c, d, a) * _turn(c, d, b) < 0.0)
    first = np.flatnonzero(met)
    return (int(i[first[0]]) + 1, int(j[first[0]]) + 1) if len(first) else None


def _turn(a: Floats, b: Floats, c: Floats) -> Floats:
    turn: Floats = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return turn
