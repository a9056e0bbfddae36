"""The outline of an opening in the plane of what it is cut through."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import SAME_AREA
from sketcher.geometry.vectors import cross, triple
from sketcher.model.scene import Opening

_ROUND = 32
"""Straight sides in a quarter of a round opening: its area is 0.04 % small."""


def outline(opening: Opening) -> shapely.Polygon:
    """The opening about (0, 0), its first measure along the first axis [m]; empty where it has no size."""
    if opening.diameter is not None:
        return shapely.Point(0.0, 0.0).buffer(opening.diameter / 2, quad_segs=_ROUND)
    if opening.size is None:
        return shapely.Polygon()
    half = opening.size[0] / 2, opening.size[1] / 2
    square = shapely.box(-half[0], -half[1], half[0], half[1])
    radius = min(opening.radius, *half)
    if radius <= 0:
        return square
    if radius == half[0] == half[1]:
        return shapely.Point(0.0, 0.0).buffer(radius, quad_segs=_ROUND)
    core = shapely.box(radius - half[0], radius - half[1], half[0] - radius, half[1] - radius)
    rounded: shapely.Polygon = core.buffer(radius, quad_segs=_ROUND)
    return rounded


def centre_on(kind: str, at: tuple[float, ...], middle: Plane) -> Floats:
    """The opening's centre (3,) on the middle plane of a panel: `at` gives two of its coordinates, by the panel's kind."""
    known = {"bulkhead": (1, 2), "partition": (0, 2), "lid": (0, 1)}[kind]
    free = ({0, 1, 2} - set(known)).pop()
    point = np.zeros(3)
    point[list(known)] = at[:2]
    point[free] = middle.coordinate(free, point)
    return point


def opening_frame(kind: str, centre: Floats, middle: Plane) -> Frame:
    """Axes in the panel's plane along which an opening is measured: across and up, aft and up, or aft and across."""
    normal = middle.normal
    if kind == "lid":
        first = np.cross(np.array([0.0, 1.0, 0.0]), normal)
        second = np.cross(normal, first)
    else:
        first = np.cross(normal, np.array([0.0, 0.0, 1.0]))
        second = np.cross(first, normal)
    first, second = first / np.linalg.norm(first), second / np.linalg.norm(second)
    lead = {"bulkhead": 1, "partition": 0, "lid": 0}[kind]
    up = {"bulkhead": 2, "partition": 2, "lid": 1}[kind]
    first, second = first * np.sign(first[lead]), second * np.sign(second[up])
    return Frame(triple(centre), triple(first), triple(second))


def covered_part(hole: shapely.Polygon, corners: Floats) -> shapely.Geometry:
    """The part of an opening that triangles (k, 3, 2) cover; they do not overlap."""
    if not len(corners):
        return shapely.Polygon()
    pieces = shapely.intersection(shapely.polygons(corners), hole)
    covered = float(shapely.area(pieces).sum())
    return hole if covered > hole.area * (1 - SAME_AREA) else shapely.union_all(pieces)


def carried_onto(vertices: Floats, triangles: Ints, flat: Floats) -> Floats:
    """Points (k, 3) of triangles, straight over or under places (k, 2) of the first two axes, each on that it is deepest in."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normal = cross(b - a, c - a)
    keep = normal[:, 2] != 0
    a, b, c, normal = a[keep], b[keep], c[keep], normal[keep]
    depth = np.full((len(flat), len(a)), np.inf)
    for p, q in ((a, b), (b, c), (c, a)):
        along = q - p
        off = along[:, 0] * (flat[:, 1, None] - p[:, 1]) - along[:, 1] * (flat[:, 0, None] - p[:, 0])
        depth = np.minimum(depth, off / normal[:, 2])
    best = np.argmax(depth, axis=1)
    a, normal = a[best], normal[best]
    fall = normal[:, 0] * (flat[:, 0] - a[:, 0]) + normal[:, 1] * (flat[:, 1] - a[:, 1])
    return np.column_stack([flat, a[:, 2] - fall / normal[:, 2]])
