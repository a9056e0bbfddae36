"""Rows of running dimensions beside a drawing: each figure stands by its place, pushed aside only where figures would touch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sketcher.outputs.drawing import Item, Spot, Stroke, Words, line, text_width
from sketcher.outputs.palette import PENCIL

SIZE = 2.2
"""Height of figures [mm], legible at arm's length."""
PITCH = SIZE * 1.35
"""Least distance from one figure to the next [mm]."""
THIN = Stroke(PENCIL, 0.13)
FINE = Stroke(PENCIL, 0.08, (0.8, 0.8))


@dataclass(frozen=True, slots=True)
class Ordinate:
    """A figure to show: place along the row [mm], how far in the drawing its line begins [mm], text, what it belongs to."""

    place: float
    begins: float
    text: str
    part: str = ""


def spread(places: Sequence[float], pitch: float) -> list[float]:
    """The places moved as little as needed (least squares) so that none is nearer than `pitch` to the next; same order.

    >>> spread([0.0, 1.0, 10.0], 3.0)
    [-1.0, 2.0, 10.0]
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    groups: list[tuple[float, int]] = []
    for rank, i in enumerate(order):
        groups.append((places[i] - rank * pitch, 1))
        while len(groups) > 1 and groups[-1][0] < groups[-2][0]:
            (b, m), (a, n) = groups.pop(), groups.pop()
            groups.append(((a * n + b * m) / (n + m), n + m))
    level = [mean for mean, count in groups for _ in range(count)]
    moved = [0.0] * len(places)
    for rank, i in enumerate(order):
        moved[i] = level[rank] + rank * pitch
    return moved


def row(
    ordinates: Sequence[Ordinate], edge: float, side: Literal["below", "left"], within: tuple[float, float] | None = None
) -> list[Item]:
    """Items of a row of figures at `edge` [mm]: below the drawing (figures upright on end) or to the left of it.

    within: figures are kept inside these places where the row is long enough.
    """
    items: list[Item] = []
    moved = spread([o.place for o in ordinates], PITCH)
    if within is not None and moved:
        shift = max(within[0] - min(moved), 0.0) or min(within[1] - max(moved), 0.0)
        moved = [place + shift for place in moved]

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


def room(ordinates: Sequence[Ordinate]) -> float:
    """How deep a row is [mm]: its longest figure and the line that leads to it."""
    return 5.0 + max((text_width(o.text, SIZE) for o in ordinates), default=0.0)
