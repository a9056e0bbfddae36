"""Smooth curves through points that never overshoot them: cubic pieces over chord length, sharp at marked corners."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sketcher.geometry.mesh import Floats, Ints

REFLECTIONS = 6
"""Passes that settle the end slopes; each shrinks the error to about a quarter."""

DENSE = 24
"""Inner points up to which a spline's few equations are solved by their inverse at once, and from which one by one."""

STEPS_OF_LENGTH = 12
"""Steps of a piece when its length is measured; only shares of length rest on it, never a place on the curve."""


def fair_slopes(points: Floats) -> tuple[Floats, Floats]:
    """Slopes at the points of curves over chord length that have no overshoot, and the chords' lengths.

    points: (lines, n, d), n at least 2, no two neighbours in one place. Returns (lines, n, d) and (lines, n - 1).
    The slopes are those of the twice continuous spline whose end tangent mirrors its neighbour's in the end chord (exact for a
    circle), then limited for each coordinate: 0 at an extremum of the data, else at most 3 times the smaller secant
    (Fritsch and Carlson 1980, from memory), so that each coordinate is monotone wherever the data are.
    """
    steps = np.diff(points, axis=1)
    lengths = np.sqrt(np.einsum("lij,lij->li", steps, steps))
    secants = steps / lengths[..., None]
    if points.shape[1] == 2:
        return np.repeat(secants, 2, axis=1), lengths
    before, after = lengths[:, :-1, None], lengths[:, 1:, None]
    slopes = np.empty_like(points)
    slopes[:, 1:-1] = (after * secants[:, :-1] + before * secants[:, 1:]) / (before + after)
    right = 3.0 * (after * secants[:, :-1] + before * secants[:, 1:])
    solved = _solver(lengths)
    for _ in range(REFLECTIONS):
        slopes[:, 0] = _mirrored(slopes[:, 1], secants[:, 0])
        slopes[:, -1] = _mirrored(slopes[:, -2], secants[:, -1])
        known = right.copy()
        known[:, 0] -= after[:, 0] * slopes[:, 0]
        known[:, -1] -= before[:, -1] * slopes[:, -1]
        slopes[:, 1:-1] = solved(known)
    return _limited(slopes, secants), lengths


def _solver(lengths: Floats) -> Callable[[Floats], Floats]:
    """The solver of the equations of the inner slopes of a twice continuous cubic spline for right sides (lines, n - 2, d)."""
    before, after = lengths[:, :-1], lengths[:, 1:]
    main, lower, upper = 2.0 * (before + after), after[:, 1:], before[:, :-1]
    inner = main.shape[1]
    if inner <= DENSE:
        matrix = np.zeros((len(lengths), inner, inner))
        at = np.arange(inner)
        matrix[:, at, at] = main
        matrix[:, at[1:], at[:-1]] = lower
        matrix[:, at[:-1], at[1:]] = upper
        inverse = np.linalg.inv(matrix)
        return lambda right: inverse @ right
    pivots = main.copy()
    for k in range(1, inner):
        pivots[:, k] -= lower[:, k - 1] * upper[:, k - 1] / pivots[:, k - 1]

    def eliminated(right: Floats) -> Floats:
        solved = right.copy()
        for k in range(1, inner):
            solved[:, k] -= (lower[:, k - 1] / pivots[:, k - 1])[:, None] * solved[:, k - 1]
        solved[:, -1] /= pivots[:, -1, None]
        for k in range(inner - 2, -1, -1):
            solved[:, k] = (solved[:, k] - upper[:, k, None] * solved[:, k + 1]) / pivots[:, k, None]
        return solved

    return eliminated


def _mirrored(slope: Floats, chord: Floats) -> Floats:
    """A tangent mirrored in the unit chord."""
    mirrored: Floats = 2.0 * np.einsum("li,li->l", slope, chord)[:, None] * chord - slope
    return mirrored


