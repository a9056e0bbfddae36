"""Which place on one cross curve belongs to which place on the next: the rows of a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sketcher.geometry.curve import Curve
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import SAME_PLACE, SAME_SHARE

LEAVE_CORNER = 0.15
"""Share of length. Two neighbouring curves' corners belong to one line when they lie nearer than twice this."""

HEIGHT_STEPS = 401
"""Places at which heights along a curve are taken when an end profile is matched to it; only the matching rests on them."""


LEAD_RIBS = 5
"""Ribs, the profile among them, that a line from the profile is fitted through: more do not change its slope at the first."""

TANGENT_STEP = 1e-4
"""Share of length to either side over which a rib's tangent is taken."""


@dataclass(frozen=True, eq=False)
class Rib:
    """A cross curve of a sheet. A profile is an end of the sheet in the plane y = 0, met by the rows at their heights."""

    curve: Curve
    profile: bool = False


@dataclass(frozen=True, eq=False)
class Lead:
    """How a sheet goes from a profile end into its first ribs, along lines at equal shares of the height over the profile's foot.

    risen: (rows,) the share at which each row crosses the first rib; 0 below the foot. places: (k, rows, 3) of each row's line
    on the profile and the next ribs. across: (rows, 3) the first rib's tangent there. from_rib: the foot is that rib's own.
    """

    risen: Floats
    places: Floats
    across: Floats
    from_rib: bool


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
    """Rows by their position 0..1: the share of length on the first rib that is no profile, carried on from rib to rib.

    by_index: neighbouring ribs with equally many points are matched point by point, others by their corners.
    """

    ribs: Sequence[Rib]
    by_index: bool
    _first: int = field(init=False)
    _last: int = field(init=False)
    _links: list[tuple[Floats, Floats]] = field(init=False)

    def __post_init__(self) -> None:
        count = len(self.ribs)
        set_ = object.__setattr__
        set_(self, "_first", int(self.ribs[0].profile))
        set_(self, "_last", count - 1 - int(self.ribs[-1].profile))
        set_(self, "_links", [self._link(k) for k in range(self._first, self._last)])

    def _link(self, k: int) -> tuple[Floats, Floats]:
        """Shares on rib k and on rib k + 1 that belong together; between them in proportion."""
        a, b = self.ribs[k].curve, self.ribs[k + 1].curve
        if self.by_index and len(a.points) == len(b.points):
            return a.shares, b.shares
        share_a, share_b = a.shares[list(a.corners)], b.shares[list(b.corners)]
        pairs = match_corners(share_a.tolist(), share_b.tolist())
        return (
            np.concatenate([[0.0], share_a[[i for i, _ in pairs]], [1.0]]),
            np.concatenate([[0.0], share_b[[j for _, j in pairs]], [1.0]]),
        )

    def shares(self, positions: Floats) -> Floats:
        """Shares of length of the rows on every rib, (ribs, rows)."""
        shares = np.empty((len(self.ribs), len(positions)))
        shares[self._first] = positions
        for k, (a, b) in enumerate(self._links, start=self._first):
            shares[k + 1] = np.interp(shares[k], a, b)
        if self._first:
            shares[0] = _profile_shares(self.ribs[0].curve, self.ribs[1].curve, shares[1])
        if self._last < len(self.ribs) - 1:
            shares[-1] = _profile_shares(self.ribs[-1].curve, self.ribs[-2].curve, shares[-2])
        return shares

    def positions(self, k: int, shares: Floats) -> Floats:
        """The rows that pass rib k, no profile, at these shares of its length."""
        for a, b in reversed(self._links[: k - self._first]):
            shares = np.interp(shares, b, a)
        return shares

    def of_corners(self) -> Floats:
        """Positions of the two edges and of every corner of every rib, rising, each once."""
        return self._of([rib.curve.shares[list(rib.curve.corners)] for rib in self.ribs])

    def of_points(self) -> Floats:
        """Positions of every point of every rib, rising, each once."""
        return self._of([rib.curve.shares for rib in self.ribs])

    def _of(self, shares: Sequence[Floats]) -> Floats:
        found = [self.positions(k, shares[k]) for k in range(self._first, self._last + 1)]
        rising = np.sort(np.clip(np.concatenate([[0.0], *found, [1.0]]), 0.0, 1.0))
        apart = np.concatenate([[True], np.diff(rising) > SAME_SHARE])
        kept: Floats = rising[apart]
        kept[-1] = 1.0
        return kept

    def least_steps(self, must: Floats) -> Ints:
        """Steps each gap between the rows `must` needs so that every point of a rib can have a row of its own."""
        most = np.ones(len(must) - 1, dtype=np.int64)
        for k in range(self._first, self._last + 1):
            at = self.positions(k, self.ribs[k].curve.shares[1:-1])
            inside = at[np.abs(at[:, None] - must[None, :]).min(axis=1) > SAME_SHARE] if len(at) else at
            held = np.bincount(np.searchsorted(must, inside) - 1, minlength=len(most))
            most = np.maximum(most, held + 1)
        return most

    def places(self, positions: Floats) -> Floats:
        """Where the rows cross every rib, (ribs, rows, 3)."""
        return np.stack([rib.curve.at(share) for rib, share in zip(self.ribs, self.shares(positions), strict=True)])

    def leads(self, positions: Floats) -> tuple[Lead | None, Lead | None]:
        """How rows leave the first and the last rib; None where that is no profile."""
        shares = self.shares(positions)
        ahead = _lead(self.ribs, shares[1]) if self.ribs[0].profile else None
        return ahead, _lead(self.ribs[::-1], shares[-2]) if self.ribs[-1].profile else None

    def pinned(self, positions: Floats) -> list[Floats]:
        """The rows' places on each rib (rows, 3), slid along it so that every given point of the rib is one of them."""
        return [
            rib.curve.at(_pinned(rib.curve.shares, share)) for rib, share in zip(self.ribs, self.shares(positions), strict=True)
        ]


