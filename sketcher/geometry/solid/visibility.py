"""What can be seen from a point in straight lines."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Flags, Floats
from sketcher.geometry.vectors import cross

_ENDS = 1e-6
"""[share of a line] Triangles that only touch an end of it do not stand in it."""

_AT_ONCE = 2_000_000
"""Lines times triangles looked at together: some 200 MB."""


def visible_from(corners: Floats, origin: Floats, targets: Floats) -> Flags:
    """Which of the targets (n, 3) are seen from the origin (3,), no triangle (m, 3, 3) standing between."""
    seen = np.ones(len(targets), dtype=bool)
    if not len(corners):
        return seen
    a, first, second = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    off = origin - a
    turned = cross(off, first)
    for part in np.array_split(np.arange(len(targets)), max(1, len(targets) * len(corners) // _AT_ONCE)):
        line = targets[part] - origin
        square = np.cross(line[:, None], second[None])
        slant = np.einsum("nmi,mi->nm", square, first)
        scale = np.where(np.abs(slant) > 1e-15, slant, np.inf)
        u = np.einsum("nmi,mi->nm", square, off) / scale
        v = np.einsum("ni,mi->nm", line, turned) / scale
        along = np.einsum("mi,mi->m", turned, second)[None] / scale
        hit = (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0) & (along > _ENDS) & (along < 1.0 - _ENDS)
        seen[part] = ~hit.any(axis=1)
    return seen
