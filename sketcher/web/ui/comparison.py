"""A and B side by side, over the margin's tabs: what each is, what differs, what was noticed in one alone."""

from __future__ import annotations

from sketcher.analysis.findings import Finding
from sketcher.outputs.tables.comparison import Comparison, Difference
from sketcher.outputs.tables.first import LEVELS
from sketcher.outputs.wording.quantities import UNIT_WORDS, counted
from sketcher.outputs.wording.sentences import message
from sketcher.web.state import KeptLayout, PageState
from sketcher.web.ui.html import Markup, button, join, tag


def compare_part(state: PageState) -> Markup:
    """The whole of it; nothing while another page is seen."""
    if state.look.arrangement != "compare":
        return Markup("")
    if state.kept is None:
        return tag("section", tag("h2", "Compare"), *_nothing_kept(), aria_label="Compare")
    kept = state.kept
    head = (tag("h2", "Compare"), _names(state, kept), _deeds(state))
    if kept.found is None:
        return tag("section", *head, tag("p", "Compared when your hand rests.", class_="small"), aria_label="Compare")
    late = None if kept.current else tag("p", "Figures follow when your hand rests.", class_="small", role="status")
    return join(tag("section", *head, late, aria_label="Compare"), *_found(kept.found))


def _nothing_kept() -> tuple[Markup, ...]:
    words = "Keep the layout as it stands as B and go on: each change is then drawn and told beside it."
    return (
        tag("p", words),
        tag(
            "div",
            button("Keep as B", "keep_beside", class_="main", data_key="keep"),
            button("Take a scene as B…", "dialog", data_name="beside", class_="plain"),
            class_="row",
        ),
    )


def _names(state: PageState, kept: KeptLayout) -> Markup:
    first, second = state.evaluation.scene, kept.evaluation.scene
    hull = f" in {second.hull.name}" if second.hull.name != first.hull.name else ""
    return tag(
        "dl",
        tag("dt", "A"),
        tag("dd", first.name, tag("small", "as it stands")),
        tag("dt", "B"),
        tag("dd", f"{second.name}{hull}", tag("small", kept.when)),
    )


def _deeds(state: PageState) -> Markup:
    drawn = str(state.look.beside).lower()
    return tag(
        "div",
        button(
            "Draw B",
            "show_beside",
            class_="plain",
            aria_pressed=drawn,
            title="In outline over picture and drawings, where it differs",
        ),
        button("Go over to B", "go_over", class_="plain", title="Go on with B, and keep A as B: undo takes it back"),
        button(
            "Keep A as B", "keep_beside", class_="plain", data_key="keep", title="Keep the layout as it stands in place of this B"
        ),
        button("Take a scene as B…", "dialog", data_name="beside", class_="plain"),
        button("Put B away", "put_away", class_="plain"),
        class_="row",
    )


def _found(found: Comparison) -> list[Markup | None]:
    differs = tag("section", tag("h2", "What differs", _unit(found)), _table(found.differences), aria_label="What differs")
    return [differs, *(_noticed(letters, findings, found.unit) for letters, findings in found.noticed.items()), _same(found)]


def _unit(found: Comparison) -> Markup:
    return tag("span", f"{UNIT_WORDS[found.unit]} and litres", class_="unit")


def _table(differences: tuple[Difference, ...]) -> Markup:
    if not differences:
        return tag("p", "No figure.")
    head = tag("tr", tag("td"), *(tag("th", word, scope="col", class_="number") for word in ("A", "B", "change")))
    rows = [
        tag(
            "tr",
            tag("td", row.name, class_="word"),
            *(tag("td", cell, class_="number") for cell in (*row.cells, row.change)),
            data_key=f"differs/{row.name}",
        )
        for row in differences
    ]
    return tag("table", tag("thead", head), tag("tbody", *rows))


def _noticed(letters: str, findings: tuple[Finding, ...], unit: str) -> Markup:
    title = f"Noticed in {letters} only"
    items = [
        tag(
            "li",
            tag("p", tag("span", LEVELS[finding.severity], class_="kind"), " ", message(finding, unit)),
            class_=finding.severity,
            data_key=f"{letters}/{number}",
        )
        for number, finding in enumerate(findings)
    ]
    return tag("section", tag("h2", title), tag("ul", *items, class_="findings"), aria_label=title)


def _same(found: Comparison) -> Markup | None:
    """What both have in common, folded away."""
    if not found.same and not found.in_all:
        return None
    rows = [
        tag("tr", tag("td", owner, class_="word"), tag("td", ", ".join(f"{figure} {text}" for figure, text in entries)))
        for owner, entries in found.same.items()
    ]
    noticed = tag("p", f"{counted(found.in_all, 'thing')} noticed in both.", class_="small") if found.in_all else None
    folded = tag("details", tag("summary", "The same in both"), tag("table", tag("tbody", *rows)), data_key="same")
    return tag("section", folded if rows else None, noticed, aria_label="The same in both")
