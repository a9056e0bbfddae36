"""Names and litres beside the compartments, the handles of what is selected, and the figures of a drag."""

from __future__ import annotations

from sketcher.web.state import Label, PageState
from sketcher.web.ui.html import Markup, join, tag
from sketcher.web.view.handle_marks import handle_marks

LINE_HEIGHT = 13


def labels(state: PageState) -> Markup:
    """The names over the picture, in the picture's own pixels."""
    width, height = state.picture_size
    marks = []
    for label in state.labels:
        x, y = label.at
        lines = [
            tag("text", line, x=round(x, 1), y=round(y + number * LINE_HEIGHT, 1), class_="litres" if number else None)
            for number, line in enumerate(label.lines)
        ]
        marks.append(tag("g", _leader(label), *lines, class_="chosen" if label.part == state.selected else None))
    return tag("svg", *marks, Markup(state.ghost), viewBox=f"0 0 {width} {height}", aria_hidden="true")


def _leader(label: Label) -> Markup | None:
    """The line from a name that had to move aside to what it names."""
    if label.leader is None:
        return None
    (x1, y1), (x2, y2) = ((round(x, 1), round(y, 1)) for x, y in (label.leader, label.anchor))
    return join(tag("line", x1=x1, y1=y1, x2=x2, y2=y2), tag("circle", cx=x2, cy=y2, r=3, fill=label.tint))


def grips(state: PageState) -> Markup | None:
    """The handles of what is selected, over the picture, in its pixels."""
    if not state.handles or state.selected is None:
        return None
    width, height = state.picture_size
    marks = Markup(handle_marks(state.handles))
    return tag("svg", marks, viewBox=f"0 0 {width} {height}", role="group", aria_label=f"Handles of {state.selected.name}")


def drag_figures_card(state: PageState) -> Markup:
    """The figures of a drag, or of what waits to be placed: the first is what is being moved."""
    if not state.drag_figures:
        return Markup("")
    first, *rest = state.drag_figures
    lead = tag("div", tag("span", first.value, class_="lead"), " ", first.change, tag("br"), first.label)
    rows = [
        join(
            tag("dt", line.label, class_=None if line.value else "alone"),
            tag("dd", line.value),
            tag("dd", line.change, class_="change"),
        )
        for line in rest
    ]
    return tag(
        "div",
        lead,
        tag("dl", *rows) if rows else None,
        class_="card",
        data_corner="pointer" if state.beside_pointer else state.corner,
    )
