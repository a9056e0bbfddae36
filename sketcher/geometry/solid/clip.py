"""The part of a closed mesh under a plane: its volume, centroid, the plane's own section and its second moments.

No cap is built. Measure w as the height over the plane; the cap then adds nothing to any integral that carries w, and the
section is minus what the surface under the plane projects onto it. Ten sums over that surface give every figure, and being
linear they add up over several bodies: `0.95 * cut` is a body that counts for 0.95 of itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import crossed, snapped
from sketcher.geometry.mesh import Flags, Floats, Ints, TriMesh, corners_that
from sketcher.geometry.plane import Plane
from sketcher.geometry.tolerances import IN_PLANE, NO_SECTION

_PAIRS = (np.array([0, 0, 0, 1, 1, 2]), np.array([0, 1, 2, 1, 2, 2]))
_FULL = np.array([[0, 1, 2], [1, 3, 4], [2, 4, 5]])
_BLOCK = 32
"""Triangles taken together: those of a block wholly under or over the plane need no look of their own."""
_CHUNK = 2048
"""Triangles whose products are worked out at a time: few enough for the results to stay in the processor's cache."""
_COLUMNS, _LEVELS = 24, 512
"""Places along and up by which neighbours are put into one block, two sides; together they fit 16 bits, which sort fast."""


class Slice(NamedTuple):
    """A cut in axes u, v in its plane and w along its normal [m]. section: its centroid, then second moments about that."""

    volume: float
    moment: tuple[float, float, float]
    area: float
    centre: tuple[float, float]
    second: tuple[float, float, float]


@dataclass(frozen=True, eq=False, slots=True)
class ClippedBody:
    """The part of one or more closed bodies under a plane, whose normal points out of it.

    sums: (10,) integrals of 1, x, y, z, xx, xy, xz, yy, yz, zz over the surface under the plane, projected along the normal.
    """

    plane: Plane
    sums: Floats

    def __add__(self, other: ClippedBody) -> ClippedBody:
        return ClippedBody(self.plane, self.sums + other.sums)

    def __rmul__(self, factor: float) -> ClippedBody:
        return ClippedBody(self.plane, factor * self.sums)

    def along(self, axes: Floats) -> Slice:
        """The cut in axes (3, 3) of orthogonal unit vectors, the last of them the normal; the section of no area is all 0."""
        u, v, w = (axes @ self.sums[1:4]).tolist()
        (uu, uv, uw), (_, vv, vw), (_, _, ww) = (axes @ self.sums[4:][_FULL] @ axes.T).tolist()
        d, projected = self.plane.distance, float(self.sums[0])
        volume = w - d * projected
        moment = (uw - d * u, vw - d * v, 0.5 * (ww - d * d * projected))
        if projected > -NO_SECTION:
            return Slice(volume, moment, 0.0, (0.0, 0.0), (0.0, 0.0, 0.0))
        cu, cv = u / projected, v / projected
        return Slice(volume, moment, -projected, (cu, cv), (u * cu - uu, v * cv - vv, u * cv - uv))

    @property
    def volume(self) -> float:
        """Volume under the plane [m3]."""
        return float(self.plane.normal @ self.sums[1:4] - self.plane.distance * self.sums[0])

    @property
    def moment(self) -> Floats:
        """(3,) integral of position over the volume, about the origin [m4]."""
        second, normal, distance = self.sums[4:][_FULL], self.plane.normal, self.plane.distance
        weighted = second @ normal - distance * self.sums[1:4]
        along = 0.5 * float(normal @ second @ normal - distance**2 * self.sums[0])
        moment: Floats = weighted + (along - float(weighted @ normal)) * normal
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
    def section_centroid(self) -> Floats | None:
        """(3,) centroid of the section [m]; None where the plane cuts nothing."""
        if self.sums[0] > -NO_SECTION:
            return None
        within = self.sums[1:4] / self.sums[0]
        centroid: Floats = within - float(self.plane.over(within)) * self.plane.normal
        return centroid


