"""The margin's tabs, after the pattern of WAI-ARIA: one stop of the Tab key, arrow keys go from one to the next."""

from __future__ import annotations

from sketcher.web.state import MARGIN_TABS, MarginTab, PageState
from sketcher.web.ui.html import Markup, button, join, tag
from sketcher.web.ui.margin.findings import judged_now

WORDS: dict[MarginTab, str] = {"part": "Part", "spaces": "Spaces", "findings": "Findings"}


def tabs(state: PageState) -> Markup:
    """One for each panel; that of the findings says how many there are."""
    return join(*(_tab(state, name) for name in MARGIN_TABS))


def _tab(state: PageState, name: MarginTab) -> Markup:
    in_front = state.tab == name
    count = tag("span", str(len(judged_now(state).findings)), class_="count") if name == "findings" else None
    return button(
        join(WORDS[name], " " if count else None, count),
        "tab",
        data_tab=name,
        role="tab",
        id=f"tab-{name}",
        aria_selected=str(in_front).lower(),
        aria_controls=f"panel-{name}",
        tabindex=0 if in_front else -1,
    )
