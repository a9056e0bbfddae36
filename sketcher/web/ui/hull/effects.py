"""What a changed hull does to the layout: which figures differ, and what was noticed since."""

from __future__ import annotations

from collections.abc import Iterator

from sketcher.analysis.findings import Finding
from sketcher.outputs.tables.comparison import Comparison
from sketcher.outputs.tables.first import LEVELS
from sketcher.outputs.wording.quantities import UNIT_WORDS
from sketcher.outputs.wording.sentences import message
from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, tag

MOST = 14
"""Figures told; of more only how many."""


def effects(state: PageState) -> Iterator[Markup]:
    """Since the hull was opened or saved last."""
    if state.hull is None:
        return
    judged = state.hull.judged
    if judged is None or (judged.effects is None and judged.problem is None and not judged.refused):
        yield _section(tag("p", "The layout follows…", class_="small", role="status"))
    elif judged.effects is not None:
        yield _section(*_told(judged.effects))


def _section(*body: Markup) -> Markup:
    title = "What it does to the layout"
    return tag("section", tag("h2", title), *body, class_="effects", aria_label=title, data_key="effects")


def _told(found: Comparison) -> Iterator[Markup]:
    new, gone = found.noticed.get("B", ()), found.noticed.get("A", ())
    if not (found.differences or new or gone):
        yield tag("p", "Nothing differs since the hull was saved.", class_="small")
        return
    yield tag("p", f"Since the hull was saved; {UNIT_WORDS[found.unit]} and litres.", class_="small")
    yield from _noticed("New", new, found.unit)
    yield from _noticed("No longer so", gone, found.unit)
    if found.differences:
        head = tag("tr", tag("td"), *(tag("th", word, scope="col", class_="number") for word in ("was", "is", "change")))
        rows = [
            tag("tr", tag("td", row.name), *(tag("td", cell, class_="number") for cell in (*row.cells, row.change)))
            for row in found.differences[:MOST]
        ]
        yield tag("table", tag("thead", head), tag("tbody", *rows))
    if len(found.differences) > MOST:
        yield tag("p", f"And {len(found.differences) - MOST} figures more.", class_="small")


def _noticed(title: str, findings: tuple[Finding, ...], unit: str) -> Iterator[Markup]:
    if not findings:
        return
    items = [
        tag("li", tag("p", tag("b", LEVELS[finding.severity]), " ", message(finding, unit)), class_=finding.severity)
        for finding in findings[:MOST]
    ]
    yield tag("h3", title)
    yield tag("ul", *items)
