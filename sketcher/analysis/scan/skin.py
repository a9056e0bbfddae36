"""The skin among the points of a scan: its distance from an axis inside her, by the place aft and the angle about the axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sketcher.analysis.scan.smoothing import lining, smoothed
from sketcher.analysis.scan.surfels import surfels_of
from sketcher.geometry.mesh import Flags, Floats, Ints

Face = Literal["inside", "outside"]

STEP = 0.05
"""[m] Rows are known at places so far apart along her."""
ANGLES = np.radians(np.arange(-88.5, 76.5, 3.0))
"""[rad] Of the rows: from straight down outboard to well above the axis."""
_TURN = float(ANGLES[1] - ANGLES[0])
_AXIS = 0.8
"""[1] How high between her lowest and her highest the axis runs."""
_BIN = 0.02
"""[m] How fine the distances in a cell are told apart at first."""
_LEAST, _MAIN = 3, 0.35
"""Points in three bins together that a surface needs, and its share of those of the cell's clearest surface."""
_WAVES, _LIMITS = (4.0, 3.0, 2.4, 2.0, 1.6, 1.2, 1.0), (0.25, 0.15, 0.10, 0.07, 0.05, 0.04, 0.03)
"""[m] How smooth rows are taken to be, and how far off them values are still believed, step by step."""
_CARRIED, _STRAIGHT = 4, 0.15
"""Rows below the skin's upper edge, and metres, from which it is carried on."""
_WITHIN = 4
"""Places along a row that tell its direction at an end."""
_NOISY = 0.06
"""[m] of girth over which places are told apart."""
_FINE = 0.7
"""[m] The shortest wave of a row in the end."""


@dataclass(frozen=True, eq=False)
class Polar:
    """Points of the folded half about the axis: x aft, their distance from the axis and angle from level, outboard (n,)."""

    x: Floats
    distance: Floats
    angle: Floats

    def some(self, which: Flags | Ints) -> Polar:
        return Polar(self.x[which], self.distance[which], self.angle[which])


@dataclass(frozen=True, eq=False)
class Skin:
    """x (n,) and axis (n,): the height of the axis at places aft; rows (len(ANGLES), n): the skin's distance from it.

    seen (len(ANGLES), n): how many points of the skin lie in each cell; noise: one standard deviation of them, square to it.
    """

    x: Floats
    axis: Floats
    rows: Floats
    seen: Ints
    noise: float

    def polar(self, points: Floats) -> Polar:
        """Points (m, 3) aboard, port folded onto starboard."""
        high = points[:, 2] - np.interp(points[:, 0], self.x, self.axis)
        off = np.abs(points[:, 1])
        return Polar(points[:, 0], np.hypot(off, high), np.arctan2(high, off))

    def distance(self, x: Floats, angle: Floats) -> Floats:
        """The skin's distance from the axis at places (m,), between rows in proportion."""
        i, u = _between(x, self.x)
        j, v = _between(angle, ANGLES)
        low = self.rows[j, i] * (1 - u) + self.rows[j, i + 1] * u
        high = self.rows[j + 1, i] * (1 - u) + self.rows[j + 1, i + 1] * u
        return np.asarray(low * (1 - v) + high * v)

    @property
    def area(self) -> float:
        """[m2] of what was seen on one side."""
        return float((self.rows * (self.seen > 0)).sum()) * _TURN * float(self.x[1] - self.x[0])

    def flat(self, x: float | Floats, angle: Floats, distance: Floats) -> Floats:
        """Half-breadths and heights (m, 2) of places by angle and distance from the axis at x."""
        return np.stack([distance * np.cos(angle), np.interp(x, self.x, self.axis) + distance * np.sin(angle)], axis=1)

    def on_it(self, polar: Polar, limit: float) -> Flags:
        """Whether points lie within a limit [m] of the skin, along their line from the axis."""
        return np.abs(polar.distance - self.distance(polar.x, polar.angle)) < limit