def _limited(slopes: Floats, secants: Floats) -> Floats:
    """The slopes cut down for each coordinate so that no piece leaves the range of its two ends."""
    before = np.concatenate([secants[:, :1], secants], axis=1)
    after = np.concatenate([secants, secants[:, -1:]], axis=1)
    room = np.where(before * after > 0.0, 3.0 * np.minimum(np.abs(before), np.abs(after)), 0.0)
    sign = np.sign(before)
    limited: Floats = sign * np.clip(slopes * sign, 0.0, room)
    return limited


def hermite(start: Floats, end: Floats, slope_out: Floats, slope_in: Floats, length: Floats, t: Floats) -> Floats:
    """Points of cubic pieces at the fractions t in 0..1; all arguments broadcast, length and t without the coordinate axis."""
    t = t[..., None]
    length = length[..., None]
    rest = 1.0 - t
    bend_out = length * slope_out - (end - start)
    bend_in = length * slope_in - (end - start)
    place: Floats = start + (end - start) * t + t * rest * (rest * bend_out - t * bend_in)
    return place


@dataclass(frozen=True, eq=False)
class Curve:
    """A curve in space through points, in order; a single point is a curve of no length.

    points: (n, 3). slopes_out, slopes_in: (n - 1, 3) at the start and end of each piece. lengths: (n - 1,) chords [m].
    shares: (n,) of each point, the share of the whole length that lies before it. corners: indices of the inner corners.
    """

    points: Floats
    slopes_out: Floats
    slopes_in: Floats
    lengths: Floats
    shares: Floats
    corners: tuple[int, ...]
    table_share: Floats
    table_place: Floats

    def at(self, shares: Floats) -> Floats:
        """Points (k, 3) at shares (k,) of the length, 0..1; the given points come out exactly at their own shares."""
        if len(self.points) == 1:
            return np.repeat(self.points, len(shares), axis=0)
        place = np.interp(shares, self.table_share, self.table_place)
        piece: Ints = np.minimum(place.astype(np.int64), len(self.lengths) - 1)
        return self._evaluate(piece, place - piece)

    def _evaluate(self, piece: Ints, t: Floats) -> Floats:
        start, end = self.points[piece], self.points[piece + 1]
        return hermite(start, end, self.slopes_out[piece], self.slopes_in[piece], self.lengths[piece], t)


def curve_through(points: Floats, corners: Sequence[int] = (), smooth: bool = True) -> Curve:
    """The curve through points (n, 3), no two neighbours in one place; sharp at the corners, which are inner points' indices.

    smooth False: a polygon.
    """
    count = len(points)
    if count == 1:
        none = np.zeros((0, 3))
        return Curve(points, none, none, np.zeros(0), np.zeros(1), (), np.zeros(1), np.zeros(1))
    steps = np.diff(points, axis=0)
    lengths = np.sqrt((steps * steps).sum(axis=1))
    slopes_out = steps / lengths[:, None]
    slopes_in = slopes_out.copy()
    inner = tuple(sorted({c for c in corners if 0 < c < count - 1}))
    if smooth:
        ends = (0, *inner, count - 1)
        for first, last in pairwise(ends):
            if last - first > 1:
                slopes = fair_slopes(points[None, first : last + 1])[0][0]
                slopes_out[first:last], slopes_in[first:last] = slopes[:-1], slopes[1:]
    t = np.linspace(0.0, 1.0, STEPS_OF_LENGTH + 1)[None, :]
    fine = hermite(points[:-1, None], points[1:, None], slopes_out[:, None], slopes_in[:, None], lengths[:, None], t)
    fine_steps = np.diff(fine, axis=1)
    along = np.concatenate([[0.0], np.cumsum(np.sqrt((fine_steps * fine_steps).sum(axis=2)))])
    table_share = along / along[-1]
    table_share[-1] = 1.0
    table_place = np.arange(len(along)) / STEPS_OF_LENGTH
    return Curve(points, slopes_out, slopes_in, lengths, table_share[::STEPS_OF_LENGTH], inner, table_share, table_place)
