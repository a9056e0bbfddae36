"""Which pages a drawing at true size is cut into: as few as hold what is sawn, and what leads from one to another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np
import shapely

from sketcher.outputs.drawing.pdf import MOST_MM
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Line, Spot, Words
from sketcher.outputs.paper.word_places import shape_of

PaperName = Literal["a4", "letter", "a3", "a1", "a0", "roll"]
PAPERS: dict[PaperName, tuple[float, float]] = {
    "a4": (210.0, 297.0),
    "letter": (215.9, 279.4),
    "a3": (297.0, 420.0),
    "a1": (594.0, 841.0),
    "a0": (841.0, 1189.0),
    "roll": (841.0, MOST_MM),
}
"""Width and height of a page, upright [mm]. A roll is as wide as A0, wider ones take it too, and is cut where a board ends."""

HOME: tuple[PaperName, ...] = ("a4", "letter")
"""Papers of a printer at home; others come from a shop's."""

UNPRINTED = 10.0
"""[mm] at a page's edges where printers cannot print."""

FOOT = 7.0
"""[mm] above that, kept for the page's own words."""

OVERLAP = 12.0
"""[mm] by which neighbouring tiles show the same: room for a strip of tape on both sides of the crosses."""

_SAWN = ("outline", "other face", "openings", "joint")
"""Layers of which all is worth a page; of straight marks the ends are enough."""

_BESIDE = ("grain", "bevels", "diagonals")
"""Layers that are worth no page of their own."""

_STRAIGHT = 0.3
"""[mm] A mark that bends less is drawn by its ends."""

_SHIFTS = (0.5, 0.0, 1.0, 0.25, 0.75)
"""Shares of the paper left over that lie before a drawing, across and up, as they are tried."""

Cell = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a drawing. row from the top, column from the left, both from 0; low, high: its corners on the drawing [mm]."""

    row: int
    column: int
    low: Spot
    high: Spot

    @property
    def name(self) -> str:
        """A letter for the row, a number for the column."""
        return tile_name(self.row, self.column)

    @property
    def page(self) -> tuple[float, float]:
        """Width and height [mm] of the page that it is printed on."""
        wide, high = self.high[0] - self.low[0], self.high[1] - self.low[1]
        return wide + 2 * UNPRINTED, high + 2 * UNPRINTED + FOOT


def tile_name(row: int, column: int) -> str:
    """A letter for the row, two where there are more than 26, and a number for the column.

    >>> tile_name(0, 0), tile_name(27, 3)
    ('A1', 'AB4')
    """
    letters = chr(65 + row % 26)
    return f"{chr(64 + row // 26) if row >= 26 else ''}{letters}{column + 1}"


def home_paper(paper: PaperName, units: str) -> PaperName:
    """The paper for what is read and not laid on wood: the same, or what a home printer takes where these units are used."""
    return paper if paper in HOME else "letter" if units in ("in", "ft") else "a4"


def tiles(drawing: Drawing, paper: PaperName = "a4") -> tuple[Tile, ...]:
    """The fewest tiles, upright or lying, that hold all that is sawn and the ends of marks, row by row from the top.

    Those that hold nothing of it are left out, but for some that lead from an opening to the edge.
    """
    shapes = _worth_paper(drawing)
    best: tuple[Tile, ...] = ()
    for page in _pages(drawing, paper):
        room = (page[0] - 2 * UNPRINTED, page[1] - 2 * UNPRINTED - FOOT)
        for shift in product(_SHIFTS, _SHIFTS):
            found = _grid(drawing, room, shift, shapes)
            if not best or len(found) < len(best):
                best = found
    return best


def _pages(drawing: Drawing, paper: PaperName) -> Iterator[tuple[float, float]]:
    """The page upright and lying; of a roll no more than the drawing takes, the way that takes less of it first."""
    width, height = PAPERS[paper]
    if paper != "roll":
        yield from ((width, height), (height, width))
        return
    upright = (width, min(height, drawing.height + 2 * UNPRINTED + FOOT))
    lying = (min(height, drawing.width + 2 * UNPRINTED), width)
    yield from sorted((upright, lying), key=lambda page: page[0] * page[1])


def _worth_paper(drawing: Drawing) -> list[shapely.Geometry]:
    """What must be on some page [mm]: what is sawn, and where marks begin, bend and end."""
    drawn = [item for item in drawing.items if not isinstance(item, Words) and item.layer not in _BESIDE]
    return [shape_of(item) if item.layer in _SAWN else _ends(item) for item in drawn]


def _ends(item: Line | FilledArea) -> shapely.MultiPoint:
    shape = shape_of(item)
    run = shape if shape.geom_type == "LineString" else shape.exterior
    return shapely.MultiPoint(shapely.get_coordinates(shapely.simplify(run, _STRAIGHT)))


def _grid(
    drawing: Drawing, room: tuple[float, float], shift: tuple[float, float], shapes: Sequence[shapely.Geometry]
) -> tuple[Tile, ...]:
    """The tiles of one grid that are needed. room: of a page [mm]; shift: share of the paper left over before the drawing."""
    steps = [side - OVERLAP for side in room]
    sizes = (drawing.width, drawing.height)
    counts = [max(1, math.ceil((size - OVERLAP) / step - 1e-9)) for size, step in zip(sizes, steps, strict=True)]
    left, top = (
        size * share + (1 - share) * (count * step + OVERLAP) if axis else share * (size - count * step - OVERLAP)
        for axis, (size, count, step, share) in enumerate(zip(sizes, counts, steps, shift, strict=True))
    )
    cells = list(product(range(counts[1]), range(counts[0])))
    lows = [(left + column * steps[0], top - (row + 1) * steps[1] - OVERLAP) for row, column in cells]
    boxes = [shapely.box(x, y, x + room[0], y + room[1]) for x, y in lows]
    held = np.unique(shapely.STRtree(boxes).query(shapes, predicate="intersects")[1]) if shapes else range(len(cells))
    needed = _led_together([cells[k] for k in held])
    low_of = dict(zip(cells, lows, strict=True))
    return tuple(Tile(*cell, low_of[cell], (low_of[cell][0] + room[0], low_of[cell][1] + room[1])) for cell in sorted(needed))


def _led_together(cells: Sequence[Cell]) -> set[Cell]:
    """Cells and as many more that every one is reached from every other, side by side."""
    groups: list[set[Cell]] = []
    for row, column in cells:
        near = {(row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)}
        touched = [group for group in groups if group & near]
        groups = [group for group in groups if not group & near]
        groups.append({(row, column)}.union(*touched))
    whole = groups[0] if groups else set()
    for group in groups[1:]:
        (row, column), (to_row, to_column) = min(
            product(sorted(group), sorted(whole)), key=lambda pair: abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1])
        )
        rows, columns = sorted((row, to_row)), sorted((column, to_column))
        whole |= (
            group | {(k, column) for k in range(rows[0], rows[1] + 1)} | {(to_row, k) for k in range(columns[0], columns[1] + 1)}
        )
    return whole
