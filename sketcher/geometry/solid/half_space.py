"""Cutting closed surfaces along a plane, without a boolean: every triangle stays but those that the plane meets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import triangulate
from numpy.typing import NDArray

from sketcher.geometry.mesh import Floats, GeometryError, Ints, corners_that, edge_keys
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface, compact
from sketcher.geometry.vectors import cross


@dataclass(frozen=True, eq=False)
class FaceCut:
    """A plane along which a surface is cut, as a face of a board is: its normal points out of the board.

    height: (n,) of each of the surface's vertices over it [m]; origin, number: what triangles that close the cut are known by.
    """

    plane: Plane
    origin: int
    number: int
    height: Floats


Caps = dict[tuple[int, ...], Ints]
"""How cuts were closed: triangles (k, 3) of the corners, loop after loop, by number of face and sizes of the loops."""
CAPS_KEPT = 96


def beyond(surface: TracedSurface, face: FaceCut, caps: Caps | None = None) -> TracedSurface:
    """What of a closed surface lies over a face, closed along it; maybe empty. A vertex in the plane counts as over it.

    caps: how like cuts were closed before, and now this one: it is closed so again where that serves.
    Raises GeometryError where the surface is not closed.
    """
    height = face.height
    over = height >= 0
    count = corners_that(over, surface.triangles)
    kept = np.flatnonzero(count == 3)
    met = np.flatnonzero((count == 1) | (count == 2))
    vertices, triangles = surface.vertices, surface.triangles[kept]
    origin, number = surface.origin[kept], surface.face[kept]
    if len(met):
        corners, cut, of, rim = _cut_triangles(surface.triangles[met], over, len(vertices))
        share = (height[corners[:, 0]] / (height[corners[:, 0]] - height[corners[:, 1]]))[:, None]
        points = vertices[corners[:, 0]] + share * (vertices[corners[:, 1]] - vertices[corners[:, 0]])
        # An edge that ends in the plane is cut at that vertex: a second point there would make edges of no length.
        ends = np.where(over[corners[:, 0]], corners[:, 0], corners[:, 1])
        place = np.where(height[ends] == 0, ends, np.arange(len(ends)) + len(vertices))
        cut = np.concatenate([np.arange(len(vertices)), place])[cut]
        whole = (cut != np.roll(cut, 1, axis=1)).all(axis=1)
        cut, of = cut[whole], of[whole]
        cap = _cap(points, place, rim, face, {} if caps is None else caps)
        vertices = np.concatenate([vertices, points])
        triangles = np.concatenate([triangles, cut, cap])
        origin = np.concatenate([origin, surface.origin[met][of], np.full(len(cap), face.origin)])
        number = np.concatenate([number, surface.face[met][of], np.full(len(cap), face.number)])
    used, triangles = compact(triangles, len(vertices))
    return TracedSurface(vertices[used], triangles, origin, number)


def _cut_triangles(triangles: Ints, over: NDArray[np.bool_], count: int) -> tuple[Ints, Ints, Ints, Ints]:
    """What the plane leaves of triangles that it crosses.

    triangles: (m, 3); over: (count,) which vertices are kept. Gives the edges cut, (k, 2) vertices each; the triangles left, the
    place where edge i is cut being vertex count + i; the triangle that each comes from; and the rim of the cap, (m, 2) from and
    to, each a number of an edge.
    """
    sides = over[triangles]
    single = sides.sum(axis=1) == 1
    rows = np.arange(len(triangles))
    lone = np.argmax(sides == single[:, None], axis=1)
    a, b, c = (triangles[rows, (lone + k) % 3] for k in range(3))
    keys = np.concatenate([edge_keys(a, other, count) for other in (b, c)])
    edges, place = np.unique(keys, return_inverse=True)
    at_b, at_c = place[: len(a)], place[len(a) :]
    one, two = np.flatnonzero(single), np.flatnonzero(~single)
    left = np.concatenate(
        [
            np.column_stack([a[one], at_b[one] + count, at_c[one] + count]),
            np.column_stack([at_b[two] + count, b[two], c[two]]),
            np.column_stack([at_b[two] + count, c[two], at_c[two] + count]),
        ]
    )
    rim = np.concatenate([np.column_stack([at_c[one], at_b[one]]), np.column_stack([at_b[two], at_c[two]])])
    return np.column_stack([edges // count, edges % count]), left, np.concatenate([one, two, two]), rim


def _cap(points: Floats, place: Ints, rim: Ints, face: FaceCut, caps: Caps) -> Ints:
    """Triangles (k, 3) that close a cut, of vertices place (n,) at points (n, 3).

    rim: (m, 2) its edges by number of point, anticlockwise seen from within the slab; caps as in `beyond`.
    """
    following = np.full(len(points), -1)
    following[rim[:, 0]] = rim[:, 1]
    if len(rim) != len(points) or (following < 0).any() or (np.bincount(rim[:, 1], minlength=len(points)) != 1).any():
        raise GeometryError("the surface is not closed where a slab is taken out of it")
    normal = face.plane.normal
    along = cross(normal, np.eye(3)[np.argmin(np.abs(normal))])
    along /= np.linalg.norm(along)
    flat = points @ np.column_stack([along, -cross(normal, along)])
    loops = [loop[place[loop] != place[np.append(loop[-1], loop[:-1])]] for loop in rings(following)]
    loops = [loop for loop in loops if len(loop) > 2]
    if not loops:
        return np.zeros((0, 3), dtype=np.int64)
    corners, alike = np.concatenate(loops), (face.number, *(len(loop) for loop in loops))
    triangles = caps.get(alike)
    if triangles is None or not _all_turn_left(flat[corners], triangles):
        if len(caps) >= CAPS_KEPT:
            del caps[next(iter(caps))]
        triangles = caps[alike] = triangulate([flat[loop] for loop in loops])
    cap: Ints = place[corners[triangles]]
    return cap


def _all_turn_left(flat: Floats, triangles: Ints) -> bool:
    """Whether triangles (k, 3) of points (n, 2) all still turn left: they then fill the loops as they did before."""
    x, y = flat.T
    (ax, bx, cx), (ay, by, cy) = x[triangles.T], y[triangles.T]
    return bool(((bx - ax) * (cy - ay) - (cx - ax) * (by - ay) > 0.0).all())


def rings(following: Ints) -> list[Ints]:
    """The cycles of a permutation, each as its members in order."""
    ahead = following.tolist()
    seen = bytearray(len(ahead))
    found: list[Ints] = []
    for first in range(len(ahead)):
        if seen[first]:
            continue
        ring, at = [], first
        while not seen[at]:
            seen[at] = 1
            ring.append(at)
            at = ahead[at]
        found.append(np.array(ring))
    return found
