"""The best place that keeps to all limits, by a pattern search that goes from coarse to the millimetre.

A grid over the ranges first; from its best places, and from where places begin to be forbidden, to neighbours on every side
at ever shorter steps (a pattern search after Hooke and Jeeves, here with all corners of the box and skew steps, so that it slides
along a limit). It takes the figures for smooth between the grid's places: what lies wholly between them is not found.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import product

from sketcher.analysis.places.rows import PlaceRow, Question

Steps = tuple[int, ...]
"""A place in whole fine steps from the ranges' low ends."""
Look = Callable[[Sequence[tuple[float, ...]]], dict[tuple[float, ...], PlaceRow]]
"""Works rows of places out."""
Goal = Callable[[PlaceRow], float | None]
"""What of a row is to be as great as can be; None: it has none."""
Merit = tuple[float, float]
"""Smaller is better: by how much limits are missed, then the goal turned round."""

FINE_LENGTH = 0.001
"""[m] To the millimetre."""
FINE_SHARE = 1 / 500
"""Of the range, for numbers that are no lengths."""
GRID = {1: 41, 2: 9, 3: 6, 4: 5}
"""Places along each range of the first grid, by how many numbers move."""
STARTS = 4
"""Places of the grid that the search goes on from, beside those at an edge of what is forbidden."""
SKEW_TRIES, BATCHES = 48, {1: 0, 2: 1, 3: 3, 4: 6}
"""Skew steps that are tried at a time, and how often, by how many numbers move, before steps are made shorter."""
MOST_MOVES = {1: 1000, 2: 1000, 3: 25, 4: 15}
"""Moves with steps of one length, by how many numbers move: of many numbers nobody waits for the last millimetre."""
OUT = 1e9
"""What counts as missed where there is no boat or no figure."""


@dataclass(eq=False)
class PlaceSearch:
    """All rows that were worked out so far, kept for every goal that is asked of the same question."""

    question: Question
    look: Look
    rows: dict[Steps, PlaceRow] = field(default_factory=dict)

    def __post_init__(self) -> None:
        ranges = self.question.ranges
        self._fine = [FINE_LENGTH if each.is_length else (each.high - each.low) * FINE_SHARE for each in ranges]
        self._most = [int((each.high - each.low) / fine + 1e-9) for each, fine in zip(ranges, self._fine, strict=True)]
        count = GRID[len(ranges)]
        self._coarse = [max(1, -(-most // (count - 1))) for most in self._most]

    def best(self, goal: Goal, needed: Iterable[str]) -> PlaceRow | None:
        """The row with the most of a goal among those that meet the limits named; None where none is found."""
        must = frozenset(needed)
        self._known([tuple(place) for place in product(*map(self._coarse_line, range(len(self._most))))])
        for start in self._starts(goal, must):
            self._descend(start, goal, must)
        place = min(self.rows, key=lambda steps: (_merit(self.rows[steps], goal, must), steps))
        found = self.rows[place]
        missed, _ = _merit(found, goal, must)
        return found if missed == 0.0 else None

    def _coarse_line(self, k: int) -> list[int]:
        return sorted({*range(0, self._most[k] + 1, self._coarse[k]), self._most[k]})

    def _known(self, places: Sequence[Steps]) -> None:
        """Work out what is not known yet of some places."""
        new = [place for place in dict.fromkeys(places) if place not in self.rows]
        at = {self._values(place): place for place in new}
        for values, row in self.look(list(at)).items():
            self.rows[at[values]] = row

    def _values(self, place: Steps) -> tuple[float, ...]:
        return tuple(
            min(each.high, each.low + steps * fine)
            for each, steps, fine in zip(self.question.ranges, place, self._fine, strict=True)
        )

    def _starts(self, goal: Goal, must: frozenset[str]) -> list[Steps]:
        """The best places so far, and along one range both sides of every edge of what is forbidden."""
        ranked = sorted(self.rows, key=lambda steps: (_merit(self.rows[steps], goal, must), steps))
        starts = ranked[:STARTS]
        if len(self._most) == 1:
            line = sorted(self.rows)
            allowed = [_merit(self.rows[steps], goal, must)[0] == 0.0 for steps in line]
            starts += [line[k] if allowed[k] else line[k + 1] for k in range(len(line) - 1) if allowed[k] != allowed[k + 1]]
        return list(dict.fromkeys(starts))

    def _descend(self, at: Steps, goal: Goal, must: frozenset[str]) -> None:
        """From one place to better neighbours, at steps that are halved where none is better, down to the finest."""
        dice = random.Random(len(at))
        step, moves = list(self._coarse), 0
        while True:
            better = self._better(at, self._around(at, step), goal, must)
            for _ in range(BATCHES[len(at)]):
                better = better or self._better(at, self._skew(at, step, dice), goal, must)
            if better is not None and moves < MOST_MOVES[len(at)]:
                at, moves = self._further(at, better, goal, must), moves + 1
            elif max(step) == 1:
                return
            else:
                step, moves = [(each + 1) // 2 for each in step], 0

    def _further(self, at: Steps, better: Steps, goal: Goal, must: frozenset[str]) -> Steps:
        """On from a place that is better, the same way and twice as far each time, as long as it gets better still."""
        by = tuple(b - a for a, b in zip(at, better, strict=True))
        while True:
            on = self._better(better, self._inside(better, [by]), goal, must)
            if on is None:
                return better
            better, by = on, tuple(2 * each for each in by)

    def _better(self, at: Steps, places: Sequence[Steps], goal: Goal, must: frozenset[str]) -> Steps | None:
        self._known(places)
        tried = [place for place in places if place in self.rows]
        if not tried:
            return None
        best = min(tried, key=lambda steps: (_merit(self.rows[steps], goal, must), steps))
        better = _merit(self.rows[best], goal, must) < _merit(self.rows[at], goal, must)
        return best if better else None

    def _around(self, at: Steps, step: Sequence[int]) -> list[Steps]:
        """The corners, edges and faces of the box about a place."""
        corners = product((-1, 0, 1), repeat=len(at))
        return self._inside(at, [tuple(n * s for n, s in zip(sides, step, strict=True)) for sides in corners])

    def _skew(self, at: Steps, step: Sequence[int], dice: random.Random) -> list[Steps]:
        """Places up to four steps away in each number, by different numbers of them, or by none."""
        if len(at) == 2:
            chosen: Iterable[Steps] = product((-4, -3, -2, -1, 0, 1, 2, 3, 4), repeat=2)
        else:
            chosen = [tuple(dice.choice((0, 0, 0, -4, -3, -2, -1, 1, 2, 3, 4)) for _ in at) for _ in range(SKEW_TRIES)]
        return self._inside(at, [tuple(n * s for n, s in zip(sides, step, strict=True)) for sides in chosen])

    def _inside(self, at: Steps, moves: Iterable[Steps]) -> list[Steps]:
        places = (tuple(a + by for a, by in zip(at, move, strict=True)) for move in moves)
        within = [place for place in places if all(0 <= a <= most for a, most in zip(place, self._most, strict=True))]
        return [place for place in dict.fromkeys(within) if place != at]


def _merit(row: PlaceRow, goal: Goal, must: frozenset[str]) -> Merit:
    """How good a row is: by how much the limits are missed, each beside its bound, then the goal."""
    wanted = None if row.error is not None else goal(row)
    if wanted is None:
        return OUT, 0.0
    missed = 0.0
    for limit in row.limits:
        if limit.name in must and not limit.met:
            missed += OUT / 1e3 if limit.margin is None else -limit.margin / max(abs(limit.bound), 0.01)
    return missed, -wanted
