"""Search for the best place nearby under constraints: a small linear programme, and steps that follow curved constraints."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import CLEAR

_NO_GAIN = 1e-11
"""[-] A multiplier nearer to 0 than this is taken for 0, so that rounding cannot keep the programme going."""

_PIVOT = 1e-7
"""[-] A row that a direction approaches more slowly than this is never made active: it would be parallel to the others."""

_PENALTY = 1e4
"""[1/m] What a metre of missing clearance costs in a programme: more than any gain in length can be worth."""

_MERIT = 50.0
"""[1/m] The same when a step is judged: milder, so that a curved constraint can be followed in long steps."""

_PROBE = 1e-6
"""Step of the difference quotients; clearances are piecewise smooth and of the size of metres and radians."""


def best_vertex(gain: Floats, rows: Floats, limits: Floats, corner: list[int]) -> Floats:
    """The z that maximises gain . z under rows @ z <= limits, from the vertex where the rows `corner` hold with equality.

    gain: (n,); rows: (m, n); limits: (m,); corner: n independent rows that are met exactly at a point within all limits. The
    feasible set must be bounded in the direction of gain. Active-set simplex; ends after at most 20 exchanges for each unknown.
    """
    active = list(corner)
    z = np.asarray(np.linalg.solve(rows[active], limits[active]), dtype=np.float64)
    for _ in range(20 * len(gain)):
        try:
            inverse = np.linalg.inv(rows[active])
        except np.linalg.LinAlgError:
            # Rows that rounding has made dependent: the vertex reached is within all limits, and a shorter step may follow.
            break
        worth = gain @ inverse
        leaving = int(np.argmin(worth))
        if worth[leaving] >= -_NO_GAIN:
            break
        along = -inverse[:, leaving]
        rate = rows @ along
        rate[active] = 0.0
        ahead = np.flatnonzero(rate > _PIVOT)
        if not len(ahead):
            break
        steps = np.maximum(limits[ahead] - rows[ahead] @ z, 0.0) / rate[ahead]
        # Of rows met at the same step the steepest one enters: it keeps the corner far from degenerate.
        met = steps <= steps.min() + _NO_GAIN
        nearest = int(np.argmax(np.where(met, rate[ahead], 0.0)))
        z = z + steps[nearest] * along
        active[leaving] = int(ahead[nearest])
    return z


@dataclass(frozen=True, eq=False)
class Optimum:
    """Where a local search ended: place (n,), its gain, and how much clearance [m] is missing there (0: all constraints hold)."""

    place: Floats
    gain: float
    missing: float


Rows = Callable[[Floats], Floats]
"""Clearances (k, m) [m] at places (k, n), smooth near the place they were chosen at."""


def local_search(
    start: Floats,
    stride: Floats,
    gain: Callable[[Floats], Floats],
    rows_at: Callable[[Floats], Rows],
    rounds: int = 40,
    enough: float = 1e-6,
) -> Optimum:
    """Search from `start` for a local maximum of `gain` where every clearance is 0 or more.

    start, stride: (n,), the first trust region reaches `stride` to either side. gain: (k, n) -> (k,). rows_at: for a place the
    clearances that must hold about it; they must be smooth, so of two ways to be clear the better one is chosen there, and of
    two corners that might touch each has a row. A start that lacks clearance is first moved to where it does not. Each round
    solves the linear programme of the slopes; a step that makes things worse shrinks the region. Ends when the region has
    shrunk to `enough` of the stride, or after `rounds`.
    """
    look = _Lookout(gain, rows_at, np.vstack([np.zeros(len(start)), _PROBE * np.eye(len(start))]))
    here, size = look.at(start.astype(np.float64)), 1.0
    for _ in range(rounds):
        step = here.step(stride * size)
        hoped = here.hope(step)
        if hoped < CLEAR * 1e-3:
            break
        ahead = look.at(here.place + step)
        if ahead.merit <= here.merit and ahead.missing > CLEAR:
            # The constraints bend away under a long step: one short step more, by the slopes at its end, comes back to them.
            ahead = look.at(ahead.place + ahead.step(stride * size / 4))
        rise = ahead.merit - here.merit
        size = min(1.0, size * 1.5) if rise > 0.6 * hoped else size * (0.5 if rise > 0.0 else 0.3)
        if rise > 0.0:
            here = ahead
        if size < enough:
            break
    for _ in range(3):
        if here.missing > CLEAR * 1e-3:
            here = look.at(here.place + here.step(stride * min(1.0, 10.0 * here.missing)))
    return Optimum(here.place, here.gain, here.missing)


@dataclass(frozen=True, eq=False)
class _Spot:
    """A place with its gain, its clearances (m,), and the slopes of both, (n,) and (m, n)."""

    place: Floats
    gain: float
    room: Floats
    slope_gain: Floats
    slope_room: Floats

    @property
    def missing(self) -> float:
        return _missing(self.room)

    @property
    def merit(self) -> float:
        return self.gain - _MERIT * self.missing

    def step(self, reach: Floats) -> Floats:
        return _programme(self.slope_gain, self.slope_room, self.room, reach)

    def hope(self, step: Floats) -> float:
        """How much the merit would rise by a step if nothing were curved."""
        return float(self.slope_gain @ step) - _MERIT * (_missing(self.room + self.slope_room @ step) - self.missing)


@dataclass(frozen=True, eq=False)
class _Lookout:
    gain: Callable[[Floats], Floats]
    rows_at: Callable[[Floats], Rows]
    probes: Floats

    def at(self, place: Floats) -> _Spot:
        places = place + self.probes
        values, rooms = self.gain(places), self.rows_at(place)(places)
        return _Spot(place, float(values[0]), rooms[0], (values[1:] - values[0]) / _PROBE, ((rooms[1:] - rooms[0]) / _PROBE).T)


def _missing(room: Floats) -> float:
    return float(np.maximum(-room, 0.0).max(initial=0.0))


def _programme(slope_value: Floats, slope_room: Floats, room: Floats, reach: Floats) -> Floats:
    """The step within `reach` that gains most while the linear clearances hold, or lack as little as can be."""
    n = len(reach)
    # A row out of the region's reach cannot be met by any step: leaving it out keeps the programme small.
    near = room - np.abs(slope_room) @ reach < CLEAR
    slopes, rooms = slope_room[near], room[near]
    box = np.hstack([np.vstack([-np.eye(n), np.eye(n)]), np.zeros((2 * n, 1))])
    rows = np.vstack([box, np.append(np.zeros(n), -1.0), np.hstack([-slopes, -np.ones((len(rooms), 1))])])
    limits = np.concatenate([reach, reach, [0.0], rooms])
    lacking = -(rooms - slopes @ reach)
    worst = 2 * n if not len(lacking) or lacking.max() <= 0.0 else 2 * n + 1 + int(np.argmax(lacking))
    return best_vertex(np.append(slope_value, -_PENALTY), rows, limits, [*range(n), worst])[:n]
