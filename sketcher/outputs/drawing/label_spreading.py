"""Labels kept apart: in a row each stands as near its own place as the others allow, and leaders do not cross."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Spot = tuple[float, float]

ROUNDS = 60
"""How often neighbours may change places to shorten their leaders before the order stands; each change shortens their sum."""


@dataclass(frozen=True, slots=True)
class LabelBox:
    """left, top, right and bottom; y runs down as in a picture."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: LabelBox) -> bool:
        return self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True, slots=True)
class SpreadLabel:
    """A label's box, and its leader from the edge of the box to what it names."""

    box: LabelBox
    start: Spot
    end: Spot


def spread_labels(
    places: Sequence[float], widths: Sequence[float], gap: float, bounds: tuple[float, float] | None = None
) -> list[float]:
    """Middles of boxes moved as little as needed (least squares) so that none overlap; their order stays.

    bounds: the first box begins and the last ends within these where all of them fit.

    >>> spread_labels([0.0, 1.0, 10.0], [2.0, 2.0, 2.0], 1.0)
    [-1.0, 2.0, 10.0]
    """
    if not places:
        return []
    order = sorted(range(len(places)), key=lambda i: places[i])
    offsets = [0.0]
    for i, j in pairwise(order):
        offsets.append(offsets[-1] + (widths[i] + widths[j]) / 2 + gap)
    groups: list[tuple[float, int]] = []
    for rank, i in enumerate(order):
        groups.append((places[i] - offsets[rank], 1))
        while len(groups) > 1 and groups[-1][0] < groups[-2][0]:
            (b, m), (a, n) = groups.pop(), groups.pop()
            groups.append(((a * n + b * m) / (n + m), n + m))
    levels = [mean for mean, count in groups for _ in range(count)]
    if bounds is not None:
        least = bounds[0] + widths[order[0]] / 2
        most = bounds[1] - widths[order[-1]] / 2 - offsets[-1]
        levels = [min(max(level, least), max(most, least)) for level in levels]
    moved = [0.0] * len(places)
    for rank, i in enumerate(order):
        moved[i] = levels[rank] + offsets[rank]
    return moved


def labels_beside(
    anchors: Sequence[Spot], sizes: Sequence[Spot], boat: LabelBox, gap: float, bounds: tuple[float, float], upright: bool = False
) -> list[SpreadLabel]:
    """Labels in rows above and below a boat, or in columns at its left and right (`upright`), each joined to its anchor.

    anchors: (x, y) of what is named; sizes: (width, height); bounds: how far the rows (columns) may reach along. One row on
    each side as long as it fits, more outside it when it does not. No two boxes overlap and none overlaps the boat's.
    """
    if upright:
        turned = labels_beside(
            [(y, x) for x, y in anchors],
            [(h, w) for w, h in sizes],
            LabelBox(boat.top, boat.left, boat.bottom, boat.right),
            gap,
            bounds,
        )
        return [
            SpreadLabel(
                LabelBox(t.box.top, t.box.left, t.box.bottom, t.box.right), (t.start[1], t.start[0]), (t.end[1], t.end[0])
            )
            for t in turned
        ]
    labels: dict[int, SpreadLabel] = {}
    for above, members in zip((True, False), _halves(anchors, sizes), strict=True):
        edge = boat.top - gap if above else boat.bottom + gap
        for row in _rows(members, anchors, sizes, gap, bounds[1] - bounds[0]):
            tall = max(sizes[i][1] for i in row)
            for i, middle in zip(row, _row(row, anchors, sizes, gap, bounds, edge), strict=True):
                half, height = sizes[i][0] / 2, sizes[i][1]
                box = (
                    LabelBox(middle - half, edge - height, middle + half, edge)
                    if above
                    else LabelBox(middle - half, edge, middle + half, edge + height)
                )
                labels[i] = SpreadLabel(box, (middle, edge), anchors[i])
            edge += -(tall + gap) if above else tall + gap
    return [labels[i] for i in range(len(anchors))]


def _halves(anchors: Sequence[Spot], sizes: Sequence[Spot]) -> tuple[list[int], list[int]]:
    """The higher anchors for the row above, the lower for the row below, about as much lettering in each."""
    order = sorted(range(len(anchors)), key=lambda i: (anchors[i][1], anchors[i][0]))
    half, used = sum(size[0] for size in sizes) / 2, 0.0
    upper: list[int] = []
    for i in order:
        if used + sizes[i][0] / 2 > half and upper:
            break
        upper.append(i)
        used += sizes[i][0]
    return upper, [i for i in order if i not in upper]


def _rows(members: Sequence[int], anchors: Sequence[Spot], sizes: Sequence[Spot], gap: float, room: float) -> list[list[int]]:
    """Members in as few rows as fit in the room, dealt out by turns so that each row spans the boat."""
    total = sum(sizes[i][0] + gap for i in members)
    count = max(1, -(-int(total) // max(int(room), 1))) if members else 0
    along = sorted(members, key=lambda i: anchors[i][0])
    while True:
        rows = [along[k::count] for k in range(count)]
        if count >= len(along) or all(sum(sizes[i][0] + gap for i in row) - gap <= room for row in rows):
            return rows
        count += 1


def _row(
    row: Sequence[int], anchors: Sequence[Spot], sizes: Sequence[Spot], gap: float, bounds: tuple[float, float], edge: float
) -> list[float]:
    """Middles of the boxes of one row; neighbours whose leaders would cross change places."""
    order = list(range(len(row)))
    middles = _in_order(order, row, anchors, sizes, gap, bounds)
    for _ in range(ROUNDS):
        for k in range(len(order) - 1):
            a, b = order[k], order[k + 1]
            if _cross((middles[a], edge), anchors[row[a]], (middles[b], edge), anchors[row[b]]):
                order[k], order[k + 1] = b, a
                middles = _in_order(order, row, anchors, sizes, gap, bounds)
                break
        else:
            break
    return middles


def _in_order(
    order: Sequence[int],
    row: Sequence[int],
    anchors: Sequence[Spot],
    sizes: Sequence[Spot],
    gap: float,
    bounds: tuple[float, float],
) -> list[float]:
    """Middles for boxes that must stand in a given order: places that run backwards are made equal first."""
    places: list[float] = []
    at = float("-inf")
    for k in order:
        at = max(at, anchors[row[k]][0])
        places.append(at + len(places) * 1e-9)
    middles = spread_labels(places, [sizes[row[k]][0] for k in order], gap, bounds)
    out = [0.0] * len(order)
    for k, middle in zip(order, middles, strict=True):
        out[k] = middle
    return out


def _cross(p: Spot, q: Spot, r: Spot, s: Spot) -> bool:
    """Whether two lines p-q and r-s cross inside both."""

    def side(a: Spot, b: Spot, c: Spot) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    return side(p, q, r) * side(p, q, s) < 0 and side(r, s, p) * side(r, s, q) < 0
