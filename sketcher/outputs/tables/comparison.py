"""Two or more layouts side by side: what differs first, then what is the same."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_uppercase

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.loading.weights import with_changes
from sketcher.model.errors import SketchError
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
TELLING = ("litres", "position", "clear length", THERE)
"""Figures that stand for a compartment, berth or panel that not all layouts have."""


def comparison(
    evaluations: Sequence[Evaluation], units: str | None = None, flooding: Sequence[Sequence[FloodingCase]] = ()
) -> str:
    """The comparison as plain text; lengths in `units`, else in those of the first scene. flooding: each layout's cases.

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
    same = [label for label in labels if label in judged and label not in differing]
    parts = [
        [line for letter, evaluation in zip(letters, evaluations, strict=True) for line in _named(letter, evaluation, unit)],
        _differences(differing, facts, letters, unit),
        _findings(evaluations, letters, unit),
        _same(same, facts[0]),
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
    water = f"{water_words(scene.water_density)}; {waterline_words(evaluation.water, unit)}"
    return [f"{letter}  {scene.name}", f"   {scene.hull.name}; {water}"]


def _differences(labels: Sequence[Label], facts: Sequence[dict[Label, Fact]], letters: str, unit: str) -> list[str]:
    if not labels:
        return ["WHAT DIFFERS", "  None of the figures below."]
    two = len(facts) == 2
    head = ("WHAT DIFFERS", *letters, *(("change",) if two else ()))
    return [
        *table(head, _difference_rows(labels, facts, two), "<" + ">" * (len(head) - 1), name_width=50),
        f"Lengths in {UNIT_WORDS[unit]}, volumes in litres.",
    ]


def _difference_rows(labels: Sequence[Label], facts: Sequence[dict[Label, Fact]], two: bool) -> list[tuple[str, ...]]:
    """A row for each figure that differs; a space or berth that not all layouts have takes one row, and one for its flooding."""
    lacking = _lacking_somewhere(facts)
    rows: list[tuple[str, ...]] = []
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
        rows.append((name, *cells, *((_change(label, facts),) if two else ())))
    return rows


def _lacking_somewhere(facts: Sequence[dict[Label, Fact]]) -> set[str]:
    """Compartments, berths and panels that some layouts have and others have not."""
    owners = [{what for what, _ in layout} for layout in facts]
    summed = {what for layout in facts for what, figure in layout if figure in TELLING}
    return {what for what in summed if not all(what in layout for layout in owners)}


def _summary(what: str, layout: dict[Label, Fact]) -> str:
    """A compartment's litres and position, or a berth's length, in one cell."""
    found = [layout[what, figure].text for figure in TELLING if (what, figure) in layout]
    return ", ".join(found) or ABSENT


def _change(label: Label, facts: Sequence[dict[Label, Fact]]) -> str:
    """From the first layout to the second, where both are numbers."""
    first, second = (layout.get(label) for layout in facts)
    if first is None:
        return "new"
    if second is None:
        return "gone"
    if first.number is None or second.number is None:
        return ""
    return f"{second.number - first.number:+.{first.decimals}f}"


def _findings(evaluations: Sequence[Evaluation], letters: str, unit: str) -> list[str]:
    """What was noticed in some of the layouts but not in all, under the letters of those it was noticed in."""
    where: dict[tuple[str, str], str] = {}
    by_key: dict[tuple[str, str], Finding] = {}
    for letter, evaluation in zip(letters, evaluations, strict=True):
        for finding in evaluation.findings:
            key = (finding.object, message(finding))
            where[key] = where.get(key, "") + ("" if letter in where.get(key, "") else letter)
            by_key.setdefault(key, finding)
    lines: list[str] = []
    for group in dict.fromkeys(sorted(where.values(), key=lambda group: (len(group), group))):
        some = by_severity([by_key[key] for key, group_of in where.items() if group_of == group])
        if group == letters:
            lines += [f"NOTICED IN ALL: {len(some)} (the report of each scene gives them)"]
            continue
        lines += [f"NOTICED IN {' AND '.join(group)} ONLY"]
        for finding in some:
            lines += finding_lines(finding, unit, sources=False)
    return lines


def _same(labels: Sequence[Label], layout: dict[Label, Fact]) -> list[str]:
    """What all have in common, a line for each thing."""
    if not labels:
        return []
    lines = ["THE SAME IN ALL"]
    for owner in dict.fromkeys(label[0] for label in labels):
        entries = ", ".join(f"{figure} {layout[owner, figure].text}" for what, figure in labels if what == owner)
        lines += wrap(f"{owner}: {entries}", WIDTH, "    ", "  ")
    return lines
