"""A table of offsets as lines plans print it: heights and half-breadths of named lines at stations, turned into a hull."""

from __future__ import annotations

import csv
import math
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Literal

from sketcher.model.document import read_bytes, read_text
from sketcher.model.errors import SketchError, quoted
from sketcher.model.files.tables.tape_rows import remarks_and_lines
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.measurement_checks import hull_problem
from sketcher.model.units import UNITS, format_length, parse_length, parse_number

PRINTED = "feet-inches-eighths"
"""The unit of most printed tables: 1-2-3 is 1 ft 2 3/8 in, 1-2-3+ a sixteenth more."""
_DASHED = re.compile(r"(\d+)-(\d{1,2})-(\d)(\+?)\Z")
_INCH = 0.0254
_NO_ENTRY = ("", "-", "–", "—")
_COLUMNS = (
    "station, height of keel, height of sheer, half-breadth of sheer, half-breadth of waterline 100, height of buttock 300, "
    "diagonal A, height and half-breadth of knuckle"
)
_ONE_POINT = 0.004
"""[m] Where two lines cross on a section both tell one point: a print is no finer."""

Side = Literal["height", "half-breadth", "diagonal"]


@dataclass(frozen=True, slots=True)
class _Line:
    """A column: what its cells are, of which line, and where that line is: a height, a half-breadth, or height and angle."""

    side: Side
    of: str
    name: str
    place: float = 0.0
    angle: float = 0.0


def is_offsets_table(path: str | os.PathLike[str]) -> bool:
    """Whether a CSV file is a table of offsets and not of tape measurements, by the line that names its columns."""
    text, _ = read_text(read_bytes(path), os.fspath(path))
    _, lines = remarks_and_lines(text)
    return bool(lines) and re.search(r"height[ _]of|breadth[ _]of|\bdiagonal\b", lines[0][1].casefold()) is not None


def read_offsets_table(path: str | os.PathLike[str], units: str | None = None, name: str | None = None) -> Hull:
    """The hull of a table of offsets: a line that names the columns, then a row for each station.

    Columns: `station` (its distance aft), `height of keel`, `height of sheer`, `half-breadth of sheer`, and any of `half-breadth
    of waterline 100`, `height of buttock 300`, `height of knuckle` with `half-breadth of knuckle`, `diagonal A` (distances along
    it, where a line `# diagonal A: 500 at 40` says from which height on the centreline and how many degrees below level it goes
    out). Lines `# units: feet-inches-eighths` (or mm, in, …), `# hull: …`, `# drawn to: outside`. A dash or nothing: no entry.
    Raises SketchError with the line and column of whatever is wrong.
    """
    file = os.fspath(path)
    text, _ = read_text(read_bytes(path), file)
    remarks, lines = remarks_and_lines(text)
    unit = units or remarks.get("units", "mm")
    if unit not in (*UNITS, PRINTED):
        raise SketchError(
            f"`{quoted(unit)}` is no unit of a table", f"Write {PRINTED}, or {', '.join(UNITS)}.", file, key="units"
        )
    separator = next((mark for mark in ("\t", ";") if mark in lines[0][1]), ",")
    rows = [(number, [cell.strip() for cell in next(csv.reader([line], delimiter=separator))]) for number, line in lines]
    columns = [_column(cell, remarks, unit, file, rows[0][0]) for cell in rows[0][1]]
    _need(columns, file, rows[0][0])
    stations = tuple(_station(number, cells, columns, unit, file) for number, cells in rows[1:])
    drawn_to = remarks.get("drawn to", "outside")
    hull = Hull(
        name=name or remarks.get("hull") or Path(file).stem.replace("-", " ").replace("_", " "),
        units="in" if unit == PRINTED else unit,
        stations=tuple(sorted(stations, key=lambda station: station.at)),
        offsets_to="inside" if drawn_to == "inside" else "outside",
    )
    problem = hull_problem(hull)
    if problem is not None:
        number = int(problem.key.partition(".")[2].partition(".")[0] or "1")
        at = hull.stations[number - 1].at if hull.stations else None
        line = next((n for (n, _), station in zip(rows[1:], stations, strict=True) if station.at == at), rows[0][0])
        raise SketchError(problem.message, f"{problem.remedy} Two lines that cross there may disagree.", file, line)
    return hull


def _length(text: str, unit: str) -> float | None:
    """A length [m] as printed; None for what is none."""
    if match := _DASHED.match(text):
        feet, inches, eighths = (int(match[k]) for k in (1, 2, 3))
        if inches > 11 or eighths > 7:
            return None
        return round((12 * feet + inches + eighths / 8 + (1 / 16 if match[4] else 0.0)) * _INCH, 9)
    if unit == PRINTED:
        return 0.0 if text == "0" else None
    return parse_length(text, unit)


