"""Which place on one cross curve belongs to which place on the next: the rows of a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.surface.curve import Curve
from sketcher.geometry.surface.profile_end import Lead, ProfileEnd, profile_end
from sketcher.geometry.tolerances import SAME_SHARE

LEAVE_CORNER = 0.15
"""Share of length. Two neighbouring curves' corners belong to one line when they lie nearer than twice this."""


@dataclass(frozen=True, eq=False)
class CrossCurve:
    """A cross curve of a sheet. A profile is an end of the sheet in the plane y = 0, met by the rows at their heights."""

    curve: Curve
    profile: bool = False


def match_corners(a: Sequence[float], b: Sequence[float]) -> list[tuple[int, int]]:
    """Pairs of corners (index in a, index in b), in order, that make the least sum of differences of shares and of leavings.

    a, b: rising shares of length; a corner without a partner costs LEAVE_CORNER.
    """
    cost = np.zeros((len(a) + 1, len(b) + 1))
    cost[:, 0] = LEAVE_CORNER * np.arange(len(a) + 1)
    cost[0, :] = LEAVE_CORNER * np.arange(len(b) + 1)
    for i, share_a in enumerate(a):
        for j, share_b in enumerate(b):
            left = min(cost[i, j + 1], cost[i + 1, j]) + LEAVE_CORNER
            cost[i + 1, j + 1] = min(cost[i, j] + abs(share_a - share_b), left)
    pairs = []
    i, j = len(a), len(b)
    while i and j:
        if cost[i, j] == cost[i - 1, j - 1] + abs(a[i - 1] - b[j - 1]):
            i, j = i - 1, j - 1
            pairs.append((i, j))
        elif cost[i, j] == cost[i - 1, j] + LEAVE_CORNER:
            i -= 1
        else:
            j -= 1
    return pairs[::-1]


@dataclass(frozen=True, eq=False)
class Rows:
    """Rows by their position 0..1: the share of length on the first curve that is no profile, carried on from curve to curve.

    by_index: neighbouring curves with equally many points are matched point by point, others by their corners.
    """

    cross_curves: Sequence[CrossCurve]
    by_index: bool
    _first: int = field(init=False)
    _last: int = field(init=False)
    _links: list[tuple[Floats, Floats]] = field(init=False)

    def __post_init__(self) -> None:
        count = len(self.cross_curves)
        set_ = object.__setattr__
        set_(self, "_first", int(self.cross_curves[0].profile))
        set_(self, "_last", count - 1 - int(self.cross_curves[-1].profile))
        set_(self, "_links", [self._link(k) for k in range(self._first, self._last)])

    def _link(self, k: int) -> tuple[Floats, Floats]:
        """Shares on curve k and on curve k + 1 that belong together; between them in proportion."""
        a, b = self.cross_curves[k].curve, self.cross_curves[k + 1].curve
        if self.by_index and len(a.points) == len(b.points):
            return a.shares, b.shares
        share_a, share_b = a.shares[list(a.corners)], b.shares[list(b.corners)]
        pairs = match_corners(share_a.tolist(), share_b.tolist())
        return (
            np.concatenate([[0.0], share_a[[i for i, _ in pairs]], [1.0]]),
            np.concatenate([[0.0], share_b[[j for _, j in pairs]], [1.0]]),
        )

    def shares(self, positions: Floats) -> Floats:
        """Shares of length of the rows on every curve, (curves, rows)."""
        shares = np.empty((len(self.cross_curves), len(positions)))
        shares[self._first] = positions
        for k, (a, b) in enumerate(self._links, start=self._first):
            shares[k + 1] = np.interp(shares[k], a, b)
        ahead, behind = self._ends
        if ahead is not None:
            shares[0] = ahead.shares(shares[1])
        if behind is not None:
            shares[-1] = behind.shares(shares[-2])
        return shares

    def positions(self, k: int, shares: Floats) -> Floats:
        """The rows that pass curve k, no profile, at these shares of its length."""
        for a, b in reversed(self._links[: k - self._first]):
            shares = np.interp(shares, b, a)
        return shares

    def of_corners(self) -> Floats:
        """Positions of the two edges and of every corner of every curve, rising, each once."""
        return self._of([cross_curve.curve.shares[list(cross_curve.curve.corners)] for cross_curve in self.cross_curves])

    def of_points(self) -> Floats:
        """Positions of every point of every curve, rising, each once."""
        return self._of([cross_curve.curve.shares for cross_curve in self.cross_curves])

    def _of(self, shares: Sequence[Floats]) -> Floats:
        found = [self.positions(k, shares[k]) for k in range(self._first, self._last + 1)]
        rising = np.sort(np.clip(np.concatenate([[0.0], *found, [1.0]]), 0.0, 1.0))
        apart = np.concatenate([[True], np.diff(rising) > SAME_SHARE])
        kept: Floats = rising[apart]
        kept[-1] = 1.0
        return kept

    def least_steps(self, must: Floats) -> Ints:
        """Steps each gap between the rows `must` needs so that every point of a curve can have a row of its own."""
        most = np.ones(len(must) - 1, dtype=np.int64)
        for k in range(self._first, self._last + 1):
            at = self.positions(k, self.cross_curves[k].curve.shares[1:-1])
            inside = at[np.abs(at[:, None] - must[None, :]).min(axis=1) > SAME_SHARE] if len(at) else at
            held = np.bincount(np.searchsorted(must, inside) - 1, minlength=len(most))
            most = np.maximum(most, held + 1)
        return most

    def places(self, positions: Floats) -> Floats:
        """Where the rows cross every curve, (curves, rows, 3)."""
        return np.stack(
            [cross_curve.curve.at(share) for cross_curve, share in zip(self.cross_curves, self.shares(positions), strict=True)]
        )

    def leads(self, positions: Floats) -> tuple[Lead | None, Lead | None]:
        """How rows leave the first and the last curve; None where that is no profile."""
        shares = self.shares(positions)
        ahead, behind = self._ends
        return (
            None if ahead is None else ahead.lead(shares[1]),
            None if behind is None else behind.lead(shares[-2]),
        )

    @cached_property
    def _ends(self) -> tuple[ProfileEnd | None, ProfileEnd | None]:
        """The profiles at both ends with the corner lines that lead to them."""
        curves = [cross_curve.curve for cross_curve in self.cross_curves[self._first : self._last + 1]]
        back = [(b, a) for a, b in reversed(self._links)]
        ahead = _end(self.cross_curves[0].curve, curves, self._links, self.by_index) if self._first else None
        behind = (
            _end(self.cross_curves[-1].curve, curves[::-1], back, self.by_index)
            if self._last < len(self.cross_curves) - 1
            else None
        )
        return ahead, behind

    def pinned(self, positions: Floats) -> list[Floats]:
        """The rows' places on each curve (rows, 3), slid along it so that every given point of the curve is one of them."""
        return [
            cross_curve.curve.at(_pinned(cross_curve.curve.shares, share))
            for cross_curve, share in zip(self.cross_curves, self.shares(positions), strict=True)
        ]


