"""Circles of one size in a flat region, in rows: staggered or square, along either axis, and then one by one in what is left."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import CLEAR

_OFFSETS = 8
"""Heights at which a set of rows may begin, spread over one pitch."""

_ROUGH = 1e-5
"""[m] Where only a rough number is asked, an exact fit must not be lost to rounding."""

_SCAN = 5.0
"""What is left is looked through in lines a fifth of a radius apart."""


@dataclass(frozen=True, eq=False)
class Region:
    """A flat region with round obstacles in it. shape: polygons with holes; circles: (c, 3) x, y and radius [m]."""

    shape: shapely.Geometry
    circles: Floats
    start: Floats = field(init=False, repr=False)
    end: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(self.shape)), return_index=True)
        same = ring[:-1] == ring[1:] if len(ring) else np.zeros(0, dtype=bool)
        object.__setattr__(self, "start", points[:-1][same])
        object.__setattr__(self, "end", points[1:][same])
        shapely.prepare(self.shape)

    @property
    def area(self) -> float:
        """What the region encloses, obstacles not taken off [m2]."""
        return float(shapely.area(self.shape))

    def turned(self) -> Region:
        """The region with its axes exchanged."""
        return Region(shapely.transform(self.shape, lambda p: p[:, ::-1]), self.circles[:, [1, 0, 2]])


@dataclass(frozen=True, eq=False)
class RowStretches:
    """Where centres may lie on level lines: line (s,) the index of its level, and from low to high (s,) along it [m]."""

    line: Ints
    low: Floats
    high: Floats


def most_in_rows(region: Region, radius: float) -> Floats:
    """Centres (n, 2) of as many circles as rows hold: the best of staggered and square rows along either axis.

    Never more than fit: no two nearer than two radii, none nearer than a radius to the region's edge, to within 2 `CLEAR`.
    """
    along = _best_rows(region, radius)
    across = _best_rows(region.turned(), radius, more_than=len(along))[:, ::-1]
    return across if len(across) else along


def most_that_fit(region: Region, radius: float) -> float:
    """About how many circles a region might hold, never fewer than it does: for choosing where to look, not for counting.

    Groemer's bound for a convex region, 2 A / (sqrt(3) d^2) + P / (2 d) + 1, A and P of the region that centres may lie in, for
    each part of it. Obstacles come off as discs with the gap that a circle cannot use.
    """
    across = 2.0 * radius
    centres = [part for part in shapely.get_parts(shapely.buffer(region.shape, _ROUGH - radius)) if not shapely.is_empty(part)]
    area, rim = float(sum(part.area for part in centres)), float(sum(part.length for part in centres))
    held = float((np.pi * region.circles[:, 2] ** 2).sum()) / 0.9
    return max(float(2.0 * (area - held) / (np.sqrt(3.0) * across**2) + rim / (2.0 * across)), 0.0) + len(centres)


def filled(region: Region, radius: float, most: int) -> Floats:
    """Centres (n, 2) of circles put one by one, bottom and left first, beside the obstacles of the region; at most `most`."""
    _, low, _, high = shapely.bounds(region.shape)
    levels = np.arange(low + radius, high - radius + CLEAR, radius / _SCAN)
    if not len(levels) or most <= 0:
        return np.zeros((0, 2))
    levels = np.append(levels, high - radius)
    free = row_stretches(region, radius, levels)
    placed: list[tuple[float, float]] = []
    first = 0
    for i in sorted(set(free.line.tolist())):
        level, last = float(levels[i]), -np.inf
        while first < len(placed) and placed[first][1] <= level - 2 * radius:
            first += 1
        for a, b in sorted(_beside(free, i, level, placed[first:], radius)):
            begin = max(a, last + 2 * radius)
            count = min(int((b - begin + 2 * CLEAR) / (2 * radius)) + 1, most - len(placed)) if begin <= b else 0
            placed += [(begin + 2 * radius * k, level) for k in range(count)]
            last = placed[-1][0] if count else last
        if len(placed) >= most:
            break
    return np.array(placed).reshape(-1, 2)


def row_stretches(region: Region, radius: float, levels: Floats) -> RowStretches:
    """Where on each level line (l,) the centre of a circle may lie, in order along every line.

    Every edge of the region blocks the stretch of a line that is nearer to it than the radius, every obstacle likewise; what
    is between two blocked stretches is wholly inside the region or wholly outside it.
    """
    low, high = _near_edges(region, radius - CLEAR, levels)
    at, reach = region.circles[:, :2], region.circles[:, 2] + radius - CLEAR
    half = np.sqrt(np.maximum(reach**2 - (levels[:, None] - at[:, 1]) ** 2, 0.0))
    low = np.hstack([low, np.where(half > 0.0, at[:, 0] - half, np.inf)])
    high = np.hstack([high, np.where(half > 0.0, at[:, 0] + half, np.inf)])
    order = np.argsort(low, axis=1)
    low = np.take_along_axis(low, order, axis=1)
    high = np.maximum.accumulate(np.take_along_axis(high, order, axis=1), axis=1)
    line, k = np.nonzero((low[:, 1:] > high[:, :-1]) & np.isfinite(low[:, 1:]))
    a, b = high[line, k], low[line, k + 1]
    inside = shapely.contains_xy(region.shape, (a + b) / 2, levels[line])
    return RowStretches(line[inside], a[inside], b[inside])


def _near_edges(region: Region, radius: float, levels: Floats) -> tuple[Floats, Floats]:
    """The stretch of each line that is nearer to each edge than the radius: from, to (l, e), infinite where there is none."""
    p, q = region.start, region.end
    along = q - p
    length = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-12)
    tu, tv = along[:, 0] / length, along[:, 1] / length
    dv = levels[:, None] - p[:, 1]
    low, high = np.full(dv.shape, np.inf), np.full(dv.shape, -np.inf)
    for end in (p, q):
        half = radius**2 - (levels[:, None] - end[:, 1]) ** 2
        meets = half > 0.0
        half = np.sqrt(np.maximum(half, 0.0))
        low = np.where(meets, np.minimum(low, end[:, 0] - half), low)
        high = np.where(meets, np.maximum(high, end[:, 0] + half), high)
    beside_low, beside_high = _meet(*_between(-tv, tu * dv, -radius, radius), *_between(tu, tv * dv, 0.0, length))
    meets = beside_low < beside_high
    low = np.where(meets, np.minimum(low, p[:, 0] + beside_low), low)
    high = np.where(meets, np.maximum(high, p[:, 0] + beside_high), high)
    none = low >= high
    return np.where(none, np.inf, low), np.where(none, np.inf, high)


def _between(slope: Floats, rise: Floats, least: float, most: Floats | float) -> tuple[Floats, Floats]:
    """The d for which slope * d + rise lies between least and most: from, to."""
    flat = np.abs(slope) < 1e-12
    safe = np.where(flat, 1.0, slope)
    a, b = (least - rise) / safe, (most - rise) / safe
    within = (rise > least) & (rise < most)
    return (
        np.where(flat, np.where(within, -np.inf, np.inf), np.minimum(a, b)),
        np.where(flat, np.where(within, np.inf, -np.inf), np.maximum(a, b)),
    )


def _meet(a_low: Floats, a_high: Floats, b_low: Floats, b_high: Floats) -> tuple[Floats, Floats]:
    return np.maximum(a_low, b_low), np.minimum(a_high, b_high)


def _best_rows(region: Region, radius: float, more_than: int = 0) -> Floats:
    """The best of the rows along the first axis; none where they hold no more than so many."""
    if shapely.is_empty(region.shape):
        return np.zeros((0, 2))
    _, low, _, high = shapely.bounds(region.shape)
    room = high - low - 2 * radius
    if room < -CLEAR:
        return np.zeros((0, 2))
    best = np.zeros((0, 2))
    for spacing, pitch in _lattices(region, radius):
        rows = int((room + CLEAR) / pitch) + 1
        starts = low + radius + np.linspace(0.0, min(pitch, max(room, 0.0)), _OFFSETS, endpoint=False)
        levels = (starts[:, None] + pitch * np.arange(rows)).ravel()
        free = row_stretches(region, radius, levels)
        staggered = pitch < 2 * radius - CLEAR
        held = np.floor((free.high - free.low + 2 * CLEAR) / spacing + 1e-12) + 1
        most = np.bincount(free.line // rows, held, minlength=_OFFSETS)
        for k in range(_OFFSETS):
            if most[k] > max(len(best), more_than):
                centres = _laid(free, levels, range(k * rows, (k + 1) * rows), spacing, staggered)
                if len(centres) > max(len(best), more_than):
                    best = centres
    return best


def _lattices(region: Region, radius: float) -> list[tuple[float, float]]:
    """Spacings along and pitches across: square, staggered, and staggered rows drawn out to just fill the region's length."""
    across = 2 * radius
    lattices = [(across, across), (across, across * np.sqrt(0.75))]
    left, _, right, _ = shapely.bounds(region.shape)
    room = right - left - across
    for share in (0.0, 0.5):
        count = int((room + CLEAR) / across - share)
        spacing = room / (count + share) if count + share > 0 else 0.0
        if across < spacing < across * np.sqrt(2.0):
            lattices.append((spacing, float(np.sqrt(across**2 - spacing**2 / 4))))
    return lattices