@dataclass(frozen=True, eq=False, slots=True)
class ClipBody:
    """A closed mesh made ready for many cuts; build it with `clip_body`. Triangles stand in blocks (b) of neighbours (i).

    corners: (3, 3, b, i) as corner, axis [m]; areas: (3, b, i) area vectors [m2]; terms: (10, b, i) means of 1, x, y, z, xx ...
    over each triangle; blocks: (b, 30) area vectors times terms, summed: what a block gives when all of it is under the plane;
    middle, half: (b, 3) centres and half sizes of the blocks' boxes [m].
    """

    corners: Floats
    areas: Floats
    terms: Floats
    blocks: Floats
    middle: Floats
    half: Floats

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest corner of the body's box, each (3,) [m]."""
        return (self.middle - self.half).min(axis=0), (self.middle + self.half).max(axis=0)

    @property
    def volume(self) -> float:
        """All of the body's volume [m3]."""
        return float(self.blocks[:, 23].sum())

    def under(self, plane: Plane) -> ClippedBody:
        """The part of the body under a plane."""
        return under_together([(self, 1.0)], plane)

    def whole_and_split(self, plane: Plane) -> tuple[Floats, Ints]:
        """Sums (10,) of the blocks wholly under the plane, and which blocks it may pass through."""
        over, reach = plane.over(self.middle), self.half @ np.abs(plane.normal) + IN_PLANE
        sums: Floats = plane.normal @ ((over < -reach).astype(np.float64) @ self.blocks).reshape(3, 10)
        return sums, np.flatnonzero(np.abs(over) <= reach)


def under_together(bodies: Sequence[tuple[ClipBody, float]], plane: Plane) -> ClippedBody:
    """The part of several bodies under a plane, each weighted by its factor; all triangles that it crosses are cut at once."""
    sums = np.zeros(10)
    corner_parts, weight_parts, term_parts = [], [], []
    for body, factor in bodies:
        whole, split = body.whole_and_split(plane)
        sums += factor * whole
        if len(split):
            corner_parts.append(body.corners.take(split, axis=2).reshape(3, 3, -1))
            weight_parts.append((factor * plane.normal) @ body.areas.take(split, axis=1).reshape(3, -1))
            term_parts.append(body.terms.take(split, axis=1).reshape(10, -1))
    if corner_parts:
        corners, weights, terms = _joined(corner_parts), _joined(weight_parts), _joined(term_parts)
        cut_off = _Corners.of(corners, snapped(plane.normal @ corners - plane.distance))
        sums += terms @ np.where(cut_off.mostly_under, weights, 0.0)
        sums += _terms(cut_off.corners) @ (cut_off.shares * weights[cut_off.triangle])
    return ClippedBody(plane, sums)


def _joined(parts: list[Floats]) -> Floats:
    return parts[0] if len(parts) == 1 else np.concatenate(parts, axis=-1)


class _Corners(NamedTuple):
    """The corners that the plane cuts off (k,) of triangles (m,): each crossed has one corner alone on its side of the plane.

    mostly_under: (m,) two or three corners are under it; triangle: indices; corners: the triangles cut off, as corner, axis,
    triangle (3, 3, k); height: of the lone corner over the plane; shares: of the triangle's area, negative where the corner is
    over the plane, to be taken off the whole triangle.
    """

    mostly_under: Flags
    triangle: Ints
    corners: Floats
    height: Floats
    shares: Floats

    @staticmethod
    def of(corners: Floats, heights: Floats) -> _Corners:
        """corners: (3, 3, m); heights: (3, m)."""
        cut = crossed(heights >= 0.0)
        turn = np.stack([cut.corner(ahead) for ahead in range(3)])
        height, other, last = heights[turn, cut.triangle]
        at, to_second, to_third = corners[turn, :, cut.triangle].transpose(0, 2, 1)
        second, third = height / (height - other), height / (height - last)
        cut_off = np.stack([at, at + second * (to_second - at), at + third * (to_third - at)])
        shares = second * third
        return _Corners(cut.corners_over <= 1, cut.triangle, cut_off, height, np.where(cut.lone_over, -shares, shares))


def _terms(corners: Floats) -> Floats:
    """(10, m) means of 1, x, y, z, xx, xy, xz, yy, yz, zz over triangles given as corner, axis, triangle (3, 3, m)."""
    a, b, c = corners
    total = a + b + c
    terms = np.empty((10, corners.shape[2]))
    terms[0] = 1.0
    np.multiply(total, 1.0 / 3.0, out=terms[1:4])
    first, second = _PAIRS
    products = total.take(first, 0) * total.take(second, 0)
    for corner in corners:
        products += corner.take(first, 0) * corner.take(second, 0)
    np.multiply(products, 1.0 / 12.0, out=terms[4:])
    return terms


