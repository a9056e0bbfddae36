"""The report a person reads: what matters first, then who fits, the litres, how she floats, and what was noticed."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.checking import CheckedFile
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Severity
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.limits.judging import amount_phrase, figure_phrase
from sketcher.analysis.limits.results import JudgedLimit
from sketcher.analysis.results import BerthFigures, WaterPlane
from sketcher.analysis.sources import SOURCES
from sketcher.model.fields.scene_fields import WATERS
from sketcher.model.stated_limits import Side
from sketcher.outputs.tables.afloat_report import floating_section
from sketcher.outputs.tables.first import LEVELS, MAIN_SPACE, NOTHING_GRAVE, if_holed, tally, verdict
from sketcher.outputs.tables.sure.certainty import Certainty, unit_of
from sketcher.outputs.wording.kinds import about, in_brief, kinds
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces
from sketcher.outputs.wording.quantities import (
    UNIT_WORDS,
    UNKNOWN,
    by_severity,
    length,
    length_with_unit,
    litres,
    share,
    table,
    wrap,
)
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import words

WIDTH = 96
"""Characters in a line: a terminal of usual width, or a printed page."""

NOT_PROMISED = (
    "These are figures of volume and balance in still water, as good as the measurements they come from. They say nothing of "
    "strength, of waves, or of meeting any rule or standard, and they do not make a boat safe to sail."
)


def report(
    evaluation: Evaluation,
    units: str | None = None,
    cases: Sequence[FloodingCase] = (),
    sources: bool = False,
    sure: Certainty | None = None,
    more: Sequence[str] = (),
) -> str:
    """The report as plain text.

    units: mm, cm, m, in or ft for the lengths; None: those of the scene's file. cases: of flooding, of which the worst is told,
    their findings being among the evaluation's. sources: everything noticed in full, and under it what it rests on. sure: the
    bands that figures are told with; more: lines before what was noticed.
    """
    unit = units or evaluation.scene.units
    parts = [
        _head(evaluation, unit),
        verdict_section(evaluation.findings, unit),
        if_holed_section(evaluation, cases, unit),
        who_fits(evaluation, unit, sure),
        limits_table(evaluation, unit, sure),
        _compartments(evaluation, unit, sure),
        _afloat(evaluation, unit, sure),
        _contents(evaluation, unit),
        _changes(evaluation, unit),
        list(more),
        noticed_section(evaluation.findings, unit, sources),
        wrap(NOT_PROMISED, WIDTH),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def check_report(checked: CheckedFile, sources: bool = False) -> str:
    """What was noticed of a file, as a report says it: what matters first, of a scene also a hole and who fits."""
    unit, evaluation = checked.unit, checked.evaluation
    parts = [verdict_section(checked.findings, unit)]
    if evaluation is not None:
        parts += [
            if_holed_section(evaluation, checked.cases, unit),
            who_fits(evaluation, unit),
            limits_table(evaluation, unit),
        ]
    parts.append(noticed_section(checked.findings, unit, sources))
    return "\n\n".join("\n".join(part) for part in parts if part)


def water_words(density: float) -> str:
    """What she floats in, and its density [kg/m3].

    >>> water_words(1000.0), water_words(1012.0)
    ('fresh water, 1000 kg/m³', 'water of 1012 kg/m³')
    """
    kind = next((word for word, known in WATERS.items() if known == density), None)
    return f"water of {density:.0f} kg/m³" if kind is None else f"{kind} water, {density:.0f} kg/m³"


def waterline_words(water: WaterPlane | None, unit: str, guessed: Sequence[str] = ()) -> str:
    """The waterline in one phrase: its heights over the base line at the hull's ends, trim and heel.

    guessed: keys of the scene that are guesses; one of them may be the waterline.
    """
    if water is None:
        return "no waterline stated"
    forward, after = (length_with_unit(height, unit) for height in (water.forward, water.after))
    what = "guessed waterline" if "waterline" in guessed else "waterline"
    words = f"{what} {forward} above the base line at the bow, {after} at the stern"
    if abs(water.trim_deg) >= 0.05:
        words += f", {abs(water.trim_deg):.1f}° down by the {'bow' if water.trim_deg > 0 else 'stern'}"
    if abs(water.heel) >= 0.05:
        words += f", heeled {abs(water.heel):.1f}° to {'starboard' if water.heel > 0 else 'port'}"
    return words


def finding_lines(finding: Finding, unit: str, width: int = WIDTH, sources: bool = True) -> list[str]:
    """One finding in words, lengths in a unit; sources: with what it rests on beneath it."""
    lines = _marked(finding.severity, about(finding, unit), width)
    if not sources:
        return lines
    source = SOURCES.get(finding.source) if finding.source else None
    if source is not None:
        lines += wrap(f"from: {source.title} ({source.standing}; {finding.binding or source.binding})", width, " " * 17, " " * 11)
    elif finding.binding:
        lines += wrap(finding.binding, width, " " * 11, " " * 11)
    return lines


def notice_lines(findings: Sequence[Finding], unit: str, width: int = WIDTH) -> list[str]:
    """Findings in words, lengths in a unit, one after another; what several rest on is said beneath the first of them."""
    cited: set[str | None] = set()
    lines: list[str] = []
    for finding in findings:
        lines += finding_lines(finding, unit, width, sources=finding.source is None or finding.source not in cited)
        cited.add(finding.source)
    return lines


def verdict_lines(findings: Sequence[Finding], unit: str, width: int = WIDTH) -> list[str]:
    """What stops and warns, in brief, the gravest first."""
    said = verdict(findings, unit)
    lines = [line for level, text, _ in said.lines for line in _marked(level, text, width)]
    if said.left:
        lines.append(f"  and {len(said.left)} more under NOTICED")
    return lines


def _marked(level: Severity, text: str, width: int) -> list[str]:
    return wrap(text, width, " " * 11, f"  {LEVELS[level]:<9}")


def verdict_section(findings: Sequence[Finding], unit: str) -> list[str]:
    """What stops and warns, under its heading; or that nothing does."""
    grave = [finding for finding in findings if finding.severity != "note"]
    return [f"FIRST: {tally([kind[0] for kind in kinds(grave)]) if grave else NOTHING_GRAVE}", *verdict_lines(findings, unit)]


def if_holed_section(evaluation: Evaluation, cases: Sequence[FloodingCase], unit: str) -> list[str]:
    """The worst of a hole, under its heading; nothing where no case was worked out."""
    said = [line for text in if_holed(evaluation, cases, unit) for line in wrap(text, WIDTH, "  ", "  ")] if cases else []
    return ["IF ONE SPACE IS HOLED, at rest in calm water", *said] if said else []


def _head(evaluation: Evaluation, unit: str) -> list[str]:
    scene = evaluation.scene
    water = f"{scene.hull.name}; {water_words(scene.water_density)}; {waterline_words(evaluation.water, unit, scene.guessed)}"
    spacing = scene.hull.twin_spacing
    if spacing is None:
        return [scene.name, water]
    twin = (
        f"Two of these hulls, {length_with_unit(spacing, unit)} from centreline to centreline. Compartments and berths are those "
        "of the starboard hull, off-centre from her own centreline; how she floats is for both hulls together."
    )
    return [scene.name, water, *wrap(twin, WIDTH)]


def _compartments(evaluation: Evaluation, unit: str, sure: Certainty | None = None) -> list[str]:
    spaces = known_spaces(evaluation)
    head = ("COMPARTMENTS", "use", "litres", "below water", "share", "position", "lowest", "highest", "tight")
    rows = [_space_row(space, unit, sure) for space in spaces]
    rows.append(_total_row(spaces))
    lines = table(head, rows, "<<>>><>><")
    lines.append(f"Lowest and highest are heights above the base line, in {UNIT_WORDS[unit]}.")
    for known in spaces:
        lines += _space_remarks(known)
    return lines


def _space_row(known: KnownSpace, unit: str, sure: Certainty | None) -> tuple[str, ...]:
    volume, below = litres(known.volume) if known.at_least is None else f"over {litres(known.at_least)}", litres(known.below)
    if sure is not None:
        volume = sure.told(f"compartments.{known.space.name}.volume_m3", volume, known.volume, unit)
        below = sure.told(f"compartments.{known.space.name}.below_waterline_m3", below, known.below, unit)
    return (
        known.name,
        known.space.use,
        volume,
        below,
        share(known.below, known.volume),
        known.position or UNKNOWN,
        length(known.lowest, unit),
        length(known.highest, unit),
        "yes" if known.space.watertight else "no",
    )


def _total_row(spaces: tuple[KnownSpace, ...]) -> tuple[str, ...]:
    """Totals over the spaces; not known as soon as one of them is not, since a part sum would pass for the whole."""
    volumes = [space.volume for space in spaces]
    belows = [space.below for space in spaces]
    volume = None if None in volumes else sum(value for value in volumes if value is not None)
    below = None if None in belows else sum(value for value in belows if value is not None)
    return ("Total", "", litres(volume), litres(below), share(below, volume), "", "", "", "")


def _space_remarks(known: KnownSpace) -> list[str]:
    lines = []
    if not known.space.bounded:
        lines += wrap(f"{known.name}: runs on past the measured end of the hull; its litres are those up to there", WIDTH, "  ")
    if known.space.open_to:
        lines += wrap(f"{known.name}: not tight, open to {', '.join(known.space.open_to)}", WIDTH, "  ")
    elif not known.space.watertight:
        lines += wrap(f"{known.name}: not tight; see what was noticed below", WIDTH, "  ")
    return lines


def who_fits(evaluation: Evaluation, unit: str, sure: Certainty | None = None) -> list[str]:
    """Who fits, under its heading; nothing where there is no berth."""
    if not evaluation.berths:
        return []
    head = (f"BERTHS, {UNIT_WORDS[unit]}", "clear length", "shoulder", "foot", "over pillow", "to sit", "for", "")
    rows = [
        (
            berth.name,
            *(_berth_cell(berth, of, unit, sure) for of in BERTH_FIGURES),
            length(berth.stature, unit) if berth.stature is not None else "",
            fit_in_words(berth, unit, sure),
        )
        for berth in evaluation.berths
    ]
    return [*table(head, rows, "<>>>>>><"), *_own_statures(evaluation, unit), *_longer_than_lain(evaluation, unit)]


BERTH_FIGURES = ("length", "shoulder_width", "foot_width", "headroom", "sitting_headroom")
"""Fields of a berth's figures, in the order of the table; their keys in the JSON end in `_m`."""