def _end(profile: Curve, curves: Sequence[Curve], links: Sequence[tuple[Floats, Floats]], by_index: bool) -> ProfileEnd:
    """The end at a profile next to the first of the curves; links: from each curve to the next."""
    shares = [links[0][0][1:-1] if links and not by_index else np.zeros(0)]
    for a, b in links[: len(curves) - 1]:
        shares.append(np.interp(shares[-1], a, b))
    return profile_end(profile, curves, np.stack(shares))


def _pinned(wanted: Floats, shares: Floats) -> Floats:
    """Row shares, rising, moved so that each wanted share is one row's own; rows run together at an end stay together."""
    if len(wanted) < 3:
        return shares
    first = int(np.searchsorted(shares, shares[0], side="right")) - 1
    last = int(np.searchsorted(shares, shares[-1], side="left"))
    inner = wanted[1:-1]
    exact = np.abs(shares[None, :] - inner[:, None]) <= SAME_SHARE
    pins, at = [first], [shares[first]]
    held = [int(np.argmax(row)) if row.any() else -1 for row in exact]
    stops = [i for i, row in enumerate(held) if first < row < last] + [len(inner)]
    done = 0
    for stop in stops:
        end = held[stop] if stop < len(inner) else last
        rows = _distinct(np.interp(inner[done:stop], shares[first : last + 1], np.arange(first, last + 1)), pins[-1] + 1, end - 1)
        pins.extend(rows)
        at.extend(inner[done : done + len(rows)])
        if stop < len(inner):
            pins.append(end)
            at.append(inner[stop])
        done = stop + 1
    pins.append(last)
    at.append(shares[last])
    moved: Floats = np.interp(shares, shares[pins], at)
    moved[pins] = at
    return moved


def _distinct(wished: Floats, low: int, high: int) -> list[int]:
    """Different whole numbers in low..high, rising, near the rising wishes; as many as there is room for."""
    rows: list[int] = []
    for wish in wished[: max(high - low + 1, 0)]:
        rows.append(max(round(wish), rows[-1] + 1 if rows else low))
    limit = high
    for i in reversed(range(len(rows))):
        rows[i] = min(rows[i], limit)
        limit = rows[i] - 1
    return rows
