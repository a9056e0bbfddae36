"""One sentence at the foot of the page."""

from __future__ import annotations

from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, button, tag


def notice(state: PageState) -> Markup:
    """What was done or refused, with the remedy; not what stands beside its field."""
    if state.notice is None or state.refused_in:
        return Markup("")
    words = tag("span", state.notice.text, tag("br") if state.notice.remedy else None, state.notice.remedy)
    kind = "card refused" if state.notice.refused else "card"
    return tag("div", words, button("Close", "dismiss"), class_=kind)
