"""The outline of an opening in the plane of what it is cut through."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.vectors import triple
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
