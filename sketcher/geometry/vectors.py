"""Products of many small vectors, without numpy's overhead for general shapes."""

from __future__ import annotations

from sketcher.geometry.mesh import Floats


def cross(a: Floats, b: Floats) -> Floats:
    """The cross products (..., 3) of vectors (..., 3), row by row."""
    product: Floats = a[..., [1, 2, 0]] * b[..., [2, 0, 1]] - a[..., [2, 0, 1]] * b[..., [1, 2, 0]]
    return product


def triple(vector: Floats) -> tuple[float, float, float]:
    """A vector (3,) as plain numbers."""
    return float(vector[0]), float(vector[1]), float(vector[2])