def _berth_cell(berth: BerthFigures, of: str, unit: str, sure: Certainty | None) -> str:
    value: float | None = getattr(berth, of)
    text = length(value, unit)
    return text if sure is None else sure.told(f"berths.{berth.name}.{of}_m", text, value, unit)


def limits_table(evaluation: Evaluation, unit: str, sure: Certainty | None = None) -> list[str]:
    """What must hold, and whether it does, under its heading; nothing where the scene states no limit."""
    if not evaluation.limits:
        return []
    rows = [(limit.stated.name, *limit_cells(limit, unit, sure)) for limit in evaluation.limits]
    return table(("LIMITS", "", "must be", "is", ""), rows, "<<<><")


def limit_cells(limit: JudgedLimit, unit: str, sure: Certainty | None = None) -> tuple[str, str, str, str]:
    """A limit in words: of what, what it must be, what it is, and whether that is met and by how much."""
    stated, read = limit.stated, limit.reading

    def told(value: float, side: Side | None = None) -> str:
        return words(amount_phrase(stated, value, side), unit)

    if limit.margin is None:
        verdict = UNKNOWN if limit.met is None else "MISSED: she is lost"
    else:
        verdict = f"met by {told(max(limit.margin, 0.0))}" if limit.met else f"MISSED by {told(-limit.margin)}"
    value = UNKNOWN if read.value is None else told(read.value)
    if sure is not None and sure.half(read.path) is not None:
        if limit.margin is not None:
            # To the digits of the figure: else what it misses by would be surer than what it is.
            by = sure.borne(read.path, abs(limit.margin), unit)
            by = f"by {by} {unit_of(read.path, unit)}".rstrip() if by.strip("0.") else "by less than its last digit"
            verdict = f"{'met' if limit.met else 'MISSED'} {by}"
        value = f"{sure.told(read.path, value, read.value, unit)} {unit_of(read.path, unit)}".rstrip()
        verdict += sure.doubt(f"limits.{stated.name}.met", "it would not be" if limit.met else "it would be met")
    return words(figure_phrase(stated), unit), told(limit.bound, stated.side), value, verdict


