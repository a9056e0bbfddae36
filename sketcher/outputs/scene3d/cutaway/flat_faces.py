"""Outlines in a plane as triangles and lines of the boat."""

from __future__ import annotations

import numpy as np
import shapely
from manifold3d import triangulate

from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.solid.section import Frame
from sketcher.outputs.scene3d.shapes import polyline

Area = shapely.Polygon | shapely.MultiPolygon
"""An outline, of any number of parts; maybe empty."""


def face_and_edge(outline: shapely.Geometry, frame: Frame) -> tuple[Floats, Ints, Ints]:
    """The area of an outline in a frame's plane with the rings round it: points (n, 3), triangles (m, 3), segments (k, 2)."""
    rings = _rings(outline)
    if not rings:
        return np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64), np.zeros((0, 2), dtype=np.int64)
    return frame.space(np.concatenate(rings)), np.asarray(triangulate(rings), dtype=np.int64), _round(rings)


def face_triangles(outline: shapely.Geometry, frame: Frame) -> tuple[Floats, Ints]:
    """The area of an outline in a frame's plane, as points (n, 3) and triangles (m, 3); none where there is no area."""
    rings = _rings(outline)
    if not rings:
        return np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)
    return frame.space(np.concatenate(rings)), np.asarray(triangulate(rings), dtype=np.int64)


def edge_lines(outline: shapely.Geometry, frame: Frame) -> tuple[Floats, Ints]:
    """The rings round an outline, as points (n, 3) and segments (k, 2)."""
    rings = _rings(outline)
    if not rings:
        return np.zeros((0, 3)), np.zeros((0, 2), dtype=np.int64)
    return frame.space(np.concatenate(rings)), _round(rings)


def _round(rings: list[Floats]) -> Ints:
    """Segments (k, 2) round rings, whose points follow each other."""
    starts = np.cumsum([0, *(len(ring) for ring in rings[:-1])])
    return np.concatenate([polyline(ring, closed=True) + start for ring, start in zip(rings, starts, strict=True)])


def _rings(outline: shapely.Geometry) -> list[Floats]:
    """Its rings, (k, 2) each, none closed by a repeated point: anticlockwise round area, clockwise round holes."""
    rings: list[Floats] = []
    for polygon in polygons(outline):
        turned = shapely.geometry.polygon.orient(polygon)
        rings += [shapely.get_coordinates(ring)[:-1] for ring in (turned.exterior, *turned.interiors)]
    return rings
