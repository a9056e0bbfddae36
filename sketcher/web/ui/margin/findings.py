"""What the owner must know first, and what else was noticed in the layout."""

from __future__ import annotations

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.sources import SOURCES
from sketcher.outputs.tables.first import LEVELS, MAIN_SPACE, NOTHING_GRAVE, VerdictLine, if_holed, tally, verdict
from sketcher.outputs.wording.kinds import told_whole
from sketcher.outputs.wording.sentences import capitalized, message
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

WAITS = "Holes are judged when your hand rests."


def first_section(state: PageState) -> Markup:
    """The verdict, each line leading to what it is about, and the worst that one hole does."""
    judged, unit = _judged(state), state.evaluation.scene.units
    said = verdict(judged.findings, unit)
    head = f"First: {tally([found for found in judged.findings if found.severity != 'note'])}"
    more = tag("p", f"{len(said.left)} more under Noticed.", class_="small") if said.left else None
    items = [_verdict_item(line, number, unit) for number, line in enumerate(said.lines)]
    verdicts = join(tag("h2", head), tag("ul", *items, class_="findings"), more) if items else None
    calm = None if items else tag("p", f"{capitalized(NOTHING_GRAVE)}.", class_="small")
    holed = (WAITS,) if state.holes is None else if_holed(judged, state.holes.cases, unit)
    paragraphs = [tag("p", text, class_="small", data_key=f"holed/{number}") for number, text in enumerate(holed)]
    holes = join(tag("h2", "If one space is holed"), *paragraphs) if paragraphs else None
    return tag("section", verdicts, calm, holes, class_="first", aria_label="First")


def _verdict_item(line: VerdictLine, number: int, unit: str) -> Markup:
    """A line of the verdict; under `why` all that it tells in brief, and what it rests on."""
    first = line.kind[0]
    whole = () if told_whole(line.kind, unit) else tuple(tag("p", message(found, unit)) for found in line.kind)
    key = f"{first.code}/{first.object}/{number}"
    about = button(join(_kind(first), tag("span", line.text)), "find", data_object=first.object)
    why = (*whole, _source(first))
    folded = tag("details", tag("summary", "Why"), *why, data_key=f"why/{key}") if any(why) else None
    return tag("li", about, folded, class_=line.level, data_key=key)


def findings_section(state: PageState) -> Markup:
    """What was noticed besides the verdict; each leads to what it is about."""
    judged, unit = _judged(state), state.evaluation.scene.units
    notes = [found for found in judged.findings if found.severity == "note" and found.code != MAIN_SPACE]
    rest = [*verdict(judged.findings, unit).left, *notes]
    items = [finding_item(finding, number, unit) for number, finding in enumerate(rest)]
    body = tag("ul", *items, class_="findings") if items else tag("p", "Nothing else.", class_="small")
    return tag("section", tag("h2", "Noticed"), body, aria_label="Noticed")


def finding_item(finding: Finding, number: int, unit: str) -> Markup:
    """One finding; a note is folded to its first line, so that what is grave and the parts stay in sight."""
    key = f"{finding.code}/{finding.object}/{number}"
    if finding.severity == "note":
        folded = tag("summary", _kind(finding), tag("span", message(finding, unit), class_="line"))
        shown = button("Show what it is about", "find", data_object=finding.object)
        return tag("li", tag("details", folded, _source(finding), shown, data_key=f"fold/{key}"), class_="note", data_key=key)
    said = join(_kind(finding), tag("span", message(finding, unit), _source(finding)))
    return tag("li", button(said, "find", data_object=finding.object), class_=finding.severity, data_key=key)


def _judged(state: PageState) -> Evaluation:
    """The evaluation, with what there is to say of holes where they are judged."""
    return state.evaluation if state.holes is None else state.holes.evaluation


def _kind(finding: Finding) -> Markup:
    return tag("span", LEVELS[finding.severity], class_="kind")


def _source(finding: Finding) -> Markup | None:
    source = SOURCES.get(finding.source) if finding.source else None
    return tag("small", f"{source.title} ({source.standing}; {finding.binding or source.binding})") if source else None