def _column(cell: str, remarks: Mapping[str, str], unit: str, file: str, line: int) -> _Line | None:
    """What a column holds; None for the one of stations."""
    name = " ".join(cell.casefold().replace("_", " ").replace("half breadth", "half-breadth").split())
    refused = SketchError(f"unknown column `{quoted(cell)}`", f"Columns are {_COLUMNS}.", file, line)
    if name == "station":
        return None
    if name.startswith("diagonal "):
        said = re.match(r"(\S+) at (\S+)\Z", remarks.get(name, ""))
        height, angle = (_length(said[1], unit), parse_number(said[2])) if said else (None, None)
        if height is None or angle is None or not 0.0 < angle < 90.0:
            remedy = f"Write above it `# {name}: 500 at 40`: its height on the centreline, and degrees below level."
            raise SketchError(f"nothing says where `{quoted(cell)}` runs", remedy, file, line)
        return _Line("diagonal", "diagonal", name, height, math.radians(angle))
    side, _, of = name.partition(" of ")
    of = {"deck": "sheer", "rabbet": "keel"}.get(of, of)
    kind, _, place = of.partition(" ")
    if side not in ("height", "half-breadth") or kind not in ("keel", "sheer", "knuckle", "waterline", "buttock"):
        raise refused
    if kind in ("waterline", "buttock"):
        where = _length(place, unit)
        if where is None or (side == "height") != (kind == "buttock"):
            raise refused
        return _Line("height" if side == "height" else "half-breadth", kind, of, where)
    return _Line("height" if side == "height" else "half-breadth", kind, of)


def _need(columns: Sequence[_Line | None], file: str, line: int) -> None:
    there = {(column.side, column.name) for column in columns if column}
    if None not in columns:
        raise SketchError("there is no column `station`", "Name the one that says how far aft each station is.", file, line)
    for side, name in (("height", "keel"), ("height", "sheer"), ("half-breadth", "sheer")):
        if (side, name) not in there:
            raise SketchError(f"there is no column `{side} of {name}`", f"Columns are {_COLUMNS}.", file, line)


def _station(number: int, cells: Sequence[str], columns: Sequence[_Line | None], unit: str, file: str) -> Station:
    at: float | None = None
    named: dict[str, dict[str, float]] = {}
    points: list[Point2] = []
    if len(cells) > len(columns):
        raise SketchError(
            f"{len(cells)} values in a row of {len(columns)} columns", "Is a decimal comma in the way?", file, number
        )
    for column, cell in zip(columns, cells, strict=False):
        if cell in _NO_ENTRY:
            continue
        value = _length(cell, unit)
        if value is None:
            what = "1-2-3 for 1 ft 2 3/8 in" if unit == PRINTED else f"a number in {unit}"
            raise SketchError(f"`{quoted(cell)}` is no length", f"Write {what}, or a dash.", file, number, _called(column))
        if column is None:
            at = value
        elif column.side == "diagonal":
            points.append((value * math.cos(column.angle), column.place - value * math.sin(column.angle)))
        elif column.of == "waterline" and value > 0.0:
            points.append((value, column.place))
        elif column.of == "buttock":
            points.append((column.place, value))
        elif column.of != "waterline":
            named.setdefault(column.name, {})[column.side] = value
    if at is None or "height" not in named.get("keel", {}) or len(named.get("sheer", {})) < 2:
        missing = "distance" if at is None else "keel's height" if "height" not in named.get("keel", {}) else "sheer"
        raise SketchError(f"this station has no {missing}", "Fill it in, or leave the row out.", file, number)
    return _ordered(at, named, points, unit)


def _called(column: _Line | None) -> str:
    return "station" if column is None else column.name if column.side == "diagonal" else f"{column.side} of {column.name}"


def _ordered(at: float, named: Mapping[str, Mapping[str, float]], points: Sequence[Point2], unit: str) -> Station:
    """The points from the keel up to the sheer, in their order about the middle at the sheer's height, each place once."""
    keel, sheer = ((named[of].get("half-breadth", 0.0), named[of]["height"]) for of in ("keel", "sheer"))
    corners = [
        (each["half-breadth"], each["height"]) for of, each in named.items() if of.startswith("knuckle") and len(each) == 2
    ]
    inner = [point for point in (*corners, *points) if point[1] > keel[1] or point[0] > keel[0]]
    line = sorted(inner, key=lambda point: math.atan2(point[1] - sheer[1], max(point[0], 1e-9)))
    kept = [keel]
    for point, after in pairwise([*line, sheer]):
        if math.dist(point, kept[-1]) > _ONE_POINT and (after is not sheer or math.dist(point, sheer) > _ONE_POINT):
            kept.append(point)
        elif point in corners and len(kept) > 1:
            kept[-1] = point
    kept.append(sheer)
    written = "in" if unit == PRINTED else unit
    exact = tuple((_stepped(y, written), _stepped(z, written)) for y, z in kept)
    knuckles = tuple(place for place, point in enumerate(kept, 1) if point in corners)
    return Station(at=_stepped(at, written), points=exact, knuckles=knuckles)


def _stepped(value: float, unit: str) -> float:
    """A length at the step that a file holds."""
    return parse_length(format_length(value, unit), unit) or 0.0
