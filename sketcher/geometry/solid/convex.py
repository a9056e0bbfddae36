"""Convex solids as the points common to half spaces."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np

from sketcher.geometry.crossing import met
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.plane import HalfSpaces
from sketcher.geometry.tolerances import IN_PLANE, SAME_POINT
from sketcher.geometry.vectors import cross

LEAST_SPAN = 1e-12
"""Three planes whose normals span less than this volume meet nowhere in particular [1]."""


@cache
def _triples(count: int) -> Ints:
    """Every choice (n, 3) of three of so many planes."""
    return np.array(list(combinations(range(count), 3)), dtype=np.int64).reshape(-1, 3)


def corners_within(spaces: HalfSpaces) -> Floats:
    """Points (n, 3) where three planes meet that lie in every half space; near ones counted once."""
    determinant, sums = meeting(spaces, _triples(len(spaces.normals)))
    meet = np.abs(determinant) > LEAST_SPAN
    points = sums[meet] / determinant[meet, None]
    points = points[(points @ spaces.normals.T <= spaces.distances + SAME_POINT).all(axis=1)]
    apart = np.abs(points[:, None] - points[None]).max(axis=2) > SAME_POINT
    first = np.argmin(apart, axis=1) if len(points) else np.zeros(0, dtype=np.int64)
    kept: Floats = points[sorted(set(first.tolist()))]
    return kept


def meeting(spaces: HalfSpaces, threes: Ints) -> tuple[Floats, Floats]:
    """For each three planes (n, 3) the volume (n,) that their normals span, and the point (n, 3) where they meet times that."""
    a, b, c = spaces.normals[threes.T]
    da, db, dc = spaces.distances[threes.T][:, :, None]
    bc, ca, ab = cross(b, c), cross(c, a), cross(a, b)
    return np.einsum("ij,ij->i", a, bc), da * bc + db * ca + dc * ab


_AXES = np.eye(3)


def _loop(points: Floats, normal: Floats) -> Ints:
    """Order (k,) that walks the points of one face anticlockwise about its outward normal."""
    along = cross(normal, _AXES[np.argmin(np.abs(normal))])
    offset = points - points.mean(axis=0)
    return np.argsort(np.arctan2(offset @ cross(normal, along), offset @ along), kind="stable")


def convex_solid(spaces: HalfSpaces, labels: Ints, *, open_label: int | None = None) -> TriMesh | None:
    """The points common to half spaces as a closed mesh; None where nothing is left.

    labels: (k,) carried to the triangles of each face.
    The half spaces must bound the solid on all sides; of two that are the same, or apart by rounding alone, the first counts.
    open_label: faces with this label are left out, to join halves.
    Raises GeometryError where the faces do not close: half spaces that leave it unbounded, or values that are not numbers.
    """
    if not (np.isfinite(spaces.normals).all() and np.isfinite(spaces.distances).all()):
        raise GeometryError("a face of the solid has a place or direction that is not a number")
    spaces, labels = _each_once(spaces, labels)
    corners = corners_within(spaces)
    on = np.abs(spaces.over(corners)) <= 2 * SAME_POINT
    triangles: list[Ints] = []
    owners: list[Ints] = []
    seen: set[bytes] = set()
    for face, normal in enumerate(spaces.normals):
        ring = np.flatnonzero(on[:, face])
        if len(ring) < 3 or ring.tobytes() in seen:
            continue
        seen.add(ring.tobytes())
        ring = ring[_loop(corners[ring], normal)]
        fan = np.column_stack([np.full(len(ring) - 2, ring[0]), ring[1:-1], ring[2:]])
        triangles.append(fan)
        owners.append(np.full(len(fan), labels[face]))
    if len(triangles) < 4:
        return None
    mesh = TriMesh(corners, np.concatenate(triangles), np.concatenate(owners))
    if mesh.volume <= SAME_POINT:
        return None
    if not _closed(mesh.triangles):
        raise GeometryError("the faces of the solid do not close round it")
    if open_label is None:
        return mesh
    kept = mesh.labels != open_label
    return TriMesh(mesh.vertices, mesh.triangles[kept], mesh.labels[kept])


def _each_once(spaces: HalfSpaces, labels: Ints) -> tuple[HalfSpaces, Ints]:
    """The half spaces and their labels without those that an earlier one is but for rounding.

    Where a third plane meets two such at a shallow angle, the corners lie further apart than what counts as one.
    """
    alike = np.abs(spaces.distances[:, None] - spaces.distances) <= IN_PLANE
    for axis in spaces.normals.T:
        alike &= np.abs(axis[:, None] - axis) <= IN_PLANE
    first = ~np.tril(alike, -1).any(axis=1)
    return HalfSpaces(spaces.normals[first], spaces.distances[first]), labels[first]


def difference_bounds(before: Floats, spaces_before: HalfSpaces, after: Floats, spaces_after: HalfSpaces) -> Floats | None:
    """The box (2, 3) round all that lies in only one of two convex solids, by corners (n, 3) and half spaces; None: nothing."""
    corners = np.concatenate([_beyond(before, spaces_after), _beyond(after, spaces_before)])
    return np.stack([corners.min(axis=0), corners.max(axis=0)]) if len(corners) else None


def _beyond(corners: Floats, spaces: HalfSpaces) -> Floats:
    """Corners of the part of a convex solid beyond one or more planes: its own, and those where lines are cut."""
    out = spaces.over(corners)
    found = [np.zeros((0, 3))]
    for height in out.T[(out > SAME_POINT).any(axis=0)]:
        there = height > SAME_POINT
        above, under = np.ix_(np.flatnonzero(there), np.flatnonzero(~there))
        found += [corners[there], met(corners, height, above, under).reshape(-1, 3)]
    return np.concatenate(found)


def _closed(triangles: Ints) -> bool:
    """Whether every directed edge has its mate, once."""
    size = int(triangles.max()) + 1
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    forward, back = edges[:, 0] * size + edges[:, 1], edges[:, 1] * size + edges[:, 0]
    ordered = np.sort(forward)
    return bool((ordered[1:] != ordered[:-1]).all() and np.array_equal(ordered, np.sort(back)))


def joined_halves(halves: list[TriMesh]) -> TriMesh:
    """Two open halves that meet at equal edges, as one closed mesh. Raises GeometryError where they do not meet."""
    vertices = np.concatenate([half.vertices for half in halves])
    offsets = np.cumsum([0, *(len(half.vertices) for half in halves)])
    apart = np.abs(vertices[:, None] - vertices[None]).max(axis=2) > SAME_POINT * 10
    first, index = np.unique(np.argmin(apart, axis=1), return_inverse=True)
    triangles = np.concatenate([half.triangles + start for half, start in zip(halves, offsets, strict=False)])
    mesh = TriMesh(vertices[first], index[triangles].astype(np.int64), np.concatenate([half.labels for half in halves]))
    if not _closed(mesh.triangles):
        raise GeometryError("the two halves of the solid do not meet")
    return mesh
