"""Cutting closed surfaces along a plane, without a boolean: every triangle stays but those that the plane meets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from manifold3d import triangulate

from sketcher.geometry.crossing import cycles, met, split
from sketcher.geometry.mesh import Floats, GeometryError, Ints
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


Fill = Callable[[list[Floats]], Ints]
"""How a cut is closed: triangles (k, 3) of the corners (n, 2) of loops, one loop after the other."""


def beyond(surface: TracedSurface, face: FaceCut, fill: Fill = triangulate) -> TracedSurface:
    """The part of a closed surface over a face, closed along it; maybe empty. A vertex in the plane counts as over it.

    Raises GeometryError where the surface is not closed.
    """
    height = face.height
    parted = split(height, surface.triangles)
    vertices, triangles = surface.vertices, surface.triangles[parted.whole]
    origin, number = surface.origin[parted.whole], surface.face[parted.whole]
    if len(parted.edges):
        low, high = parted.edges.T
        points = met(vertices, height, low, high)
        # An edge that ends in the plane is cut at that vertex: a second point there would make edges of no length.
        ends = np.where(height[low] >= 0.0, low, high)
        place = np.where(height[ends] == 0, ends, np.arange(len(ends)) + len(vertices))
        cut = np.concatenate([np.arange(len(vertices)), place])[parted.triangles]
        wide = (cut != np.roll(cut, 1, axis=1)).all(axis=1)
        cut, of = cut[wide], parted.source[wide]
        cap = _cap(points, place, parted.rim, face, fill)
        vertices = np.concatenate([vertices, points])
        triangles = np.concatenate([triangles, cut, cap])
        origin = np.concatenate([origin, surface.origin[of], np.full(len(cap), face.origin)])
        number = np.concatenate([number, surface.face[of], np.full(len(cap), face.number)])
    used, triangles = compact(triangles, len(vertices))
    return TracedSurface(vertices[used], triangles, origin, number)


def _cap(points: Floats, place: Ints, rim: Ints, face: FaceCut, fill: Fill) -> Ints:
    """Triangles (k, 3) that close a cut, of vertices place (n,) at points (n, 3).

    rim: (m, 2) its edges by number of point, anticlockwise seen from within the slab.
    """
    following = np.full(len(points), -1)
    following[rim[:, 0]] = rim[:, 1]
    if len(rim) != len(points) or (following < 0).any() or (np.bincount(rim[:, 1], minlength=len(points)) != 1).any():
        raise GeometryError("the surface is not closed where a slab is taken out of it")
    normal = face.plane.normal
    along = cross(normal, np.eye(3)[np.argmin(np.abs(normal))])
    along /= np.linalg.norm(along)
    flat = points @ np.column_stack([along, -cross(normal, along)])
    loops = [loop[place[loop] != place[np.append(loop[-1], loop[:-1])]] for loop in cycles(following)]
    loops = [loop for loop in loops if len(loop) > 2]
    if not loops:
        return np.zeros((0, 3), dtype=np.int64)
    cap: Ints = place[np.concatenate(loops)[fill([flat[loop] for loop in loops])]]
    return cap
