"""Where a line parallel to an axis passes through triangles, and so which closed mesh a point is in."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.geometry.mesh import Floats, Ints, TriMesh, corners_that
from sketcher.geometry.vectors import cross


def pierced(vertices: Floats, triangles: Ints, point: Floats, axis: int) -> tuple[Ints, Floats]:
    """The triangles (k,) that a line through `point` (3,) along an axis (0, 1, 2) passes, and where on that axis (k,) [m].

    Every edge decides for both its triangles alike on which side of the line it passes, so on a closed mesh none is counted
    twice or missed. Triangles that lie along the axis are never passed.
    """
    first, second = (axis + 1) % 3, (axis + 2) % 3
    x, y = vertices[:, first] - point[first], vertices[:, second] - point[second]
    side = y >= 0
    there = corners_that(side, triangles)
    near = np.flatnonzero((there > 0) & (there < 3))
    corner = triangles[near]
    after = corner[:, [1, 2, 0]]
    rising, crosses = ~side[corner], side[corner] != side[after]
    low, high = np.where(rising, corner, after), np.where(rising, after, corner)
    rise = np.where(crosses, y[high] - y[low], 1.0)
    # At a corner itself: all edges that end there must say the same, whatever rounding does to them.
    met = np.where(y[high] == 0, x[high], x[low] - y[low] * (x[high] - x[low]) / rise)
    odd = np.logical_xor.reduce(crosses & (met > 0), axis=1)
    near, corner = near[odd], corner[odd]
    a, b, c = (vertices[corner[:, k]] for k in range(3))
    normal = cross(b - a, c - a)
    along = normal[:, axis] != 0
    near, a, normal = near[along], a[along], normal[along]
    off = normal[:, first] * (point[first] - a[:, first]) + normal[:, second] * (point[second] - a[:, second])
    return near, a[:, axis] - off / normal[:, axis]


def crossings_above(vertices: Floats, triangles: Ints, part: Ints, count: int, point: Floats) -> Ints:
    """How often (count,) a plumb line up from the point leaves each closed part less how often it enters it: 1 when inside."""
    passed, height = pierced(vertices, triangles, point, 2)
    passed = passed[height > point[2]]
    a, b, c = (vertices[triangles[passed, k]] for k in range(3))
    upward = np.sign(cross(b - a, c - a)[:, 2])
    return np.rint(np.bincount(part[passed], upward, count)).astype(np.int64)


def holds(mesh: TriMesh, point: Floats) -> bool:
    """Whether a closed mesh has a point (3,) inside."""
    low, high = mesh.bounds
    if (point < low).any() or (point > high).any():
        return False
    one = np.zeros(len(mesh.triangles), dtype=np.int64)
    return bool(crossings_above(mesh.vertices, mesh.triangles, one, 1, point)[0] > 0)


def home_of(point: Floats, meshes: Sequence[TriMesh]) -> int:
    """The first of the closed meshes that holds a point (3,), -1 where none does."""
    return next((k for k, mesh in enumerate(meshes) if holds(mesh, point)), -1)
