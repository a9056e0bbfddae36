"""The after end with area: flat, or bent about a cylinder that leans as the transom is raked."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot, radians, sqrt, tan

import numpy as np
import shapely
from manifold3d import Manifold, triangulate

from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.surface.curve import Curve
from sketcher.geometry.surface.open_edge import with_edge_places
from sketcher.geometry.surface.shell import edge_loop, grid_solid, stitched
from sketcher.geometry.tolerances import SAME_PLACE
from sketcher.model.hull import Hull

END_SAG = 1e-4
"""[m] How far the facets of a curved transom may leave its cylinder: as near as boards are cut."""

MOST_STRIPS = 60
"""Upright facets of half a transom, however much it bends."""


@dataclass(frozen=True, eq=False)
class CurvedEnd:
    """A transom on a cylinder. plane: touches it along the centreline, its normal aft; radius: of the cylinder [m]."""

    plane: Plane
    radius: float

    @property
    def normal(self) -> Floats:
        return self.plane.normal

    def over(self, points: Floats) -> Floats:
        """Over points (..., 3) [m]: 0 on the transom, above it abaft, the height over it along the boat's fore-and-aft plane."""
        return self.plane.over(points) + _drop(points[..., 1], self.radius)

    def moved(self, by: float) -> CurvedEnd:
        """The transom's other face so far [m] aft."""
        return CurvedEnd(self.plane.moved(by), self.radius + by)

    def coordinate(self, axis: int, point: Floats) -> float:
        """Where the line along an axis through a point of the centreline meets it."""
        return self.plane.coordinate(axis, point)

    def put(self, points: Floats) -> Floats:
        """The points (..., 3) moved fore and aft onto it."""
        moved = points.copy()
        moved[..., 0] -= self.over(points) / self.normal[0]
        return moved


HullEnd = Plane | CurvedEnd


@dataclass(frozen=True, eq=False)
class CurveOnEnd(Curve):
    """A section on a curved transom: on it everywhere, not just at its points."""

    end: CurvedEnd

    def at(self, shares: Floats) -> Floats:
        return self.end.put(Curve.at(self, shares))


def on_end(curve: Curve, end: CurvedEnd) -> CurveOnEnd:
    """A section through points of a transom, on it throughout."""
    return CurveOnEnd(**{name: getattr(curve, name) for name in Curve.__dataclass_fields__}, end=end)


def radius_of(hull: Hull) -> float | None:
    """The radius [m] of a hull's curved transom, from its rise over its greatest breadth; None for a flat one, or for none."""
    if not hull.transom_curve or hull.stern or hull.open_aft:
        return None
    half = max((point[0] for point in (*hull.stations[-1].points, *hull.stations[-1].port)), default=0.0)
    return (half * half + hull.transom_curve**2) / (2.0 * hull.transom_curve) if half > 0.0 else None


def drop_forward(hull: Hull, half_breadths: Floats) -> Floats:
    """How far [m] forward of the centreline's a curved transom's places lie, measured level along the boat as she stood."""
    radius = radius_of(hull)
    if radius is None:
        return np.zeros_like(half_breadths)
    return _drop(half_breadths, radius) * hypot(1.0, tan(radians(hull.transom_rake)))


def curved_end(hull: Hull, foot: Floats) -> CurvedEnd | None:
    """The curved transom, in its own axes, of a hull whose transom's foot on the centreline is at `foot`; None for a flat one."""
    radius = radius_of(hull)
    if radius is None:
        return None
    lean = tan(radians(hull.transom_rake + hull.measured_trim))
    return CurvedEnd(Plane.through((float(foot[0]), 0.0, float(foot[2])), (1.0, 0.0, -lean)), radius)


def along_end(end: HullEnd, places: Floats, edge: Floats) -> Floats:
    """How far aft [m] of an edge's place (..., 3) the end is at places of the same x, where the edge lies in the end."""
    reach: Floats = -(end.over(places) - end.over(edge)) / end.normal[0]
    return reach