def _laid(free: RowStretches, levels: Floats, lines: range, spacing: float, staggered: bool) -> Floats:
    """Circles `spacing` apart on the lines: each stretch from its left end, or all on one staggered grid, whichever is asked."""
    mine = (free.line >= lines.start) & (free.line < lines.stop)
    line, low, high = free.line[mine], free.low[mine], free.high[mine]
    if not len(line):
        return np.zeros((0, 2))
    if staggered:
        shift = (line - lines.start) % 2 * spacing / 2
        # A hair's width to spare: which circles just fit must not depend on how an outline was rounded.
        grids = np.sort(np.round((low - shift + CLEAR) % spacing - CLEAR, 9))
        first = np.ceil((low - shift - grids[:, None] - CLEAR) / spacing)
        last = np.floor((high - shift - grids[:, None] + CLEAR) / spacing)
        counts = np.maximum(last - first + 1, 0.0)
        best = int(counts.sum(axis=1).argmax())
        begin, number = grids[best] + shift + first[best] * spacing, counts[best].astype(int)
    else:
        begin = _after_the_last(line, low, high, spacing)
        number = np.maximum(np.floor((high - begin + 2 * CLEAR) / spacing + 1e-12).astype(int) + 1, 0)
    order = np.arange(number.sum()) - np.repeat(np.cumsum(number) - number, number)
    return np.column_stack([np.repeat(begin, number) + spacing * order, np.repeat(levels[line], number)])


