"""The rows of a table of tape measurements: its columns found by name, each cell read with its line."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.hull import Point2
from sketcher.model.units import LENGTH_LIMIT, parse_length

Side = Literal["", "port", "starboard"]

ROWS_LIMIT = 50_000
COLUMNS = ("station", "half_breadth", "height", "knuckle", "side")
_NEEDED = COLUMNS[:3]
_SIDES: dict[str, Side] = {"": "", "port": "port", "p": "port", "starboard": "starboard", "s": "starboard", "stbd": "starboard"}
_KNUCKLE = {"": False, "0": False, "no": False, "false": False, "1": True, "x": True, "k": True, "yes": True, "true": True}


@dataclass(frozen=True, slots=True)
class Row:
    """One measured point; side empty: measured for both."""

    line: int
    station: float
    point: Point2
    knuckle: bool
    side: Side


def remarks_and_lines(text: str) -> tuple[dict[str, str], list[tuple[int, str]]]:
    """What lines such as `# units: cm` say, without characters that cannot be seen, and the other lines with their numbers."""
    remarks: dict[str, str] = {}
    lines: list[tuple[int, str]] = []
    for number, line in enumerate(text.splitlines(), 1):
        stripped = line.strip()
        if stripped.startswith("#"):
            key, _, value = stripped.lstrip("# ").partition(":")
            seen = "".join(character for character in value if character.isprintable())
            remarks.setdefault(key.strip().casefold(), seen.strip())
        elif stripped.strip(",;\t ") and not stripped.casefold().startswith("sep="):
            lines.append((number, line))
    return remarks, lines


def read_rows(lines: Sequence[tuple[int, str]], file: str, units: str) -> list[Row]:
    """The measurements below a line that names the columns. Raises SketchError with the line of whatever is wrong."""
    if not lines:
        raise SketchError("the table is empty", f"Begin with a line `{','.join(_NEEDED)}`.", file)
    if len(lines) > ROWS_LIMIT:
        raise SketchError(f"the table has {len(lines)} rows", f"At most {ROWS_LIMIT} make sense: is it the right file?", file)
    separator = next((mark for mark in ("\t", ";") if mark in lines[0][1]), ",")
    columns = _columns(lines[0], separator, file)
    rows = []
    for number, line in lines[1:]:
        try:
            cells = _cells(line, separator)
        except csv.Error as problem:
            raise SketchError(
                f"this row cannot be read: {problem}", "Look for a stray quote or mark in it.", file, number
            ) from None
        rows.append(_row(number, cells, columns, file, units, separator))
    if not rows:
        raise SketchError("the table has no measurements", "Add a row for each point.", file, lines[0][0])
    return rows


def _cells(line: str, separator: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([line], delimiter=separator, skipinitialspace=True))]


def _columns(header: tuple[int, str], separator: str, file: str) -> dict[str, int]:
    """Where each column stands. Raises SketchError for one that is missing, unknown or there twice."""
    number, line = header
    columns: dict[str, int] = {}
    for place, cell in enumerate(_cells(line, separator)):
        name = cell.casefold().replace(" ", "_").replace("-", "_")
        if not name:
            continue
        if name not in COLUMNS or name in columns:
            near = nearest(name, COLUMNS)
            remedy = f"Did you mean `{near}`?" if near and near not in columns else f"Columns are {', '.join(COLUMNS)}."
            raise SketchError(
                f"unknown column `{quoted(cell)}`" if name not in columns else f"column `{cell}` is there twice",
                remedy,
                file,
                number,
            )
        columns[name] = place
    missing = [name for name in _NEEDED if name not in columns]
    if missing:
        raise SketchError(
            f"there is no column `{missing[0]}`", f"Begin with a line that names the columns: {', '.join(COLUMNS)}.", file, number
        )
    return columns


def _row(number: int, cells: list[str], columns: dict[str, int], file: str, units: str, separator: str) -> Row:
    def cell(name: str) -> str:
        place = columns.get(name)
        return "" if place is None or place >= len(cells) else cells[place]

    def refused(name: str, what: str, remedy: str) -> SketchError:
        return SketchError(what, remedy, file, number, name)

    def length(name: str) -> float:
        written = cell(name)
        value = parse_length(written if separator == "," else written.replace(",", "."), units)
        if value is None or abs(value) > LENGTH_LIMIT:
            what = f"`{quoted(written)}` is no length" if written else "nothing is written here"
            inches = units not in ("in", "ft") and parse_length(written, "in") is not None
            say = "That is inches: begin the table with a line `# units: in`, or name the unit with --units in."
            raise refused(name, what, say if inches else f'Write a number in {units}, or one with its unit such as "14 3/8 in".')
        return value

    if any(cells[max(columns.values()) + 1 :]):
        what = f"{len(cells)} values in a row of {len(columns)} columns"
        raise SketchError(what, "Is a decimal comma in the way?", file, number)
    side, knuckle = _SIDES.get(cell("side").casefold()), _KNUCKLE.get(cell("knuckle").casefold())
    if side is None:
        raise refused("side", f"`{quoted(cell('side'))}` is no side", "Write port, starboard, or nothing for both.")
    if knuckle is None:
        raise refused("knuckle", f"`{quoted(cell('knuckle'))}` is no mark", "Write x where the point is a knuckle, else nothing.")
    point = (length("half_breadth"), length("height"))
    if point[0] < 0.0:
        remedy = "Half-breadths are positive on both sides; say `port` in a column `side`."
        raise refused("half_breadth", f"`{quoted(cell('half_breadth'))}` is below 0", remedy)
    return Row(number, length("station"), point, knuckle, side)
