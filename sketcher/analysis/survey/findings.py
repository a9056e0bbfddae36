"""A loftsman's look at a table of measurements: the mistyped number, the forgotten knuckle, and what cannot be judged."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from sketcher.analysis.findings import Finding
from sketcher.analysis.survey.misread_digits import Reading, likely_reading
from sketcher.analysis.survey.outliers import FOUND_AT, SLIP_SOUGHT, Judgement, Slip, Unjudged, Why, judge
from sketcher.analysis.survey.traced_lines import MissedMark
from sketcher.model.hull import Hull
from sketcher.model.units import format_length

_COORDINATES = ("half-breadth", "height")

_EITHER_NUMBER = 0.5
"""[1] a point's other number is offered too where the skin lies at 30 degrees or more to its direction."""

_REASONS: dict[Why, str] = {
    "end": "the ends of the boat, and of a knuckle, have neighbours on one side only. Measure them twice",
    "along": "there the skin runs nearly along the number's own direction, and a slip mostly slides the point along the skin",
    "bend": "there the lines bend too hard, or the next stations are too far off. A station between would tell",
    "line": "no stations on both sides have the same knuckles",
    "few": "it takes four stations to tell a slip in one of them from the shape of the hull",
    "many": "there are more points than are read off a tape, and this way of judging them is for tape measurements",
}


def check_hull(hull: Hull) -> tuple[Finding, ...]:
    """What a loftsman would say of a hull's measurements.

    `mistyped-number` and `station-distance` [warn], the surest first, each with the likely value; `knuckle-not-marked` [warn];
    `not-judged` [note], one for each reason, with the numbers that could be wrong by 50 mm unseen. Numbers within 5 mm raise
    no warning. Only the part of a slip square to the skin can be seen. Source id: tape-error.
    """
    judged = judge(hull)
    return (
        *(_station_words(hull, slip) if slip.point is None else _point_words(hull, slip, slip.point) for slip in judged.slips),
        *(_mark_words(hull, mark) for mark in judged.missed),
        *_unjudged_words(hull, judged),
    )


def _point_words(hull: Hull, slip: Slip, point: int) -> Finding:
    station = hull.stations[slip.station]
    value = station.points[point]
    near = [c for c in (0, 1) if abs(slip.direction[c]) >= _EITHER_NUMBER]
    read = {c: _reading(hull, slip, c, value[c]) for c in near}
    near.sort(key=lambda c: (not read[c].reason, -abs(slip.direction[c])))
    offers = [f"{_COORDINATES[c]} {_bare(hull, value[c])} is likely {_meant(hull, read[c])}" for c in near]
    place = f"Station {_in_unit(hull, station.at)}, point {point + 1} [{_bare(hull, value[0])}, {_bare(hull, value[1])}]"
    said = f"{place} stands {_off_words(slip)} of where its neighbours put it."
    return Finding(
        code="mistyped-number",
        severity="warn",
        object=f"station {_bare(hull, station.at)} point {point + 1}",
        message=f"{said} {_sentence(' or '.join(offers))} {_again(hull, slip)}",
        measured=slip.off,
        limit=FOUND_AT * slip.spread,
        source="tape-error",
        at=(station.at, value[0], value[1]),
    )


def _again(hull: Hull, slip: Slip) -> str:
    """What to do; a point that could be the wrong one instead is named."""
    if not slip.rivals:
        return "Measure it again."
    rivals = " or ".join(f"point {i + 1} of station {_in_unit(hull, hull.stations[j].at)}" for j, i in slip.rivals)
    return f"Measure it again, and {rivals}: a slip there would look much the same."


def _off_words(slip: Slip) -> str:
    """How far and to which side; along a line of the hull the side is out, in, up or down."""
    size = f"{abs(slip.off) * 1000:.0f} mm"
    if slip.direction == (0.0, 1.0):
        return f"{size} {'above' if slip.off > 0 else 'below'}, give or take {2000 * slip.spread:.0f} mm,"
    return f"{size} {'outside' if slip.off > 0 else 'inside'}, give or take {2000 * slip.spread:.0f} mm,"


def _reading(hull: Hull, slip: Slip, c: int, typed: float) -> Reading:
    share = slip.direction[c]
    return likely_reading(typed, slip.off / share, slip.spread / abs(share), hull.units)