def fit_in_words(berth: BerthFigures, unit: str, sure: Certainty | None = None) -> str:
    """Whether those whom a berth is judged by fit on it, and in how many boats measured as well that would be otherwise."""
    said = _fits(berth, unit)
    if sure is None or berth.fits is None:
        return said
    return said + sure.doubt(f"berths.{berth.name}.fits", "it would not" if berth.fits else "it would fit")


def _fits(berth: BerthFigures, unit: str) -> str:
    if berth.fits is None:
        return UNKNOWN if berth.who or berth.short_by is not None else "no stature given"
    if berth.fits:
        return f"fits {listed(berth.who)}".rstrip() + (", but not fore and aft" if berth.not_fore_and_aft else "")
    whom = f" for {listed(berth.who)}" if berth.who else ""
    return f"short by {length_with_unit(berth.short_by, unit)}{whom}" if berth.short_by is not None else f"no place{whom}"


def _longer_than_lain(evaluation: Evaluation, unit: str) -> list[str]:
    """Berths whose clear length would do for those they are judged by, who all the same have no room for their shoulders."""
    lines: list[str] = []
    lengths = {berth.name: berth.length for berth in evaluation.berths}
    for place in evaluation.lying_as_stated:
        length = lengths.get(place.berth)
        if place.fits is False and length is not None and length >= place.needed:
            words = (
                f"{place.berth}: the clear length is its longest straight line; who fits is judged lying, with shoulders of "
                f"{length_with_unit(place.shoulders, unit)} and feet of {length_with_unit(place.feet, unit)}"
            )
            lines += wrap(words, WIDTH, "    ", "  ")
    return lines


