"""What of a closed mesh lies under a plane: volume, centroid, the plane's own section and its second moments.

No cap is built. Measure w as the height over the plane; the cap then adds nothing to any integral that carries w, and the
section is minus what the surface under the plane projects onto it. Ten sums over that surface give every figure, and being
linear they add up over several bodies: `0.95 * cut` is a body that counts for 0.95 of itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.tolerances import IN_PLANE

Flags = NDArray[np.bool_]

_PAIRS = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
_FULL = np.array([[0, 1, 2], [1, 3, 4], [2, 4, 5]])


@dataclass(frozen=True, eq=False, slots=True)
class Cut:
    """The part of one or more closed bodies under the plane normal . p = distance, the normal pointing out of it.

    sums: (10,) integrals of 1, x, y, z, xx, xy, xz, yy, yz, zz over the surface under the plane, projected along the normal.
    """

    normal: Floats
    distance: float
    sums: Floats

    def __add__(self, other: Cut) -> Cut:
        return Cut(self.normal, self.distance, self.sums + other.sums)

    def __rmul__(self, factor: float) -> Cut:
        return Cut(self.normal, self.distance, factor * self.sums)

    @property
    def volume(self) -> float:
        """Volume under the plane [m3]."""
        return float(self.normal @ self.sums[1:4] - self.distance * self.sums[0])

    @property
    def height_moment(self) -> float:
        """Integral of the height over the plane, negative under it, over the volume [m4]."""
        return 0.5 * self._squared_heights

    @property
    def moment(self) -> Floats:
        """(3,) integral of position over the volume, about the origin [m4]."""
        weighted = self._second @ self.normal - self.distance * self.sums[1:4]
        moment: Floats = weighted - 0.5 * self._squared_heights * self.normal
        return moment

    @property
    def centroid(self) -> Floats | None:
        """(3,) centroid of the volume [m]; None where there is none."""
        volume = self.volume
        return self.moment / volume if volume > 0 else None

    @property
    def section_area(self) -> float:
        """Area of the section in the plane [m2]; a face of the body lying in the plane counts as above it."""
        return float(-self.sums[0])

    @property
    def section_moment(self) -> Floats:
        """(3,) integral of position over the section, about the origin [m3]."""
        moment: Floats = self._section_offsets + self.distance * self.section_area * self.normal
        return moment

    @property
    def section_second(self) -> Floats:
        """(3, 3) integral of position times position over the section, about the origin [m4]."""
        flat = np.eye(3) - np.outer(self.normal, self.normal)
        mixed = self.distance * np.outer(self._section_offsets, self.normal)
        square = self.distance**2 * self.section_area * np.outer(self.normal, self.normal)
        second: Floats = mixed + mixed.T + square - flat @ self._second @ flat
        return second

    @property
    def section_centroid(self) -> Floats | None:
        """(3,) centroid of the section [m]; None where the plane cuts nothing."""
        area = self.section_area
        return self.section_moment / area if area > 0 else None

    @property
    def _section_offsets(self) -> Floats:
        """Integral over the section of the position within the plane, from the point of it nearest the origin."""
        offsets: Floats = (self.normal @ self.sums[1:4]) * self.normal - self.sums[1:4]
        return offsets

    @property
    def _second(self) -> Floats:
        return np.asarray(self.sums[4:][_FULL], dtype=np.float64)

    @property
    def _squared_heights(self) -> float:
        along = float(self.normal @ self.sums[1:4])
        return (
            float(self.normal @ self._second @ self.normal) - 2 * self.distance * along + self.distance**2 * float(self.sums[0])
        )


@dataclass(frozen=True, eq=False, slots=True)
class ClipBody:
    """A closed mesh made ready for many cuts; build it with `clip_body`.

    triangles: (3, m) indices; areas: (3, m) area vectors [m2]; terms: (10, m) means of 1, x, y, z, xx ... over each triangle;
    whole: (3, 10) area vectors times terms, summed: what the body gives when all of it is under the plane.
    """

    vertices: Floats
    triangles: Ints
    areas: Floats
    terms: Floats
    whole: Floats
    low: Floats
    high: Floats

    def under(self, normal: Floats, distance: float) -> Cut:
        """The part of the body with normal . p < distance; normal a unit vector (3,), distance [m]."""
        if np.where(normal > 0, self.high, self.low) @ normal - distance < -IN_PLANE:
            return self._all_under(normal, distance)
        if np.where(normal > 0, self.low, self.high) @ normal - distance >= -IN_PLANE:
            return Cut(normal, distance, np.zeros(10))
        heights = heights_over(self.vertices, normal, distance)
        count = _corners_under(heights, self.triangles)
        weights = normal @ self.areas
        sums = self.terms @ np.where(count >= 2, weights, 0.0)
        corner = _Corners.of(self, heights, count)
        cut = np.stack(
            [
                corner.at,
                corner.at + corner.second[:, None] * corner.to_second,
                corner.at + corner.third[:, None] * corner.to_third,
            ]
        )
        sums += _terms(cut.transpose(0, 2, 1)) @ (corner.shares * weights[corner.triangle])
        return Cut(normal, distance, sums)

    def _all_under(self, normal: Floats, distance: float) -> Cut:
        sums = normal @ self.whole
        sums[0] = 0.0
        return Cut(normal, distance, sums)


def heights_over(points: Floats, normal: Floats, distance: float) -> Floats:
    """(n,) signed heights of (n, 3) points over a plane [m]; those within `IN_PLANE` of it are put into it."""
    heights: Floats = points @ normal - distance
    heights[np.abs(heights) <= IN_PLANE] = 0.0
    return heights


def _corners_under(heights: Floats, triangles: Ints) -> NDArray[np.int8]:
    """(m,) how many corners of each triangle lie under the plane."""
    under = (heights < 0).view(np.int8).take(triangles)
    count: NDArray[np.int8] = under[0] + under[1] + under[2]
    return count


@dataclass(frozen=True, eq=False, slots=True)
class _Corners:
    """The corners that the plane cuts off (k,): each triangle crossed has one corner alone on its side of the plane.

    triangle: indices; at: (k, 3) the lone corner, height: over the plane; to_second, to_third: (k, 3) the edges from it;
    second, third: the shares of them on the corner's side; shares: of the triangle's area, negative where the corner is over
    the plane, so that it is taken off the whole triangle.
    """

    triangle: Ints
    at: Floats
    height: Floats
    to_second: Floats
    to_third: Floats
    second: Floats
    third: Floats
    shares: Floats

    @staticmethod
    def of(body: ClipBody, heights: Floats, count: NDArray[np.int8]) -> _Corners:
        triangle = np.flatnonzero((count == 1) | (count == 2))
        ends = body.triangles[:, triangle]
        end_heights = heights[ends]
        lone_under = count[triangle] == 1
        lone = np.argmax((end_heights < 0) == lone_under, axis=0)
        row = np.arange(len(triangle))
        other, last = (lone + 1) % 3, (lone + 2) % 3
        height = end_heights[lone, row]
        second, third = height / (height - end_heights[other, row]), height / (height - end_heights[last, row])
        at = body.vertices[ends[lone, row]]
        to_second, to_third = body.vertices[ends[other, row]] - at, body.vertices[ends[last, row]] - at
        shares = np.where(lone_under, second * third, -second * third)
        return _Corners(triangle, at, height, to_second, to_third, second, third, shares)


def _terms(corners: Floats) -> Floats:
    """(10, m) means of 1, x, y, z, xx, xy, xz, yy, yz, zz over triangles given as corner, axis, triangle (3, 3, m)."""
    terms = np.empty((10, corners.shape[2]))
    total = corners[0] + corners[1] + corners[2]
    terms[0] = 1.0
    terms[1:4] = total / 3.0
    for term, (first, second) in enumerate(_PAIRS, start=4):
        product = total[first] * total[second]
        for corner in corners:
            product += corner[first] * corner[second]
        terms[term] = product / 12.0
    return terms


_READY: WeakKeyDictionary[TriMesh, ClipBody] = WeakKeyDictionary()


def clip_body(mesh: TriMesh) -> ClipBody:
    """A closed mesh made ready for many cuts; kept as long as the mesh itself is."""
    ready = _READY.get(mesh)
    if ready is None:
        ready = _READY[mesh] = _prepare(mesh)
    return ready


def _prepare(mesh: TriMesh) -> ClipBody:
    triangles = np.ascontiguousarray(mesh.triangles.T)
    axes = np.ascontiguousarray(mesh.vertices.T)
    corners = np.stack([axis.take(triangles) for axis in axes], axis=1)
    (ax, ay, az), (bx, by, bz) = corners[1] - corners[0], corners[2] - corners[0]
    areas = 0.5 * np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])
    terms = _terms(corners)
    low, high = (axes.min(axis=1), axes.max(axis=1)) if axes.size else (np.zeros(3), np.zeros(3))
    return ClipBody(mesh.vertices, triangles, areas, terms, areas @ terms.T, low, high)


def clip(mesh: TriMesh, normal: Floats, distance: float) -> Cut:
    """The part of a closed mesh with normal . p < distance; normal a unit vector (3,), distance [m]."""
    return clip_body(mesh).under(np.asarray(normal, dtype=np.float64), float(distance))


def clip_all(meshes: Sequence[TriMesh], normal: Floats, distance: float) -> tuple[Cut, ...]:
    """`clip` for each of several closed meshes."""
    return tuple(clip(mesh, normal, distance) for mesh in meshes)


def area_under(mesh: TriMesh, normal: Floats, distance: float) -> dict[int, float]:
    """Area of the surface under the plane for each label of the mesh [m2]; a face lying in the plane is not under it."""
    body = clip_body(mesh)
    heights = heights_over(mesh.vertices, np.asarray(normal, dtype=np.float64), distance)
    count = _corners_under(heights, body.triangles)
    shares = np.where(count >= 2, 1.0, 0.0)
    corner = _Corners.of(body, heights, count)
    shares[corner.triangle] += corner.shares
    wet = shares * np.linalg.norm(body.areas, axis=0)
    return {int(label): float(wet[mesh.labels == label].sum()) for label in np.unique(mesh.labels)}


def depth_load(mesh: TriMesh, chosen: Flags, normal: Floats, distance: float) -> tuple[float, float]:
    """Over the chosen triangles (m,) of a mesh: the integral of depth under the plane [m3] and the greatest depth [m]."""
    body = clip_body(mesh)
    heights = heights_over(mesh.vertices, np.asarray(normal, dtype=np.float64), distance)
    count = np.where(chosen, _corners_under(heights, body.triangles), np.int8(0))
    if not count.any():
        return 0.0, 0.0
    sizes = np.linalg.norm(body.areas, axis=0)
    corner = _Corners.of(body, heights, count)
    whole = np.where(count >= 2, sizes * heights[body.triangles].mean(axis=0), 0.0).sum()
    cut_off = (sizes[corner.triangle] * corner.shares) @ corner.height / 3.0
    return -float(whole + cut_off), -float(heights[body.triangles[:, count > 0]].min())
