"""The ends of supports at true size: three of their faces in one, to fold round the timber and saw along."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sketcher.analysis.cut.results import Support
from sketcher.geometry.mesh import Floats
from sketcher.outputs.drawing.recording import Drawing, Item, LineStyle, Spot, Words, line, moved
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.outputs.paper.tile_grid import PAPERS, UNPRINTED, PaperName
from sketcher.outputs.wording.quantities import by_rule, length_with_unit

SUPPORT_ENDS = "patterns/supports, ends at true size.pdf"
"""The file of a build that they are in."""

REACH = 60.0
"""[mm] How far a wrap goes along the timber from its end."""

_HEAD, _APART, _FOOT = 9.0, 5.0, 12.0
"""[mm] of paper above each wrap for its name, between wraps, and at the foot of a page."""

_BAR = 100.0
"""[mm] A line on every page to check the print by."""

_SAW = LineStyle(INK, 0.5)
_FOLD = LineStyle(INK, 0.2, (2.0, 1.0))
_LET_IN = LineStyle(ACCENT, 0.2)
_END = LineStyle(PENCIL, 0.15)


@dataclass(frozen=True, slots=True)
class _Wrap:
    """One end on paper, from (0, 0). width, height [mm]."""

    items: tuple[Item, ...]
    width: float
    height: float


def support_wraps(supports: Sequence[Support], paper: PaperName, note: str, units: str) -> Iterator[Drawing]:
    """Pages with both ends of every support. note: at the foot of each page; units: of the lengths on them."""
    width, height = PAPERS[paper]
    room = (width - 2 * UNPRINTED, height - 2 * UNPRINTED - _FOOT)
    wraps = [_wrap(support, which, units) for support in supports for which in ("first", "last")]
    pages: list[list[Item]] = [[]]
    x, top, low = 0.0, room[1], room[1]
    for wrap in wraps:
        if x > 0.0 and x + wrap.width > room[0]:
            x, top = 0.0, low - _APART
        if top - wrap.height < 0.0 and pages[-1]:
            pages.append([])
            x, top = 0.0, room[1]
            low = top
        at = (UNPRINTED + x, UNPRINTED + _FOOT + top - wrap.height)
        pages[-1] += [moved(item, *at) for item in wrap.items]
        x, low = x + wrap.width + _APART, min(low, top - wrap.height)
    for number, items in enumerate(pages, 1):
        words = f"Ends of supports, page {number} of {len(pages)}; {note}"
        yield Drawing(title="Supports", width=width, height=height, items=(*items, *_foot(words, width, units)))


def cut_line(support: Support, which: Literal["first", "last"]) -> Floats:
    """Where an end is sawn (4, 2) [mm]: along the timber from the end of the first edge, and up across the unfolded faces.

    From the lower edge of the second side over the second edge and the first to the lower edge of the first side.
    """
    upper, lower = support.corners
    one, two = (0, 3) if which == "first" else (1, 2)
    along = (upper[1] - upper[0]) / np.linalg.norm(upper[1] - upper[0])
    places = (np.array([lower[two], upper[two], upper[one], lower[one]]) - upper[one]) @ along
    across = np.cumsum([0.0, support.depth, support.width, support.depth])
    line: Floats = 1000.0 * np.column_stack([places, across])
    return line


def _wrap(support: Support, which: Literal["first", "last"], units: str) -> _Wrap:
    """One end unfolded as it is seen from outside, the timber going on to the right of a first end, to the left of a last."""
    sawn = cut_line(support, which)
    inward = 1.0 if which == "first" else -1.0
    far = float(sawn[:, 0].max() + REACH) if which == "first" else float(sawn[:, 0].min() - REACH)
    start = min(float(sawn[:, 0].min()), far)
    width, height = abs(far - (sawn[:, 0].min() if which == "first" else sawn[:, 0].max())), float(sawn[-1, 1])

    def spot(x: float, y: float) -> Spot:
        return x - start, y

    items: list[Item] = [
        line([spot(*point) for point in sawn.tolist()], _SAW, "outline"),
        line([spot(sawn[-1, 0], height), spot(far, height), spot(far, 0.0), spot(sawn[0, 0], 0.0)], _END, "outline"),
    ]
    for x, y in sawn[1:3].tolist():
        items.append(line([spot(x, y), spot(far, y)], _FOLD, "folds"))
    bands = ("second edge's side", "upper face", "first edge's side")
    for k, said in enumerate(bands):
        y = (sawn[k, 1] + sawn[k + 1, 1]) / 2
        items.append(Words(spot(far - inward * 3.0, y - 1.0), said, 2.6, PENCIL, "label", "end" if inward > 0 else "start"))
    items += [moved(item, -start, 0.0) for item in _let_in(support, which, sawn)]
    place = support.ends[0 if which == "first" else 1].place or "free"
    edges = " and ".join(by_rule(edge, units) for edge in support.edges)
    items += [
        Words((0.0, height + 5.0), f"{support.name}: {which} end, at {place}", 3.0, INK, "label", bold=True),
        Words((0.0, height + 1.5), f"upper face, first and second edge: {edges}", 2.2, PENCIL, "label"),
    ]
    return _Wrap(tuple(items), max(float(width), 92.0), height + _HEAD)


def _let_in(support: Support, which: str, sawn: Floats) -> Iterator[Item]:
    """Where straps are let in near an end: across the upper face, down the sides by their depth."""
    whole = 1000.0 * support.edges[0]
    low, high = float(sawn[1, 1]), float(sawn[2, 1])
    deep = 1000.0 * support.notched
    for a, b in support.notches:
        for at in (1000.0 * a, 1000.0 * b):
            x = at if which == "first" else at - whole
            if 0.5 < abs(x) < REACH:
                yield line([(x, low - deep), (x, high + deep)], _LET_IN, "marks")


def _foot(words: str, width: float, units: str) -> Iterator[Item]:
    right, y = width - UNPRINTED, UNPRINTED
    said = "Cut out, fold round the timber's upper face and sides, and saw so that the cut meets the thick line on all three."
    yield Words((UNPRINTED, y + 6.0), said, 2.6, INK, "tiles")
    yield Words((UNPRINTED, y), words, 2.2, PENCIL, "tiles")
    yield line([(right - _BAR, y + 1.0), (right, y + 1.0)], _SAW, "tiles")
    for x in (right - _BAR, right):
        yield line([(x, y), (x, y + 2.0)], _SAW, "tiles")
    yield Words((right - _BAR / 2, y + 2.4), length_with_unit(_BAR / 1000.0, units), 2.2, PENCIL, "tiles", "middle")
