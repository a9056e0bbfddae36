"""Two or more layouts side by side: what differs first, then what is the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from string import ascii_uppercase

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.loading.weights import with_changes
from sketcher.model.errors import SketchError
from sketcher.model.units import tape_step
from sketcher.outputs.tables.facts import (
    BOAT,
    CHANGED,
    IF_HOLED,
    THERE,
    Fact,
    Label,
    afloat_facts,
    built_facts,
    changed_facts,
    contents_facts,
    flooding_facts,
    length_fact,
    litres_fact,
)
from sketcher.outputs.tables.report import WIDTH, finding_lines, water_words, waterline_words
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.outputs.wording.quantities import UNIT_WORDS, UNKNOWN, by_severity, length, table, wrap
from sketcher.outputs.wording.sentences import message

ABSENT = "-"
MOST = 8
"""Layouts that fit beside each other in a line."""
LEAST_CELL, CHANGE_WIDTH = 9, 10
"""Letters in a cell where many layouts share it, and in that of a change."""
NAME_WIDTHS = {2: 50, 3: 40, 4: 40, 5: 30}
"""Letters of a figure's name beside so many layouts, or more."""
TELLING = ("litres", "position", "clear length", THERE)
"""Figures that stand for a compartment, berth or panel that not all layouts have."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A figure, space, berth or panel that differs: its name, a cell for each layout, and the change where there are two."""

    name: str
    cells: tuple[str, ...]
    change: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Layouts laid side by side, by letter. noticed: under letters, what was noticed in those alone; in_all: how much in all.

    same: what they have in common, by what it belongs to: words and figure.
    """

    letters: str
    evaluations: tuple[Evaluation, ...]
    unit: str
    differences: tuple[Difference, ...]
    noticed: Mapping[str, tuple[Finding, ...]]
    in_all: int
    same: Mapping[str, tuple[tuple[str, str], ...]]


def compared(
    evaluations: Sequence[Evaluation], units: str | None = None, flooding: Sequence[Sequence[FloodingCase]] = ()
) -> Comparison:
    """Layouts laid side by side; lengths in `units`, else in those of the first scene. flooding: each layout's cases.

    Raises SketchError for fewer than two layouts or more than eight.
    """
    _check_count(len(evaluations))
    unit = units or evaluations[0].scene.units
    letters = ascii_uppercase[: len(evaluations)]
    figures = _figures(evaluations, flooding, unit)
    judged = {label for layout in figures for label in layout}
    facts = [layout | built_facts(each.scene, unit) for layout, each in zip(figures, evaluations, strict=True)]
    labels = _in_order(facts)
    differing = [label for label in labels if len({_text(layout, label) for layout in facts}) > 1]
    same: dict[str, list[tuple[str, str]]] = {}
    for label in labels:
        if label in judged and label not in differing:
            same.setdefault(label[0], []).append((label[1], facts[0][label].text))
    noticed = _noticed(evaluations, letters)
    return Comparison(
        letters=letters,
        evaluations=tuple(evaluations),
        unit=unit,
        differences=tuple(_difference_rows(differing, facts, len(evaluations) == 2)),
        noticed={some: tuple(found) for some, found in noticed.items() if some != letters},
        in_all=len(noticed.get(letters, ())),
        same={owner: tuple(entries) for owner, entries in same.items()},
    )


def comparison(
    evaluations: Sequence[Evaluation], units: str | None = None, flooding: Sequence[Sequence[FloodingCase]] = ()
) -> str:
    """The comparison as plain text; see `compared`."""
    found = compared(evaluations, units, flooding)
    parts = [
        [line for letter, each in zip(found.letters, evaluations, strict=True) for line in _named(letter, each, found.unit)],
        _differences(found),
        _findings(found),
        _same(found),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _check_count(layouts: int) -> None:
    if layouts < 2:
        raise SketchError("there is only one layout to compare", "Name two or more scene files.")
    if layouts > MOST:
        raise SketchError(f"{layouts} layouts do not fit side by side", f"Name at most {MOST} scene files.")


def _figures(evaluations: Sequence[Evaluation], flooding: Sequence[Sequence[FloodingCase]], unit: str) -> list[dict[Label, Fact]]:
    """Each layout's figures as she floats, with changes in weight if any layout has them, and flooded."""
    facts = [facts_of(evaluation, unit) for evaluation in evaluations]
    changed = [with_changes(evaluation) for evaluation in evaluations]
    if any(changed):
        for layout, evaluation, then in zip(facts, evaluations, changed, strict=True):
            layout.update(changed_facts(evaluation, then, unit))
    for layout, cases in zip(facts, flooding, strict=False):
        layout.update(flooding_facts(cases, unit))
    return facts


def facts_of(evaluation: Evaluation, unit: str) -> dict[Label, Fact]:
    """What a layout is judged by: each figure under what it belongs to and the words that name it."""
    facts: dict[Label, Fact] = {}
    for space in known_spaces(evaluation):
        facts.update({(space.name, figure): fact for figure, fact in _space_facts(space).items()})
    for berth in evaluation.berths:
        facts[berth.name, "clear length"] = length_fact(berth.length, unit)
        facts[berth.name, "shoulder width"] = length_fact(berth.shoulder_width, unit)
        facts[berth.name, "foot width"] = length_fact(berth.foot_width, unit)
        facts[berth.name, "headroom"] = length_fact(berth.headroom, unit)
        if berth.fits is not None and not berth.who:
            facts[berth.name, "fits"] = Fact("yes" if berth.fits else f"short by {length(berth.short_by, unit)}")
    if evaluation.contents is not None:
        facts.update(contents_facts(evaluation.contents, unit))
    facts.update(afloat_facts(evaluation, unit))
    return facts


