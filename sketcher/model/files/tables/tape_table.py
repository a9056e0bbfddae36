"""A table of tape measurements, as typed into a spreadsheet, turned into a hull."""

from __future__ import annotations

import math
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from statistics import median

from sketcher.model.document import read_bytes, read_text
from sketcher.model.errors import SketchError, quoted
from sketcher.model.files.tables.tape_rows import Row, read_rows, remarks_and_lines
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.measurement_checks import POINTS_LIMIT, STATIONS_LIMIT, Problem, hull_problem, points_problem
from sketcher.model.units import UNITS, format_length, parse_length

SIDES_APART = 0.005
"""[m] port and starboard further apart than this are reported: about what two careful readings of a tape may differ by."""

SHIFTED, LEAST_SHIFTED = 0.8, 6
"""Share of the points measured on both sides, and how many at least, that differ alike where the centreline was off."""

Pair = tuple[Point2, Point2, bool]
"""A point to port and the one opposite, and whether a knuckle is there."""


@dataclass(frozen=True, slots=True)
class TapeNote:
    """Something an owner should know of a table that could be read. difference [m]: between port and starboard, if it is that."""

    message: str
    station: float | None = None
    point: int | None = None
    difference: float | None = None


@dataclass(frozen=True, slots=True)
class TapeTable:
    """The hull a table makes, and what was noticed on the way."""

    hull: Hull
    notes: tuple[TapeNote, ...]


def read_tape_table(
    path: str | os.PathLike[str], units: str | None = None, name: str | None = None, *, apart: bool = False
) -> TapeTable:
    """The hull of a CSV table `station,half_breadth,height[,knuckle][,side]`: a row a point, a station from the centreline up.

    units: of bare numbers; else the table's own line `# units: cm`, else millimetres, which a note then says. name: else the
    table's line `# hull: …`, else the file's name. Commas, semicolons and tabs separate; a decimal comma is understood where
    commas do not separate. Where both sides were measured the mean is used, and what differs by more than 5 mm is a note;
    apart: each side keeps its own numbers.
    Raises SketchError with the line of whatever is wrong.
    """
    file = os.fspath(path)
    text, _ = read_text(read_bytes(path), file)
    remarks, lines = remarks_and_lines(text)
    chosen = units or remarks.get("units")
    if chosen is not None and chosen not in UNITS:
        raise SketchError(
            f"`{quoted(chosen)}` is no unit of length known here", f"Write one of {', '.join(UNITS)}.", file, key="units"
        )
    rows = read_rows(lines, file, chosen or "mm")
    notes = [] if chosen else [TapeNote("The table does not say its unit; its numbers were read as millimetres.")]
    stations: list[Station] = []
    both_sides: dict[float, list[Pair]] = {}
    for at, measured in sorted(_by_station(rows, file).items()):
        station, both_sides[at] = _station(measured, at, chosen or "mm", file)
        stations.append(_each_side(station, both_sides[at]) if apart and both_sides[at] else station)
    notes += _kept_apart(both_sides, chosen or "mm") if apart else _differences(both_sides, chosen or "mm")
    hull_name = name or remarks.get("hull") or Path(file).stem.replace("-", " ").replace("_", " ")
    hull = Hull(name=hull_name, units=chosen or "mm", stations=tuple(stations))
    problem = hull_problem(hull)
    if problem is not None:
        number = int(problem.key.partition(".")[2].partition(".")[0] or "1")
        raise _at_row(problem, [row for row in rows if row.station == stations[number - 1].at], file)
    return TapeTable(hull, tuple(notes))


def _by_station(rows: Iterable[Row], file: str) -> dict[float, list[Row]]:
    """The rows of each station. Raises SketchError for more than any hull has."""
    found: dict[float, list[Row]] = {}
    for row in rows:
        found.setdefault(row.station, []).append(row)
    if len(found) > STATIONS_LIMIT or max(map(len, found.values())) > 2 * POINTS_LIMIT:
        what = f"{len(found)} stations, the fullest with {max(map(len, found.values()))} points"
        raise SketchError(what, f"At most {STATIONS_LIMIT} with {POINTS_LIMIT} make sense: is it the right file?", file)
    return found


def _station(rows: Sequence[Row], at: float, units: str, file: str) -> tuple[Station, list[Pair]]:
    """One station from its rows: the mean of both sides where both were measured, and the pairs it is the mean of."""
    if not {"port", "starboard"} <= {row.side for row in rows}:
        return _as_station(at, ((row.point, row.knuckle) for row in rows)), []
    port = [row for row in rows if row.side != "starboard"]
    starboard = [row for row in rows if row.side != "port"]
    for side in (port, starboard):
        problem = points_problem([row.point for row in side], f"station {_written(at, units)}")
        if problem is not None:
            raise _at_row(problem, side, file)
    pairs = _opposite(port, starboard)
    means = (((_mean(p[0], s[0], units), _mean(p[1], s[1], units)), marked) for p, s, marked in pairs)
    return _as_station(at, means), pairs


def _each_side(station: Station, pairs: Sequence[Pair]) -> Station:
    """The station with each side's own numbers; on the centreline, where they meet, the mean of both."""
    foot = station.points[0][1]

    def side(points: list[Point2]) -> tuple[Point2, ...]:
        return ((points[0][0], foot), *points[1:])

    return replace(station, points=side([starboard for _, starboard, _ in pairs]), port=side([port for port, _, _ in pairs]))


