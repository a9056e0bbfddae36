"""The lines along a measured hull: which knuckle of one station goes on as which of the next, and which mark was forgotten."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.interpolation import girths
from sketcher.geometry.surface.row_matching import match_corners
from sketcher.geometry.tolerances import TAPE_ERROR

KEEL, SHEER = 0, -1
"""Numbers of the lines that every station has; knuckle lines count from 1."""

_SAME_LINE = 0.12
"""[share of girth] how far a line wanders between neighbouring stations, at most, for a corner to be taken as its own."""
_CORNER = 24.0
_END_CORNER = 32.0
_LEAST_CORNER = 12.0
"""[degrees] the least turn that counts as a corner by itself, next to keel or sheer (where only one side can be compared), and
where a neighbouring station's mark speaks for it."""
_STANDS_OUT = 2.5
"""[1] how many times the turns beside it a corner turns: a round bilge turns by about the same at every point."""


@dataclass(frozen=True)
class MissedMark:
    """A corner that is no marked knuckle; beside: the station whose mark or corner speaks for it. All counted from 0."""

    station: int
    point: int
    turn: float
    beside: int


def trace_lines(points: Sequence[Floats], marks: Sequence[Sequence[int]]) -> list[tuple[tuple[int, int], ...]]:
    """For each station the lines that cross it, (line, point), from keel to sheer; marks count points from 0.

    A knuckle missing at one station goes on at the next; one missing at two ends.
    """
    live: list[tuple[float, int, int]] = []
    names = 0
    traced = []
    for j, (section, mine) in enumerate(zip(points, marks, strict=True)):
        shares = _shares(section)
        pairs = match_corners([share for share, _, _ in live], [float(shares[i]) for i in mine])
        line_of = {mine[b]: live[a][1] for a, b in pairs}
        for i in mine:
            if i not in line_of:
                names += 1
                line_of[i] = names
        traced.append(((KEEL, 0), *((line_of[i], i) for i in mine), (SHEER, len(section) - 1)))
        seen = set(line_of.values())
        live = sorted(
            [(float(shares[i]), line, j) for i, line in line_of.items()]
            + [old for old in live if old[1] not in seen and old[2] >= j - 1]
        )
    return traced


def missed_marks(points: Sequence[Floats], marks: Sequence[Sequence[int]]) -> list[MissedMark]:
    """Corners that should be marked as knuckles, by what the station itself and the stations beside it show."""
    found = _bare_corners(points, marks)
    while True:
        known = [sorted({*mine, *(m.point for m in found if m.station == j)}) for j, mine in enumerate(marks)]
        more = _beside_marks(points, known)
        if not more:
            return sorted(found, key=lambda m: (m.station, m.point))
        found += more


def _bare_corners(points: Sequence[Floats], marks: Sequence[Sequence[int]]) -> list[MissedMark]:
    """Unmarked corners that stand out at two neighbouring stations at least."""
    corners = []
    for section, mine in zip(points, marks, strict=True):
        turns, shares = _turns(section), _shares(section)
        bare = [i for i in range(1, len(section) - 1) if i not in mine and _stands_out(section, turns, mine, i)]
        corners.append([(i, float(shares[i]), float(turns[i])) for i in bare])
    missed = []
    for j, mine_corners in enumerate(corners):
        for i, share, turn in mine_corners:
            beside = [
                n
                for n in (j - 1, j + 1)
                if 0 <= n < len(corners) and any(abs(other - share) <= _SAME_LINE for _, other, _ in corners[n])
            ]
            if beside:
                missed.append(MissedMark(j, i, turn, beside[0]))
    return missed


def _beside_marks(points: Sequence[Floats], marks: Sequence[Sequence[int]]) -> list[MissedMark]:
    """Unmarked corners where the line of a knuckle marked at the next station would cross."""
    for j, (section, mine) in enumerate(zip(points, marks, strict=True)):
        turns, shares = _turns(section), _shares(section)
        for n in (j - 1, j + 1):
            if not 0 <= n < len(points):
                continue
            theirs, their_turns = _shares(points[n]), _turns(points[n])
            pairs = match_corners([float(theirs[k]) for k in marks[n]], [float(shares[i]) for i in mine])
            for k in [mark for m, mark in enumerate(marks[n]) if m not in {a for a, _ in pairs}]:
                near = [i for i in range(1, len(section) - 1) if i not in mine and abs(shares[i] - theirs[k]) <= _SAME_LINE]
                best = max(near, key=lambda i: turns[i], default=None)
                least = max(_LEAST_CORNER, 0.5 * their_turns[k])
                if best is not None and turns[best] >= least and _clear_of(turns, mine, best):
                    return [MissedMark(j, best, turns[best], n)]
    return []


def _stands_out(section: Floats, turns: Floats, marks: Sequence[int], i: int) -> bool:
    """Whether the turn at i is a corner's even if the tape made it twice its standard error too great."""
    beside = len(_beside(turns, marks, i))
    least = {0: np.inf, 1: _END_CORNER, 2: _CORNER}[beside]
    before, after = 1.0 / np.hypot(*(section[i] - section[i - 1])), 1.0 / np.hypot(*(section[i + 1] - section[i]))
    error = np.degrees(TAPE_ERROR * np.sqrt(before**2 + after**2 + (before + after) ** 2))
    return bool(turns[i] - 2.0 * error >= least) and _clear_of(turns, marks, i)


def _clear_of(turns: Floats, marks: Sequence[int], i: int) -> bool:
    """Whether the turn at i is far greater than those at the unmarked points beside it."""
    return all(turns[i] >= _STANDS_OUT * other for other in _beside(turns, marks, i))


def _beside(turns: Floats, marks: Sequence[int], i: int) -> list[float]:
    return [float(turns[k]) for k in (i - 1, i + 1) if 0 < k < len(turns) - 1 and k not in marks]


def _shares(section: Floats) -> Floats:
    along = girths(section)
    return np.asarray(along / along[-1])


def _turns(section: Floats) -> Floats:
    """How far the chords turn at each point (n,) [degrees]; 0 at both ends."""
    chords = np.diff(section, axis=0)
    heading = np.unwrap(np.arctan2(chords[:, 1], chords[:, 0]))
    return np.concatenate([[0.0], np.degrees(np.abs(np.diff(heading))), [0.0]])
