"""What the owner must know first, and what else was noticed in the layout."""

from __future__ import annotations

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.mending import edits_for
from sketcher.analysis.sources import SOURCES
from sketcher.model.scene import Scene
from sketcher.outputs.tables.first import LEVELS, MAIN_SPACE, NOTHING_GRAVE, VerdictLine, if_holed, tally, verdict
from sketcher.outputs.wording.kinds import Kind, about, deed, in_brief, kinds, told_whole
from sketcher.outputs.wording.sentences import capitalized, message
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

WAITS = "Holes are judged when your hand rests."


def first_section(state: PageState) -> Markup:
    """The verdict, each line leading to what it is about, and the worst that one hole does."""
    judged, unit = judged_now(state), state.evaluation.scene.units
    said = verdict(judged.findings, unit)
    head = f"First: {tally([found for found in judged.findings if found.severity != 'note'])}"
    more = tag("p", f"{len(said.left)} more under Noticed.", class_="small") if said.left else None
    items = [_verdict_item(line, state.evaluation.scene) for line in said.lines]
    verdicts = join(tag("h2", head), tag("ul", *items, class_="findings"), more) if items else None
    calm = None if items else tag("p", f"{capitalized(NOTHING_GRAVE)}.", class_="small")
    holed = (WAITS,) if state.holes is None else if_holed(judged, state.holes.cases, unit)
    paragraphs = [tag("p", text, class_="small", data_key=f"holed/{number}") for number, text in enumerate(holed)]
    holes = join(tag("h2", "If one space is holed"), *paragraphs) if paragraphs else None
    return tag("section", verdicts, calm, holes, class_="first", aria_label="First")


def _verdict_item(line: VerdictLine, scene: Scene) -> Markup:
    """A line of the verdict; under `why` all that it tells in brief, and what it rests on."""
    first, unit = line.kind[0], scene.units
    whole = () if told_whole(line.kind, unit) else tuple(tag("p", message(found, unit)) for found in line.kind)
    leads = button(join(_level(first), tag("span", line.text)), "find", data_object=first.object)
    why = (*whole, _source(first))
    folded = tag("details", tag("summary", "Why"), *why, data_key=f"why/{_key(line.kind)}") if any(why) else None
    return tag("li", leads, folded, _remedies(line.kind, scene), class_=line.level, data_key=_key(line.kind))


def findings_section(state: PageState) -> Markup:
    """What was noticed besides the verdict."""
    judged, scene = judged_now(state), state.evaluation.scene
    notes = [found for found in judged.findings if found.severity == "note" and found.code != MAIN_SPACE]
    items = [kind_item(kind, scene) for kind in kinds([*verdict(judged.findings, scene.units).left, *notes])]
    body = tag("ul", *items, class_="findings") if items else tag("p", "Nothing else.", class_="small")
    return tag("section", tag("h2", "Noticed"), body, aria_label="Noticed")


def kind_item(kind: Kind, scene: Scene) -> Markup:
    """Findings of one kind as a line, which opens to all that is said of each, what it rests on and where it is.

    Their remedies stand under it, as buttons.
    """
    first, unit, key = kind[0], scene.units, _key(kind)
    each = [tag("p", about(found, unit)) for found in kind] if len(kind) > 1 else []
    line = in_brief(kind, unit) if each else about(first, unit)
    summary = tag("summary", _level(first), tag("span", line, class_="line"))
    names = dict.fromkeys(found.object for found in kind)
    shown = [
        button(f"Show {'the waterline' if name == scene.name else name}", "find", data_object=name, class_="plain")
        for name in names
    ]
    folded = tag("details", summary, *each, _source(first), *shown, data_key=f"fold/{key}")
    return tag("li", folded, _remedies(kind, scene), class_=first.severity, data_key=key)


def _remedies(kind: Kind, scene: Scene) -> Markup | None:
    """A button for each remedy that was worked out: it makes it, in one step."""
    words = [deed(edits, scene) for found in kind if (edits := edits_for(found, scene))]
    buttons = [button(word, "mend", data_value=word, class_="plain") for word in dict.fromkeys(words)]
    return tag("div", *buttons, class_="remedies") if buttons else None


def _key(kind: Kind) -> str:
    return f"{kind[0].severity}/{kind[0].code}"


def judged_now(state: PageState) -> Evaluation:
    """The evaluation, with what there is to say of holes where they are judged."""
    return state.evaluation if state.holes is None else state.holes.evaluation


def _level(finding: Finding) -> Markup:
    return tag("span", LEVELS[finding.severity], class_="kind")


def _source(finding: Finding) -> Markup | None:
    source = SOURCES.get(finding.source) if finding.source else None
    return tag("small", f"{source.title} ({source.standing}; {finding.binding or source.binding})") if source else None
