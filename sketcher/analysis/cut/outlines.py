"""The true outline of a board on one of its faces: what each stretch of its edge meets, and the normal of that surface there."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from sketcher.analysis.cut.results import EdgeKind
from sketcher.analysis.hull.form import DECK, OPEN_END, HullForm
from sketcher.analysis.results import PanelPiece, PanelShape
from sketcher.analysis.spaces.boolean_cuts import runs_through
from sketcher.analysis.spaces.panel_limits import limits_of
from sketcher.analysis.spaces.panel_solids import BEYOND, MIDDLE
from sketcher.geometry.flat.inset import inset
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.cut_edges import CutEdges, cut_edges
from sketcher.geometry.solid.near_plane import around_plane, close_by
from sketcher.geometry.solid.section import Frame, section
from sketcher.model.cutting import Cutting

OTHER_HALF = "its other half"
HULL, DECK_NAME, OPEN = "hull", "deck", "end of what was measured"

LEAST_SLANT = 0.1
"""[1] Sine of the angle between board and surface below which a gap is no longer made wider to be as wide square to it."""

_FAR = 1e3
"""[m] Half planes are drawn this large."""


@dataclass(frozen=True, slots=True)
class Neighbour:
    """What a stretch of an edge meets: its kind and its name."""

    kind: EdgeKind
    name: str


@dataclass(frozen=True, eq=False)
class EdgeStretches:
    """Straight stretches of what bounds a face. starts, ends: (k, 2); start_normals, end_normals: (k, 3), out of the board.

    owner: (k,) place in `neighbours`.
    """

    starts: Floats
    ends: Floats
    start_normals: Floats
    end_normals: Floats
    owner: Ints
    neighbours: tuple[Neighbour, ...]

    @cached_property
    def tree(self) -> shapely.STRtree:
        """For finding the stretch nearest to a point."""
        return shapely.STRtree(shapely.linestrings(np.stack([self.starts, self.ends], axis=1)))

    def nearest(self, points: Floats) -> tuple[Ints, Floats]:
        """The stretch (n,) nearest to each point (n, 2), and the normal there (n, 3)."""
        _, found = self.tree.query_nearest(shapely.points(points), all_matches=False)
        start, stretch = self.starts[found], self.ends[found] - self.starts[found]
        square = np.einsum("ij,ij->i", stretch, stretch)
        share = np.clip(np.einsum("ij,ij->i", points - start, stretch) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)[:, None]
        normal = self.start_normals[found] * (1.0 - share) + self.end_normals[found] * share
        return found, normal / np.linalg.norm(normal, axis=1, keepdims=True)


@dataclass(frozen=True, eq=False)
class BoardFace:
    """One face of a board. exact: what the hull and the other panels leave of it; net: less the gaps, without openings."""

    frame: Frame
    exact: shapely.Geometry
    net: shapely.Geometry
    stretches: EdgeStretches


def board_face(
    form: HullForm, shapes: tuple[PanelShape, ...], number: int, piece: PanelPiece, frame: Frame, cutting: Cutting
) -> BoardFace:
    """One face of a piece of a panel. frame: the face's plane, its normal either way.

    Raises GeometryError where the hull is not closed at the plane.
    """
    shape = shapes[number]
    hull = around_plane(form.inside, frame, cutting.gap)
    area: shapely.Geometry = section(hull, frame)
    cut = cut_edges(hull, frame)
    parts: list[tuple[Floats, Floats, Floats, Floats, Neighbour]] = _of_hull(cut)
    limits = limits_of(shape.panel)
    own = clip_lines(piece, frame)
    area = shapely.intersection(area, own)
    named = {edge.name: edge.plane.normal for edge in piece.edges}
    for name, plane in piece.edges:
        if name != BEYOND:
            limit = limits.get(name)
            tied = isinstance(limit, str)
            neighbour = (
                Neighbour("panel", OTHER_HALF)
                if name == MIDDLE
                else Neighbour("panel" if tied else "free", str(limit) if tied else name)
            )
            parts += _along(own, frame, plane, named[name], neighbour)
    for other in runs_through(shapes, number):
        for run in other.convex:
            through = clip_lines(run, frame, thick=True)
            if through.is_empty or not through.intersects(area):
                continue
            area = shapely.difference(area, through)
            for name, plane in run.faces:
                if name not in (BEYOND, MIDDLE):
                    parts += _along(through, frame, plane, -plane.normal, Neighbour("panel", other.name))
    bounding = _gathered(parts)
    net = _less_gaps(area, bounding, frame.normal, cutting)
    return BoardFace(frame, area, _less_close_by(net, area, hull, cut, frame, cutting.gap), bounding)


def clip_lines(piece: PanelPiece, frame: Frame, thick: bool = False) -> shapely.Geometry:
    """The part of a plane within a piece's edges; thick: within its two faces too, as for a panel that the plane cuts across."""
    area: shapely.Geometry = shapely.box(-_FAR, -_FAR, _FAR, _FAR)
    for _, plane in piece.faces if thick else piece.edges:
        across, beyond = frame.line(plane)
        size = float(np.hypot(*across))
        if size < 1e-9:
            if beyond < 0.0:
                return shapely.Polygon()
            continue
        area = shapely.intersection(area, half_plane(across / size, beyond / size))
    return area


