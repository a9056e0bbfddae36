"""The one split of triangles by a plane, or by any height that is linear along their edges.

Everywhere a point at height 0 counts as just over the plane, so that every cut is a set of closed rings and a face that lies in
the plane is met once or not at all. Where rounding must not decide, heights are `snapped` first.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sketcher.geometry.mesh import Flags, Floats, Ints, edge_keys
from sketcher.geometry.tolerances import IN_PLANE


class Crossed(NamedTuple):
    """The triangles that a plane crosses (k,) of all (m,): each has one corner alone on its side.

    corners_over: (m,) how many are over the plane; triangle: (k,) numbers of those crossed; lone: (k,) 0, 1 or 2, the corner
    alone; lone_over: (k,) whether it is the one over the plane.
    """

    corners_over: NDArray[np.int8]
    triangle: Ints
    lone: Ints
    lone_over: Flags

    def corner(self, ahead: int) -> Ints:
        """The number (k,) of the corner so many (0, 1, 2) after the lone one, in the triangle's sense."""
        return (self.lone + ahead) % 3

    def vertices(self, triangles: Ints) -> tuple[Ints, Ints, Ints]:
        """The vertices (k,) of the crossed triangles: the lone one, and the two after it in the triangle's sense."""
        chosen, rows = triangles[self.triangle], np.arange(len(self.triangle))
        return chosen[rows, self.lone], chosen[rows, self.corner(1)], chosen[rows, self.corner(2)]

    def in_sense(self, second: Ints, third: Ints) -> tuple[Ints, Ints]:
        """Something of the second and of the third corners (k,), in the order in which the cut has the solid on its left."""
        return np.where(self.lone_over, second, third), np.where(self.lone_over, third, second)


class Split(NamedTuple):
    """The part of triangles on one side of a plane.

    whole: (w,) numbers of those wholly there; edges: (e, 2) the edges cut, lower vertex first; triangles: (t, 3) what is left of
    those crossed, the place where edge i is cut being vertex count + i; source: (t,) the triangle that each comes from; rim:
    (k, 2) from and to, numbers of edges: the cut, round what is left in the sense of its triangles turned about.
    """

    whole: Ints
    edges: Ints
    triangles: Ints
    source: Ints
    rim: Ints


def snapped(heights: Floats) -> Floats:
    """Heights over a plane, 0 where they are within `IN_PLANE`; changes the array in place."""
    heights[np.abs(heights) <= IN_PLANE] = 0.0
    return heights


def crossed(over: Flags) -> Crossed:
    """The triangles crossed. over: (3, m) which corners of each are over the plane, that is at no height below 0."""
    one, two, three = over.view(np.int8)
    count: NDArray[np.int8] = one + two + three
    triangle = np.flatnonzero((count == 1) | (count == 2))
    lone_over = count[triangle] == 1
    _, second, third = over[:, triangle] == lone_over
    return Crossed(count, triangle, second + 2 * third, lone_over)


def crossed_at(height: Floats, triangles: Ints) -> Crossed:
    """The triangles (m, 3) crossed, by the heights (n,) of their vertices."""
    return crossed((height >= 0.0)[triangles.T])


def shares(height: Floats, start: Ints | int, end: Ints | int) -> Floats:
    """How far along edges from start to end (k,) they meet the plane, as shares (k, 1) of their lengths."""
    share: Floats = (height[start] / (height[start] - height[end]))[..., None]
    return share


def met(points: Floats, height: Floats, start: Ints | int, end: Ints | int) -> Floats:
    """Where edges between points (n, d) from start to end meet the plane; height: (n,) of the points over it."""
    places: Floats = points[start] + shares(height, start, end) * (points[end] - points[start])
    return places


def split(height: Floats, triangles: Ints, *, under: bool = False) -> Split:
    """The part of triangles (m, 3) over the plane, or `under` it; height: (n,) of the vertices."""
    cut, count = crossed_at(height, triangles), len(height)
    a, b, c = cut.vertices(triangles)
    keys = np.concatenate([edge_keys(a, other, count) for other in (b, c)])
    edges, place = np.unique(keys, return_inverse=True)
    at_b, at_c = place[: len(a)], place[len(a) :]
    tips = cut.lone_over != under
    tip, foot = np.flatnonzero(tips), np.flatnonzero(~tips)
    ab, ac = at_b + count, at_c + count
    left = [
        np.stack(corners, axis=1)
        for corners in (
            (a[tip], ab[tip], ac[tip]),
            (b[foot], c[foot], ac[foot]),
            (b[foot], ac[foot], ab[foot]),
        )
    ]
    rim = np.concatenate([np.stack([at_c[tip], at_b[tip]], axis=1), np.stack([at_b[foot], at_c[foot]], axis=1)])
    return Split(
        np.flatnonzero(cut.corners_over == (0 if under else 3)),
        np.stack([edges // count, edges % count], axis=1),
        np.concatenate(left),
        cut.triangle[np.concatenate([tip, foot, foot])],
        rim,
    )


def ring_part(points: Floats, height: Floats, *, under: bool = False) -> Floats:
    """Corners of the part of a convex ring (n, d) over a line or plane, or `under` it; height: (n,) of the ring's."""
    kept = (height >= 0.0) != under
    parts: list[Floats] = [np.zeros((0, points.shape[1]))]
    for k in range(len(points)):
        after = (k + 1) % len(points)
        if kept[k]:
            parts.append(points[k : k + 1])
        if kept[k] != kept[after]:
            parts.append(met(points, height, k, after)[None])
    return np.concatenate(parts)


def cycles(following: Ints) -> list[Ints]:
    """The cycles of a permutation, each as its members in order: the rings of a cut, from what follows each of its pieces."""
    ahead = following.tolist()
    seen = bytearray(len(ahead))
    rings: list[Ints] = []
    for first in range(len(ahead)):
        if seen[first]:
            continue
        ring, at = [], first
        while not seen[at]:
            seen[at] = 1
            ring.append(at)
            at = ahead[at]
        rings.append(np.array(ring))
    return rings
