"""A board as a closed solid: two flat outlines a thickness apart, joined all round by straight lines from one to the other."""

from __future__ import annotations

import numpy as np
import shapely
from manifold3d import triangulate

from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import SAME_PLACE

FIRST, SECOND, EDGE = 0, 1, 2
"""Labels of the solid's triangles."""

_STEP = 0.020
"""[m] Lines across an edge that is not square stand no further apart, so that between corners too it is ruled, not fanned."""


def between_outlines(first: shapely.Polygon, second: shapely.Polygon, frame: Frame, thickness: float) -> TriMesh:
    """The closed solid between an outline in a frame's plane and one `thickness` [m] behind it, both in the frame's coordinates.

    Where one of them has no area, or not as many holes as the other, edges are square: the solid then is that of both together.
    """
    if first.is_empty or second.is_empty or len(first.interiors) != len(second.interiors):
        first = second = _largest(shapely.union(first, second))
    elif not shapely.equals_exact(first, second, SAME_PLACE):
        first, second = shapely.segmentize([first, second], _STEP)
    above = _rings(first)
    below = _paired(above, _rings(second))
    flat = np.concatenate([*above, *below])
    starts = np.cumsum([0, *(len(ring) for ring in (*above, *below))])
    sides = [
        _strip(one, two, int(starts[k]), int(starts[len(above) + k]))
        for k, (one, two) in enumerate(zip(above, below, strict=True))
    ]
    faces = [triangulate(above).astype(np.int64), triangulate(below).astype(np.int64)[:, ::-1] + starts[len(above)]]
    count = int(starts[len(above)])
    vertices = frame.space(flat) - np.where(np.arange(len(flat)) < count, 0.0, thickness)[:, None] * frame.normal
    labels = np.repeat([FIRST, SECOND, EDGE], [len(faces[0]), len(faces[1]), sum(map(len, sides))])
    return TriMesh(vertices, np.concatenate([*faces, *sides]), labels)


def _largest(area: shapely.Geometry) -> shapely.Polygon:
    parts: list[shapely.Polygon] = [part for part in shapely.get_parts(area).tolist() if part.geom_type == "Polygon"]
    return max(parts, key=lambda part: part.area)


def _rings(area: shapely.Polygon) -> list[Floats]:
    """The corners of the rim, anticlockwise, then of each hole, clockwise, (k, 2) each."""
    turned = shapely.orient_polygons(area)
    return [shapely.get_coordinates(shapely.remove_repeated_points(ring))[:-1] for ring in (turned.exterior, *turned.interiors)]


def _paired(above: list[Floats], below: list[Floats]) -> list[Floats]:
    """The other face's rings in the order of those above them: each hole's is the one whose middle is nearest to it."""
    left = below[1:]
    ordered = [below[0]]
    for ring in above[1:]:
        away = [float(np.hypot(*(other.mean(axis=0) - ring.mean(axis=0)))) for other in left]
        ordered.append(left.pop(int(np.argmin(away))))
    return ordered


def _strip(one: Floats, two: Floats, first: int, second: int) -> Ints:
    """Triangles between two rings (n, 2) and (m, 2), whose corners are numbered on from `first` and `second`."""
    steps = shortest_way_round(one, two)
    n, m = len(one), len(two)
    triangles = [
        (first + (i + 1) % n, first + i % n, second + j % m)
        if on_first
        else (first + i % n, second + j % m, second + (j + 1) % m)
        for i, j, on_first in steps
    ]
    return np.array(triangles, dtype=np.int64)


def shortest_way_round(one: Floats, two: Floats) -> list[tuple[int, int, bool]]:
    """How two rings (n, 2), (m, 2) are joined: n + m steps, each from corner i of one and j of two on along one, or else two.

    From the pair nearest to each other, so that all the lines across are shortest in sum (Fuchs, Kedem and Uselton 1977, Optimal
    surface reconstruction from planar contours, Communications of the ACM 20: a shortest path through the table of pairs).
    """
    across = np.hypot(*(one[:, None] - two[None]).T).T
    start, other = (int(k) for k in np.unravel_index(np.argmin(across), across.shape))
    table = np.roll(across, (-start, -other), axis=(0, 1))
    table = np.pad(table, ((0, 1), (0, 1)), mode="wrap")
    least = np.empty_like(table)
    least[0] = np.cumsum(table[0])
    for row in range(1, len(table)):
        # A row is entered at its cheapest place from above and gone along: cost = run + min(above - run before it).
        run = np.cumsum(table[row])
        least[row] = run + np.minimum.accumulate(least[row - 1] - run + table[row])
    steps = []
    i, j = len(one), len(two)
    while i or j:
        on_first = j == 0 or (i > 0 and least[i - 1, j] <= least[i, j - 1])
        i, j = (i - 1, j) if on_first else (i, j - 1)
        steps.append((start + i, other + j, on_first))
    return steps[::-1]
