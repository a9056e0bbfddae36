"""How the rows of a sheet reach a profile, the end of the sheet that lies in the plane y = 0."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.curve import Curve, fair_slopes
from sketcher.geometry.tolerances import SAME_PLACE

HEIGHT_STEPS = 401
"""Places at which heights along a curve are taken when a profile is matched to it; only the matching rests on them."""

LEAD_CURVES = 4
"""Curves that a line from the profile is fitted through: more do not change its slope at the first."""

TANGENT_STEP = 1e-4
"""Share of length to either side over which a curve's tangent is taken."""

MOST_RISE = 0.25
"""Share of a profile's height by which a corner line, going straight on, may meet it higher or lower than at its own height."""

LEAST_APART = 0.01
"""Share of a profile's height that corner lines keep apart on it, so that none runs into the next."""

FINE = np.linspace(0.0, 1.0, HEIGHT_STEPS)


@dataclass(frozen=True, eq=False)
class Lead:
    """How a sheet goes from a profile into its first curves, along lines at equal shares of the height between corner lines.

    risen: (rows,) the share at which each row crosses the first curve; 0 below the foot. places: (k, rows, 3) of each row's line
    on the profile and the next curves. across: (rows, 3) the first curve's tangent there. from_curve: the foot is that curve's.
    """

    risen: Floats
    places: Floats
    across: Floats
    from_curve: bool


@dataclass(frozen=True, eq=False)
class ProfileEnd:
    """A profile and the curves from it inward. A row meets it at its height, or where the corner lines about it lead.

    foot [m]: the level from which heights are taken. knots: (c + 2,) rising shares of the first curve's height over the foot, 0,
    those of its corner lines, 1. heights: (curves + 1, c + 2) of the knots on the profile and on each curve [m].
    """

    profile: Curve
    cross_curves: tuple[Curve, ...]
    foot: float
    knots: Floats
    heights: Floats

    def shares(self, rib_shares: Floats) -> Floats:
        """Shares of the profile's length where rows meet it that cross the first curve at these shares."""
        if len(self.profile.points) == 1:
            return np.zeros(len(rib_shares))
        risen = self._risen(rib_shares)
        wanted = np.interp(risen, self.knots, self.heights[0])
        met: Floats = np.interp(wanted, np.maximum.accumulate(self.profile.at(FINE)[:, 2]), FINE)
        met[risen == 0.0] = 0.0
        met[risen == 1.0] = 1.0
        return met

    def lead(self, rib_shares: Floats) -> Lead | None:
        """The lead for rows at these shares of the first curve; None where the profile is one point or leads to one curve."""
        if len(self.profile.points) == 1 or len(self.cross_curves) < 2 or (np.diff(self.heights, axis=1) <= 0.0).any():
            return None
        first = self.cross_curves[0]
        risen = self._risen(rib_shares)
        places = [self.profile.at(self.shares(rib_shares)), first.at(rib_shares)]
        for curve, heights in zip(self.cross_curves[1:], self.heights[2:], strict=True):
            rising = np.maximum.accumulate(curve.at(FINE)[:, 2])
            places.append(curve.at(np.interp(np.interp(risen, self.knots, heights), rising, FINE)))
        across = first.at(np.minimum(rib_shares + TANGENT_STEP, 1.0)) - first.at(np.maximum(rib_shares - TANGENT_STEP, 0.0))
        from_curve = bool(np.linalg.norm(self.profile.points[0] - first.points[0]) <= SAME_PLACE)
        return Lead(risen, np.stack(places), across, from_curve)

    def _risen(self, rib_shares: Floats) -> Floats:
        """Shares of the first curve's height over the foot at shares of its length."""
        rising = np.maximum.accumulate(self.cross_curves[0].at(FINE)[:, 2])
        return _risen(np.interp(rib_shares, FINE, rising), self.foot, rising[-1])


def profile_end(profile: Curve, cross_curves: Sequence[Curve], corner_shares: Floats) -> ProfileEnd:
    """The end at a profile. cross_curves: from it inward, one or more; corner_shares: (curves, c) where corner lines cross them.

    Heights between the higher of both feet and the first curve's top are stretched onto the profile's; a corner line goes on to
    the profile as it comes along the curves.
    """
    first = cross_curves[0]
    foot, top = float(first.points[0, 2]), float(first.points[-1, 2])
    if profile.points[0, 2] < top:
        foot = max(foot, float(profile.points[0, 2]))
    kept = cross_curves[: 1 + _first_false([foot < curve.points[-1, 2] for curve in cross_curves[1:LEAD_CURVES]])]
    corners = np.stack([curve.at(shares) for curve, shares in zip(kept, corner_shares, strict=False)])
    risen = _risen(corners[0, :, 2], foot, top)
    chosen = np.flatnonzero((risen > LEAST_APART) & (risen < 1.0 - LEAST_APART))
    corners, risen = corners[:, chosen], risen[chosen]
    # Further in, a corner line that has sunk under the foot's level says no more of how lines leave the profile.
    above = [bool((places[:, 2] > foot).all()) for places in corners[1:]]
    kept = kept[: 1 + _first_false(above)]
    low, high = float(profile.points[0, 2]), float(profile.points[-1, 2])
    met = _met_by(profile, corners, risen)
    heights = [np.concatenate([[low], low + met * (high - low), [high]])]
    heights += [
        np.concatenate([[foot], places[:, 2], [curve.points[-1, 2]]]) for curve, places in zip(kept, corners, strict=False)
    ]
    return ProfileEnd(profile, tuple(kept), foot, np.concatenate([[0.0], risen, [1.0]]), np.stack(heights))


def _first_false(flags: Sequence[bool]) -> int:
    """How many flags are true before the first that is not."""
    return flags.index(False) if False in flags else len(flags)


def _risen(heights: Floats, foot: float, top: float) -> Floats:
    risen: Floats = np.clip((heights - foot) / max(top - foot, SAME_PLACE), 0.0, 1.0)
    return risen


def _met_by(profile: Curve, corners: Floats, risen: Floats) -> Floats:
    """Shares of the profile's height where corner lines meet it, going straight on from corners (curves, c, 3)."""
    low, high = profile.points[0, 2], profile.points[-1, 2]
    if len(corners) < 2 or not len(risen) or high - low <= SAME_PLACE:
        return risen
    slopes = fair_slopes(corners.swapaxes(0, 1))[0][:, 0]
    along = profile.at(FINE)
    met = risen.copy()
    for c, slope in enumerate(slopes):
        if abs(slope[0]) > SAME_PLACE:
            rising = corners[0, c, 2] + (along[:, 0] - corners[0, c, 0]) * slope[2] / slope[0]
            over = np.flatnonzero(along[:, 2] >= rising)
            met[c] = (along[over[0], 2] - low) / (high - low) if len(over) else 1.0
    met = np.clip(met, risen - MOST_RISE, risen + MOST_RISE)
    steps = LEAST_APART * np.arange(1, len(met) + 1)
    met = np.maximum.accumulate(np.maximum(met, steps) - steps) + steps
    apart: Floats = np.minimum(met, 1.0 - steps[::-1])
    return apart