def _own_statures(evaluation: Evaluation, unit: str) -> list[str]:
    """Berths that the people named for them are judged by, in place of the `stature` that the berth states."""
    lines: list[str] = []
    stated = {berth.name: berth.stature for berth in evaluation.scene.berths}
    for berth in evaluation.berths:
        own = stated.get(berth.name)
        if berth.who and own is not None and own != berth.stature:
            words = (
                f"{berth.name}: judged by who is named for it; its own stature of {length_with_unit(own, unit)} does not count"
            )
            lines += wrap(words, WIDTH, "    ", "  ")
    return lines


def _afloat(evaluation: Evaluation, unit: str, sure: Certainty | None = None) -> list[str]:
    lines = floating_section(evaluation, unit, WIDTH, sure)
    if _changed(evaluation):
        lines += wrap("These are as stated. How she floats with what the scene puts in or takes out follows below.", WIDTH)
    return lines


def _contents(evaluation: Evaluation, unit: str) -> list[str]:
    """What goes into the spaces; its module is loaded only where there is something."""
    if evaluation.contents is None:
        return []
    from sketcher.outputs.tables.contents_report import contents_report

    return contents_report(evaluation, unit, WIDTH)


def _changes(evaluation: Evaluation, unit: str) -> list[str]:
    """What changes in weight do; equilibrium is only loaded where there are any."""
    if not _changed(evaluation):
        return []
    from sketcher.outputs.tables.weight_changes import loads

    return loads(evaluation, unit, WIDTH)


def _changed(evaluation: Evaluation) -> bool:
    """Whether anything changes her weight; what goes into the spaces is among the layout's weights."""
    scene = evaluation.layout.scene
    return bool(scene.weights) or any(panel.kg is not None or panel.material is not None for panel in scene.panels)


def noticed_section(findings: Sequence[Finding], unit: str, sources: bool) -> list[str]:
    """What finds no line in the verdict, then notes, a kind in a line; or everything in full, with what it rests on."""
    if sources:
        return [f"NOTICED: {tally(findings)}", *notice_lines(by_severity(findings), unit)] if findings else []
    notes = [finding for finding in findings if finding.severity == "note" and finding.code != MAIN_SPACE]
    rest = [*verdict(findings, unit).left, *notes]
    told = kinds(rest)
    lines = [line for kind in told for line in _marked(kind[0].severity, in_brief(kind, unit), WIDTH)]
    return (
        [f"NOTICED: {tally([kind[0] for kind in told])}", *lines, "All in full, and what each rests on: add --sources."]
        if findings
        else []
    )
