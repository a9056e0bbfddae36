"""How narrow a flat shape is in its best turn, what goes through a hole, and what fits on a sheet."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats, Ints

_TURNS = 181
"""Directions tried over half a turn, then as many again within a step of the best: a diagonal is found to 0.01 mm."""

_LONG = 1e3


def extents(area: shapely.Geometry, angles: Floats) -> Floats:
    """Extent (k, 2) [m] of an area along each direction (k,) [rad] and square to it."""
    points = shapely.get_coordinates(shapely.convex_hull(area))
    along = np.stack([np.cos(angles), np.sin(angles)])
    across = np.stack([-np.sin(angles), np.cos(angles)])
    return np.stack([np.ptp(points @ along, axis=0), np.ptp(points @ across, axis=0)], axis=1)


def least_width(area: shapely.Geometry) -> tuple[float, float]:
    """The least width [m] of an area between two parallel lines, and the direction [rad] of those lines.

    An edge of the convex hull lies on one of them.
    """
    hull = shapely.convex_hull(area)
    corners = np.asarray(hull.exterior.coords)
    edges = np.diff(corners, axis=0)
    angles = np.arctan2(edges[:, 1], edges[:, 0])
    widths = extents(hull, angles)[:, 1]
    best = int(np.argmin(widths))
    return float(widths[best]), float(angles[best])


@remembered(256)
def widest_through(hole: shapely.Polygon, thickness: float) -> float:
    """The widest flat board [m] of a thickness that goes through a hole with two axes of symmetry; 0 where none does.

    The board's section, a rectangle, is turned about the hole's middle; each of its long sides must end inside the hole. Kept,
    since every board and every route is asked for it.
    """
    coarse = np.linspace(0.0, np.pi, _TURNS)
    best = coarse[int(np.argmax(_lengths(hole, thickness, coarse)))]
    step = coarse[1] - coarse[0]
    return float(_lengths(hole, thickness, np.linspace(best - step, best + step, _TURNS)).max())


def _lengths(hole: shapely.Polygon, thickness: float, angles: Floats) -> Floats:
    """The longest section (k,) [m] of a board inside a hole, turned to each direction (k,) [rad]."""
    middle = np.asarray(hole.centroid.coords[0])
    along = np.column_stack([np.cos(angles), np.sin(angles)])
    aside = np.column_stack([-along[:, 1], along[:, 0]]) * thickness / 2
    halves = []
    for side in (-1.0, 1.0):
        start = middle + aside * side
        inside = shapely.contains_xy(hole, start[:, 0], start[:, 1])
        for sign in (-1.0, 1.0):
            rays = shapely.linestrings(np.stack([start, start + along * sign * _LONG], axis=1))
            halves.append(np.where(inside, shapely.length(shapely.intersection(rays, hole)), 0.0))
    longest: Floats = 2.0 * np.min(halves, axis=0)
    return longest


def fits_on(area: shapely.Geometry, size: tuple[float, float], angles: Floats) -> Ints:
    """Which of the directions (k,) [rad], laid along a rectangle's first side, let an area fit into the rectangle."""
    extent = extents(area, angles)
    return np.flatnonzero((extent[:, 0] <= size[0] + 1e-9) & (extent[:, 1] <= size[1] + 1e-9))
