"""The survey of a table of measurements: the mistyped number, the forgotten knuckle, and what cannot be judged."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from math import dist
from typing import get_args

from sketcher.analysis.findings import Angle, Area, Finding, Length, Phrase, Value, Why
from sketcher.analysis.survey.misread_digits import Reading, likely_reading
from sketcher.analysis.survey.outliers import FOUND_AT, SLIP_SOUGHT, Judgement, Slip, Unjudged, judge
from sketcher.analysis.survey.traced_lines import MissedMark
from sketcher.model.hull import Hull, mirrored_hull, over_base, starboard_alone, with_heights_up
from sketcher.model.units import format_length

_COORDINATES = ("half-breadth", "height")

AGAIN = 3
"""Numbers to measure again first: more than these nobody does before the rest."""
_EITHER_NUMBER = 0.5
"""[1] a point's other number is offered too where the skin lies at 30 degrees or more to its direction."""


def check_hull(hull: Hull) -> tuple[Finding, ...]:
    """What is wrong, or cannot be judged, in a hull's measurements.

    `mistyped-number` and `station-distance` [warn], the surest first, each with the likely value; `knuckle-not-marked` [warn];
    `not-judged` [note], one for each reason, with the numbers that could be wrong by 50 mm unseen. Numbers within 5 mm raise
    no warning; stations with guessed points are left out. Sides measured apart are judged each by itself. Only the part of a
    slip square to the skin can be seen. Source id: tape-error.
    """
    hull = replace(hull, stations=tuple(station for station in hull.stations if not station.guessed))
    return tuple(_of_both_sides(hull)) if hull.apart else _of_a_side(hull)


def _of_both_sides(hull: Hull) -> Iterator[Finding]:
    """What each side says of itself, where they were measured apart; what both say once."""
    straight = tuple(check for check in hull.checks if not check.across)
    said = _of_a_side(replace(starboard_alone(hull), checks=straight))
    yield from said
    for finding in _of_a_side(replace(starboard_alone(mirrored_hull(hull)), checks=())):
        if not any(one.code == finding.code and one.values == finding.values for one in said):
            at = finding.at and (finding.at[0], -finding.at[1], finding.at[2])
            yield replace(finding, object=f"{finding.object} to port", values=_to_port(finding.values), at=at)
    for check in hull.checks:
        if check.across:
            yield Finding(code="check-across-sides", severity="note", object=check.name, values={"check": check.name})


def _to_port(values: Mapping[str, Value]) -> dict[str, Value]:
    """What was said of a side, said of the port side."""
    said = {key: True if key == "to_port" else value for key, value in values.items()}
    if isinstance(again := said.get("again"), tuple):
        said["again"] = tuple(Phrase(each.code, _to_port(each.values)) for each in again if isinstance(each, Phrase))
    return said


def _of_a_side(hull: Hull) -> tuple[Finding, ...]:
    judged = judge(with_heights_up(hull))
    return (
        *(_misplaced(hull, slip) if slip.point is None else _mistyped(hull, slip, slip.point) for slip in judged.slips),
        *(_missed_mark(hull, mark) for mark in judged.missed),
        *_not_judged(hull, judged),
    )


def _mistyped(hull: Hull, slip: Slip, point: int) -> Finding:
    station = hull.stations[slip.station]
    value = station.points[point]
    near = [c for c in (0, 1) if abs(slip.direction[c]) >= _EITHER_NUMBER]
    read = {c: _reading(hull, slip, c, value[c]) for c in near}
    near.sort(key=lambda c: (read[c].misread is None, -abs(slip.direction[c])))
    return Finding(
        code="mistyped-number",
        severity="warn",
        object=_point_name(hull, station.at, point),
        values={
            "at": Length(station.at),
            "point": point + 1,
            "half_breadth": Length(value[0]),
            "height": Length(value[1]),
            "off": Length(abs(slip.off)),
            "side": _side(slip),
            "give_or_take": Length(2 * slip.spread),
            "offers": tuple(_offer(c, value[c], read[c]) for c in near),
            "rivals": tuple(
                Phrase("point-of-station", {"point": i + 1, "at": Length(hull.stations[j].at)}) for j, i in slip.rivals
            ),
            "to_port": False,
        },
        measured=slip.off,
        limit=FOUND_AT * slip.spread,
        source="tape-error",
        at=(station.at, value[0], over_base(hull, value[1])),
    )


def _side(slip: Slip) -> str:
    """The side to which a point is off: out, in, up or down along a line of the hull."""
    if slip.direction == (0.0, 1.0):
        return "above" if slip.off > 0 else "below"
    return "outside" if slip.off > 0 else "inside"


def _reading(hull: Hull, slip: Slip, c: int, typed: float) -> Reading:
    share = -slip.direction[c] if c == 1 and hull.heights_down else slip.direction[c]
    return likely_reading(typed, slip.off / share, slip.spread / abs(share), hull.units)


