"""The deck's surface: one parabola across at every place along the sheer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats


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
