"""A sheet cut up with straight cuts first, as a hand-held or a table saw does, and where each board lies on it by two corners."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import dist

import numpy as np

from sketcher.analysis.cut.boards.nesting import OFFCUT, SheetLayout
from sketcher.analysis.cut.results import Pattern
from sketcher.geometry.flat.no_fit import turned
from sketcher.geometry.packing.nesting import Placed
from sketcher.geometry.tolerances import NEST_SLACK

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class StraightCut:
    """A cut right through what is left of a sheet [m]. across: square to its length.

    at: the cut's middle, along the sheet's length for one across, else up its width; start, end: from where to where it runs;
    all from the sheet's lower left corner.
    """

    across: bool
    at: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class CornerPlace:
    """Where a board's corner lies on its sheet: its letter, and how far along and up from the lower left corner [m]."""

    letter: str
    along: float
    up: float


def straight_cuts(layout: SheetLayout, number: int, kerf: float) -> tuple[StraightCut, ...]:
    """Cuts that part boards from each other or free what is left over, in the order in which they can be made.

    Those across come before those along it; none goes through a board. Boards that no straight cut parts stay together.
    """
    boxes = [placed.outline.bounds for placed in layout.nesting.placed if placed.sheet == number]
    along, across = layout.nesting.sheets[number].size
    return tuple(_cuts(boxes, (0.0, 0.0, along, across), kerf))


def _cuts(boxes: Sequence[Box], part: Box, kerf: float) -> Iterator[StraightCut]:
    for axis in (0, 1):
        for at in _gaps(boxes, part, axis, kerf):
            yield StraightCut(axis == 0, at, part[1 - axis], part[3 - axis])
            low, high = list(part), list(part)
            low[axis + 2] = high[axis] = at
            for side in (low, high):
                inside = [box for box in boxes if (box[axis] < at) == (side is low)]
                yield from _cuts(inside, (side[0], side[1], side[2], side[3]), kerf)
            return


def _gaps(boxes: Sequence[Box], part: Box, axis: int, kerf: float) -> Iterator[float]:
    """Where a cut square to an axis goes between boards, or past the last one where an offcut is left."""
    reach = None
    for box in sorted(boxes, key=lambda box: box[axis]):
        if reach is not None and box[axis] - reach >= kerf - NEST_SLACK:
            yield reach + min((box[axis] - reach) / 2, kerf)
        reach = box[axis + 2] if reach is None else max(reach, box[axis + 2])
    if reach is not None and part[axis + 2] - reach - kerf >= OFFCUT:
        yield reach + kerf


def corner_places(pattern: Pattern, placed: Placed) -> tuple[CornerPlace, ...]:
    """Two corners of a board on its sheet, the first by letter and the one furthest from it; none where it has no corner."""
    if len(pattern.corners) < 2:
        return ()
    first, at = pattern.corners[0]
    far, there = max(pattern.corners, key=lambda corner: dist(corner[1], at))
    spots = turned(np.array([at, there]), placed.turn, placed.mirrored) + placed.at
    return tuple(CornerPlace(letter, float(x), float(y)) for letter, (x, y) in zip((first, far), spots, strict=True))