@kept_with_owner(1)
def clip_body(mesh: TriMesh) -> ClipBody:
    """A closed mesh made ready for many cuts; kept as long as the mesh itself is."""
    axes = np.ascontiguousarray(mesh.vertices.T)
    triangles = np.ascontiguousarray(mesh.triangles[_by_neighbourhood(mesh.triangles, axes)].T)
    blocks = -(-triangles.shape[1] // _BLOCK)
    if blocks * _BLOCK > triangles.shape[1]:
        # Triangles without area, all three corners one point, fill the last block and add nothing to any sum.
        spare = np.repeat(triangles[:1, -1:], 3, axis=0)
        triangles = np.concatenate([triangles, np.repeat(spare, blocks * _BLOCK - triangles.shape[1], axis=1)], axis=1)
    corners = np.stack([axis.take(triangles) for axis in axes], axis=1)
    areas, terms = _area_vectors(corners), np.empty((10, corners.shape[2]))
    for start in range(0, corners.shape[2], _CHUNK):
        terms[:, start : start + _CHUNK] = _terms(corners[:, :, start : start + _CHUNK])
    boxes, areas, terms = (array.reshape(*array.shape[:-1], blocks, _BLOCK) for array in (corners, areas, terms))
    low, high = boxes.min(axis=(0, 3)).T, boxes.max(axis=(0, 3)).T
    middle, half = np.ascontiguousarray(0.5 * (low + high)), np.ascontiguousarray(0.5 * (high - low))
    sums = areas.transpose(1, 0, 2) @ terms.transpose(1, 2, 0)
    return ClipBody(boxes, areas, terms, sums.reshape(blocks, 30), middle, half)


def _by_neighbourhood(triangles: Ints, axes: Floats) -> Ints:
    """An order of the triangles (m, 3) that puts neighbours together: by column along x, by side, then upwards."""
    if not len(triangles):
        return np.zeros(0, dtype=np.int64)
    x, y, z = (axis.take(triangles[:, 0]) for axis in axes)
    column = ((x - x.min()) * ((_COLUMNS - 0.5) / max(np.ptp(x), IN_PLANE))).astype(np.uint16)
    level = ((z - z.min()) * ((_LEVELS - 0.5) / max(np.ptp(z), IN_PLANE))).astype(np.uint16)
    side = (y > 0).astype(np.uint16)
    order: Ints = np.argsort((column * 2 + side) * _LEVELS + level, kind="stable")
    return order


def _area_vectors(corners: Floats) -> Floats:
    """(3, m) area vectors [m2] of triangles given as corner, axis, triangle (3, 3, m)."""
    (ax, ay, az), (bx, by, bz) = corners[1] - corners[0], corners[2] - corners[0]
    return 0.5 * np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def clip(mesh: TriMesh, plane: Plane) -> ClippedBody:
    """The part of a closed mesh under a plane."""
    return clip_body(mesh).under(plane)


def volume_under(mesh: TriMesh, plane: Plane) -> float:
    """The volume alone [m3], without making the mesh ready first: the quickest way where one cut is all that is asked."""
    under = _Under.of(mesh, plane)
    return under.integral(plane.normal @ _area_vectors(under.corners))


def face_areas(mesh: TriMesh) -> Floats:
    """(3, m) outward area vectors of a mesh's triangles [m2], in the mesh's order."""
    return _area_vectors(_corners_of(mesh.vertices, mesh.triangles))


def area_under(mesh: TriMesh, plane: Plane) -> float:
    """Area of the surface under the plane [m2]; a face lying in the plane is not under it."""
    under = _Under.of(mesh, plane)
    shares = np.where(under.cut_off.mostly_under, 1.0, 0.0)
    shares[under.cut_off.triangle] += under.cut_off.shares
    return float(shares @ np.linalg.norm(_area_vectors(under.corners), axis=0))


def depth_load(surface: TriMesh, plane: Plane) -> tuple[float, float]:
    """Over an open surface: the integral of depth under the plane [m3] and the greatest depth [m]."""
    under = _Under.of(surface, plane)
    if not len(under.triangle):
        return 0.0, 0.0
    return -under.integral(np.linalg.norm(_area_vectors(under.corners), axis=0)), -float(under.heights.min())


class _Under(NamedTuple):
    """The triangles with a corner under the plane. triangle: their indices in the mesh; heights: (3, k) of their corners."""

    triangle: Ints
    corners: Floats
    heights: Floats
    cut_off: _Corners

    @staticmethod
    def of(mesh: TriMesh, plane: Plane) -> _Under:
        over = snapped(plane.over(mesh.vertices))
        triangle = np.flatnonzero(corners_that(over < 0.0, mesh.triangles))
        chosen = mesh.triangles[triangle]
        corners, heights = _corners_of(mesh.vertices, chosen), over[chosen.T]
        return _Under(triangle, corners, heights, _Corners.of(corners, heights))

    def integral(self, weights: Floats) -> float:
        """Integral of the height under the plane, each triangle counting with its weight (k,)."""
        whole = np.where(self.cut_off.mostly_under, weights, 0.0) @ self.heights.sum(axis=0)
        return float(whole + (self.cut_off.shares * weights[self.cut_off.triangle]) @ self.cut_off.height) / 3.0


def _corners_of(vertices: Floats, triangles: Ints) -> Floats:
    """(3, 3, m) corners as corner, axis, triangle."""
    corners: Floats = vertices[triangles.T].transpose(0, 2, 1)
    return corners
