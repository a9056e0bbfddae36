"""Openings as holes that can be seen through: cut out of the walls that they go through, with the thickness shown round them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from manifold3d import triangulate

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Flags, Floats, Ints, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, frame_on
from sketcher.geometry.vectors import cross

NEAR = 0.06
"""[m] Walls so near the middle of what an opening goes through are its walls: more than half of any panel or deck."""
FACING = 0.5
"""Cosine of the most that such a wall may be turned away from the opening's plane."""
LEAST = 1e-9
"""[m2] Pieces of a wall smaller than that are left out."""
LEVEL, DIGITS = 1e-6, 9
"""[m] Triangles so level with an opening are faces of one board; digits [m] to which their corners are one."""


@dataclass(frozen=True, eq=False)
class PanelHole:
    """An opening: its outline (k, 3), and how thick [m] what it goes through is."""

    name: str
    ring: Floats
    thickness: float

    @cached_property
    def frame(self) -> Frame:
        """A frame in its middle plane."""
        after = np.roll(self.ring, -1, axis=0)
        normal = cross(self.ring - self.ring[0], after - self.ring[0]).sum(axis=0)
        return frame_on(Plane.through(self.ring.mean(axis=0).tolist(), normal.tolist()))

    @cached_property
    def outline(self) -> shapely.Polygon:
        """Its outline in that frame."""
        return shapely.geometry.polygon.orient(shapely.Polygon(self.frame.flat(self.ring)))

    @cached_property
    def solid(self) -> TriMesh:
        """A body as long as the thickness and twice `NEAR` more that fills it, to be taken away from what it goes through."""
        return _prism(shapely.get_coordinates(self.outline.exterior)[:-1], self.frame, self.thickness / 2 + NEAR)

    @cached_property
    def rim(self) -> tuple[Floats, Ints]:
        """The faces of the board round it: points (2k, 3) and triangles (2k, 3)."""
        mesh = _prism(shapely.get_coordinates(self.outline.exterior)[:-1], self.frame, self.thickness / 2)
        return mesh.vertices, mesh.triangles[-len(mesh.vertices) :]


@kept_with_owner(1)
def holes(layout: Layout) -> dict[str, tuple[PanelHole, ...]]:
    """The openings that nothing closes tight, by the panel's name, or `deck`, `hull`, that they go through."""
    found: dict[str, list[PanelHole]] = {}
    thick = {shape.name: shape.panel.thickness for shape in layout.panels}
    for path in layout.flow_paths:
        if path.kind == "opening" and path.through is not None and len(path.outline) > 2:
            thickness = thick.get(path.through, layout.scene.hull.deck.thickness)
            hole = _hole(path.name, path.outline, thickness)
            if hole.outline.is_valid and hole.outline.area > LEAST:
                found.setdefault(path.through, []).append(hole)
    return {through: tuple(each) for through, each in found.items()}


@remembered(64)
def _hole(name: str, ring: Floats, thickness: float) -> PanelHole:
    """Kept by its numbers, so that what stays is worked out once."""
    return PanelHole(name, ring, thickness)


@kept_with_owner(1)
def pierced_hull(form: HullForm, through: tuple[PanelHole, ...]) -> tuple[Floats, Ints]:
    """The hull's outside, points (n, 3) and triangles (m, 3), with holes in it."""
    mesh = form.outside
    points, triangles, _ = with_holes(mesh.vertices, mesh.triangles, np.zeros(len(mesh.triangles), dtype=np.int64), through)
    return points, triangles


def with_holes(points: Floats, triangles: Ints, kinds: Ints, through: tuple[PanelHole, ...]) -> tuple[Floats, Ints, Ints]:
    """Walls with holes in them: points (n, 3), triangles (m, 3) and the kind (m,) of each."""
    for hole in through:
        cut = np.flatnonzero(_met_by(hole, points, triangles))
        if not len(cut):
            continue
        pieces = _pieces(hole, points[triangles[cut]], kinds[cut])
        whole = np.ones(len(triangles), dtype=bool)
        whole[cut] = False
        counts = np.cumsum([len(points), *(len(piece) for piece, _ in pieces)])
        added = [np.arange(first, first + len(piece)).reshape(-1, 3) for first, (piece, _) in zip(counts, pieces, strict=False)]
        points = np.concatenate([points, *(piece for piece, _ in pieces)])
        triangles = np.concatenate([triangles[whole], *added])
        kinds = np.concatenate([kinds[whole], *(np.full(len(each), kind) for each, (_, kind) in zip(added, pieces, strict=True))])
    return points, triangles, kinds