def skin_of(points: Floats, face: Face, start: float, end: float) -> Skin:
    """The skin that points (n, 3) aboard lie on, between two places aft."""
    x = np.linspace(start, end, max(8, round((end - start) / STEP) + 1))
    skin = Skin(x, _axis(points, x), np.zeros((len(ANGLES), len(x))), np.zeros((len(ANGLES), len(x)), dtype=np.int64), 0.0)
    polar = skin.polar(points)
    polar = polar.some((polar.x >= start - STEP / 2) & (polar.x <= end + STEP / 2))
    values, counts = _outermost(polar, skin, face)
    sign = 1.0 if face == "inside" else -1.0
    rows = sign * lining(sign * values, np.minimum(counts, 20) / 20.0, x[1] - x[0], _WAVES, _LIMITS)
    skin = Skin(x, skin.axis, rows, counts, 0.0)
    for limit in (0.035, 0.025):
        skin = _carried_up(_settled(skin, polar, limit))
    return skin


def _between(places: Floats, knots: Floats) -> tuple[Ints, Floats]:
    step = knots[1] - knots[0]
    along = np.clip((places - knots[0]) / step, 0.0, len(knots) - 1.0)
    i = np.minimum(along.astype(np.int64), len(knots) - 2)
    return i, along - i


def _axis(points: Floats, x: Floats) -> Floats:
    """Heights (n,) of an axis inside her at places x: smooth, well above her bottom."""
    surfels = surfels_of(points, 0.1).centres
    column = np.round((surfels[:, 0] - x[0]) / (x[1] - x[0])).astype(np.int64)
    ends = np.full((2, len(x)), np.nan)
    for k in range(len(x)):
        z = surfels[np.abs(column - k) <= 1, 2]
        if len(z) > 4:
            ends[:, k] = np.quantile(z, [0.02, 0.98])
    known = (~np.isnan(ends)).astype(float)
    low, high = smoothed(np.nan_to_num(ends), known, float(x[1] - x[0]), 2.0)
    return np.asarray(low + _AXIS * (high - low))


def _cells(polar: Polar, skin: Skin) -> tuple[Ints, Flags]:
    """The cell of each point, row by row, and whether it has one."""
    i = np.round((polar.x - skin.x[0]) / (skin.x[1] - skin.x[0])).astype(np.int64)
    j = np.round((polar.angle - ANGLES[0]) / _TURN).astype(np.int64)
    there = (i >= 0) & (i < len(skin.x)) & (j >= 0) & (j < len(ANGLES))
    return j * len(skin.x) + i, there


def _outermost(polar: Polar, skin: Skin, face: Face) -> tuple[Floats, Ints]:
    """Distances of the outermost clear surface of each cell (the innermost from outside), and how many points show it."""
    cell, there = _cells(polar, skin)
    bins = int(np.quantile(polar.distance, 0.999) / _BIN) + 2
    place = (polar.distance / _BIN).astype(np.int64)
    there &= place < bins
    cells = skin.rows.size
    counts = np.bincount(cell[there] * bins + place[there], minlength=cells * bins).reshape(cells, bins)
    wide = counts.copy()
    wide[:, 1:] += counts[:, :-1]
    wide[:, :-1] += counts[:, 1:]
    clear = wide >= np.maximum(_LEAST, _MAIN * wide.max(axis=1, keepdims=True))
    peak = clear & (wide >= np.roll(wide, 1, axis=1)) & (wide >= np.roll(wide, -1, axis=1))
    chosen = bins - 1 - np.argmax(peak[:, ::-1], axis=1) if face == "inside" else np.argmax(peak, axis=1)
    found = peak.any(axis=1)
    number = np.where(found, wide[np.arange(cells), chosen], 0)
    shape = skin.rows.shape
    return ((chosen + 0.5) * _BIN).reshape(shape), number.reshape(shape)


