"""Small pieces of the surface that points lie on: the points' mean and the surface's normal, cell by cell of space."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sketcher.geometry.mesh import Flags, Floats, Ints

_LEAST, _LEAST_SHARE = 4, 0.15
"""Points in a cell, and their share of what a well seen cell holds, below which strays are taken for them."""
_COARSE, _ENOUGH = 1 / 50, 15.0
_REACH = np.array([[i, j, k] for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)])
_CELLS = 1 << 20
"""Most cells along an axis, so that three numbers of a cell make one key."""


@dataclass(frozen=True, eq=False)
class Surfels:
    """centres (n, 3) and normals (n, 3, of either sign) of cells of a size [m] whose keys (n,) rise."""

    centres: Floats
    normals: Floats
    keys: Ints
    size: float
    origin: Floats

    @cached_property
    def middle(self) -> Floats:
        """The median centre (3,)."""
        return np.asarray(np.median(self.centres, axis=0))

    def nearest(self, points: Floats) -> tuple[Ints, Flags]:
        """The surfel nearest to each of (m, 3) points among its cell and those around, and whether there is any."""
        cells = np.floor((points - self.origin) / self.size).astype(np.int64)
        best = np.zeros(len(points), dtype=np.int64)
        least = np.full(len(points), np.inf)
        for step in _REACH:
            keys = _keys(cells + step)
            place = np.minimum(np.searchsorted(self.keys, keys), len(self.keys) - 1)
            apart = np.linalg.norm(self.centres[place] - points, axis=1)
            nearer = (self.keys[place] == keys) & (apart < least)
            best[nearer], least[nearer] = place[nearer], apart[nearer]
        return best, np.isfinite(least)


def fit_size(points: Floats, length: float, least: float) -> float:
    """A size [m] of cells, at least so large, of which those on the surface hold about `_ENOUGH` of the points (n, 3)."""
    coarse = length * _COARSE
    area = coarse**2 * len(surfels_of(points, coarse).centres)
    return max(least, float(np.sqrt(_ENOUGH * area / len(points))))


def surfels_of(points: Floats, size: float) -> Surfels:
    """The surfels of points (n, 3) in cells of a size; cells with few points, which are strays, are left out."""
    origin = points.min(axis=0) - size
    keys = _keys(np.floor((points - origin) / size).astype(np.int64))
    kept, number, counts = np.unique(keys, return_inverse=True, return_counts=True)
    dense = (
        counts >= max(_LEAST, _LEAST_SHARE * float(np.median(counts[counts >= np.median(counts[counts > 1])])))
        if (counts > 1).any()
        else counts > 0
    )
    sums = np.stack([np.bincount(number, points[:, k], len(kept)) for k in range(3)], axis=1)
    centres = sums / counts[:, None]
    off = points - centres[number]
    spread = np.empty((len(kept), 3, 3))
    for i in range(3):
        for j in range(i, 3):
            spread[:, i, j] = spread[:, j, i] = np.bincount(number, off[:, i] * off[:, j], len(kept)) / counts
    _, axes = np.linalg.eigh(spread[dense])
    return Surfels(centres[dense], axes[:, :, 0], kept[dense], size, origin)


def _keys(cells: Ints) -> Ints:
    keys: Ints = (cells[:, 0] * _CELLS + cells[:, 1]) * _CELLS + cells[:, 2]
    return keys