def _lead(ribs: Sequence[Rib], shares: Floats) -> Lead | None:
    """The lead from a profile, ribs[0], for rows at shares of ribs[1]; None where there is no height or no rib to lead into."""
    profile, first = ribs[0].curve, ribs[1].curve
    inner = [rib.curve for rib in ribs[1:LEAD_RIBS] if not rib.profile]
    if len(profile.points) == 1 or len(inner) < 2:
        return None
    fine = np.linspace(0.0, 1.0, HEIGHT_STEPS)
    foot = profile.points[0, 2]
    tops = [float(curve.points[-1, 2]) for curve in (profile, *inner)]
    if foot >= min(tops):
        return None
    risen = np.clip((first.at(shares)[:, 2] - foot) / (tops[1] - foot), 0.0, 1.0)
    places = [profile.at(_profile_shares(profile, first, shares)), first.at(shares)]
    for curve, top in zip(inner[1:], tops[2:], strict=True):
        heights = np.maximum.accumulate(curve.at(fine)[:, 2])
        places.append(curve.at(np.interp(foot + risen * (top - foot), heights, fine)))
    across = first.at(np.minimum(shares + TANGENT_STEP, 1.0)) - first.at(np.maximum(shares - TANGENT_STEP, 0.0))
    from_rib = bool(np.linalg.norm(profile.points[0] - first.points[0]) <= SAME_PLACE)
    return Lead(risen, np.stack(places), across, from_rib)


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


def _profile_shares(profile: Curve, rib: Curve, shares: Floats) -> Floats:
    """Shares of a profile where rows meet it that cross the neighbouring rib at these shares.

    A row keeps its height; the heights between the higher of both feet and the rib's top are stretched onto the profile's.
    """
    if len(profile.points) == 1:
        return np.zeros(len(shares))
    fine = np.linspace(0.0, 1.0, HEIGHT_STEPS)
    of_rib = np.maximum.accumulate(rib.at(fine)[:, 2])
    of_profile = np.maximum.accumulate(profile.at(fine)[:, 2])
    foot = max(of_rib[0], of_profile[0]) if of_profile[0] < of_rib[-1] else of_rib[0]
    heights = np.interp(shares, fine, of_rib)
    risen = np.clip((heights - foot) / max(of_rib[-1] - foot, SAME_PLACE), 0.0, 1.0)
    met: Floats = np.interp(of_profile[0] + risen * (of_profile[-1] - of_profile[0]), of_profile, fine)
    met[risen == 0.0] = 0.0
    met[risen == 1.0] = 1.0
    return met
