"""What a hull's measurements must fulfil before a surface can be made of them, whatever file or program they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist, isfinite

from sketcher.geometry.tolerances import POINTS_APART, SECTIONS_APART
from sketcher.model.hull import LEAST_OUTLINE, Hull, Point2, Station, area_and_middle, with_heights_up
from sketcher.model.units import format_length

STATIONS_LIMIT = 500
"""More would be a scan, not a tape's measurements."""
POINTS_LIMIT = 200
"""A station's points; finding lines that cross grows with their square."""

MARKS_LIMIT = 50
"""Marks of a level that anyone reads."""

FROM_THE_KEEL = "List its points from the centreline up to the sheer"
DOWNWARDS = "heights that were measured downwards want `measured: {heights: down}`"


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong and what to do. key: where, as in a hull's file; point: the one it is about, counted from 1, or None."""

    message: str
    remedy: str
    key: str
    point: int | None = None


def station_name(hull: Hull, number: int) -> str:
    """What a station is called: its number from 1 and its distance as the file writes it."""
    return f"station {number} at {format_length(hull.stations[number - 1].at, hull.units)} {hull.units}"


def is_sharp(station: Station) -> bool:
    """Whether a station is a line or one point on the centreline."""
    return all(half_breadth == 0.0 for half_breadth, _ in (*station.points, *station.port))


def hull_problem(hull: Hull) -> Problem | None:
    """The first thing that keeps a hull's measurements from being a hull; None where there is none."""
    hull = with_heights_up(hull)
    stations = hull.stations
    if len(stations) < 2:
        count = f"{len(stations) or 'no'} station{'' if len(stations) == 1 else 's'}"
        return Problem(f"{count}; a hull needs two or more", "Measure another.", "stations")
    for number in range(1, len(stations) + 1):
        problem = _station_problem(hull, number)
        if problem is not None:
            return problem
    if all(is_sharp(station) for station in stations):
        return Problem("no station has any area", "Give half-breadths above 0.", "stations")
    ends = _profile_problem(hull, "stem") or _profile_problem(hull, "stern")
    return _order_problem(hull) or ends or _extent_problem(hull) or _outline_problem(hull) or _checks_problem(hull)


def whole_part(hull: Hull) -> Hull:
    """A half-entered hull without the stations and parts that keep it from being one; as far as that helps."""
    problem = hull_problem(hull)
    while problem is not None:
        head, _, rest = problem.key.partition(".")
        number = rest.partition(".")[0]
        if head == "stations" and number.isdecimal():
            hull = replace(hull, stations=(*hull.stations[: int(number) - 1], *hull.stations[int(number) :]))
        elif head in ("stem", "stern"):
            hull = replace(hull, stem=() if head == "stem" else hull.stem, stern=() if head == "stern" else hull.stern)
        elif head in ("coachroof", "cockpit"):
            roof, well = hull.coachroof, hull.cockpit
            hull = replace(hull, coachroof=None if head == "coachroof" else roof, cockpit=None if head == "cockpit" else well)
        else:
            return hull
        problem = hull_problem(hull)
    return hull


def points_problem(points: Sequence[Point2], name: str, key: str = "") -> Problem | None:
    """What is wrong with a station's line of points, from the centreline up to the sheer; None where it is in order."""
    numbers = [value for point in points for value in point]
    if not points or not all(map(isfinite, numbers)):
        return Problem(f"{name} has no points, or one that is not a number", f"{FROM_THE_KEEL}.", key)
    for number, (before, after) in enumerate(pairwise(points), 2):
        if dist(before, after) < POINTS_APART:
            return Problem(f"point {number} of {name} lies on the point before it", "Remove one of them.", key, number)
        if after[0] < before[0] and after[1] < before[1]:
            message = f"point {number} of {name} goes back down and inwards"
            return Problem(message, f"{FROM_THE_KEEL}, and look for a mistyped number.", key, number)
    crossing = _crossing(points)
    if crossing is None:
        return None
    a, b = crossing
    message = f"in {name} the line between points {a} and {a + 1} crosses the one between {b} and {b + 1}"
    return Problem(message, f"{FROM_THE_KEEL}, and look for a mistyped number.", key, b + 1)


def _station_problem(hull: Hull, number: int) -> Problem | None:
    station, name, key = hull.stations[number - 1], station_name(hull, number), f"stations.{number}"
    points = station.points
    if len(points) > POINTS_LIMIT:
        return Problem(f"{name} has {len(points)} points", f"At most {POINTS_LIMIT} make sense: leave some out.", key)
    problem = points_problem(points, name, key)
    if problem is not None:
        return problem
    if min(half_breadth for half_breadth, _ in points) < 0.0:
        return Problem(f"{name} has a half-breadth below 0", "Give distances off the centreline, 0 or more.", key)
    if is_sharp(station):
        if 1 < number < len(hull.stations):
            return Problem(f"{name} has no area", "Only the first and the last may have half-breadths of 0 throughout.", key)
    elif len(points) < 2:
        return Problem(f"{name} has one point", "Give two or more, from the centreline up to the sheer.", key)
    elif points[-1][1] <= points[0][1]:
        return Problem(f"{name} ends no higher than it begins", f"{FROM_THE_KEEL}; {DOWNWARDS}.", key)
    return _port_problem(station, name, key) or _numbers_problem(station, name, key)


