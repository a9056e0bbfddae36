"""What was noticed in the layout, in words, the gravest first."""

from __future__ import annotations

from sketcher.analysis.findings import Finding
from sketcher.analysis.sources import SOURCES
from sketcher.outputs.wording.quantities import by_severity
from sketcher.outputs.wording.sentences import message
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, join, tag

SEVERITY_WORDS = {"stop": "Stop", "warn": "Mind", "note": "Note"}


def findings_section(state: PageState) -> Markup:
    """All findings; each leads to what it is about."""
    found = by_severity(state.evaluation.findings)
    items = [finding_item(finding, number, state.evaluation.scene.units) for number, finding in enumerate(found)]
    body = tag("ul", *items, class_="findings") if items else tag("p", "Nothing to mind in this layout.", class_="small")
    return tag("section", tag("h2", "Noticed"), body, aria_label="Noticed")


def finding_item(finding: Finding, number: int, unit: str) -> Markup:
    """One finding; a note is folded to its first line, so that what must be minded and the parts stay in sight."""
    source = SOURCES.get(finding.source) if finding.source else None
    rests = tag("small", f"{source.title} ({source.standing}; {finding.binding or source.binding})") if source else None
    kind, key = tag("span", SEVERITY_WORDS[finding.severity], class_="kind"), f"{finding.code}/{finding.object}/{number}"
    if finding.severity == "note":
        folded = tag("summary", kind, tag("span", message(finding, unit), class_="line"))
        shown = button("Show what it is about", "find", data_object=finding.object)
        return tag("li", tag("details", folded, rests, shown, data_key=f"fold/{key}"), class_="note", data_key=key)
    whole = button(join(kind, tag("span", message(finding, unit), rests)), "find", data_object=finding.object)
    return tag("li", whole, class_=finding.severity, data_key=key)
