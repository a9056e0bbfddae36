"""Fair lines along a sheet: their slopes at every cross curve, how they leave a profile end, and points of them between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Flags, Floats, Ints
from sketcher.geometry.surface.curve import fair_slopes, hermite
from sketcher.geometry.surface.profile_end import Lead
from sketcher.geometry.tolerances import SAME_PLACE

ROOT_STEPS = 12
"""Newton steps, guarded by bisection, that bring a point of a line to a given x, to the rounding of coordinates."""

EASE = 0.1
"""Share of the height of a profile over which lines come from the first row, which lies in y = 0, to the sheet's own slope."""


@dataclass(frozen=True, eq=False)
class Lines:
    """Cubics of lines from curve to curve. places: (curves, rows, 3); slopes out of and into gaps, (curves - 1, rows, 3)."""

    places: Floats
    out: Floats
    into: Floats

    @property
    def lengths(self) -> Floats:
        """Chords (curves - 1, rows) [m], over which the slopes are taken."""
        lengths: Floats = np.linalg.norm(np.diff(self.places, axis=0), axis=2)
        return lengths

    def at(self, columns: Floats) -> Floats:
        """Points (columns, rows, 3) at columns: curve numbers and fractions between.

        Each line's x goes in proportion from curve to curve, so that between plane curves the columns are plane and cannot fold.
        """
        gap: Ints = np.minimum(columns.astype(np.int64), len(self.places) - 2)
        t = (columns - gap)[:, None]
        start, end = self.places[gap], self.places[gap + 1]
        out, into, lengths = self.out[gap], self.into[gap], self.lengths[gap]
        fraction = _fraction_at(start[..., 0], end[..., 0], lengths * out[..., 0], lengths * into[..., 0], t)
        points = hermite(start, end, out, into, lengths, fraction)
        points[..., 0] = start[..., 0] + (end[..., 0] - start[..., 0]) * t
        return points

    def turned(self) -> Lines:
        """The same lines from the other end."""
        return Lines(self.places[::-1], -self.into[::-1], -self.out[::-1])


def ruled_lines(places: Floats) -> Lines:
    """Straight lines from curve to curve."""
    steps = np.diff(places, axis=0)
    slopes = steps / np.maximum(np.linalg.norm(steps, axis=2, keepdims=True), SAME_PLACE)
    return Lines(places, slopes, slopes)


def fair_lines(places: Floats, first: Lead | None = None, last: Lead | None = None) -> Lines:
    """Fair lines through places (curves, rows, 3); the leads say how they leave profile ends."""
    still = np.linalg.norm(np.diff(places[[0, 1, -2, -1]], axis=0), axis=2) <= SAME_PLACE
    lines = _fair(places, still[0] | _led_by(first, places), still[-1] | _led_by(last, places))
    if first is not None:
        lines = _led(lines, first)
    if last is not None:
        lines = _led(lines.turned(), last).turned()
    return lines


def _led_by(lead: Lead | None, places: Floats) -> Flags:
    """Which rows a lead takes to its end."""
    return np.zeros(places.shape[1], dtype=bool) if lead is None else lead.risen > 0.0


def _fair(places: Floats, without_first: Flags, without_last: Flags) -> Lines:
    """Lines each fair by itself, some through all curves but the first or the last, in whose gap their slopes are 0."""
    out, into = np.zeros((len(places) - 1, places.shape[1], 3)), np.zeros((len(places) - 1, places.shape[1], 3))
    kinds = without_first + 2 * without_last
    for kind in sorted(set(kinds.tolist())):
        rows = np.flatnonzero(kinds == kind)
        start, end = kind & 1, len(places) - 1 - (kind >> 1)
        if end > start:
            slopes = fair_slopes(places[start : end + 1, rows].swapaxes(0, 1))[0].swapaxes(0, 1)
            out[start:end, rows], into[start:end, rows] = slopes[:-1], slopes[1:]
    return Lines(places, out, into)


def _led(lines: Lines, lead: Lead) -> Lines:
    """The lines with those that meet the profile led to it along the sheet, not along themselves.

    At the first curve a line that has come along the curves turns off towards the profile, within the sheet. A curve through all
    would cut the turn. So the first gap takes the slopes of the lead's own lines, which go on beyond the curve at the same share
    of height, and the line behind the curve, fitted without the profile, is laid into the plane that the lead and the curve span.
    """
    met = np.flatnonzero(lead.risen > 0.0)
    guide = fair_slopes(lead.places[:, met].swapaxes(0, 1))[0].swapaxes(0, 1)
    normal = np.cross(guide[1], lead.across[met])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    normal /= np.where(size > 0.0, size, 1.0)
    ease = np.minimum(lead.risen[met] / EASE, 1.0) if lead.from_curve else np.ones(len(met))
    leaving = lines.out[1, met] - ((lines.out[1, met] * normal).sum(axis=1) * ease)[:, None] * normal
    chord = lines.places[2, met] - lines.places[1, met]
    chord /= np.maximum(np.linalg.norm(chord, axis=1, keepdims=True), SAME_PLACE)
    out, into = lines.out.copy(), lines.into.copy()
    out[0, met], into[0, met] = guide[0], guide[1]
    # No steeper than a monotone piece may leave: the line must not pass its next place.
    out[1, met] = np.sign(chord) * np.clip(leaving * np.sign(chord), 0.0, 3.0 * np.abs(chord))
    return Lines(lines.places, out, into)


def _fraction_at(x0: Floats, x1: Floats, out: Floats, into: Floats, t: Floats) -> Floats:
    """The parameter at which each cubic, rising from x0 to x1 with these slopes, has come the share t of the way."""
    run = x1 - x0
    moves = run > SAME_PLACE
    run = np.where(moves, run, 1.0)
    # Past 3 times the chord's own slope a cubic may run back.
    a = np.where(moves, np.clip(out / run, 0.0, 3.0) - 1.0, 0.0)
    b = np.where(moves, np.clip(into / run, 0.0, 3.0) - 1.0, 0.0)
    t = np.broadcast_to(t, run.shape)
    low, high, w = np.zeros_like(run), np.ones_like(run), t.copy()
    for _ in range(ROOT_STEPS):
        rest = 1.0 - w
        short = w + w * rest * (rest * a - w * b) - t
        low, high = np.where(short < 0.0, w, low), np.where(short > 0.0, w, high)
        slope = 1.0 + rest * (rest - 2.0 * w) * a - w * (2.0 * rest - w) * b
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = w - short / slope
        w = np.where((newton >= low) & (newton <= high), newton, 0.5 * (low + high))
    return w
