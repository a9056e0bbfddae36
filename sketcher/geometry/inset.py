"""Areas made smaller from their edges, and their inner corners rounded."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import PLOTTED

_ARC = 8
"""Straight sides in a quarter of a turn round a corner: 0.5 % of the distance is lost at most."""


def inset(area: shapely.Geometry, starts: Floats, ends: Floats, distances: Floats) -> shapely.Geometry:
    """The part of an area that keeps its distance from each of its edges.

    starts, ends: (k, 2) [m] of the edges; distances: (k,) [m] to keep from each, 0 where nothing is kept.
    """
    kept = distances > 0.0
    if not kept.any():
        return area
    lines = shapely.linestrings(np.stack([starts[kept], ends[kept]], axis=1))
    return area.difference(shapely.union_all(shapely.buffer(lines, distances[kept], quad_segs=_ARC)))


def tidy(area: shapely.Geometry) -> shapely.Geometry:
    """The area without points that a drawing cannot show."""
    return shapely.simplify(area, PLOTTED)


def with_round_corners(hole: shapely.Polygon, radius: float) -> shapely.Polygon:
    """A hole whose corners have at least a radius [m], as far as it is wide enough for that; never larger than it was."""
    while radius > PLOTTED:
        rounded = hole.buffer(-radius, quad_segs=16).buffer(radius, quad_segs=16)
        if rounded.geom_type == "Polygon" and not rounded.is_empty:
            return rounded
        radius /= 2
    return hole
