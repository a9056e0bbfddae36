"""A closed triangle mesh: the one solid type that passes between the layers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


class GeometryError(ValueError):
    """A shape that cannot be built; the message says which part of it and why, in plain words."""


@dataclass(frozen=True, eq=False)
class TriMesh:
    """Triangles with outward normals (anticlockwise from outside); closed unless said otherwise.

    vertices: (n, 3) [m]; triangles: (m, 3) indices; labels: (m,) what each triangle belongs to, in the maker's own numbering.
    """

    vertices: Floats
    triangles: Ints
    labels: Ints

    @property
    def volume(self) -> float:
        """Enclosed volume [m3], by the divergence theorem about the mesh's own centre."""
        a, b, c = (self.vertices - self.vertices.mean(axis=0))[self.triangles.T] if len(self.triangles) else np.zeros((3, 0, 3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)

    @cached_property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest corner, each (3,) [m]."""
        return bounds_of(self.vertices)


def bounds_of(points: Floats) -> tuple[Floats, Floats]:
    """Lowest and highest corner, each (3,), of the box round points (n, 3), one or more; much quicker by columns."""
    columns = points.T
    return np.array([column.min() for column in columns]), np.array([column.max() for column in columns])


def corners_that(holds: Flags, triangles: Ints) -> NDArray[np.int8]:
    """How many (m,) of each triangle's corners a flag (n,) holds for; many times quicker than a sum over an axis of three."""
    one = holds.view(np.int8)
    a, b, c = triangles.T
    count: NDArray[np.int8] = one[a] + one[b] + one[c]
    return count


def edge_keys(a: Ints, b: Ints, count: int) -> Ints:
    """One integer for each undirected edge between vertices a and b (k,) of `count`."""
    keys: Ints = np.minimum(a, b) * count + np.maximum(a, b)
    return keys
