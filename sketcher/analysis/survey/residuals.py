"""Measured points against what their neighbours along and across predict: a linear system with its own uncertainty.

A point's residual is how far it stands off the fair line through the neighbouring stations. All predictions are linear in the
measured numbers, so that the effect of a slip in any one of them on every residual is known, and so is the noise they share.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sketcher.analysis.survey.prediction import Predicted, Predictor, Section
from sketcher.analysis.survey.taped_lengths import Distance, taped_line
from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.interpolation import girths
from sketcher.geometry.tolerances import FAIRNESS_REACH, ROUGHNESS, TAPE_ERROR


@dataclass(frozen=True, eq=False)
class Shift:
    """One number or place that may be wrong: a point along `direction` (half-breadth, height); point None: the whole station.

    checked: it slides the point along the skin, so that only a measured distance tells.
    """

    station: int
    point: int | None
    direction: tuple[float, float] = (0.0, 0.0)
    checked: bool = False


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
        effects = self.effects[:, known]
        inverse = np.linalg.inv(self.covariance + effects @ effects.T)
        weighted = inverse @ self.effects
        information = np.einsum("ij,ij->j", self.effects, weighted)
        told = information > 1.0
        information = np.where(told, information, 1.0)
        sizes = np.where(told, weighted.T @ self.residuals / information, 0.0)
        return sizes, np.where(told, information**-0.5, np.inf)


def residual_system(sections: tuple[Section, ...], distances: tuple[Distance, ...] = ()) -> System:
    """Residuals of every point that its neighbours predict: square to the skin between lines, in both directions on them.

    distances: measured besides; each is one residual more, and its ends are judged along the skin too.
    """
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
        for point, row, axes in _predictions(predictor, j):
            shifts.extend(Shift(j, point, (float(d[0]), float(d[1]))) for d in axes)
            if row is None:
                continue
            g = int(predictor.starts[j]) + point
            slopes[g] = row.slope
            off = -row.weights
            off[g] += 1.0
            for axis in axes:
                rows.append(np.concatenate([off * axis[0], off * axis[1]]))
                doubts.append((row.unfair, row.unsure))
                places.append((j, along[point] / along[-1]))
                directions.append(axis)
        shifts.append(Shift(j, None))
    shifts += [Shift(j, point, axis, checked=True) for j, point in _ends_of(distances) for axis in _other_axis(shifts, j, point)]
    weights = np.array(rows).reshape(len(rows), 2 * count)
    fair = _system(predictor, weights, doubts, places, directions, shifts, slopes)
    return _with_distances(fair, weights, predictor, distances) if distances else fair


def _system(
    predictor: Predictor,
    weights: Floats,
    doubts: list[tuple[float, float]],
    places: list[tuple[int, float]],
    directions: list[Floats],
    shifts: list[Shift],
    slopes: Floats,
) -> System:
    covariance = _covariance(weights, predictor, np.array(doubts), np.array(places), np.array(directions))
    return System(
        weights @ np.concatenate([predictor.points[:, 0], predictor.points[:, 1]]),
        covariance,
        tuple(shifts),
        _effects(weights, predictor, shifts, slopes),
    )


def _ends_of(distances: tuple[Distance, ...]) -> list[tuple[int, int]]:
    return sorted({end for distance in distances for end in (distance.start, distance.end)})


def _other_axis(shifts: list[Shift], station: int, point: int) -> list[tuple[float, float]]:
    """The coordinate that lies nearest along the skin at a point that is judged square to it alone."""
    mine = [shift.direction for shift in shifts if (shift.station, shift.point) == (station, point)]
    if len(mine) != 1 or 1.0 in mine[0]:
        return []
    return [(0.0, 1.0) if abs(mine[0][0]) > abs(mine[0][1]) else (1.0, 0.0)]


def _with_distances(fair: System, weights: Floats, predictor: Predictor, distances: tuple[Distance, ...]) -> System:
    """The system with a residual for each measured distance: what its ends' places say, less what was measured."""
    lengths = [taped_line(predictor, distance).length(predictor) for distance in distances]
    rows, along = (np.array([length[k] for length in lengths]) for k in (1, 2))
    residuals = np.array([length[0] - distance.measured for length, distance in zip(lengths, distances, strict=True)])
    effects = np.array([_distance_effect(shift, rows, along, predictor) for shift in fair.shifts]).T
    measured = _measured(predictor)
    noisy, fair_noisy = rows * measured, weights * measured
    mixed = TAPE_ERROR**2 * fair_noisy @ noisy.T
    own = TAPE_ERROR**2 * (noisy @ noisy.T + np.eye(len(distances)))
    return System(
        np.concatenate([fair.residuals, residuals]),
        np.block([[fair.covariance, mixed], [mixed.T, own]]),
        fair.shifts,
        np.concatenate([fair.effects, effects]),
    )


def _distance_effect(shift: Shift, rows: Floats, along: Floats, predictor: Predictor) -> Floats:
    if shift.point is None:
        return along[:, shift.station]
    g = int(predictor.starts[shift.station]) + shift.point
    return np.asarray(rows[:, g] * shift.direction[0] + rows[:, len(predictor.points) + g] * shift.direction[1])


def _predictions(predictor: Predictor, station: int) -> list[tuple[int, Predicted | None, list[Floats]]]:
    """Every point of a station: its index, its prediction if any, and the directions in which it is judged."""
    section = predictor.sections[station]
    predictions: list[tuple[int, Predicted | None, list[Floats]]] = []
    for line, point in section.ends:
        both = [np.array([1.0, 0.0]), np.array([0.0, 1.0])]
        on_centreline = point == 0 and section.points[0, 0] == 0.0
        predictions.append((point, predictor.end(station, line, point), both[1:] if on_centreline else both))
    for (a, first), (b, last) in pairwise(section.ends):
        predicted = predictor.segment(station, a, b)
        normals = predictor.normals(station, a, b)
        for k in range(1, last - first):
            predictions.append((first + k, predicted[k] if predicted else None, [normals[k]]))
    return predictions


def _measured(predictor: Predictor) -> Floats:
    """1 for each number (2 n,) that was measured, 0 for half-breadths on the centreline."""
    measured = np.ones(2 * len(predictor.points))
    centre = predictor.starts[:-1]
    measured[centre[predictor.points[centre, 0] == 0.0]] = 0.0
    return measured


def _covariance(weights: Floats, predictor: Predictor, doubts: Floats, places: Floats, directions: Floats) -> Floats:
    """Noise of the tape through all the weights, the hull's own unfairness (alike over a station), and local doubts."""
    if not len(weights):
        return np.zeros((0, 0))
    noisy = weights * _measured(predictor)
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
