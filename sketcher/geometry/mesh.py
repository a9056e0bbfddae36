"""A closed triangle mesh: the one solid type that passes between the layers."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sketcher.geometry.frozen import dataclass

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
        return self.vertices.min(axis=0), self.vertices.max(axis=0)
