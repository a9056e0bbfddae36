"""Names and litres beside the compartments, and what stands under the hand during a drag."""

from __future__ import annotations

from sketcher.web.state import PageState
from sketcher.web.ui.html import Markup, join, tag

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
        leader = tag("line", x1=round(x - 3, 1), y1=round(y + 3, 1), x2=round(label.anchor[0], 1), y2=round(label.anchor[1], 1))
        dot = tag("circle", cx=round(label.anchor[0], 1), cy=round(label.anchor[1], 1), r=2)
        marks.append(tag("g", leader, dot, *lines, class_="chosen" if label.part == state.selected else None))
    return tag("svg", *marks, viewBox=f"0 0 {width} {height}", aria_hidden="true")


def hand(state: PageState) -> Markup:
    """The figures under the hand: the first is what is being moved."""
    if not state.hand:
        return Markup("")
    first, *rest = state.hand
    lead = tag("div", tag("span", first.value, class_="lead"), " ", first.change, tag("br"), first.label)
    rows = [join(tag("dt", line.label), tag("dd", line.value), tag("dd", line.change, class_="change")) for line in rest]
    return join(lead, tag("dl", *rows) if rows else None)