def _evened(rows: Floats) -> Floats:
    """Rows evened out over the girth that its noise takes, where they stand nearer together than that, as in a narrow bow."""
    sums = np.cumsum(np.pad(rows, ((1, 0), (0, 0))), axis=0)
    half = np.clip(np.round(_NOISY / np.maximum(rows * _TURN, 1e-3)).astype(np.int64) // 2, 0, 4)
    number = np.arange(len(rows))[:, None]
    half = np.minimum(half, np.minimum(number, len(rows) - 1 - number))
    column = np.arange(rows.shape[1])[None, :]
    return np.asarray((sums[number + half + 1, column] - sums[number - half, column]) / (2 * half + 1))


def _carried_up(skin: Skin) -> Skin:
    """Rows at the skin's upper edge, which are seen in part, and those above it, on the straight line from well below it."""
    seen = skin.seen >= _LEAST
    told = np.flatnonzero(seen.sum(axis=0) > _CARRIED)
    if not len(told):
        return skin
    highest = len(ANGLES) - 1 - np.argmax(seen[::-1, told], axis=0)
    top = highest[np.abs(np.arange(len(skin.x))[:, None] - told[None, :]).argmin(axis=1)]
    top = np.array([int(np.median(top[max(k - 2, 0) : k + 3])) for k in range(len(top))])
    rows = _evened(skin.rows)
    for k, edge in enumerate(top.tolist()):
        if _CARRIED < edge < len(ANGLES) - 1:
            flat = rows[:edge, k, None] * np.stack([np.cos(ANGLES[:edge]), np.sin(ANGLES[:edge])], axis=1)
            below = flat[edge - 1, 1] - flat[:, 1]
            used = (below < _STRAIGHT) | (np.arange(edge) >= edge - _CARRIED)
            slope, off = np.polyfit(flat[used, 1], flat[used, 0], 1)
            far = off / (np.cos(ANGLES[edge:]) - slope * np.sin(ANGLES[edge:]))
            rows[edge:, k] = np.where((far > 0.0) & (far < 2.0 * rows[edge - 1, k]), far, rows[edge - 1, k])
    return Skin(skin.x, skin.axis, rows, skin.seen, skin.noise)


def _settled(skin: Skin, polar: Polar, limit: float) -> Skin:
    """Rows through the mean of the points near them, and how far those scatter."""
    off = polar.distance - skin.distance(polar.x, polar.angle)
    cell, there = _cells(polar, skin)
    near = there & (np.abs(off) < limit)
    shape = skin.rows.shape
    counts = np.bincount(cell[near], minlength=skin.rows.size).reshape(shape)
    sums = np.bincount(cell[near], off[near], skin.rows.size).reshape(shape)
    means = np.where(counts > 0, sums / np.maximum(counts, 1), 0.0)
    step = float(skin.x[1] - skin.x[0])
    moved = smoothed(means, np.where(counts >= _LEAST, np.minimum(counts, 50) / 50.0, 0.0), step, _FINE)
    noise = 1.4826 * float(np.median(np.abs(off[near] - means.ravel()[cell[near]]))) if near.any() else 0.0
    return Skin(skin.x, skin.axis, _run_on(skin.rows + moved, counts >= _LEAST), counts, noise)


def _run_on(rows: Floats, seen: Flags) -> Floats:
    """Rows with straight ends from where they were last seen, in the direction they have well within."""
    rows = rows.copy()
    columns = np.arange(rows.shape[1])
    for row, known in zip(rows, seen, strict=True):
        if known.sum() <= 2 * _WITHIN:
            continue
        first, last = np.flatnonzero(known)[[0, -1]]
        for end, inner, beyond in ((first, first + _WITHIN, columns < first), (last, last - _WITHIN, columns > last)):
            row[beyond] = row[end] + (row[inner] - row[end]) / (inner - end) * (columns[beyond] - end)
    return np.maximum(rows, 1e-3)