def _space_facts(known: KnownSpace) -> dict[str, Fact]:
    return {
        "litres": litres_fact(known.volume),
        "litres below water": litres_fact(known.below),
        "position": Fact(known.position or UNKNOWN),
        "use": Fact(known.space.use),
        "tight": Fact("yes" if known.space.watertight else "no"),
    }


def _in_order(facts: Sequence[dict[Label, Fact]]) -> list[Label]:
    """All labels, in the order of the layout that has them first; the boat's own figures last."""
    labels = list(dict.fromkeys(label for layout in facts for label in layout))
    return sorted(labels, key=lambda label: (BOAT, CHANGED).index(label[0]) if label[0] in (BOAT, CHANGED) else -1)


def _text(layout: dict[Label, Fact], label: Label) -> str:
    return layout[label].text if label in layout else ABSENT


def _named(letter: str, evaluation: Evaluation, unit: str) -> list[str]:
    scene = evaluation.scene
    water = f"{water_words(scene.water_density)}; {waterline_words(evaluation.water, unit, scene.guessed)}"
    return [f"{letter}  {scene.name}", *wrap(f"{scene.hull.name}; {water}", WIDTH, "   ")]


def _differences(found: Comparison) -> list[str]:
    if not found.differences:
        return ["WHAT DIFFERS", "  None of the figures below."]
    two = len(found.letters) == 2
    head = ("WHAT DIFFERS", *found.letters, *(("change",) if two else ()))
    rows = [(row.name, *row.cells, *((row.change,) if two else ())) for row in found.differences]
    names = NAME_WIDTHS[min(len(found.letters), max(NAME_WIDTHS))]
    room = (WIDTH - names - CHANGE_WIDTH * two) // len(found.letters) - 2
    return [
        *table(head, rows, "<" + ">" * (len(head) - 1), name_width=names, cell_width=max(room, LEAST_CELL)),
        f"Lengths in {UNIT_WORDS[found.unit]}, volumes in litres.",
    ]


def _difference_rows(labels: Sequence[Label], facts: Sequence[dict[Label, Fact]], two: bool) -> Iterator[Difference]:
    """A row for each figure that differs; a space or berth that not all layouts have takes one row, and one for its flooding."""
    lacking = _lacking_somewhere(facts)
    told: set[str] = set()
    for label in labels:
        what, figure = label
        if what not in lacking or figure == IF_HOLED:
            name, cells = ", ".join(label), [_text(layout, label) for layout in facts]
        elif what not in told:
            told.add(what)
            name, cells = what, [_summary(what, layout) for layout in facts]
        else:
            continue
        yield Difference(name, tuple(cells), change_told(label, facts) if two else "")


def _lacking_somewhere(facts: Sequence[dict[Label, Fact]]) -> set[str]:
    """Compartments, berths and panels that some layouts have and others have not."""
    owners = [{what for what, _ in layout} for layout in facts]
    summed = {what for layout in facts for what, figure in layout if figure in TELLING}
    return {what for what in summed if not all(what in layout for layout in owners)}


def _summary(what: str, layout: dict[Label, Fact]) -> str:
    """A compartment's litres and position, or a berth's length, in one cell."""
    found = [layout[what, figure].text for figure in TELLING if (what, figure) in layout]
    return ", ".join(found) or ABSENT


def change_told(label: Label, facts: Sequence[dict[Label, Fact]]) -> str:
    """From the first layout to the second, where both are numbers."""
    first, second = (layout.get(label) for layout in facts)
    if first is None:
        return "new"
    if second is None:
        return "gone"
    if first.number is None or second.number is None:
        return ""
    more = second.number - first.number
    if first.fractions:
        return f"{'+' if more > 0 else ''}{length(more * 16 * tape_step(first.fractions), first.fractions)}"
    return f"{more:+.{first.decimals}f}"


def _noticed(evaluations: Sequence[Evaluation], letters: str) -> dict[str, list[Finding]]:
    """What was noticed, the gravest first, under the letters of the layouts it was noticed in; the fewest letters first."""
    where: dict[tuple[str, str], str] = {}
    by_key: dict[tuple[str, str], Finding] = {}
    for letter, evaluation in zip(letters, evaluations, strict=True):
        for finding in evaluation.findings:
            whole = finding.object == evaluation.scene.name
            key = ("" if whole else finding.object, message(finding))
            where[key] = where.get(key, "") + ("" if letter in where.get(key, "") else letter)
            by_key.setdefault(key, finding)
    groups = dict.fromkeys(sorted(where.values(), key=lambda group: (len(group), group)))
    return {some: by_severity([by_key[key] for key, group in where.items() if group == some]) for some in groups}


def _findings(found: Comparison) -> list[str]:
    lines: list[str] = []
    for letters, findings in found.noticed.items():
        lines += [f"NOTICED IN {' AND '.join(letters)} ONLY"]
        for finding in findings:
            lines += finding_lines(finding, found.unit, sources=False)
    return [*lines, f"NOTICED IN ALL: {found.in_all} (the report of each scene gives them)"] if found.in_all else lines


def _same(found: Comparison) -> list[str]:
    """What all have in common, a line for each thing."""
    if not found.same:
        return []
    lines = ["THE SAME IN ALL"]
    for owner, entries in found.same.items():
        said = ", ".join(f"{figure} {text}" for figure, text in entries)
        lines += wrap(f"{owner}: {said}", WIDTH, "    ", "  ")
    return lines
