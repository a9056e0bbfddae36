"""Lines along a measured hull: where a station's points should be by the stations on both its sides, and how sure that is."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.interpolation import Spline, chord_weights, girths, polynomial_weights
from sketcher.geometry.tolerances import BETWEEN_POINTS_SHARE, FAIRNESS, FAIRNESS_SHARE, KEEL_TURN, STATIONS_NEAR

_STEP = 1e-4
"""Share of a segment over which a tangent is taken; any small number does."""


@dataclass(frozen=True, eq=False)
class Section:
    """A station as measured. points: (n, 2) half-breadth and height [m]; lean: how far its plane goes aft for each metre up.

    ends: (line, point) from the keel up to the sheer, the places that lines along the hull join: keel, knuckles, sheer.
    ahead: (n,) how far each point lies forward of that plane, on a curved transom [m]; None: in it.
    """

    x: float
    points: Floats
    ends: tuple[tuple[int, int], ...]
    lean: float = 0.0
    ahead: Floats | None = None


@dataclass(frozen=True, eq=False)
class Predicted:
    """A prediction: weights of all points (n,), slope along the hull (2,), and how far [m] a sound hull may be off it.

    unfair: with the whole section, along the hull; unsure: by itself, between the points of the neighbouring stations.
    """

    weights: Floats
    slope: Floats
    unfair: float
    unsure: float


class Predictor:
    """The lines along a measured hull: predicts points of one station from the stations on both its sides."""

    def __init__(self, sections: tuple[Section, ...]) -> None:
        self.sections = sections
        self.starts = np.cumsum([0, *(len(s.points) for s in sections)])
        self.points = np.vstack([s.points for s in sections])
        self.ahead = np.concatenate([np.zeros(len(s.points)) if s.ahead is None else s.ahead for s in sections])
        self.shares: dict[tuple[int, int, int], tuple[int, Floats]] = {}
        self._splines: dict[tuple[int, int, int], Spline] = {}
        self._with_line: dict[int, list[int]] = defaultdict(list)
        self._with_segment: dict[tuple[int, int], list[int]] = defaultdict(list)
        for j, section in enumerate(sections):
            for line, _ in section.ends:
                self._with_line[line].append(j)
            for (a, first), (b, last) in pairwise(section.ends):
                along = girths(section.points[first : last + 1])
                self.shares[j, a, b] = first, along / along[-1]
                self._splines[j, a, b] = Spline(along / along[-1])
                self._with_segment[a, b].append(j)

    def normals(self, station: int, a: int, b: int) -> Floats:
        """Directions (n, 2) square to the skin, outward, at the points of the segment between lines a and b."""
        first, shares = self.shares[station, a, b]
        spline = self._splines[station, a, b]
        span = spline.weights(np.minimum(shares + _STEP, 1.0)) - spline.weights(np.maximum(shares - _STEP, 0.0))
        along = span @ self.sections[station].points[first : first + len(shares)]
        square = np.stack([along[:, 1], -along[:, 0]], axis=1)
        return np.asarray(square / np.linalg.norm(square, axis=1)[:, None])

    def girth_shares(self, station: int) -> Floats:
        """The share of its section's girth at which each of a station's points lies, by chords."""
        along = girths(self.sections[station].points)
        return np.asarray(along / along[-1])

    def section_weights(self, station: int, numbers: Floats) -> Floats:
        """Weights (m, n) of all points at places on a station's section: numbers of its points, with fractions between them."""
        weights = np.zeros((len(numbers), len(self.points)))
        for (a, first), (b, last) in pairwise(self.sections[station].ends):
            begin, shares = self.starts[station] + first, self.shares[station, a, b][1]
            mine = (numbers >= first) & (numbers <= last)
            share = np.interp(numbers[mine] - first, np.arange(len(shares)), shares)
            weights[mine] = 0.0
            weights[mine, begin : begin + len(shares)] = self._splines[station, a, b].weights(share)
        return weights

    def end(self, station: int, line: int, point: int) -> Predicted | None:
        """The prediction of a line's point at a station; None where too few stations have the line on both sides."""
        near = _around(self._with_line[line], station)
        if not near:
            return None
        at = {j: np.eye(1, len(self.points), self.starts[j] + dict(self.sections[j].ends)[line]) for j in near}
        (row,) = self._rows(station, near, at, at, self.sections[station].points[[point]])
        return replace(row, unfair=row.unfair * KEEL_TURN) if point == 0 else row

    def segment(self, station: int, a: int, b: int) -> list[Predicted]:
        """Predictions of all points of a segment from the same shares of girth on the neighbouring stations, if there are."""
        first, shares = self.shares[station, a, b]
        near = _around(self._with_segment[a, b], station)
        if not near:
            return []
        at, chords = {}, {}
        for j in near:
            start, theirs = self.shares[j, a, b]
            begin = self.starts[j] + start
            at[j], chords[j] = np.zeros((2, len(shares), len(self.points)))
            at[j][:, begin : begin + len(theirs)] = self._splines[j, a, b].weights(shares)
            chords[j][:, begin : begin + len(theirs)] = chord_weights(theirs, shares)
        return self._rows(station, near, at, chords, self.sections[station].points[first : first + len(shares)])

    def _rows(
        self, station: int, near: list[int], at: dict[int, Floats], chords: dict[int, Floats], mine: Floats
    ) -> list[Predicted]:
        section = self.sections[station]
        here = section.x + section.lean * (mine[:, 1] - section.points[0, 1])
        places = np.stack([self._x(j, at[j]) for j in near])
        weights = polynomial_weights(here, places)
        before = max(k for k, j in enumerate(near) if j < station)
        pair = polynomial_weights(here, places[before : before + 2])
        fore, aft = at[near[before]], at[near[before + 1]]
        span = places[before + 1] - places[before]
        slopes = (aft - fore) @ self.points / span[:, None]
        full = np.asarray(sum(w[:, None] * at[j] for w, j in zip(weights, near, strict=True)))
        bend = np.linalg.norm((full - pair[0][:, None] * fore - pair[1][:, None] * aft) @ self.points, axis=1)
        far = np.maximum(here - places[before], places[before + 1] - here) / STATIONS_NEAR
        unfair = FAIRNESS * np.maximum(far, 1.0) ** 3 + FAIRNESS_SHARE * bend
        bulges = [w * np.linalg.norm((at[j] - chords[j]) @ self.points, axis=1) for w, j in zip(weights, near, strict=True)]
        unsure = BETWEEN_POINTS_SHARE * np.linalg.norm(bulges, axis=0)
        return [Predicted(*row) for row in zip(full, slopes, unfair.tolist(), unsure.tolist(), strict=True)]

    def _x(self, j: int, rows: Floats) -> Floats:
        section = self.sections[j]
        heights = rows @ self.points[:, 1] - section.points[0, 1]
        return np.asarray(section.x + section.lean * heights - rows @ self.ahead)


def _around(having: list[int], station: int) -> list[int]:
    """Four stations that predict one between them, two on each side where there are so many; none with fewer than three."""
    before = [j for j in having if j < station]
    after = [j for j in having if j > station]
    if not before or not after or len(before) + len(after) < 3:
        return []
    low, high = min(2, len(before)), min(2, len(after))
    low, high = min(4 - high, len(before)), min(4 - low, len(after))
    return before[-low:] + after[:high]
