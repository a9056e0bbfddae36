"""Where a plane cuts a closed mesh: the outline as polygons in the plane's own coordinates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.geometry.caching import remembered
from sketcher.geometry.crossing import crossed_at, cycles, met
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh, edge_keys
from sketcher.geometry.plane import Plane
from sketcher.geometry.vectors import cross, triple


@dataclass(frozen=True, slots=True)
class Frame:
    """A plane with axes drawn on it: points origin + a u + b v. u and v are unit vectors square to each other, (3,) each."""

    origin: tuple[float, float, float]
    u: tuple[float, float, float]
    v: tuple[float, float, float]

    @property
    def normal(self) -> Floats:
        """The plane's unit normal u x v, (3,)."""
        return cross(np.array(self.u), np.array(self.v))

    @property
    def plane(self) -> Plane:
        """The plane itself."""
        normal = self.normal
        return Plane(normal, float(normal @ np.array(self.origin)))

    def flat(self, points: Floats) -> Floats:
        """Plane coordinates (n, 2) of points (n, 3), square onto the plane."""
        flat: Floats = (points - np.array(self.origin)) @ np.array([self.u, self.v]).T
        return flat

    def line(self, plane: Plane) -> tuple[Floats, float]:
        """Another plane in the frame's coordinates: it stands where a . q = b, a (2,) not a unit vector, its inner side below."""
        return np.array([self.u, self.v]) @ plane.normal, -float(plane.over(np.array(self.origin)))

    def space(self, flat: Floats) -> Floats:
        """Points (n, 3) of plane coordinates (n, 2)."""
        placed: Floats = np.array(self.origin) + flat @ np.array([self.u, self.v])
        return placed


def frame_x(x: float) -> Frame:
    """The plane at x, with coordinates (y, z)."""
    return Frame((x, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def frame_y(y: float) -> Frame:
    """The plane at y, with coordinates (x, z)."""
    return Frame((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def frame_z(z: float) -> Frame:
    """The plane at z, with coordinates (x, y)."""
    return Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


@remembered(16)
def frame_on(plane: Plane) -> Frame:
    """A frame on a plane; u is level wherever it can be."""
    n = plane.normal
    aside = np.array([0.0, 0.0, 1.0]) if abs(n[2]) < 0.9 else np.array([0.0, 1.0, 0.0])
    u = cross(aside, n)
    u /= np.linalg.norm(u)
    v = cross(n, u)
    o = n * plane.distance
    return Frame(triple(o), triple(u), triple(v))


NOTHING = shapely.MultiPolygon()


def section(mesh: TriMesh, frame: Frame) -> shapely.MultiPolygon:
    """The part of the plane that lies inside a closed mesh, in the frame's coordinates; empty where they do not meet.

    A vertex in the plane counts as just above it (on the normal's side), so every cut is a set of closed rings; a face that
    lies in the plane is met only where the solid stands below it. Raises GeometryError where the mesh is not closed there.
    """
    rings = section_rings(mesh, frame)
    if not rings:
        return NOTHING
    polygons = [shapely.Polygon(ring) for ring in rings]
    areas = [_signed_area(ring) for ring in rings]
    outer = [p for p, area in zip(polygons, areas, strict=True) if area > 0.0]
    holes = [p for p, area in zip(polygons, areas, strict=True) if area < 0.0]
    return _sound(_with_holes(outer, holes))


def convex_section(mesh: TriMesh, frame: Frame) -> shapely.Polygon:
    """The same of a convex mesh, in a small part of the time: the cut is what the points on its edges span."""
    height = (mesh.vertices - np.array(frame.origin)) @ frame.normal
    start, end = mesh.triangles.ravel(), mesh.triangles[:, [1, 2, 0]].ravel()
    upward = (height[start] < 0.0) & (height[end] >= 0.0)
    if np.count_nonzero(upward) < 3:
        return shapely.Polygon()
    spanned = shapely.convex_hull(shapely.multipoints(frame.flat(met(mesh.vertices, height, start[upward], end[upward]))))
    return spanned if isinstance(spanned, shapely.Polygon) else shapely.Polygon()


def section_rings(mesh: TriMesh, frame: Frame) -> list[Floats]:
    """The closed rings of a cut, (k, 2) each, anticlockwise round solid and clockwise round a hollow, seen against the normal.

    Raises GeometryError where the mesh is not closed at the plane.
    """
    height = (mesh.vertices - np.array(frame.origin)) @ frame.normal
    if not len(height) or height.min() >= 0.0 or height.max() < 0.0:
        return []
    cut = crossed_at(height, mesh.triangles)
    if not len(cut.triangle):
        return []
    a, b, c = cut.vertices(mesh.triangles)
    # The solid lies to the left when walking so that the triangle's upper part is on the walker's right.
    first, last = (edge_keys(a, other, len(height)) for other in cut.in_sense(b, c))
    starts, ends = np.argsort(first, kind="stable"), np.argsort(last, kind="stable")
    if not np.array_equal(first[starts], last[ends]):
        raise GeometryError("the mesh is not closed where the plane cuts it")
    following = np.empty(len(first), dtype=np.int64)
    following[ends] = starts
    points = frame.flat(met(mesh.vertices, height, first // len(height), first % len(height)))
    return [ring for loop in cycles(following) if len(ring := _without_repeats(points[loop])) >= 3]


def _without_repeats(ring: Floats) -> Floats:
    """The ring without points that only repeat the one before."""
    moved: Floats = ring[(ring != np.roll(ring, 1, axis=0)).any(axis=1)]
    return moved


def _signed_area(ring: Floats) -> float:
    """Positive when anticlockwise."""
    x, y = (ring - ring[0]).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0


def _sound(cut: shapely.MultiPolygon) -> shapely.MultiPolygon:
    """The same area without rings that touch or cross themselves, as rounding leaves them in a plane along a face."""
    if cut.is_valid:
        return cut
    parts = shapely.get_parts(shapely.make_valid(cut, method="structure", keep_collapsed=False))
    return shapely.MultiPolygon([part for part in parts if isinstance(part, shapely.Polygon)])


def _with_holes(outer: list[shapely.Polygon], holes: list[shapely.Polygon]) -> shapely.MultiPolygon:
    """Each hole given to the smallest outer polygon about it."""
    if not holes:
        return shapely.MultiPolygon(outer)
    held: list[list[shapely.Polygon]] = [[] for _ in outer]
    for hole in holes:
        about = [
            (shell.area, i) for i, shell in enumerate(outer) if shell.contains_properly(shapely.Point(hole.exterior.coords[0]))
        ]
        if about:
            held[min(about)[1]].append(hole)
    whole = [shapely.Polygon(s.exterior.coords, [h.exterior.coords for h in inner]) for s, inner in zip(outer, held, strict=True)]
    return shapely.MultiPolygon(whole)
