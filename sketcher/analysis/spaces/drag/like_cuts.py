"""Cuts closed by the triangles of a like cut before, where these still fill the loops: new ones take longer to find."""

from __future__ import annotations

import numpy as np
from manifold3d import triangulate

from sketcher.geometry.mesh import Floats, Ints

CAPS_KEPT = 96


class LikeCuts:
    """How cuts were closed: triangles (k, 3) of the corners, loop after loop, by number of face and sizes of the loops."""

    def __init__(self) -> None:
        self._caps: dict[tuple[int, ...], Ints] = {}

    def fill(self, number: int, loops: list[Floats]) -> Ints:
        """Triangles that close a cut along the face of that number, of the corners (n, 2) of its loops."""
        alike = (number, *(len(loop) for loop in loops))
        triangles = self._caps.get(alike)
        if triangles is None or not _all_turn_left(np.concatenate(loops), triangles):
            if len(self._caps) >= CAPS_KEPT:
                self._caps.pop(next(iter(self._caps)), None)
            triangles = self._caps[alike] = triangulate(loops)
        return triangles


def _all_turn_left(flat: Floats, triangles: Ints) -> bool:
    """Whether triangles (k, 3) of points (n, 2) all still turn left: they then fill the loops as they did before."""
    x, y = flat.T
    (ax, bx, cx), (ay, by, cy) = x[triangles.T], y[triangles.T]
    return bool(((bx - ax) * (cy - ay) - (cx - ax) * (by - ay) > 0.0).all())
