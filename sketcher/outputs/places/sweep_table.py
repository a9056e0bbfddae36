"""A sweep as text, as a spreadsheet and as figures for other programs."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from sketcher.analysis.findings import Finding
from sketcher.analysis.loading.panel_masses import unweighed_panels
from sketcher.analysis.places.answer import Answer
from sketcher.analysis.places.excluding import Relaxation
from sketcher.analysis.places.rows import LimitRow, PlaceRow, Sweep
from sketcher.model.edits.number_range import NumberRange
from sketcher.outputs.places.figure_words import figure_name, told
from sketcher.outputs.tables.first import LEVELS
from sketcher.outputs.tables.report import WIDTH
from sketcher.outputs.wording.quantities import length_with_unit, plain, table, wrap
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import message

MOST_LINES = 25
"""Places that a table on the screen shows; a spreadsheet has them all."""
SEEN = 5e-4
"""Of a metre, cubic metre, degree or share: what changes less over a whole range is not shown."""
MOST_FIGURES = 4
"""Figures beside each place in a table on the screen, each under its letter."""
LETTERS = "abcd"


def where_words(ranges: Sequence[NumberRange], values: Sequence[float], units: str) -> str:
    """A place in words: `collision.at 1180 mm`."""
    each = (f"{wanted.object} {range_value_words(wanted, value, units)}" for wanted, value in zip(ranges, values, strict=True))
    return ", ".join(each)


def range_value_words(wanted: NumberRange, value: float, units: str) -> str:
    """One number with its unit."""
    return length_with_unit(value, units) if wanted.is_length else f"{plain(value, 2)}{wanted.field.kind.unit}"


def error_words(error: str | Finding | None, units: str) -> str | None:
    """Why there is no boat at a place."""
    return message(error, units) if isinstance(error, Finding) else error


def sweep_report(sweep: Sweep, answer: Answer | None, units: str, *, spreadsheet: bool = False) -> str:
    """What changes along the range, in a table; then the best place, or why there is none. spreadsheet: one is written too."""
    question = sweep.question
    parts = [[question.scene.name, f"{listed([wanted.object for wanted in question.ranges])} moved; {_tally(sweep)}"]]
    if answer is None:
        parts.append(_table(sweep, units, spreadsheet=spreadsheet))
        parts.append(_forbidden(sweep, units))
    else:
        parts.append([*answer_lines(sweep, answer, units), *_cautions(sweep, answer, units)])
    if not sweep.complete:
        parts.append([f"Stopped: only {len(sweep.rows)} places were worked out."])
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _tally(sweep: Sweep) -> str:
    broken = sum(row.error is not None for row in sweep.rows)
    kept = sum(row.feasible for row in sweep.rows)
    said = f"{len(sweep.rows)} places"
    if sweep.question.scene.limits:
        said += f", {kept} keep to every limit"
    return f"{said}, at {broken} there is no boat" if broken else said


def shown_paths(sweep: Sweep) -> list[str]:
    """The figures that change along the range, those of limits first."""
    limits = [limit.path for row in sweep.rows for limit in row.limits]
    changing = [path for path in sweep.paths if _changes(sweep, path)]
    return [path for path in dict.fromkeys([*limits, *changing]) if path in changing]


def _changes(sweep: Sweep, path: str) -> bool:
    values = [row.figures.get(path) for row in sweep.rows if row.error is None]
    numbers = [value for value in values if isinstance(value, float)]
    return len({isinstance(value, float) for value in values}) > 1 or (len(numbers) > 1 and max(numbers) - min(numbers) > SEEN)


def _cautions(sweep: Sweep, answer: Answer, units: str) -> list[str]:
    """What the figure and the limits of a best place do not tell."""
    lines: list[str] = []
    if answer.noticed:
        lines += wrap("There, and not where things stand now, the report warns:", WIDTH, "  ", "  ")
        for finding in answer.noticed:
            lines += wrap(f"{LEVELS[finding.severity]}: {message(finding, units)}", WIDTH, "    ", "  ")
    unknown = [row for row in sweep.rows if row.error is None and row.read and row.read[0].value is None]
    if unknown:
        first, last = (where_words(sweep.question.ranges, row.values, units) for row in (unknown[0], unknown[-1]))
        where = first if len(unknown) == 1 else f"{len(unknown)} places from {first} to {last}"
        said = f"Not known at {where}, so not among these: what it is of is not there, or is called otherwise."
        lines += wrap(said, WIDTH, "  ", "  ")
    light = unweighed_panels(sweep.question.scene)
    if light:
        lines += wrap(f"Counted as weighing nothing, until their `material` or `kg` is said: {listed(light)}.", WIDTH, "  ", "  ")
    return lines


def _table(sweep: Sweep, units: str, *, spreadsheet: bool) -> list[str]:
    ranges = sweep.question.ranges
    paths = shown_paths(sweep)[:MOST_FIGURES]
    rows = [_cells(sweep, row, paths, units) for row in _spread(sweep.rows)]
    head = (*(wanted.object for wanted in ranges), *LETTERS[: len(paths)], "")
    lines = table(head, rows, "<" + ">" * (len(head) - 2) + "<")
    lines += [f"{letter}: {figure_name(path).words}" for letter, path in zip(LETTERS, paths, strict=False)]
    return [*lines, *(["Every place: add --csv FILE."] if len(sweep.rows) > MOST_LINES and not spreadsheet else [])]


def _spread(rows: Sequence[PlaceRow]) -> list[PlaceRow]:
    """As many places as are shown, evenly spread; of many more those that keep to every limit before others."""
    step = max(1, -(-len(rows) // MOST_LINES))
    kept = [row for row in rows if row.feasible]
    if step == 1 or not kept or len(kept) == len(rows):
        return list(rows[::step])
    shown = kept[:: max(1, -(-len(kept) // MOST_LINES))]
    others = [row for row in rows[::step] if not row.feasible][: MOST_LINES - len(shown)]
    return sorted([*shown, *others], key=lambda row: row.values)


def _cells(sweep: Sweep, row: PlaceRow, paths: Sequence[str], units: str) -> tuple[str, ...]:
    place = (range_value_words(wanted, value, units) for wanted, value in zip(sweep.question.ranges, row.values, strict=True))
    said = "no boat" if row.error is not None else f"misses {listed(row.missed)}" if row.missed else ""
    figures = ("" if row.error is not None else told(path, row.figures.get(path), units) for path in paths)
    return (*place, *figures, said)


def _forbidden(sweep: Sweep, units: str) -> list[str]:
    """Why there is no boat at some places, each reason once with where it is first met."""
    first: dict[str, PlaceRow] = {}
    for row in sweep.rows:
        said = error_words(row.error, units)
        if said is not None:
            first.setdefault(said, row)
    lines: list[str] = []
    for said, row in first.items():
        lines += wrap(f"No boat at {where_words(sweep.question.ranges, row.values, units)}: {said}", WIDTH, "  ")
    return lines


def answer_lines(sweep: Sweep, answer: Answer, units: str) -> list[str]:
    """The best place with its figures and limits, or which limits exclude each other and what would let them."""
    ranges = sweep.question.ranges
    goal = figure_name(answer.path).words if answer.path else answer.goal.figure
    side = "most" if answer.most else "least"
    if answer.best is not None:
        lines = [f"BEST, with the {side} {goal}: {where_words(ranges, answer.best.values, units)}"]
        lines.append(f"  {goal}: {told(answer.path, answer.value, units)}")
        return [*lines, *(f"  {limit_words(limit, units)}" for limit in answer.best.limits)]
    lines = ["NO PLACE in these ranges keeps to every limit." if sweep.complete else "NO PLACE was found before it was stopped."]
    for names in answer.excluding:
        lines += wrap(excluded_words(names), WIDTH, "  ", "  ")
    for each in answer.relaxations:
        lines += wrap(relaxation_words(each, ranges, units), WIDTH, "    ", "  ")
    return lines


def excluded_words(names: Sequence[str]) -> str:
    """Which limits exclude each other."""
    if len(names) == 1:
        return f"`{names[0]}` alone is met nowhere."
    return f"{listed([f'`{name}`' for name in names])} exclude each other: no place meets {'both' if len(names) == 2 else 'all'}."


def relaxation_words(each: Relaxation, ranges: Sequence[NumberRange], units: str) -> str:
    """By how little one limit would have to give."""
    if each.row is None or each.by is None:
        return f"To give way in `{each.name}` alone is not enough."
    limit = next(limit for limit in each.row.limits if limit.name == each.name)
    return (
        f"If `{each.name}` gives {told(limit.path, each.by, units)}, to {told(limit.path, each.bound, units)}, all others are "
        f"met at {where_words(ranges, each.row.values, units)}."
    )


def limit_words(limit: LimitRow, units: str) -> str:
    """A limit at one place."""
    value = told(limit.path, limit.value, units)
    if limit.margin is None:
        return f"{limit.name}: {value if limit.met is None else 'missed: she is lost'}"
    by = told(limit.path, abs(limit.margin), units)
    return f"{limit.name}: {value}, {'met' if limit.met else 'missed'} by {by}"


def sweep_csv(sweep: Sweep, units: str) -> str:
    """A row for each place, in SI units: numbers that move, figures by path, limits met, and why there is no boat."""
    paths = sweep.paths
    limits = [limit.name for limit in sweep.question.scene.limits]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        ["kind", *(wanted.object for wanted in sweep.question.ranges), *paths, *(f"limit {name}" for name in limits), "error"]
    )
    for row in sweep.rows:
        met = {limit.name: limit.met for limit in row.limits}
        figures = ["" if row.figures.get(path) is None else row.figures[path] for path in paths]
        said = ["" if met.get(name) is None else str(met[name]).lower() for name in limits]
        writer.writerow(["place", *row.values, *figures, *said, error_words(row.error, units) or ""])
    return out.getvalue()


def sweep_json(sweep: Sweep, answer: Answer | None) -> str:
    """The sweep for other programs, ending with a line feed."""
    paths = sweep.paths
    values: dict[str, Any] = {
        "moved": [
            {"object": wanted.name, "key": wanted.key + (f".{wanted.index}" if wanted.index else "")}
            for wanted in sweep.question.ranges
        ],
        "complete": sweep.complete,
        "rows": [_row(row, paths) for row in sweep.rows],
        "best": None if answer is None or answer.best is None else _best(answer.best, paths),
        "excluded_by": [] if answer is None or not answer.excluding else list(answer.excluding[0]),
    }
    if answer is not None:
        values |= {
            "noticed": [message(finding, "m") for finding in answer.noticed],
            "goal": {
                "side": "most" if answer.most else "least",
                "figure": answer.goal.figure,
                "of": answer.goal.of,
                "path": answer.path,
            },
            "excluding_sets": [list(names) for names in answer.excluding],
            "relaxations": [
                {"name": each.name, "by": each.by, "limit": each.bound, "values_m": list(each.row.values) if each.row else None}
                for each in answer.relaxations
            ],
        }
    return json.dumps(values, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _row(row: PlaceRow, paths: Sequence[str]) -> dict[str, Any]:
    return {**_best(row, paths), "feasible": row.feasible, "rules": dict(row.rules), "error": error_words(row.error, "m")}


def _best(row: PlaceRow, paths: Sequence[str]) -> dict[str, Any]:
    limits = [
        {
            "name": limit.name,
            "figure": limit.figure,
            "path": limit.path,
            "value": limit.value,
            "limit": limit.bound,
            "met": limit.met,
        }
        for limit in row.limits
    ]
    return {"values_m": list(row.values), "figures": {path: row.figures.get(path) for path in paths}, "limits": limits}
