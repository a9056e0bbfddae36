"""Distances measured besides the stations' points, through the air or along the skin, as functions of those points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sketcher.analysis.survey.prediction import Predictor
from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.interpolation import polynomial_weights

BETWEEN_POINTS = 8
"""Pieces of a tape between two points of its station: round a quarter circle of three points it is short by a thousandth."""
BETWEEN_STATIONS = 8
"""Pieces of it between two stations, where it may go round the bilge too."""
NEAR = 2
"""Stations on either side that give the skin between two."""
WIDTHS = (1.0, 0.08, 0.006)
"""Share of the girth that is searched for the shortest way, once wide and then closer about what was found."""
ACROSS_STEPS = 61
"""Places across that are tried each time: the last ones lie a fraction of a millimetre apart."""


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance [m] measured between (station, point) and (station, point), both counted from 0.

    across: from one side to the other; skin: along the skin, as short as it goes; else straight.
    """

    start: tuple[int, int]
    end: tuple[int, int]
    measured: float
    across: bool = False
    skin: bool = False


@dataclass(frozen=True, eq=False)
class TapedLine:
    """The places (m,) that a tape passes, linear in the measured numbers.

    of_points (m, n): weights of the points; leaning (m, n): what their heights add to how far aft they lie; of_stations
    (m, s): weights of the stations' places; sides (m,): 1 to starboard, -1 to port.
    """

    of_points: Floats
    leaning: Floats
    of_stations: Floats
    sides: Floats

    def places(self, predictor: Predictor) -> Floats:
        """(m, 3) aft, to starboard, up [m]."""
        y, z = (self.of_points @ predictor.points).T
        x = self.of_stations @ np.array([section.x for section in predictor.sections])
        x = x + self.leaning @ predictor.points[:, 1] - self.of_points @ predictor.ahead
        return np.column_stack([x, self.sides * y, z])

    def length(self, predictor: Predictor) -> tuple[float, Floats, Floats]:
        """Its length [m], and what a metre more of each half-breadth and height (2 n,), of each station's place (s,) adds."""
        steps = np.diff(self.places(predictor), axis=0)
        lengths = np.maximum(np.linalg.norm(steps, axis=1), 1e-12)
        toward = steps / lengths[:, None]
        across = toward[:, 1] @ np.diff(self.sides[:, None] * self.of_points, axis=0)
        up = toward[:, 2] @ np.diff(self.of_points, axis=0) + toward[:, 0] @ np.diff(self.leaning, axis=0)
        return float(lengths.sum()), np.concatenate([across, up]), toward[:, 0] @ np.diff(self.of_stations, axis=0)


def taped_line(predictor: Predictor, distance: Distance) -> TapedLine:
    """The line of a measured distance."""
    ends, other = (distance.start, distance.end), -1.0 if distance.across else 1.0
    if not distance.skin:
        return _joined(
            [_on_station(predictor, j, np.array([float(k)]), side) for (j, k), side in zip(ends, (1.0, other), strict=True)]
        )
    (j, first), (k, last) = ends
    if j != k:
        return _shortest(predictor, distance)
    if distance.across:
        return _joined([_on_station(predictor, j, _round(first, 0), 1.0), _on_station(predictor, j, _round(0, last), -1.0)])
    return _on_station(predictor, j, _round(first, last), 1.0)


def _round(first: int, last: int) -> Floats:
    """Numbers of points, with fractions, from one point of a station to another."""
    return np.linspace(first, last, abs(last - first) * BETWEEN_POINTS + 1)


def _on_station(predictor: Predictor, station: int, numbers: Floats, side: float) -> TapedLine:
    weights = predictor.section_weights(station, numbers)
    of_stations = np.zeros((len(numbers), len(predictor.sections)))
    of_stations[:, station] = 1.0
    return TapedLine(weights, _leaning(predictor, station, weights), of_stations, np.full(len(numbers), side))


def _leaning(predictor: Predictor, station: int, weights: Floats) -> Floats:
    """How far places of a station whose plane leans go aft with their height over its keel."""
    over = weights.copy()
    over[:, predictor.starts[station]] -= 1.0
    return predictor.sections[station].lean * over


def _joined(lines: list[TapedLine]) -> TapedLine:
    def of(name: str) -> Floats:
        return np.concatenate([getattr(line, name) for line in lines])

    return TapedLine(of("of_points"), of("leaning"), of("of_stations"), of("sides"))