def _met_by(hole: PanelHole, points: Floats, triangles: Ints) -> Flags:
    """Which triangles (m,) an opening goes through, by their bounds and how they lie."""
    frame, (u0, v0, u1, v1) = hole.frame, hole.outline.bounds
    corners = points[triangles].reshape(-1, 3)
    flat, off = frame.flat(corners).reshape(-1, 3, 2), frame.plane.over(corners).reshape(-1, 3)
    low, high = flat.min(axis=1), flat.max(axis=1)
    near = (np.abs(off).min(axis=1) < NEAR + hole.thickness / 2) & (low < (u1, v1)).all(axis=1) & (high > (u0, v0)).all(axis=1)
    found = np.flatnonzero(near)
    a, b, c = points[triangles[found].T]
    normal = cross(b - a, c - a)
    length = np.maximum(np.linalg.norm(normal, axis=1), 1e-18)
    near[found] = np.abs(normal @ frame.normal) > FACING * length
    return np.asarray(near)


@remembered(64)
def _pieces(hole: PanelHole, corners: Floats, kinds: Ints) -> tuple[tuple[Floats, int], ...]:
    """What of triangles (m, 3, 3) lies outside an opening, as loose triangles (3k, 3), each lot with its kind.

    Those that lie in one plane beside the opening's are cut together, as the faces of a panel do, any others one by one.
    """
    frame = hole.frame
    flat = np.round(frame.flat(corners.reshape(-1, 3)), DIGITS).reshape(-1, 3, 2)
    off = frame.plane.over(corners.reshape(-1, 3)).reshape(-1, 3)
    outlines = shapely.polygons(flat)
    first, second = np.swapaxes(np.diff(corners, axis=1), 0, 1)
    facing = cross(first, second) @ frame.normal > 0.0
    level = np.ptp(off, axis=1) < LEVEL
    pieces: list[tuple[Floats, int]] = []
    for chosen in _lots(kinds, facing, np.round(off.mean(axis=1) / LEVEL), level):
        first = chosen[0]
        left = shapely.difference(shapely.coverage_union_all(outlines[chosen]), hole.outline)
        rise = np.array([0.0, 0.0, off[first, 0]]) if level[first] else _rise(flat[first], off[first])
        for polygon in polygons(left):
            if polygon.area < LEAST:
                continue
            turned = shapely.geometry.polygon.orient(polygon)
            rings = [shapely.get_coordinates(ring)[:-1] for ring in (turned.exterior, *turned.interiors)]
            flat_points = np.concatenate(rings)[triangulate(rings).ravel()]
            placed = frame.space(flat_points) + (flat_points @ rise[:2] + rise[2])[:, None] * frame.normal
            outward = placed if facing[first] else placed.reshape(-1, 3, 3)[:, ::-1].reshape(-1, 3)
            pieces.append((outward, int(kinds[first])))
    return tuple(pieces)


def _lots(kinds: Ints, facing: Flags, height: Floats, level: Flags) -> Iterator[Ints]:
    """Numbers of triangles that are cut together: of one kind, level at one height and facing one way; others each alone."""
    together = np.flatnonzero(level)
    keys = np.column_stack([kinds, facing, height])[together]
    if len(together):
        which = np.unique(keys, axis=0, return_inverse=True)[1].ravel()
        yield from (together[which == lot] for lot in range(which.max() + 1))
    yield from np.flatnonzero(~level)[:, None]


def _rise(flat: Floats, off: Floats) -> Floats:
    """How a triangle stands over the opening's plane: off = r0 u + r1 v + r2."""
    return np.asarray(np.linalg.solve(np.column_stack([flat, np.ones(3)]), off))


def _prism(ring: Floats, frame: Frame, half: float) -> TriMesh:
    """What a ring (k, 2), anticlockwise in a frame, sweeps so far to either side [m]; its sides are its last triangles."""
    count, middle = len(ring), frame.space(ring)
    vertices = np.concatenate([middle - half * frame.normal, middle + half * frame.normal])
    cap = np.asarray(triangulate([ring]), dtype=np.int64)
    here = np.arange(count)
    after = (here + 1) % count
    sides = np.concatenate([np.stack([here, after, after + count], 1), np.stack([here, after + count, here + count], 1)])
    triangles = np.concatenate([cap[:, ::-1], cap + count, sides])
    return TriMesh(vertices, triangles, np.zeros(len(triangles), dtype=np.int64))
