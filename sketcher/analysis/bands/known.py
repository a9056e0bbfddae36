"""Every figure's band and every verdict's doubt: a boat looked at as stated, along a few directions, and remeasured at random."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import cached_property
from math import sqrt

import numpy as np

from sketcher.analysis.bands.edges import SHEER
from sketcher.analysis.bands.influences import influences
from sketcher.analysis.bands.looks import BoatLook, Holed, Looking, ReadFigures
from sketcher.analysis.bands.margins import critical
from sketcher.analysis.bands.readings import TapeReading, readings_of
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.geometry.mesh import Floats
from sketcher.model.errors import SketchError
from sketcher.model.stated_limits import StatedLimit

WITHIN = 1.959964
"""[standard deviations] each way hold 95 of 100 (normal distribution)."""
SURE = 1e-6
"""[SI] A figure whose standard deviation is no more than rounding has no band."""
HELD = 0.95
"""[share] Of draws that a band holds."""
DIRECTIONS = 16
"""Directions of the hull's readings that are looked along: the figures of three demo boats then go with them to 93 % and more of
their variance, least freeboards and lowest points excepted (`tests/benchmarks/bands/bands_hold.py`)."""
LEAST_SHARE = 0.02
"""[share of the largest] A direction in which weights matter less is left to the boats remeasured at random."""
REMEASURED = 5
"""Boats remeasured at random and holed."""
WIDER = 1.5
"""[1] All err by so much more than is stated, and what they show is taken back by as much: a corner in the way of who lies on a
berth, that one boat in twelve comes to, is then seen."""
POOR = 0.25
"""[share of a line's variance] Where boats remeasured at random miss it by more, it is no straight line: the least of many
heights, such as the freeboard, falls whichever way a reading errs."""
TELLING = 12
"""So many boats tell how much flatter such a line should be; fewer do not, and the band stays too wide."""
INTACT = 14
"""Boats besides, remeasured at random, neither holed nor packed, which takes half the time or less: of all figures those of who
lies on a berth go least in a straight line."""
DRAWS = 10_000
"""Draws of a verdict's margins: a share of 0.05 comes out to 0.002."""
EDGE_DRAWS = 4_000
"""Draws of heights of which a figure is the least: a band comes out to a fiftieth."""
SEED = 1885
VERDICTS = ("fits", "met", "verdict", "watertight", "position", "stows_itself")
"""How the path of a verdict ends."""

Reader = Callable[[BoatLook], float | None]


@dataclass(frozen=True, eq=False)
class Slopes:
    """A figure as a straight line: its value, its slope along each direction, and the mean square that these miss at random."""

    value: float
    along: Floats
    missed: float

    @property
    def deviation(self) -> float:
        """Its standard deviation."""
        return sqrt(float(self.along @ self.along) + self.missed)


@dataclass(frozen=True, eq=False)
class _Moves:
    """How many figures (k,) go along the directions (r, k), and what boats remeasured at random then miss by (m, k)."""

    along: Floats
    missed: Floats


@dataclass(frozen=True, eq=False)
class HowKnown:
    """stated: the boat as stated; base: the same, looked at as the others are. directions: rows (r, n) of the readings',
    orthonormal in their standard deviations; along, random: the boats looked at, None where there is none; at_random: how far
    each reading was off in the latter (m, n).
    """

    looking: Looking
    stated: BoatLook
    base: BoatLook
    critical: Mapping[str, tuple[str, ...]]
    directions: Floats
    along: tuple[BoatLook | None, ...]
    at_random: Floats
    random: tuple[BoatLook | None, ...]

    @property
    def readings(self) -> tuple[TapeReading, ...]:
        """What all rests on."""
        return self.looking.readings

    @property
    def looks(self) -> int:
        """Boats that were looked at beside the one stated."""
        return 1 + len(self.along) + len(self.random)

    @cached_property
    def bands(self) -> dict[str, tuple[float, float]]:
        """The 95 % band of every figure that readings change."""
        found = {}
        for path, value in self.stated.values.items():
            slopes = self.slopes(path) if _is_figure(value) else None
            if slopes is not None and slopes.deviation > SURE:
                half = WITHIN * slopes.deviation
                found[path] = (slopes.value - half, slopes.value + half)
        return found

    @cached_property
    def doubts(self) -> dict[str, float]:
        """For every verdict the share of remeasured boats in which it is otherwise.

        One that turns on margins is drawn; one that does not is counted in the few boats there are, which err more than stated.
        """
        found = {path: self._doubt(path, names) for path, names in self.critical.items()}
        for path, value in self.stated.values.items():
            if path not in found and path.rpartition(".")[2] in VERDICTS and value is not None:
                there = [look.values.get(path) for look in self.remeasured(path)]
                found[path] = sum(other != self.base.values.get(path) for other in there) / max(len(there), 1)
        return found

    @cached_property
    def _drawn(self) -> Floats:
        """Draws of the directions, and of what they miss in as many ways as boats were remeasured, once and again."""
        return np.random.default_rng(SEED).standard_normal((DRAWS, len(self.directions) + 2 * len(self.random)))

    def half(self, path: str) -> float | None:
        """Half the width of a figure's band; None where it has none."""
        band = self.bands.get(path)
        return None if band is None else 0.5 * (band[1] - band[0])

    def remeasured(self, path: str) -> list[BoatLook]:
        """The boats remeasured at random in which a figure or verdict can be looked for: of flooding those that were holed."""
        return [look for look in self.random[: self._count(path)] if look is not None]

    def slopes(self, path: str) -> Slopes | None:
        """A figure's straight line; None where it is not known in most boats."""
        if path in self.stated.edges:
            return self._of_least(path)
        return self._line(lambda look: _number(look.values.get(path)), self._count(path))

    def gradient(self, slopes: Slopes) -> Floats:
        """How a figure goes with each reading, for a standard deviation of it (n,): as far as the directions tell."""
        return np.asarray(slopes.along @ self.directions)

    def _count(self, path: str) -> int:
        return len(self.random) if self.looking.seen_intact(path) else REMEASURED

    def _line(self, of: Reader, count: int) -> Slopes | None:
        """The straight line of what is read off boats, the first `count` of those remeasured at random among them."""
        value, base = of(self.stated), of(self.base)
        if value is None or base is None:
            return None
        there = [None if look is None else of(look) for look in (*self.along, *self.random[:count])]
        if sum(other is not None for other in there) * 2 <= len(there):
            return None
        along = np.array([0.0 if other is None else other - base for other in there[: len(self.along)]])
        foretold = self.at_random[:count] @ self.directions.T @ along / WIDER
        shown = np.array([np.nan if other is None else (other - base) / WIDER for other in there[len(self.along) :]])
        return _fitted(value, along, foretold[~np.isnan(shown)], shown[~np.isnan(shown)])

    def _of_least(self, path: str) -> Slopes | None:
        """The straight line of the least of many heights, each of which is one: as wide as the least of them turns out in draws.

        Its slopes are those of the height that is the least as stated. The sheer's part is seen in all boats, holed or not.
        """
        heights, value = self.base.edges.get(path), self.stated.values[path]
        count = self._count(path)
        water = self._moves(lambda look: look.edges[path] - look.edges[SHEER] if path in look.edges else None, count)
        sheer = self._moves(lambda look: look.edges.get(SHEER), len(self.random))
        if heights is None or water is None or sheer is None or not isinstance(value, float):
            return None
        along = water.along + sheer.along
        draws = self._drawn[:EDGE_DRAWS]
        drawn, used = draws[:, : len(along)] @ along, len(along)
        for each in (water, sheer):
            many = len(each.missed)
            drawn += draws[:, used : used + many] @ each.missed / sqrt(max(many, 1))
            used += many
        off = np.abs((heights + drawn).min(axis=1) - heights.min())
        deviation = float(np.quantile(off, HELD)) / WITHIN
        slopes = along[:, heights.argmin()]
        slopes = slopes * min(1.0, deviation / max(float(np.linalg.norm(slopes)), 1e-12))
        return Slopes(value, slopes, max(deviation**2 - float(slopes @ slopes), 0.0))

    def _moves(self, of: Callable[[BoatLook], Floats | None], count: int) -> _Moves | None:
        """How many figures at once go along the directions, and what that misses; None where most boats have none of them."""
        stated = of(self.base)
        seen = [None if look is None else of(look) for look in (*self.along, *self.random[:count])]
        if stated is None or sum(other is not None for other in seen) * 2 <= len(seen):
            return None
        moved = np.array([np.zeros(len(stated)) if other is None else other - stated for other in seen])
        along, shown = moved[: len(self.along)], moved[len(self.along) :] / WIDER
        there = np.array([other is not None for other in seen[len(self.along) :]], dtype=bool)
        return _Moves(along, (shown - self.at_random[:count] @ self.directions.T @ along / WIDER)[there])

    def _doubt(self, path: str, names: Sequence[str]) -> float:
        """The share of draws in which a verdict with margins turns out otherwise."""
        lines = [self._line(_margin_reader(path, name), self._count(path)) for name in names]
        known = [line for line in lines if line is not None]
        if not known:
            return 0.0
        drawn, missed = self._drawn[:, : len(self.directions)], self._drawn[:, len(self.directions) :]
        good = np.ones(DRAWS, dtype=bool)
        for number, line in enumerate(known):
            good &= line.value + drawn @ line.along + sqrt(line.missed) * missed[:, number % missed.shape[1]] > 0.0
        stated = all(line.value > 0.0 for line in known)
        return float(np.mean(good != stated))


def how_known(
    evaluation: Evaluation,
    cases: Sequence[FloodingCase],
    read: ReadFigures,
    *,
    more: Sequence[StatedLimit] = (),
    holed: Holed = "pairs",
    executor: Executor | None = None,
) -> HowKnown:
    """How sure a boat's figures and verdicts are: some 40 boats are looked at for it, each by an evaluation of its own.

    cases: of flooding, those that `holed` says. read: the figures by path. more: figures beside
    those. executor: looks at boats beside each other, and is left running.
    """
    if evaluation.scene.hull.apart:
        raise SketchError(
            "how sure figures are is not worked out for a hull whose sides were measured apart",
            "Take `port` out of her stations in a copy: what doubt a tape leaves is much the same.",
            evaluation.scene.hull.file,
        )
    looking = Looking(evaluation.scene, readings_of(evaluation.scene), read, tuple(more), holed)
    directions = directions_of(evaluation, looking.readings)
    at_random = WIDER * np.random.default_rng(SEED).standard_normal((REMEASURED + INTACT, len(looking.readings)))
    holed_too = [np.zeros(len(looking.readings)), *directions, *at_random[:REMEASURED]]
    base, *looks = looking.all(holed_too, executor) + looking.intact.all([*at_random[REMEASURED:]], executor)
    stated = looking.at(evaluation, cases)
    return HowKnown(
        looking=looking,
        stated=stated,
        base=base or stated,
        critical=critical(evaluation, cases),
        directions=directions,
        along=tuple(looks[: len(directions)]),
        at_random=at_random,
        random=tuple(looks[len(directions) :]),
    )


def directions_of(evaluation: Evaluation, readings: Sequence[TapeReading]) -> Floats:
    """Rows (r, n), orthonormal, in which readings move what figures feel: of the hull what matters most, else each by itself."""
    count = len(readings)
    rows = [_leading(influences(evaluation, readings), DIRECTIONS)]
    unit = np.eye(count)
    rows.append(unit[[k for k, reading in enumerate(readings) if reading.what in ("waterline", "gravity")]])
    weighed = [k for k, reading in enumerate(readings) if reading.what == "weight"]
    heavy = np.zeros((4, count))
    for k in weighed:
        weight = evaluation.scene.weights[readings[k].number]
        heavy[:, k] = readings[k].error * np.array([1.0, *weight.at])
    rows.append(_leading(heavy / np.maximum(np.linalg.norm(heavy, axis=1, keepdims=True), 1e-12), len(weighed)))
    return np.concatenate(rows)


def _leading(rows: Floats, most: int) -> Floats:
    """The directions (at most `most`) along which rows (k, n) reach furthest, orthonormal."""
    if not rows.size or not rows.any():
        return rows[:0]
    _, sizes, found = np.linalg.svd(rows, full_matrices=False)
    leading: Floats = found[: min(most, int((sizes > LEAST_SHARE * sizes[0]).sum()))]
    return leading


def _fitted(value: float, along: Floats, foretold: Floats, shown: Floats) -> Slopes:
    """A line whose slopes foretell changes (m,) where others were shown; where it foretells badly it is made flatter."""
    if not len(shown):
        return Slopes(value, along, 0.0)
    missed = float(np.mean((shown - foretold) ** 2))
    size = float(foretold @ foretold)
    if len(shown) >= TELLING and size > 0.0 and missed > POOR * float(along @ along):
        flatter = min(max(float(shown @ foretold) / size, 0.0), 1.0)
        along, missed = flatter * along, float(np.mean((shown - flatter * foretold) ** 2))
    return Slopes(value, along, missed)


def _is_figure(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _margin_reader(path: str, name: str) -> Reader:
    """Reads one margin of a verdict; None in a boat that has none of it."""
    return lambda look: look.margins.get(path, {}).get(name)
