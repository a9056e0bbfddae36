"""The page's parts as markup, by the id of the element that holds each."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from sketcher.web.state import PageState
from sketcher.web.ui.bar import bar
from sketcher.web.ui.boards import boards_part
from sketcher.web.ui.build import build_part
from sketcher.web.ui.comparison import compare_part
from sketcher.web.ui.controls import controls, cuts, fit_button, sheet_key
from sketcher.web.ui.curves import curves_part
from sketcher.web.ui.dialogs import dialog
from sketcher.web.ui.html import Markup, join, markup
from sketcher.web.ui.hull.place import hull_place
from sketcher.web.ui.labels import drag_figures_card, grips, labels
from sketcher.web.ui.making_bar import making_bar
from sketcher.web.ui.margin.compartments import space_rows
from sketcher.web.ui.margin.sections import MARGIN
from sketcher.web.ui.notice import notice
from sketcher.web.ui.picture_key import key_of_picture

PARTS: dict[str, Callable[[PageState], Markup | None]] = {
    "bar": bar,
    "make": making_bar,
    "controls": controls,
    "labels": labels,
    "meaning": key_of_picture,
    "grips": grips,
    "cuts": cuts,
    "key": lambda state: sheet_key(state) if state.drawn.key.fits else None,
    "legend": sheet_key,
    "fit": lambda state: fit_button("pattern", whole=state.drawn.whole_pattern),
    "curves": curves_part,
    "boards": boards_part,
    "build": build_part,
    "hull": hull_place,
    **MARGIN,
    "compare": compare_part,
    "hand": drag_figures_card,
    "notice": notice,
    "spoken": lambda state: markup(state.spoken),
    "dialog": dialog,
}
"""What makes each part: only parts that changed are sent."""
FIGURED = ("first", "flood", "berths", "contents", "limits", "noticed", "parts", "afloat")
"""Parts made of figures that take longer than a picture may wait: while something is dragged they follow it."""
FILLED = ("flood", "contents", "limits", "noticed", "afloat")
"""Those that bottles change: they are placed beside the server."""
READ = (
    *("bar", "make", "controls", "meaning", "cuts", "key", "legend", "curves"),
    *("steps", "tabs", "first", "noticed", "parts", "compare"),
)
"""Parts that are read, not watched: while something is dragged they need not follow at every step."""
NOTHING_KEPT: Mapping[str, str] = MappingProxyType({})


def _late_parts(state: PageState) -> tuple[str, ...]:
    """The parts that are still to follow."""
    return FIGURED if state.figured is not None else FILLED if state.filling else ()


def _cursor(state: PageState) -> float | None:
    """Where the cursor stands in each field of curves, in percent of its width; None: nowhere."""
    curves = state.curves
    return None if curves.share is None else round(100 * (curves.left + curves.share * (curves.right - curves.left)), 3)


def page_parts(state: PageState, kept: Mapping[str, str] = NOTHING_KEPT) -> dict[str, str]:
    """Everything a browser shows besides the picture, as text by part; `page` is what no markup can carry.

    kept: parts that stay as they were.
    """
    unsaved = "• " if state.unsaved else ""
    page = {
        "title": f"{unsaved}{state.evaluation.scene.name}",
        "arrangement": state.look.arrangement,
        "tab": state.tab,
        "over": state.pointer_over,
        "placing": "measure" if state.drawn.measuring else state.kind_to_add or "",
        "unsaved": state.unsaved,
        "echo": state.echo,
        "room": state.drawn.key.room,
        "curves": ("open" if state.curves.opened else "folded") if state.curves.there else "",
        "here": _cursor(state),
        "behind": " ".join([*_late_parts(state), *(f"sheet-{kind}" for kind in state.views_behind)]),
    }
    whole = state if state.figured is None else replace(state, evaluation=state.figured)
    made = {name: kept[name] if name in kept else join(part(whole if name in FIGURED else state)) for name, part in PARTS.items()}
    return {"page": json.dumps(page), **state.sheet, "pattern": state.pattern, **made, **space_rows(state)}
