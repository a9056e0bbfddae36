"""Measured points against what their neighbours along and across predict: a linear system with its own uncertainty.

A point's residual is how far it stands off the fair line through the neighbouring stations. All predictions are linear in the
measured numbers, so that the effect of a slip in any one of them on every residual is known, and so is the noise they share.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import (
    BETWEEN_POINTS_SHARE,
    FAIRNESS,
    FAIRNESS_REACH,
    FAIRNESS_SHARE,
    KEEL_TURN,
    ROUGHNESS,
    STATIONS_NEAR,
    TAPE_ERROR,
)

_STEP = 1e-4
"""Share of a segment over which a tangent is taken; any small number does."""


@dataclass(frozen=True, eq=False)
class Section:
    """A station as measured. points: (n, 2) half-breadth and height [m]; lean: how far its plane goes aft for each metre up.

    ends: (line, point) from the keel up to the sheer, the places that lines along the hull join: keel, knuckles, sheer.
    """

    x: float
    points: Floats
    ends: tuple[tuple[int, int], ...]
    lean: float = 0.0


@dataclass(frozen=True, eq=False)
class Shift:
    """One number or place that may be wrong: a point along `direction` (half-breadth, height); point None: the whole station."""

    station: int
    point: int | None
    direction: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, eq=False)
class System:
    """residuals (r,) [m], their covariance (r, r) [m2], and effects (r, s): what each of the s shifts by a metre does to them."""

    residuals: Floats
    covariance: Floats
    shifts: tuple[Shift, ...]
    effects: Floats

    def estimates(self, known: list[int]) -> tuple[Floats, Floats]:
        """Each shift's size and standard error [m], by generalised least squares; infinite error where nothing tells.

        known: shifts already found; their size is left free, so that they do not disturb the others.
        """
        found = self.effects[:, known]
        inverse = np.linalg.inv(self.covariance + found @ found.T)
        weighted = inverse @ self.effects
        information = np.einsum("ij,ij->j", self.effects, weighted)
        told = information > 1.0
        information = np.where(told, information, 1.0)
        sizes = np.where(told, weighted.T @ self.residuals / information, 0.0)
        return sizes, np.where(told, information**-0.5, np.inf)


@dataclass(frozen=True, eq=False)
class _Row:
    """A prediction: weights of all points (n,), slope along the hull (2,), and how far [m] a sound hull may be off it.

    unfair: with the whole section, along the hull; unsure: by itself, between the points of the neighbouring stations.
    """

    weights: Floats
    slope: Floats
    unfair: float
    unsure: float


def spline_weights(knots: Floats, places: Floats) -> Floats:
    """Rows (m, n) of the not-a-knot cubic spline through n values at `knots`, at m `places`; a polynomial for up to four."""
    count = len(knots)
    if count <= 4:
        weights = np.ones((len(places), count))
        for k in range(count):
            for other in range(count):
                if other != k:
                    weights[:, k] *= (places - knots[other]) / (knots[k] - knots[other])
        return weights
    steps = np.diff(knots)
    inner = np.arange(1, count - 1)
    bend, force = np.zeros((count, count)), np.zeros((count, count))
    bend[inner, inner - 1], bend[inner, inner], bend[inner, inner + 1] = steps[:-1], 2 * (steps[:-1] + steps[1:]), steps[1:]
    force[inner, inner - 1], force[inner, inner + 1] = 6 / steps[:-1], 6 / steps[1:]
    force[inner, inner] = -force[inner, inner - 1] - force[inner, inner + 1]
    bend[0, :3] = steps[1], -steps[0] - steps[1], steps[0]
    bend[-1, -3:] = steps[-1], -steps[-2] - steps[-1], steps[-2]
    bends = np.linalg.solve(bend, force)
    gap = np.clip(np.searchsorted(knots, places, side="right") - 1, 0, count - 2)
    width = steps[gap]
    before = (knots[gap + 1] - places) / width
    after = 1.0 - before
    low, high = (before**3 - before) * width**2 / 6, (after**3 - after) * width**2 / 6
    weights = low[:, None] * bends[gap] + high[:, None] * bends[gap + 1]
    rows = np.arange(len(places))
    weights[rows, gap] += before
    weights[rows, gap + 1] += after
    return np.asarray(weights)


def _chord_weights(knots: Floats, places: Floats) -> Floats:
    """Rows (m, n) of the straight lines from point to point."""
    return np.stack([np.interp(places, knots, unit) for unit in np.eye(len(knots))], axis=1)


def girths(points: Floats) -> Floats:
    """Distance along the chords from the first point to each (n,) [m]."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])