def _differences(both_sides: Mapping[float, Sequence[Pair]], units: str) -> list[TapeNote]:
    """What was measured differently on both sides: one note where all of it was shifted alike, then what differs beyond that."""
    shift = _common_shift([pair for pairs in both_sides.values() for pair in pairs])
    found = [_off_centre(shift, units)] if shift else []
    for at, pairs in both_sides.items():
        for number, (port, starboard, _) in enumerate(pairs, 1):
            note = _sides_apart(at, number, port, starboard, shift if _off_centreline(port, starboard) else 0.0, units)
            found += [] if note is None else [note]
    return found


def _kept_apart(both_sides: Mapping[float, Sequence[Pair]], units: str) -> list[TapeNote]:
    """What to know where each side keeps its numbers: that all of it was shifted alike, or that there is but one side."""
    if not any(both_sides.values()):
        return [TapeNote("No station of the table was measured on both sides; both are taken to be alike.")]
    shift = _common_shift([pair for pairs in both_sides.values() for pair in pairs])
    if not shift:
        return []
    wider, narrower = ("port", "starboard") if shift > 0.0 else ("starboard", "port")
    more = _written(round(abs(2.0 * shift), 3), units)
    return [
        TapeNote(
            f"Throughout, {wider} measures {more} more than {narrower}, and is kept so: check that the line that was measured "
            f"from did not lie off the centreline to {narrower}."
        )
    ]


def _common_shift(pairs: Sequence[Pair]) -> float:
    """How far [m] to starboard of the hull's middle both sides were measured from, throughout; 0.0 where they were not."""
    wider = [port[0] - starboard[0] for port, starboard, _ in pairs if _off_centreline(port, starboard)]
    if len(wider) < LEAST_SHIFTED:
        return 0.0
    middle = median(wider)
    alike = sum(abs(each - middle) <= SIDES_APART for each in wider)
    return middle / 2.0 if abs(middle) > SIDES_APART and alike >= SHIFTED * len(wider) else 0.0


def _off_centreline(port: Point2, starboard: Point2) -> bool:
    return port[0] > 0.0 and starboard[0] > 0.0


def _off_centre(shift: float, units: str) -> TapeNote:
    wider, narrower = ("port", "starboard") if shift > 0.0 else ("starboard", "port")
    apart = abs(2.0 * shift)
    message = (
        f"Throughout, {wider} measures {_written(round(apart, 3), units)} more than {narrower}: the centreline that was "
        f"measured from lay {_written(round(apart / 2.0, 4), units)} off to {narrower}. The mean of both sides is used, which "
        "takes that out; a station measured on one side only keeps it. Check the line at both ends."
    )
    return TapeNote(message, difference=apart)


def _opposite(port: Sequence[Row], starboard: Sequence[Row]) -> list[Pair]:
    """Points of both sides that belong together, and whether a knuckle is there; the side with more points leads."""
    if len(port) == len(starboard):
        return [(p.point, s.point, p.knuckle or s.knuckle) for p, s in zip(port, starboard, strict=True)]
    if len(port) > len(starboard):
        return [(p.point, _nearest_on(p.point, starboard), p.knuckle) for p in port]
    return [(_nearest_on(s.point, port), s.point, s.knuckle) for s in starboard]


def _sides_apart(at: float, number: int, port: Point2, starboard: Point2, shift: float, units: str) -> TapeNote | None:
    """A note of a point that was measured differently on both sides, from a line that lay `shift` [m] to starboard."""
    apart = round(
        math.hypot(port[0] - starboard[0] - 2.0 * shift, port[1] - starboard[1]), 9
    )  # 5 mm is not more than 5 mm, whatever the last bit says
    if apart <= SIDES_APART:
        return None
    message = (
        f"Station {_written(at, units)}, point {number}: port {_pair(port, units)} and starboard {_pair(starboard, units)} "
        f"differ by {_written(round(apart, 3), units)}{' beside that' if shift else ''}; the mean is used. Measure it again."
    )
    return TapeNote(message, at, number, apart)


def _mean(a: float, b: float, units: str) -> float:
    """The mean of two lengths, at the step a file holds."""
    return parse_length(format_length((a + b) / 2.0, units), units) or 0.0


def _as_station(at: float, points: Iterable[tuple[Point2, bool]]) -> Station:
    points = list(points)
    knuckles = tuple(i for i, (_, marked) in enumerate(points, 1) if marked)
    return Station(at=at, points=tuple(point for point, _ in points), knuckles=knuckles)


def _nearest_on(point: Point2, rows: Sequence[Row]) -> Point2:
    """The point of a measured line nearest to another side's point."""
    line = [row.point for row in rows]
    best = line[0]
    for a, b in pairwise(line):
        along = (b[0] - a[0], b[1] - a[1])
        span = along[0] ** 2 + along[1] ** 2
        share = ((point[0] - a[0]) * along[0] + (point[1] - a[1]) * along[1]) / span if span else 0.0
        share = min(1.0, max(0.0, share))
        on_piece = (a[0] + share * along[0], a[1] + share * along[1])
        if math.dist(point, on_piece) < math.dist(point, best):
            best = on_piece
    return best


def _at_row(problem: Problem, rows: Sequence[Row], file: str) -> SketchError:
    row = rows[problem.point - 1] if problem.point and problem.point <= len(rows) else rows[0]
    return SketchError(problem.message, problem.remedy, file, row.line)


def _written(value: float, units: str) -> str:
    return f"{format_length(value, units)} {units}"


def _pair(point: Point2, units: str) -> str:
    return f"[{format_length(point[0], units)}, {format_length(point[1], units)}]"
