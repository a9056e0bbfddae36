"""The table of what was read of boards, filled in by hand or in a spreadsheet: `build` writes it empty, and reads it back."""

from __future__ import annotations

import csv
import os
from collections.abc import Iterator
from dataclasses import dataclass

from sketcher.model.cutting import GapReading, PartReadings
from sketcher.model.document import read_bytes, read_text
from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.units import LENGTH_LIMIT, UNITS, parse_length, parse_mass

COLUMNS = (
    "board", "point", "gap_to", "right_mm", "up_mm", "planned_gap_mm", "gap_mm", "other_face_gap_mm",
    "planned_thickness_mm", "thickness_mm", "planned_kg", "kg", "cut",
)  # fmt: skip
"""Of the table in millimetres, in another unit so called; a row with a point is a gap, one without is of the board as a whole."""

_MOST_ROWS = 20_000
_CUT = {"": False, "no": False, "yes": True, "x": True}


@dataclass(frozen=True, slots=True)
class _Row:
    """One row by its columns, with its line in the file."""

    file: str
    line: int
    cells: dict[str, str]
    units: dict[str, str]

    def refused(self, column: str, what: str, remedy: str) -> SketchError:
        unit = self.units.get(column)
        return SketchError(what, remedy, self.file, self.line, f"{column[:-3]}_{unit}" if unit else column)

    def number(self, column: str) -> float | None:
        """A length [m] or a mass [kg], None where nothing is written."""
        written = self.cells.get(column, "")
        if not written:
            return None
        weighed = column.endswith("kg")
        value = parse_mass(written) if weighed else parse_length(written, self.units[column])
        if value is None or abs(value) > LENGTH_LIMIT or (value < 0.0 and column not in ("right_mm", "up_mm")):
            wanted = "kilograms, or a mass with its unit" if weighed else f"a length in {self.units[column]}, or with its unit"
            raise self.refused(column, f"`{quoted(written)}` is no reading", f"Write {wanted}, or nothing.")
        return value

    def needed(self, column: str) -> float:
        value = self.number(column)
        if value is None:
            raise self.refused(column, "a gap was read, but not where", "Write how far right and up of the board's zero.")
        return value


def read_as_built(path: str | os.PathLike[str]) -> tuple[PartReadings, ...]:
    """What is filled in of each board, those without anything left out. Raises SketchError with file, line, column and remedy."""
    file = os.fspath(path)
    text, _ = read_text(read_bytes(path), file)
    by_board: dict[str, list[_Row]] = {}
    for row in _rows(text, file):
        board = row.cells.get("board", "")
        if not board:
            raise row.refused("board", "no board is named", "Write its name as in the booklet, on every row of it.")
        by_board.setdefault(board, []).append(row)
    found = tuple(_readings(board, rows) for board, rows in by_board.items())
    return tuple(each for each in found if each != PartReadings(name=each.name, cut=each.cut))


def _rows(text: str, file: str) -> Iterator[_Row]:
    lines = text.splitlines()
    if not lines or len(lines) > _MOST_ROWS:
        raise SketchError(f"a table of {len(lines)} rows", "Is it the table `as built.csv` of a build?", file)
    separator = next((mark for mark in ("\t", ";") if mark in lines[0]), ",")
    head = [cell.strip().casefold().replace(" ", "_") for cell in _cells(lines[0], separator, file, 1)]
    units = {f"{name.rpartition('_')[0]}_mm": name.rpartition("_")[2] for name in head if name.rpartition("_")[2] in UNITS}
    _check_head(head, file)
    head = [_in_mm(name) for name in head]
    for number, line in enumerate(lines[1:], 2):
        cells = [cell.strip() for cell in _cells(line, separator, file, number)]
        if any(cells):
            if any(cells[len(head) :]):
                raise SketchError(
                    f"{len(cells)} values in a row of {len(head)} columns", "Is a decimal comma in the way?", file, number
                )
            yield _Row(file, number, _as_numbers(dict(zip(head, cells, strict=False)), separator), units)


def _cells(line: str, separator: str, file: str, number: int) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])
    except csv.Error as problem:
        raise SketchError(f"this row cannot be read: {problem}", "Look for a stray quote in it.", file, number) from None


def _as_numbers(cells: dict[str, str], separator: str) -> dict[str, str]:
    """Cells with decimal points, where commas do not separate them."""
    if separator == ",":
        return cells
    return {name: cell.replace(",", ".") if name.endswith(("_mm", "kg")) else cell for name, cell in cells.items()}


def _in_mm(name: str) -> str:
    """What a column of lengths is called in the table in millimetres.

    >>> _in_mm("gap_in"), _in_mm("kg")
    ('gap_mm', 'kg')
    """
    what, _, unit = name.rpartition("_")
    return f"{what}_mm" if unit in UNITS and f"{what}_mm" in COLUMNS else name


def _check_head(head: list[str], file: str) -> None:
    known = [_in_mm(name) for name in head]
    for name, called in zip(head, known, strict=True):
        if name and (called not in COLUMNS or known.count(called) > 1):
            near = nearest(name, COLUMNS)
            what = f"unknown column `{quoted(name)}`" if called not in COLUMNS else f"column `{name}` is there twice"
            raise SketchError(what, f"Did you mean `{near}`?" if near else f"Columns are {', '.join(COLUMNS)}.", file, 1)
    if "board" not in head:
        raise SketchError("there is no column `board`", "Fill in the table `as built.csv` that `build` writes.", file, 1)


def _readings(board: str, rows: list[_Row]) -> PartReadings:
    gaps: dict[str, list[GapReading]] = {"hull": [], "deck": []}
    whole: dict[str, float] = {}
    cut = False
    for row in rows:
        mark = row.cells.get("cut", "").casefold()
        if mark not in _CUT:
            raise row.refused("cut", f"`{quoted(mark)}` is no mark", "Write yes once the board is cut, else nothing.")
        cut |= _CUT[mark]
        _whole(row, whole)
        gap, other = row.number("gap_mm"), row.number("other_face_gap_mm")
        if gap is None and other is not None:
            raise row.refused("gap_mm", "only the other face's gap was read", "Read it on the drawn face too.")
        if gap is not None:
            to = row.cells.get("gap_to", "").casefold() or "hull"
            if to not in gaps:
                raise row.refused("gap_to", f"a gap to `{quoted(to)}`", "Write hull or deck.")
            gaps[to].append(GapReading(at=(row.needed("right_mm"), row.needed("up_mm")), gap=gap, other=other))
    kg = whole.get("kg")
    return PartReadings(
        name=board,
        cut=cut,
        kg=kg,
        planned_kg=None if kg is None else whole.get("planned_kg"),
        thickness=whole.get("thickness_mm"),
        gaps=tuple(gaps["hull"]),
        deck_gaps=tuple(gaps["deck"]),
    )


def _whole(row: _Row, known: dict[str, float]) -> None:
    """What a row says of the whole board, into what is known of it."""
    for column in ("kg", "planned_kg", "thickness_mm"):
        value = row.number(column)
        if value is None:
            continue
        if column in known and known[column] != value:
            raise row.refused(column, f"`{row.cells[column]}` differs from what stands above for this board", "Keep one of them.")
        if value == 0.0 and column != "planned_kg":
            raise row.refused(column, "0 is no reading", "Leave it empty where nothing was read.")
        known[column] = value
