"""The deck's surface: one parabola across at every place along the sheer; and what stands on it or is let into it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.shell import grid_solid

LEAST_STEP = 1e-5
"""[m] Steps across where the deck runs out to nothing at an end, so that no two places of a lid coincide."""


@dataclass(frozen=True, eq=False)
class DeckSurface:
    """Height of the deck over any (x, y): the sheer's height plus camber (b2 - y2) / largest b squared.

    x, half_breadth, height: (k,) the sheer from forward to aft [m]; camber and lift (added everywhere) [m].
    """

    x: Floats
    half_breadth: Floats
    height: Floats
    camber: float
    lift: float = 0.0

    def at(self, x: Floats, y: Floats) -> Floats:
        """Heights [m]; beyond the sheer's ends it goes on straight, and beyond its breadth along the same parabola."""
        b = np.interp(x, self.x, self.half_breadth)
        largest = float(self.half_breadth.max())
        crown = self.camber * (b * b - y * y) / (largest * largest) if largest > 0.0 else 0.0
        height: Floats = self._sheer(x) + crown + self.lift
        return height

    def _sheer(self, x: Floats) -> Floats:
        inner = np.interp(x, self.x, self.height)
        ahead = np.minimum(x - self.x[0], 0.0) * self._slope(0, 1)
        behind = np.maximum(x - self.x[-1], 0.0) * self._slope(-2, -1)
        sheer: Floats = inner + ahead + behind
        return sheer

    def _slope(self, first: int, last: int) -> float:
        run = float(self.x[last] - self.x[first])
        return float(self.height[last] - self.height[first]) / run if run > 0.0 else 0.0


def deck_lid(surface: DeckSurface, steps: int, reach: float, bottom: float) -> TriMesh:
    """A closed solid under the deck's starboard half, down to `bottom`, going `reach` [m] past the sheer on every side.

    steps: of the deck from the centreline to the sheer, the same facets as the measured face has.
    """
    x = np.concatenate([surface.x[:1] - reach, surface.x, surface.x[-1:] + reach])
    b = np.interp(x, surface.x, surface.half_breadth)[:, None]
    across = np.maximum(b * np.arange(steps + 1) / steps, LEAST_STEP * np.arange(steps + 1))
    y = np.concatenate([np.full_like(b, -reach), across, across[:, -1:] + reach], axis=1)
    upper = np.stack([np.repeat(x[:, None], y.shape[1], axis=1), y, surface.at(x[:, None], y)], axis=2)
    lower = upper.copy()
    lower[..., 2] = bottom
    return grid_solid(upper, lower)