def half_plane(across: Floats, beyond: float) -> shapely.Polygon:
    """The points q with across . q below `beyond`; across: (2,) a unit vector."""
    along = np.array([-across[1], across[0]])
    edge, back = across * beyond, -across * (2 * _FAR)
    return shapely.Polygon(
        [edge + along * 2 * _FAR, edge + along * 2 * _FAR + back, edge - along * 2 * _FAR + back, edge - along * 2 * _FAR]
    )


def _of_hull(cut: CutEdges) -> list[tuple[Floats, Floats, Floats, Floats, Neighbour]]:
    """The cut of shell, deck and open end as stretches."""
    known = {DECK: Neighbour("deck", DECK_NAME), OPEN_END: Neighbour("free", OPEN)}
    rows = []
    for label in np.unique(cut.labels).tolist():
        of = cut.labels == label
        rows.append(
            (cut.starts[of], cut.ends[of], cut.start_normals[of], cut.end_normals[of], known.get(label, Neighbour("hull", HULL)))
        )
    return rows


def _along(
    area: shapely.Geometry, frame: Frame, plane: Plane, outward: Floats, neighbour: Neighbour
) -> list[tuple[Floats, Floats, Floats, Floats, Neighbour]]:
    """The edge of a convex area that lies along a plane, as a stretch; none where it has no edge there."""
    if area.is_empty or area.geom_type != "Polygon":
        return []
    across, beyond = frame.line(plane)
    size = float(np.hypot(*across))
    if size < 1e-9:
        return []
    corners = np.asarray(area.exterior.coords)
    on = np.abs(corners @ across / size - beyond / size) < 1e-7
    both = np.flatnonzero(on[:-1] & on[1:])
    return [
        (corners[k : k + 1], corners[k + 1 : k + 2], outward[None], outward[None], neighbour)
        for k in both.tolist()
        if np.hypot(*(corners[k + 1] - corners[k])) > 1e-9
    ]


def _gathered(parts: list[tuple[Floats, Floats, Floats, Floats, Neighbour]]) -> EdgeStretches:
    if not parts:
        flat, free = np.zeros((0, 2)), np.zeros((0, 3))
        return EdgeStretches(flat, flat, free, free, np.zeros(0, dtype=np.int64), ())
    neighbours = tuple(dict.fromkeys(part[4] for part in parts))
    owner = np.concatenate([np.full(len(part[0]), neighbours.index(part[4])) for part in parts])
    columns = [np.concatenate([part[k] for part in parts]) for k in range(4)]
    return EdgeStretches(columns[0], columns[1], columns[2], columns[3], owner, neighbours)


def _less_gaps(area: shapely.Geometry, bounding: EdgeStretches, normal: Floats, cutting: Cutting) -> shapely.Geometry:
    """An area less the gap to what each stretch of its edge meets, measured square to that surface."""
    starts, ends = edges_of_area(area)
    if not len(starts):
        return area
    beyond = _running_on(area, bounding, cutting.gap)
    starts, ends = np.concatenate([starts, bounding.starts[beyond]]), np.concatenate([ends, bounding.ends[beyond]])
    nearest, facing = bounding.nearest((starts + ends) / 2)
    wanted = {"hull": cutting.gap, "deck": cutting.gap, "panel": cutting.panel_gap, "free": 0.0}
    gaps = np.array([0.0 if each.name == OTHER_HALF else wanted[each.kind] for each in bounding.neighbours])
    slant = np.sqrt(np.clip(1.0 - (facing @ normal) ** 2, LEAST_SLANT**2, 1.0))
    return inset(area, starts, ends, gaps[bounding.owner[nearest]] / slant)


def _running_on(area: shapely.Geometry, bounding: EdgeStretches, gap: float) -> Ints:
    """The stretches of shell and deck that go on behind the end of an edge, within a gap of it."""
    rigid = np.array([each.kind in ("hull", "deck") for each in bounding.neighbours])
    near = np.sort(bounding.tree.query(area, predicate="dwithin", distance=gap))
    near = near[rigid[bounding.owner[near]]]
    off = [shapely.distance(area, shapely.points(ends[near])) for ends in (bounding.starts, bounding.ends)]
    found: Ints = near[np.maximum(*off) > 1e-6]
    return found


def _less_close_by(
    net: shapely.Geometry, area: shapely.Geometry, hull: TriMesh, cut: CutEdges, frame: Frame, gap: float
) -> shapely.Geometry:
    """The net area less what is nearer than the gap to a part of shell or deck that has its corner beside the plane."""
    solid = cut.labels != OPEN_END
    if net.is_empty or gap <= 0.0 or not solid.any():
        return net
    there = hull.labels != OPEN_END
    known = TriMesh(hull.vertices, hull.triangles[there], hull.labels[there])
    starts, ends = cut.starts[solid], cut.ends[solid]
    within = shapely.intersects(shapely.linestrings(np.stack([starts, ends], axis=1)), shapely.box(*area.bounds).buffer(gap))
    facing = (cut.start_normals[solid] + cut.end_normals[solid])[within]
    facing = facing / np.linalg.norm(facing, axis=1, keepdims=True)
    near = close_by(known, frame, net, (starts[within], ends[within], facing), gap)
    return net if near is None else shapely.difference(net, near)


def edges_of_area(area: shapely.Geometry) -> tuple[Floats, Floats]:
    """Starts and ends (k, 2) of all straight edges of an area, holes included."""
    rings = [
        np.asarray(ring.coords)
        for part in shapely.get_parts(area).tolist()
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
    ]
    if not rings:
        return np.zeros((0, 2)), np.zeros((0, 2))
    return np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])