def _port_problem(station: Station, name: str, key: str) -> Problem | None:
    """The port side, where it was measured apart, has the starboard side's points, and meets it on the centreline."""
    port, key = station.port, f"{key}.port"
    if not port:
        return None
    if len(port) != len(station.points):
        message = f"{name} has {len(station.points)} points and to port {len(port)}"
        return Problem(message, "Measure the same ones on both sides, such as at each stringer.", key)
    problem = points_problem(port, f"{name}, to port,", key)
    if problem is not None:
        return problem
    if min(half_breadth for half_breadth, _ in port) < 0.0:
        return Problem(f"{name} has a half-breadth below 0 to port", "Give distances off the centreline, 0 or more.", key)
    if port[0][1] != station.points[0][1]:
        return Problem(f"{name} begins at another height to port", "Both sides meet on the centreline, at one height.", key)
    if len(port) > 1 and port[-1][1] <= port[0][1]:
        return Problem(f"{name} ends no higher to port than it begins", f"{FROM_THE_KEEL}; {DOWNWARDS}.", key)
    if is_sharp(replace(station, port=())) != is_sharp(replace(station, points=port, port=())):
        return Problem(f"{name} has area on one side only", "Give half-breadths above 0 on both sides, or 0 on both.", key)
    return None


def _numbers_problem(station: Station, name: str, key: str) -> Problem | None:
    """What is said of points by their numbers is said of points that are there."""
    points, errors = station.points, tuple(point for point, _ in station.points_measured_to)
    for word, numbers in (("knuckles", station.knuckles), ("guessed", station.guessed), ("points_measured_to", errors)):
        beyond = [each for each in numbers if not 1 <= each <= len(points)]
        if beyond:
            message = f"`{word}` of {name} names point {beyond[0]} of {len(points)}"
            return Problem(message, "Points are counted from 1 at the centreline.", f"{key}.{word}")
    return None


def _order_problem(hull: Hull) -> Problem | None:
    """Stations follow each other from forward to aft."""
    for number, (before, after) in enumerate(pairwise(hull.stations), 2):
        if not after.at - before.at >= SECTIONS_APART:
            message = f"{station_name(hull, number)} is not aft of {station_name(hull, number - 1)}"
            return Problem(message, "List stations from forward to aft, each at its own place.", f"stations.{number}")
    return None


def _profile_problem(hull: Hull, end: str) -> Problem | None:
    """A stem's or stern's points run from the keel end up, and there is no sharp station besides."""
    profile, number = (hull.stem, 1) if end == "stem" else (hull.stern, len(hull.stations))
    if not profile:
        return None
    if is_sharp(hull.stations[number - 1]):
        message = f"{station_name(hull, number)} has no area, and there is a {end} besides"
        return Problem(message, f"Remove the station or the {end}.", f"stations.{number}")
    if len(profile) < 2:
        return Problem(f"the {end} has one point", "Give two or more, from the keel end up; or remove it.", end)
    if not profile[-1][1] > profile[0][1]:
        return Problem(f"the {end} ends no higher than it begins", "List it from the keel end up.", end)
    for number, (before, after) in enumerate(pairwise(profile), 2):
        if dist(before, after) < POINTS_APART:
            return Problem(f"point {number} of the {end} lies on the point before it", "Remove one of them.", end)
    return None


def _extent_problem(hull: Hull) -> Problem | None:
    """Trunk and well end aft of where they begin; what is known of the whole boat is for one measured in part."""
    for key, part in (("coachroof", hull.coachroof), ("cockpit", hull.cockpit)):
        if part is not None and not part.end > part.start:
            return Problem(f"the {key}'s `to` is not aft of its `from`", "Distances count aft from the hull's zero.", key)
    if hull.boat is not None and not hull.open_aft:
        return Problem("`boat` is only for a hull measured in part", "Remove it, or write `aft_end: open`.", "boat")
    broadest = max((point[0] for point in (*hull.stations[-1].points, *hull.stations[-1].port)), default=0.0)
    if hull.transom_curve and not hull.stern and not hull.open_aft and hull.transom_curve > broadest > 0.0:
        message = f"the transom's curve is more than its half-breadth of {format_length(broadest, hull.units)} {hull.units}"
        return Problem(message, "Give how far its middle stands aft of a line across it.", "transom.curve")
    if hull.open_aft and hull.stern:
        return Problem("an open aft end has no stern", "Remove `stern`, or write `aft_end: closed`.", "stern")
    return None


def _outline_problem(hull: Hull) -> Problem | None:
    """An appendage's outline has an area, and does not cross itself."""
    for item in hull.appendages:
        key = f"appendages.{item.name}.outline"
        if item.outline and area_and_middle(item.outline)[0] < LEAST_OUTLINE:
            return Problem(f"the outline of {item.name} has no area", "Give three points or more, round it in order.", key)
        crossing = _crossing((*item.outline, item.outline[0]), closed=True) if item.outline else None
        if crossing is not None:
            a, b = crossing
            message = f"the outline of {item.name} crosses itself, after point {a} and after point {b}"
            return Problem(message, "Give its points round it in order.", key)
    return None


def _checks_problem(hull: Hull) -> Problem | None:
    """The distances that were measured as checks go from one point of a station to another."""
    counts = {station.at: len(station.points) for station in hull.stations}
    for check in hull.checks:
        key = f"checks.{check.name}"
        for at, point in (check.start, check.end):
            if at not in counts:
                message = f"the check {check.name!r} names a station at {format_length(at, hull.units)}, and there is none"
                return Problem(message, "Write the station's `at`.", key)
            if point > counts[at]:
                message = f"the check {check.name!r} names point {point} of {counts[at]}"
                return Problem(message, "Points count from 1 at the keel.", key)
        if check.start == check.end and not check.across:
            return Problem(f"the check {check.name!r} goes from a point to itself", "Name two points.", key)
    return None


def _crossing(points: Sequence[Point2], *, closed: bool = False) -> tuple[int, int] | None:
    """The first two pieces of a line that cross, each by the number of its first point from 1; None if none do.

    closed: its ends are one point.
    """
    if not closed and all(after[1] >= before[1] for before, after in pairwise(points)):
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