class Predictor:
    """The lines along a measured hull: predicts points of one station from the stations on both its sides."""

    def __init__(self, sections: tuple[Section, ...]) -> None:
        self.sections = sections
        self.starts = np.cumsum([0, *(len(s.points) for s in sections)])
        self.points = np.vstack([s.points for s in sections])
        self.shares: dict[tuple[int, int, int], tuple[int, Floats]] = {}
        self._with_line: dict[int, list[int]] = defaultdict(list)
        self._with_segment: dict[tuple[int, int], list[int]] = defaultdict(list)
        for j, section in enumerate(sections):
            for line, _ in section.ends:
                self._with_line[line].append(j)
            for (a, first), (b, last) in pairwise(section.ends):
                along = girths(section.points[first : last + 1])
                self.shares[j, a, b] = first, along / along[-1]
                self._with_segment[a, b].append(j)

    def normals(self, station: int, a: int, b: int) -> Floats:
        """Directions (n, 2) square to the skin, outward, at the points of the segment between lines a and b."""
        first, shares = self.shares[station, a, b]
        span = spline_weights(shares, np.minimum(shares + _STEP, 1.0)) - spline_weights(shares, np.maximum(shares - _STEP, 0.0))
        along = span @ self.sections[station].points[first : first + len(shares)]
        square = np.stack([along[:, 1], -along[:, 0]], axis=1)
        return np.asarray(square / np.linalg.norm(square, axis=1)[:, None])

    def end(self, station: int, line: int, point: int) -> _Row | None:
        """The prediction of a line's point at a station; None where too few stations have the line on both sides."""
        near = _around(self._with_line[line], station)
        if not near:
            return None
        at = {j: np.eye(1, len(self.points), self.starts[j] + dict(self.sections[j].ends)[line]) for j in near}
        (row,) = self._rows(station, near, at, at, self.sections[station].points[[point]])
        return replace(row, unfair=row.unfair * KEEL_TURN) if point == 0 else row

    def segment(self, station: int, a: int, b: int) -> list[_Row]:
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
            at[j][:, begin : begin + len(theirs)] = spline_weights(theirs, shares)
            chords[j][:, begin : begin + len(theirs)] = _chord_weights(theirs, shares)
        return self._rows(station, near, at, chords, self.sections[station].points[first : first + len(shares)])

    def _rows(self, station: int, near: list[int], at: dict[int, Floats], chords: dict[int, Floats], mine: Floats) -> list[_Row]:
        section = self.sections[station]
        here = section.x + section.lean * (mine[:, 1] - section.points[0, 1])
        places = np.stack([self._x(j, at[j]) for j in near])
        weights = _lagrange(here, places)
        before = max(k for k, j in enumerate(near) if j < station)
        pair = _lagrange(here, places[before : before + 2])
        fore, aft = at[near[before]], at[near[before + 1]]
        span = places[before + 1] - places[before]
        slopes = (aft - fore) @ self.points / span[:, None]
        full = np.asarray(sum(w[:, None] * at[j] for w, j in zip(weights, near, strict=True)))
        bend = np.linalg.norm((full - pair[0][:, None] * fore - pair[1][:, None] * aft) @ self.points, axis=1)
        far = np.maximum(here - places[before], places[before + 1] - here) / STATIONS_NEAR
        unfair = FAIRNESS * np.maximum(far, 1.0) ** 3 + FAIRNESS_SHARE * bend
        bulges = [w * np.linalg.norm((at[j] - chords[j]) @ self.points, axis=1) for w, j in zip(weights, near, strict=True)]
        unsure = BETWEEN_POINTS_SHARE * np.linalg.norm(bulges, axis=0)
        return [_Row(*row) for row in zip(full, slopes, unfair.tolist(), unsure.tolist(), strict=True)]

    def _x(self, j: int, rows: Floats) -> Floats:
        section = self.sections[j]
        heights = rows @ self.points[:, 1] - section.points[0, 1]
        return np.asarray(section.x + section.lean * heights)


def _around(having: list[int], station: int) -> list[int]:
    """Four stations that predict one between them, two on each side where there are so many; none with fewer than three."""
    before = [j for j in having if j < station]
    after = [j for j in having if j > station]
    if not before or not after or len(before) + len(after) < 3:
        return []
    low, high = min(2, len(before)), min(2, len(after))
    low, high = min(4 - high, len(before)), min(4 - low, len(after))
    return before[-low:] + after[:high]