def _after_the_last(line: Ints, low: Floats, high: Floats, spacing: float) -> Floats:
    """Where the first circle of each stretch stands: at its left end, or `spacing` from the last one of the stretch before it."""
    begin = low.copy()
    last, before = -np.inf, -1
    for k in range(len(line)):
        if line[k] != before:
            last, before = -np.inf, int(line[k])
        begin[k] = max(low[k], last + spacing)
        if begin[k] <= high[k] + CLEAR:
            last = begin[k] + spacing * int((high[k] - begin[k] + 2 * CLEAR) / spacing + 1e-12)
    return begin


def _beside(
    free: RowStretches, line: int, level: float, placed: list[tuple[float, float]], radius: float
) -> list[tuple[float, float]]:
    """The stretches of one line less what the circles placed so far block."""
    mine = free.line == line
    stretches = list(zip(free.low[mine].tolist(), free.high[mine].tolist(), strict=True))
    recent = np.array(placed).reshape(-1, 2)
    near = recent[np.abs(recent[:, 1] - level) < 2 * radius - CLEAR]
    for x, y in near:
        half = float(np.sqrt(4 * radius**2 - (level - y) ** 2)) - CLEAR
        stretches = [part for a, b in stretches for part in ((a, min(b, x - half)), (max(a, x + half), b)) if part[0] <= part[1]]
    return stretches
