"""Names and litres beside the compartments, the handle of what is selected, and the figures of a drag."""

from __future__ import annotations

from sketcher.web.state import Label, PageState
from sketcher.web.ui.html import Markup, join, tag

LINE_HEIGHT = 13
ARROW_TIP, ARROW_HEAD = 21.0, 10.0
"""Pixels from the middle of the handle to the tip of its arrow, and the length of the arrow's head."""


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
    return tag("svg", *marks, Markup(state.ghost), _handle(state), viewBox=f"0 0 {width} {height}", aria_hidden="true")


def _leader(label: Label) -> Markup | None:
    """The line from a name that had to move aside to what it names."""
    if label.leader is None:
        return None
    (x1, y1), (x2, y2) = ((round(x, 1), round(y, 1)) for x, y in (label.leader, label.anchor))
    return join(tag("line", x1=x1, y1=y1, x2=x2, y2=y2), tag("circle", cx=x2, cy=y2, r=3, fill=label.tint))


def _handle(state: PageState) -> Markup | None:
    """A ring on the selected object, with an arrow each way it moves."""
    if state.handle is None:
        return None
    (x, y), (dx, dy) = state.handle.at, state.handle.arrow
    length = max((dx * dx + dy * dy) ** 0.5, 1e-6)
    ux, uy = dx / length, dy / length
    arrows = []
    for sign in (1, -1):
        tip, back = (x + sign * ux * ARROW_TIP, y + sign * uy * ARROW_TIP), ARROW_TIP - ARROW_HEAD
        base = (x + sign * ux * back, y + sign * uy * back)
        side = (-uy * ARROW_HEAD * 0.6, ux * ARROW_HEAD * 0.6)
        corners = (tip, (base[0] + side[0], base[1] + side[1]), (base[0] - side[0], base[1] - side[1]))
        arrows.append(tag("polygon", points=" ".join(f"{u:.1f},{v:.1f}" for u, v in corners)))
    return tag("g", *arrows, tag("circle", cx=round(x, 1), cy=round(y, 1), r=6), class_="handle", id="handle")


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
