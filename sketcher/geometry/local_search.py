"""Search for the best places nearby under constraints: small linear programmes, and steps that follow curved constraints."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sketcher.geometry.linear_programme import best_vertices
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import CLEAR

_PENALTY = 1e4
"""[1/m] What a metre of missing clearance costs in a programme: more than any gain in length can be worth."""

_MERIT = 50.0
"""[1/m] The same when a step is judged: milder, so that a curved constraint can be followed in long steps."""


@dataclass(frozen=True, eq=False)
class Optimum:
    """Where a local search ended: place (n,), its gain, and how much clearance [m] is missing there (0: all constraints hold)."""

    place: Floats
    gain: float
    missing: float


@dataclass(frozen=True, eq=False)
class Outlook:
    """What is seen from places (k, n): the gain (k,) of each and its slopes (k, n), and clearances.

    room: (t,) clearances [m]; whose: (t,) which place each belongs to; slope_room: (t, n). Clearances that no step within reach
    can use up may be left out.
    """

    places: Floats
    gain: Floats
    slope_gain: Floats
    whose: Ints
    room: Floats
    slope_room: Floats

    @property
    def missing(self) -> Floats:
        """(k,) how much clearance [m] is missing at each place."""
        return self._most_lacking(self.room)

    @property
    def merit(self) -> Floats:
        return self.gain - _MERIT * self.missing

    def hope(self, steps: Floats) -> Floats:
        """How much each merit would rise by a step (k, n) if nothing were curved."""
        then = self._most_lacking(self.room + (self.slope_room * steps[self.whose]).sum(axis=1))
        return (self.slope_gain * steps).sum(axis=1) - _MERIT * (then - self.missing)  # type: ignore[no-any-return]

    def of(self, chosen: Ints) -> Outlook:
        """The same of some of the places, in their order."""
        number = np.full(len(self.places), -1)
        number[chosen] = np.arange(len(chosen))
        kept = number[self.whose] >= 0
        return Outlook(
            self.places[chosen],
            self.gain[chosen],
            self.slope_gain[chosen],
            number[self.whose[kept]],
            self.room[kept],
            self.slope_room[kept],
        )

    def replaced(self, by: Outlook, where: Ints) -> Outlook:
        """The same with what is seen from other places in the stead of those at these numbers."""
        kept = ~np.isin(self.whose, where)
        places, gain, slope_gain = self.places.copy(), self.gain.copy(), self.slope_gain.copy()
        places[where], gain[where], slope_gain[where] = by.places, by.gain, by.slope_gain
        return Outlook(
            places,
            gain,
            slope_gain,
            np.concatenate([self.whose[kept], where[by.whose]]),
            np.concatenate([self.room[kept], by.room]),
            np.concatenate([self.slope_room[kept], by.slope_room]),
        )

    def within(self, reach: Floats) -> Outlook:
        """The same without clearances that no step within reach (k, n) can use up."""
        near = self.room - (np.abs(self.slope_room) * reach[self.whose]).sum(axis=1) < CLEAR
        return replace(self, whose=self.whose[near], room=self.room[near], slope_room=self.slope_room[near])

    def _most_lacking(self, room: Floats) -> Floats:
        lacking = np.zeros(len(self.places))
        np.maximum.at(lacking, self.whose, -room)
        return lacking


Look = Callable[[Ints, Floats, Floats], Outlook]
"""What searches (k,) see from places (k, n); no step from there goes further than (k, n) to either side."""


def local_searches(starts: Floats, stride: Floats, look: Look, rounds: int = 40, enough: float = 1e-6) -> list[Optimum]:
    """Search from each of `starts` (k, n) for a local maximum of the gain where every clearance is 0 or more, in lockstep.

    stride: (n,), the first trust region reaches so far to either side. The clearances seen from a place must be smooth about it,
    so of two ways to be clear the better one is chosen there, and of two corners that might touch each has a row. A start that
    lacks clearance is first moved to where it does not. Each round solves the linear programme of the slopes; a step that makes
    things worse shrinks the region. A search ends when its region has shrunk to `enough` of the stride, or after `rounds`.
    """
    if not len(starts):
        return []
    stride = np.broadcast_to(stride, starts.shape)
    going, size = np.arange(len(starts)), np.ones(len(starts))
    whole = here = look(going, starts.astype(np.float64), stride).within(stride)
    for _ in range(rounds):
        steps = _steps(here, stride[going] * size[:, None])
        hoped = here.hope(steps)
        ahead = _ahead(here, steps, stride[going], size, going, look)
        rise = np.where(hoped < CLEAR * 1e-3, 0.0, ahead.merit - here.merit)
        size = np.where(rise > 0.6 * hoped, np.minimum(1.0, 1.5 * size), size * np.where(rise > 0.0, 0.5, 0.3))
        better = np.flatnonzero(rise > 0.0)
        here = here.replaced(ahead.of(better), better)
        done = (hoped < CLEAR * 1e-3) | (size < enough)
        if done.any():
            whole = whole.replaced(here.of(np.flatnonzero(done)), going[done])
            left = np.flatnonzero(~done)
            here, going, size = here.of(left), going[left], size[left]
            if not len(left):
                break
    whole = whole.replaced(here, going)
    for _ in range(3):
        lacking = np.flatnonzero(whole.missing > CLEAR * 1e-3)
        if not len(lacking):
            break
        there = whole.of(lacking)
        reach = stride[lacking] * np.minimum(1.0, 10.0 * there.missing)[:, None]
        whole = whole.replaced(look(lacking, there.places + _steps(there, reach), stride[lacking]), lacking)
    missing = whole.missing
    return [Optimum(whole.places[k], float(whole.gain[k]), float(missing[k])) for k in range(len(starts))]


def _ahead(here: Outlook, steps: Floats, stride: Floats, size: Floats, going: Ints, look: Look) -> Outlook:
    """What is seen after each step; where the constraints bend away under a long one, after a short one more that comes back."""
    reach = stride * np.minimum(1.0, 1.5 * size)[:, None]
    ahead = look(going, here.places + steps, reach).within(reach)
    bent = np.flatnonzero((ahead.merit <= here.merit) & (ahead.missing > CLEAR))
    if len(bent):
        there = ahead.of(bent)
        back = _steps(there, stride[bent] * size[bent, None] / 4)
        ahead = ahead.replaced(look(going[bent], there.places + back, reach[bent]).within(reach[bent]), bent)
    return ahead


def _steps(here: Outlook, reach: Floats) -> Floats:
    """The steps (k, n) within `reach` that gain most while the linear clearances hold, or lack as little as can be."""
    k, n = reach.shape
    # A row out of the region's reach cannot be met by any step: leaving it out keeps the programmes small.
    near = here.within(reach)
    order = np.argsort(near.whose, kind="stable")
    whose, room, slope = near.whose[order], near.room[order], near.slope_room[order]
    counts = np.bincount(whose, minlength=k)
    place = np.arange(len(whose)) - (np.cumsum(counts) - counts)[whose]
    m = int(counts.max(initial=0))
    rows, limits = np.zeros((k, 2 * n + 1 + m, n + 1)), np.ones((k, 2 * n + 1 + m))
    rows[:, :n, :n], rows[:, n : 2 * n, :n], rows[:, 2 * n, n] = -np.eye(n), np.eye(n), -1.0
    limits[:, :n] = limits[:, n : 2 * n] = reach
    limits[:, 2 * n] = 0.0
    rows[whose, 2 * n + 1 + place, :n], rows[whose, 2 * n + 1 + place, n] = -slope, -1.0
    limits[whose, 2 * n + 1 + place] = room
    # From the lowest corner of the region, with as much clearance missing as is missing there.
    lacking = np.zeros((k, 1 + m))
    lacking[whose, 1 + place] = (slope * reach[whose]).sum(axis=1) - room
    corner = np.column_stack([np.tile(np.arange(n), (k, 1)), 2 * n + lacking.argmax(axis=1)])
    worth = np.column_stack([here.slope_gain, np.full(k, -_PENALTY)])
    return best_vertices(worth, rows, limits, corner)[:, :n]