def _offer(coordinate: int, typed: float, reading: Reading) -> Phrase:
    return Phrase("likely-number", {"coordinate": _COORDINATES[coordinate], "typed": Length(typed), **_meant(reading)})


def _meant(reading: Reading) -> dict[str, Value]:
    return {"meant": Length(reading.value), "misread": reading.misread}


def _misplaced(hull: Hull, slip: Slip) -> Finding:
    at = hull.stations[slip.station].at
    return Finding(
        code="station-distance",
        severity="warn",
        object=_station_name(hull, at),
        values={
            "at": Length(at),
            "off": Length(abs(slip.off)),
            "direction": "aft" if slip.off > 0 else "forward",
            "give_or_take": Length(2 * slip.spread),
            **_meant(likely_reading(at, slip.off, slip.spread, hull.units)),
        },
        measured=slip.off,
        limit=FOUND_AT * slip.spread,
        source="tape-error",
        at=(at, 0.0, over_base(hull, hull.stations[slip.station].points[0][1])),
    )


def _missed_mark(hull: Hull, mark: MissedMark) -> Finding:
    station, beside = hull.stations[mark.station], hull.stations[mark.beside]
    value = station.points[mark.point]
    return Finding(
        code="knuckle-not-marked",
        severity="warn",
        object=_point_name(hull, station.at, mark.point),
        values={
            "at": Length(station.at),
            "point": mark.point + 1,
            "turn": Angle(mark.turn),
            "beside": Length(beside.at),
            "knuckles": tuple(sorted({*station.knuckles, mark.point + 1})),
            "to_port": False,
        },
        measured=mark.turn,
        at=(station.at, value[0], over_base(hull, value[1])),
    )


def _not_judged(hull: Hull, judged: Judgement) -> Iterable[Finding]:
    by_reason: dict[Why, list[Unjudged]] = defaultdict(list)
    for number in judged.unjudged:
        by_reason[number.why].append(number)
    for why in get_args(Why):
        if numbers := by_reason.get(why):
            named = [] if why in ("few", "many") else numbers
            yield Finding(
                code="not-judged",
                severity="note",
                object=hull.name,
                values={
                    "count": len(numbers),
                    "slip": Length(SLIP_SOUGHT),
                    "half_breadths": tuple(_by_station(hull, named, 0)),
                    "heights": tuple(_by_station(hull, named, 1)),
                    "profiles": _profiles(hull) if why == "end" else (),
                    "why": why,
                    "to_port": False,
                    "square": Length(max(number.share for number in numbers) * SLIP_SOUGHT) if why == "along" else None,
                    **_first_again(hull, named),
                },
            )


def _first_again(hull: Hull, numbers: list[Unjudged]) -> dict[str, Value]:
    """The numbers to measure again first: those on which most of the skin hangs, as far as a slip in them moves it."""
    skin = {number: number.share * _skin_at(hull, number.station, number.point) for number in numbers}
    first = sorted(numbers, key=lambda number: skin[number], reverse=True)[:AGAIN]
    again = tuple(
        Phrase(
            "number-again",
            {
                "coordinate": _COORDINATES[number.coordinate],
                "point": number.point + 1,
                "at": Length(hull.stations[number.station].at),
                "to_port": False,
            },
        )
        for number in first
    )
    return {"again": again, "skins": tuple(Area(skin[number]) for number in first)}


def _skin_at(hull: Hull, station: int, point: int) -> float:
    """About how much skin [m2] hangs on a point: half way to its neighbours along the hull and across it."""
    near = hull.stations[max(station - 1, 0) : station + 2]
    points = hull.stations[station].points[max(point - 1, 0) : point + 2]
    along = (near[-1].at - near[0].at) / 2
    return along * sum(dist(one, other) for one, other in pairwise(points)) / 2


def _profiles(hull: Hull) -> tuple[str, ...]:
    """The profiles of the ends, which no station's points can be laid against."""
    return tuple(name for name, points in (("stem", hull.stem), ("stern", hull.stern)) if points)


def _by_station(hull: Hull, numbers: list[Unjudged], coordinate: int) -> Iterator[Phrase]:
    """One phrase for each station that has such numbers: half-breadths (0) or heights (1)."""
    at: dict[int, list[int]] = defaultdict(list)
    for number in numbers:
        if number.coordinate == coordinate:
            at[number.station].append(number.point + 1)
    for j, points in at.items():
        yield Phrase("points-of-station", {"at": Length(hull.stations[j].at), "points": tuple(points)})


def _station_name(hull: Hull, at: float) -> str:
    return f"station {format_length(at, hull.units)}"


def _point_name(hull: Hull, at: float, point: int) -> str:
    return f"{_station_name(hull, at)} point {point + 1}"
