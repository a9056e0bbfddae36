"""Rows of running dimensions beside a drawing: each figure stands by its place, pushed aside only where figures would touch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sketcher.outputs.drawing.label_spreading import spread_labels
from sketcher.outputs.drawing.recording import Item, LineStyle, Spot, Words, line, text_width
from sketcher.outputs.palette import PENCIL

SIZE = 2.2
"""Height of figures [mm], legible at arm's length."""
PITCH = SIZE * 1.35
"""Least distance from one figure to the next [mm]."""
LEVEL_GAP = 1.6
"""Least distance between figures that stand in one line [mm]."""
THIN = LineStyle(PENCIL, 0.13)
FINE = LineStyle(PENCIL, 0.08, (0.8, 0.8))


@dataclass(frozen=True, slots=True)
class Ordinate:
    """A figure to show: place along the row [mm], how far in the drawing its line begins [mm], text, what it belongs to.

    figure: the text without what it is of, where there is no room for that.
    """

    place: float
    begins: float
    text: str
    part: str = ""
    figure: str = ""


def ordinate_row(ordinates: Sequence[Ordinate], edge: float, side: Literal["below", "left"]) -> list[Item]:
    """Items of a row of figures at `edge` [mm]: below the drawing (figures upright on end) or to the left of it."""
    items: list[Item] = []
    moved = spread_labels([o.place for o in ordinates], [SIZE] * len(ordinates), PITCH - SIZE)

    def at(along: float, across: float) -> Spot:
        return (along, across) if side == "below" else (across, along)

    for ordinate, place in zip(ordinates, moved, strict=True):
        items.append(
            line([at(ordinate.place, ordinate.begins), at(ordinate.place, edge + 3.0)], FINE, "dimensions", ordinate.part)
        )
        items.append(
            line([at(ordinate.place, edge + 3.0), at(place, edge + 1.0), at(place, edge)], THIN, "dimensions", ordinate.part)
        )
        if side == "below":
            spot, angle = (place + SIZE * 0.36, edge - 0.8), 90.0
        else:
            spot, angle = (edge - 0.8, place - SIZE * 0.36), 0.0
        items.append(Words(spot, ordinate.text, SIZE, PENCIL, "dimensions", "end", angle, part=ordinate.part))
    return items


def level_row(ordinates: Sequence[Ordinate], edge: float, bounds: tuple[float, float]) -> list[Item]:
    """The same below the drawing in level figures, which take less of the paper; without names where those have no room.

    edge: where the lines that lead to the figures end; bounds: how far the row may reach [mm].
    """
    texts = [ordinate.text for ordinate in ordinates]
    if sum(text_width(text, SIZE) + LEVEL_GAP for text in texts) > bounds[1] - bounds[0]:
        texts = [ordinate.figure for ordinate in ordinates]
    items: list[Item] = []
    moved = spread_labels([o.place for o in ordinates], [text_width(text, SIZE) for text in texts], LEVEL_GAP, bounds)
    for ordinate, text, place in zip(ordinates, texts, moved, strict=True):
        x, part = ordinate.place, ordinate.part
        items.append(line([(x, ordinate.begins), (x, edge + 2.5)], FINE, "dimensions", part))
        items.append(line([(x, edge + 2.5), (place, edge + 0.5)], THIN, "dimensions", part))
        items.append(Words((place, edge - SIZE * 0.8), text, SIZE, PENCIL, "dimensions", "middle", part=part))
    return items


def room(ordinates: Sequence[Ordinate]) -> float:
    """How deep a row is [mm]: its longest figure and the line that leads to it."""
    return 5.0 + max((text_width(o.text, SIZE) for o in ordinates), default=0.0)