def _shortest(predictor: Predictor, distance: Distance) -> TapedLine:
    """The way over the skin from one station to another that is shortest, by dynamic programming on finer and finer grids."""
    (j, first), (k, last) = sorted((distance.start, distance.end))
    skin = _Skin(predictor, j, k)
    ends = np.array([skin.place_of(j, first), skin.place_of(k, last) * (-1.0 if distance.across else 1.0)])
    way = np.linspace(ends[0], ends[1], len(skin.x))
    least = -skin.width if distance.across else 0.0
    for share in WIDTHS:
        tried = way[:, None] + np.linspace(-share, share, ACROSS_STEPS) * skin.width
        tried = np.clip(tried, least, skin.width)
        tried[[0, -1]] = ends[:, None]
        places = np.stack([skin.line([i] * ACROSS_STEPS, row).places(predictor) for i, row in enumerate(tried)])
        way = _best_way(places, tried)
    return skin.line(range(len(way)), way)


def _best_way(places: Floats, tried: Floats) -> Floats:
    """Of the places (m, k, 3) tried in each of m columns, the parameters (m,) of the shortest line through all columns."""
    far = np.zeros(places.shape[1])
    came = []
    for before, here in pairwise(places):
        way = far[:, None] + np.linalg.norm(here[None] - before[:, None], axis=2)
        came.append(np.argmin(way, axis=0))
        far = way.min(axis=0)
    picked = [int(np.argmin(far))]
    for step in reversed(came):
        picked.append(int(step[picked[-1]]))
    return tried[np.arange(len(tried)), picked[::-1]]


class _Skin:
    """The skin between two stations, by places along (x) and across, counted in lines that all stations near have.

    Across, 0 is the keel, whole numbers are lines, and between them it goes by share of girth; negative to port.
    """

    def __init__(self, predictor: Predictor, first: int, last: int) -> None:
        self.predictor = predictor
        self.near = list(range(max(first - NEAR + 1, 0), min(last + NEAR, len(predictor.sections))))
        lines = [dict(predictor.sections[j].ends) for j in self.near]
        common = [line for line, _ in predictor.sections[first].ends if all(line in each for each in lines)]
        self.width = float(len(common) - 1)
        self._marks = {j: [each[line] for line in common] for j, each in zip(self.near, lines, strict=True)}
        at = [predictor.sections[j].x for j in range(first, last + 1)]
        pieces = [np.linspace(a, b, BETWEEN_STATIONS, endpoint=False) for a, b in pairwise(at)]
        self.x = np.concatenate([*pieces, at[-1:]])
        self._weights = np.stack([self._along(x) for x in self.x])

    def place_of(self, station: int, point: int) -> float:
        """Where across a station's point lies."""
        return float(np.interp(point, *self._numbers(station)[::-1]))

    def line(self, columns: Sequence[int], across: Floats) -> TapedLine:
        """A line through places given by the number of their x and how far across."""
        count, predictor = len(across), self.predictor
        of_points, leaning = np.zeros((2, count, len(predictor.points)))
        of_stations = np.zeros((count, len(predictor.sections)))
        for k, j in enumerate(self.near):
            share = self._weights[list(columns), k][:, None]
            weights = predictor.section_weights(j, np.interp(np.abs(across), *self._numbers(j)))
            of_points += share * weights
            leaning += share * _leaning(predictor, j, weights)
            of_stations[:, j] = share[:, 0]
        return TapedLine(of_points, leaning, of_stations, np.where(across < 0.0, -1.0, 1.0))

    def _numbers(self, station: int) -> tuple[Floats, Floats]:
        """Places across that belong to a station's points, and the points' numbers."""
        marks, shares = self._marks[station], self.predictor.girth_shares(station)
        numbers = np.arange(len(shares), dtype=float)
        return np.interp(shares, shares[marks], np.arange(len(marks), dtype=float)), numbers

    def _along(self, x: float) -> Floats:
        """Weights of the stations near at x: of the four about it, the polynomial's."""
        at = np.array([self.predictor.sections[j].x for j in self.near])
        after = int(np.clip(np.searchsorted(at, x), 1, len(at) - 1))
        low = max(min(after - NEAR, len(at) - 2 * NEAR), 0)
        taken = at[low : low + 2 * NEAR]
        weights = np.zeros(len(at))
        weights[low : low + len(taken)] = polynomial_weights(np.array([x]), taken[:, None])[:, 0]
        return weights
