"""The page's parts as markup, by the id of the element that holds each."""

from __future__ import annotations

import json

from sketcher.web.state import PageState
from sketcher.web.ui.bar import bar
from sketcher.web.ui.contents import contents
from sketcher.web.ui.controls import controls, cuts
from sketcher.web.ui.dialogs import dialog
from sketcher.web.ui.figures import berths, compartments, floating, noticed
from sketcher.web.ui.flood import flood
from sketcher.web.ui.html import Markup, join
from sketcher.web.ui.inspector import parts_list, selected
from sketcher.web.ui.labels import hand, labels
from sketcher.web.ui.notice import notice


def page_parts(state: PageState) -> dict[str, str]:
    """Everything a browser shows besides the picture, as text by part; `page` is what no markup can carry."""
    unsaved = "• " if state.unsaved else ""
    page = {
        "title": f"{unsaved}{state.evaluation.scene.name}",
        "arrangement": state.look.arrangement,
        "over": state.over,
        "unsaved": state.unsaved,
        "echo": state.echo,
    }
    return {
        "page": json.dumps(page),
        "bar": bar(state),
        "controls": controls(state),
        "labels": labels(state) if state.look.names else Markup(""),
        "sheet": state.sheet,
        "cuts": cuts(state),
        "side": join(
            selected(state),
            flood(state),
            compartments(state),
            berths(state),
            contents(state),
            noticed(state),
            parts_list(state),
            floating(state.evaluation),
        ),
        "hand": hand(state),
        "notice": notice(state),
        "dialog": dialog(state),
    }