def _lagrange(here: Floats, places: Floats) -> Floats:
    """Weights (k, m) of the polynomial through k places (k, m) at m points."""
    weights = np.ones_like(places)
    for k in range(len(places)):
        for other in range(len(places)):
            if other != k:
                weights[k] *= (here - places[other]) / (places[k] - places[other])
    return weights


def residual_system(sections: tuple[Section, ...]) -> System:
    """Residuals of every point that its neighbours predict: square to the skin between lines, in both directions on them."""
    predictor = Predictor(sections)
    count = len(predictor.points)
    rows: list[Floats] = []
    doubts: list[tuple[float, float]] = []
    places: list[tuple[int, float]] = []
    directions: list[Floats] = []
    slopes = np.zeros((count, 2))
    shifts: list[Shift] = []
    for j, section in enumerate(sections):
        along = girths(section.points)
        for point, row, ways in _predictions(predictor, j):
            shifts.extend(Shift(j, point, (float(d[0]), float(d[1]))) for d in ways)
            if row is None:
                continue
            g = int(predictor.starts[j]) + point
            slopes[g] = row.slope
            off = -row.weights
            off[g] += 1.0
            for way in ways:
                rows.append(np.concatenate([off * way[0], off * way[1]]))
                doubts.append((row.unfair, row.unsure))
                places.append((j, along[point] / along[-1]))
                directions.append(way)
        shifts.append(Shift(j, None))
    weights = np.array(rows).reshape(len(rows), 2 * count)
    covariance = _covariance(weights, predictor, np.array(doubts), np.array(places), np.array(directions))
    return System(
        weights @ np.concatenate([predictor.points[:, 0], predictor.points[:, 1]]),
        covariance,
        tuple(shifts),
        _effects(weights, predictor, shifts, slopes),
    )


def _predictions(predictor: Predictor, station: int) -> list[tuple[int, _Row | None, list[Floats]]]:
    """Every point of a station: its index, its prediction if any, and the directions in which it is judged."""
    section = predictor.sections[station]
    found: list[tuple[int, _Row | None, list[Floats]]] = []
    for line, point in section.ends:
        both = [np.array([1.0, 0.0]), np.array([0.0, 1.0])]
        on_centreline = point == 0 and section.points[0, 0] == 0.0
        found.append((point, predictor.end(station, line, point), both[1:] if on_centreline else both))
    for (a, first), (b, last) in pairwise(section.ends):
        predicted = predictor.segment(station, a, b)
        normals = predictor.normals(station, a, b)
        for k in range(1, last - first):
            found.append((first + k, predicted[k] if predicted else None, [normals[k]]))
    return found


def _covariance(weights: Floats, predictor: Predictor, doubts: Floats, places: Floats, directions: Floats) -> Floats:
    """Noise of the tape through all the weights, the hull's own unfairness (alike over a station), and local doubts."""
    if not len(weights):
        return np.zeros((0, 0))
    count = len(predictor.points)
    measured = np.ones(2 * count)
    centre = predictor.starts[:-1]
    measured[centre[predictor.points[centre, 0] == 0.0]] = 0.0
    noisy = weights * measured
    apart = (places[:, None, 1] - places[None, :, 1]) / FAIRNESS_REACH
    alike = (places[:, None, 0] == places[None, :, 0]) * np.exp(-0.5 * apart**2) * (directions @ directions.T)
    noise = TAPE_ERROR**2 * noisy @ noisy.T + np.outer(doubts[:, 0], doubts[:, 0]) * alike
    return np.asarray(noise + np.diag(ROUGHNESS**2 + doubts[:, 1] ** 2))


def _effects(weights: Floats, predictor: Predictor, shifts: list[Shift], slopes: Floats) -> Floats:
    """What each shift by a metre does to the residuals; a station further aft than it was has its points too far forward."""
    count = len(predictor.points)
    effects = np.zeros((len(weights), len(shifts)))
    for k, shift in enumerate(shifts):
        first = int(predictor.starts[shift.station])
        if shift.point is not None:
            g = first + shift.point
            effects[:, k] = weights[:, g] * shift.direction[0] + weights[:, count + g] * shift.direction[1]
        else:
            own = slice(first, int(predictor.starts[shift.station + 1]))
            moved = -slopes[own]
            effects[:, k] = weights[:, own] @ moved[:, 0] + weights[:, count:][:, own] @ moved[:, 1]
    return effects
