"""The deck's surface: one parabola across at every place along the sheer; and what stands on it or is let into it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.surface.shell import grid_solid

LEAST_STEP = 1e-5
"""[m] Steps across where the deck runs out to nothing at an end, so that no two places of a lid coincide."""


@dataclass(frozen=True, eq=False)
class DeckSurface:
    """Height of the deck over any (x, y): the sheer's height plus camber (b2 - y2) / largest b squared.

    x, half_breadth, height: (k,) the sheer from forward to aft [m]; camber and lift (added everywhere) [m]. opposite: the other
    side's, as a mirror shows it, where that differs: the parabola then goes from edge to edge, as much bent.
    """

    x: Floats
    half_breadth: Floats
    height: Floats
    camber: float
    lift: float = 0.0
    opposite: DeckSurface | None = None

    @staticmethod
    def along(edge: Floats, camber: float, lift: float = 0.0, opposite: DeckSurface | None = None) -> DeckSurface:
        """The deck over an edge (k, 3)."""
        return DeckSurface(edge[:, 0], edge[:, 1], edge[:, 2], camber, lift, opposite)

    def at(self, x: Floats, y: Floats) -> Floats:
        """Heights [m]; beyond the sheer's ends it goes on straight, and beyond its breadth along the same parabola."""
        b = np.interp(x, self.x, self.half_breadth)
        if self.opposite is None:
            crown = self.camber * (b * b - y * y) / (self.broadest * self.broadest) if self.broadest > 0.0 else 0.0
            height: Floats = self._sheer(x) + crown + self.lift
            return height
        other = np.interp(x, self.opposite.x, self.opposite.half_breadth)
        across = b + other
        share = np.where(across > 0.0, (b - y) / np.where(across > 0.0, across, 1.0), 0.5)
        crown = self.camber * (b - y) * (other + y) / self.broadest**2 if self.broadest > 0.0 else 0.0
        slanting: Floats = (1.0 - share) * self._sheer(x) + share * self.opposite._sheer(x) + crown + self.lift
        return slanting

    @property
    def broadest(self) -> float:
        """Half of the deck's greatest breadth [m]."""
        if self.opposite is None:
            return float(self.half_breadth.max())
        x = np.union1d(self.x, self.opposite.x)
        across = np.interp(x, self.x, self.half_breadth) + np.interp(x, self.opposite.x, self.opposite.half_breadth)
        return float(across.max()) / 2.0

    def edge(self, x: Floats) -> Floats:
        """Heights [m] of its edge."""
        return self._sheer(x) + self.lift

    def _sheer(self, x: Floats) -> Floats:
        inner = np.interp(x, self.x, self.height)
        ahead = np.minimum(x - self.x[0], 0.0) * self._slope(0, 1)
        behind = np.maximum(x - self.x[-1], 0.0) * self._slope(-2, -1)
        sheer: Floats = inner + ahead + behind
        return sheer

    def _slope(self, first: int, last: int) -> float:
        run = float(self.x[last] - self.x[first])
        return float(self.height[last] - self.height[first]) / run if run > 0.0 else 0.0


def deck_lid(surface: DeckSurface, steps: int, reach: float, bottom: float, ends: tuple[Plane | None, Plane | None]) -> TriMesh:
    """The closed solid under the deck's starboard half, from the centreline out, down to `bottom`.

    It goes `reach` [m] past the sheer on every side, but ends in the planes `ends`, forward and aft, where there are any.
    steps: of the deck from the centreline to the sheer, the same facets as the measured face has.
    """
    first, last = (_end_column(surface, steps, reach, at, end) for at, end in zip((0, -1), ends, strict=True))
    x = surface.x[(surface.x > first[:, 0].max() + LEAST_STEP) & (surface.x < last[:, 0].min() - LEAST_STEP)]
    upper = np.concatenate([first[None], _columns(surface, steps, reach, x), last[None]])
    low = [
        column[0, 0] if end is None else end.coordinate(0, (0.0, 0.0, bottom))
        for column, end in zip((first, last), ends, strict=True)
    ]
    share = (upper[:, 0, 0] - upper[0, 0, 0]) / (upper[-1, 0, 0] - upper[0, 0, 0])
    lower = upper.copy()
    lower[..., 0] = (low[0] + share * (low[1] - low[0]))[:, None]
    lower[..., 2] = bottom
    return grid_solid(upper, lower)


def _columns(surface: DeckSurface, steps: int, reach: float, x: Floats) -> Floats:
    """Places (k, steps + 3, 3) across the deck at each x: from the centreline to the sheer, `reach` past it, past the widest."""
    b = np.interp(x, surface.x, surface.half_breadth)[:, None]
    across = np.maximum(b * np.arange(steps + 1) / steps, LEAST_STEP * np.arange(steps + 1))
    widest = np.full_like(b, float(surface.half_breadth.max()) + 2.0 * reach)
    y = np.concatenate([across, across[:, -1:] + reach, widest], axis=1)
    x = np.broadcast_to(x[:, None], y.shape)
    return np.stack([x, y, surface.at(x, y)], axis=2)


def _end_column(surface: DeckSurface, steps: int, reach: float, at: int, end: Plane | None) -> Floats:
    """The first (at 0) or last (at -1) places across: in the end's plane, or `reach` past the sheer's end."""
    place = surface.x[at] + (reach if at else -reach)
    column: Floats = _columns(surface, steps, reach, np.array([place if end is None else surface.x[at]]))[0]
    if end is not None:
        for _ in range(4):
            column[:, 2] = surface.at(column[:, 0], column[:, 1])
            # Past the sheer the end goes on level, so that no place of it reaches back along a leaning plane.
            column[-2:, 2] = column[-3, 2]
            column[:, 0] -= end.over(column) / end.normal[0]
    return column