def with_curved_end(half: TriMesh, end: CurvedEnd, label: int) -> TriMesh:
    """A half that is open at its transom, closed there by upright facets on the cylinder."""
    loop, owners = edge_loop(half.triangles)
    start, after = half.vertices[loop], half.vertices[np.roll(loop, -1)]
    at_end = (start[:, 1] > 0.0) | (after[:, 1] > 0.0)
    lines = _strip_lines(float(start[:, 1].max()), end.radius)
    crossed = [
        end.put(_between(a, b, lines)) if there else np.zeros((0, 3)) for a, b, there in zip(start, after, at_end, strict=True)
    ]
    half, edge = with_edge_places(half, loop, owners, crossed)
    across = half.vertices[edge]
    first = int(np.argmax((across[:, 1] > 0.0) & (np.roll(across[:, 1], 1) <= 0.0)))
    across = np.roll(across, 1 - first, axis=0)
    outline = across[: int(np.flatnonzero(across[:, 1] > 0.0)[-1]) + 2]
    return stitched([half, _facets(outline, lines, end, label)])


def abaft(end: CurvedEnd, low: Floats, high: Floats) -> Manifold:
    """The solid abaft the transom within two corners (3,), to be taken from one that runs on past it."""
    lines = np.concatenate([[low[1], 0.0], _strip_lines(high[1], end.radius), [high[1]]])
    rows = [end.put(np.stack([np.zeros_like(lines), lines, np.full_like(lines, z)], axis=1)) for z in (low[2], high[2])]
    lower, upper = (np.stack([row, row * [0.0, 1.0, 1.0] + [high[0], 0.0, 0.0]]) for row in rows)
    return to_manifold(grid_solid(upper, lower), reserve_ids(1), what="the transom")


def laid_flat(body: TriMesh, end: CurvedEnd, thickness: float) -> shapely.Polygon:
    """The transom of the outside body laid flat: off the centreline along its arc, up its lean [m].

    A plate of that thickness [m] bends about its middle.
    """
    corners = body.vertices[body.triangles[(np.abs(end.over(body.vertices)) < 2.0 * END_SAG)[body.triangles].all(axis=1)]]
    around = (end.radius - thickness / 2.0) * np.arcsin(np.clip(corners[..., 1] / end.radius, -1.0, 1.0))
    up = corners @ np.array([-end.normal[2], 0.0, end.normal[0]])
    return largest(shapely.union_all(shapely.polygons(np.stack([around, up], axis=-1)), grid_size=1e-7))


def _drop(y: Floats, radius: float) -> Floats:
    """How far a cylinder lies from the plane that touches it, y off the line of touch."""
    drop: Floats = radius - np.sqrt(np.maximum(radius * radius - y * y, 0.0))
    return drop


def _strip_lines(breadth: float, radius: float) -> Floats:
    """The distances off the centreline between which a transom is cut in facets."""
    count = min(MOST_STRIPS, ceil(breadth / sqrt(8.0 * radius * END_SAG)))
    lines: Floats = breadth * np.arange(1, count) / count
    return lines


def _between(a: Floats, b: Floats, lines: Floats) -> Floats:
    """The places (k, 3) between two where the line from one to the other comes to these distances off, from the first on."""
    low, high = sorted((a[1], b[1]))
    met = lines[(lines > low + SAME_PLACE) & (lines < high - SAME_PLACE)]
    places = a + ((met - a[1]) / (b[1] - a[1]))[:, None] * (b - a) if len(met) else np.zeros((0, 3))
    places[:, 1] = met
    return places if b[1] > a[1] else places[::-1]


def _facets(outline: Floats, lines: Floats, end: CurvedEnd, label: int) -> TriMesh:
    """The transom's half within its outline (k, 3), strip by strip."""
    area = shapely.Polygon(outline[:, 1:])
    south, north = area.bounds[1] - 1.0, area.bounds[3] + 1.0
    limits = [-1.0, *lines.tolist(), area.bounds[2] + 1.0]
    parts: list[tuple[Floats, Ints]] = []
    count = 0
    for left, right in pairwise(limits):
        for piece in polygons(shapely.intersection(area, shapely.box(left, south, right, north))):
            ring = np.asarray(shapely.geometry.polygon.orient(piece).exterior.coords)[:-1]
            corners = np.ascontiguousarray(ring)
            parts.append((end.put(np.column_stack([np.zeros(len(ring)), ring])), triangulate([corners]).astype(np.int64) + count))
            count += len(ring)
    triangles = np.concatenate([part for _, part in parts])
    return TriMesh(np.concatenate([places for places, _ in parts]), triangles, np.full(len(triangles), label))
