"""The triangle nearest to a point."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.vectors import cross


def distances_to_mesh(point: Floats, vertices: Floats, triangles: Ints) -> Floats:
    """Distance (m,) [m] from a point (3,) to each triangle."""
    a, b, c = (vertices[triangles[:, k]] - point for k in range(3))
    normal = cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    flat = size == 0
    unit = normal / np.where(flat, 1.0, size)[:, None]
    nearest = np.minimum.reduce([_to_segment(p, q) for p, q in ((a, b), (b, c), (c, a))])
    inside = np.logical_and.reduce([np.einsum("ij,ij->i", cross(p, q), unit) >= 0 for p, q in ((a, b), (b, c), (c, a))])
    apart: Floats = np.where(inside & ~flat, np.abs(np.einsum("ij,ij->i", a, unit)), nearest)
    return apart


def _to_segment(p: Floats, q: Floats) -> Floats:
    """Distance (m,) from the origin to each segment."""
    along = q - p
    square = np.einsum("ij,ij->i", along, along)
    share = np.clip(-np.einsum("ij,ij->i", p, along) / np.where(square == 0, 1.0, square), 0.0, 1.0)
    gap: Floats = np.linalg.norm(p + share[:, None] * along, axis=1)
    return gap