def _meant(hull: Hull, reading: Reading) -> str:
    return _bare(hull, reading.value) + (f" ({reading.reason})" if reading.reason else "")


def _station_words(hull: Hull, slip: Slip) -> Finding:
    at = hull.stations[slip.station].at
    reading = likely_reading(at, slip.off, slip.spread, hull.units)
    far = f"{abs(slip.off) * 1000:.0f} mm too far {'aft' if slip.off > 0 else 'forward'}"
    return Finding(
        code="station-distance",
        severity="warn",
        object=f"station {_bare(hull, at)}",
        message=f"Station {_in_unit(hull, at)} as a whole seems to be entered {far}, give or take {2000 * slip.spread:.0f} mm: "
        f"its distance is likely {_meant(hull, reading)}. Measure the distance again.",
        measured=slip.off,
        limit=FOUND_AT * slip.spread,
        source="tape-error",
        at=(at, 0.0, hull.stations[slip.station].points[0][1]),
    )


def _mark_words(hull: Hull, mark: MissedMark) -> Finding:
    station, beside = hull.stations[mark.station], hull.stations[mark.beside]
    value = station.points[mark.point]
    marks = ", ".join(str(k) for k in sorted({*station.knuckles, mark.point + 1}))
    corner = f"Station {_in_unit(hull, station.at)} turns by {mark.turn:.0f} degrees at point {mark.point + 1}"
    return Finding(
        code="knuckle-not-marked",
        severity="warn",
        object=f"station {_bare(hull, station.at)} point {mark.point + 1}",
        message=f"{corner}, as station {_in_unit(hull, beside.at)} does beside it, but the point is not marked as a knuckle, "
        f"and the lines round it off. If it is a hard corner, write knuckles: [{marks}] at this station.",
        measured=mark.turn,
        at=(station.at, value[0], value[1]),
    )


def _unjudged_words(hull: Hull, judged: Judgement) -> Iterable[Finding]:
    by_reason: dict[Why, list[Unjudged]] = defaultdict(list)
    for number in judged.unjudged:
        by_reason[number.why].append(number)
    for why in _REASONS:
        if numbers := by_reason.get(why):
            shown = max(number.share for number in numbers) * SLIP_SOUGHT
            square = f": at most {shown * 1000:.0f} mm of it stand square to the skin" if why == "along" else ""
            which = (
                "all its numbers"
                if why in ("few", "many")
                else _listed(hull, numbers) + (_profiles(hull) if why == "end" else "")
            )
            yield Finding(
                code="not-judged",
                severity="note",
                object=hull.name,
                message=f"Not judged for a slip of {SLIP_SOUGHT * 1000:.0f} mm: {which}; {_REASONS[why]}{square}.",
            )


def _profiles(hull: Hull) -> str:
    """The profiles of the ends, which no station's points can be laid against."""
    return "".join(f"; all of the {name}" for name, points in (("stem", hull.stem), ("stern", hull.stern)) if points)


def _listed(hull: Hull, numbers: list[Unjudged]) -> str:
    """Half-breadths and heights by station: `half-breadths at 480 (2-5); heights at 480 (1-5), 740 (6)`."""
    parts = []
    for c, name in ((0, "half-breadths"), (1, "heights")):
        at: dict[int, list[int]] = defaultdict(list)
        for number in numbers:
            if number.coordinate == c:
                at[number.station].append(number.point + 1)
        if at:
            parts.append(
                f"{name} at " + ", ".join(f"{_bare(hull, hull.stations[j].at)} ({_runs(points)})" for j, points in at.items())
            )
    return "; ".join(parts)


def _runs(points: list[int]) -> str:
    """Numbers in rising order with runs drawn together.

    >>> _runs([1, 2, 3, 6])
    '1-3, 6'
    """
    runs: list[list[int]] = []
    for point in points:
        if runs and point == runs[-1][-1] + 1:
            runs[-1].append(point)
        else:
            runs.append([point])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."


def _bare(hull: Hull, metres: float) -> str:
    return format_length(metres, hull.units)


def _in_unit(hull: Hull, metres: float) -> str:
    return f"{_bare(hull, metres)} {hull.units}"
