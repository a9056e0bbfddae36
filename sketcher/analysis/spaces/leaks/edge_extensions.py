"""Strips along the edges of panels that stand open: a panel is extended in its own plane, to find what it just fails to reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL, Parts
from sketcher.analysis.spaces.panel_planes import FACE_NAMES
from sketcher.analysis.spaces.panel_solids import BEYOND, MIDDLE
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.solid.convex import convex_solid, corners_within
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import GAP_SEEN, INTO_NEIGHBOUR, INTO_PANEL, OPEN_EDGE_AREA
from sketcher.geometry.vectors import triple


@dataclass(frozen=True, eq=False)
class Strip:
    """The space beyond one edge of a panel, as far as `reach` [m]. face: the edge's number in the shape; piece: its piece.

    frame: in the middle of the panel's thickness, on the edge: u along it, v square to it and outward; water that leaks passes
    along its normal. planes: of its faces, by their numbers. origin: id in the kernel. lapping: it fills the room
    between the faces of two panels that pass each other; then `frame` lies on one's face half way along the lap, v towards the
    other, and `aside` (3,) [m] is how far one edge fails to reach the other.
    """

    panel: int
    piece: int
    face: int
    reach: float
    frame: Frame
    planes: tuple[Plane, ...]
    mesh: TriMesh
    solid: Manifold
    origin: int
    lapping: bool = False
    aside: tuple[float, float, float] = (0.0, 0.0, 0.0)


def open_edges(parts: Parts, shapes: Sequence[PanelShape]) -> dict[int, tuple[tuple[int, int], ...]]:
    """By part, the (panel, face) of each edge that looks into it: it stands against nothing, and in no closed gap."""
    on_panel = np.flatnonzero((parts.owner >= FIRST_PANEL) & ~parts.plug)
    if not len(on_panel):
        return {}
    panel, face = parts.owner[on_panel] - FIRST_PANEL, parts.face[on_panel]
    width = max(len(shape.faces) for shape in shapes)
    edge = np.zeros((len(shapes), width), dtype=bool)
    for k, shape in enumerate(shapes):
        for f, (name, _) in enumerate(shape.faces):
            edge[k, f] = name not in FACE_NAMES and name not in (BEYOND, MIDDLE)
    chosen = edge[panel, face]
    a, b, c = parts.vertices[parts.triangles[on_panel[chosen]].T]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2
    each = len(shapes) * width
    sums = np.bincount(parts.part[on_panel[chosen]] * each + panel[chosen] * width + face[chosen], area)
    by_part: dict[int, list[tuple[int, int]]] = {}
    for key in np.flatnonzero(sums > OPEN_EDGE_AREA).tolist():
        part, edge_of = divmod(key, each)
        by_part.setdefault(part, []).append(divmod(edge_of, width))
    return {part: tuple(edges) for part, edges in by_part.items()}


def strips_along(shapes: Sequence[PanelShape], edges: Sequence[tuple[int, int]], reach: float) -> tuple[Strip, ...]:
    """A strip beyond each open edge; at a corner of two open edges both go round it."""
    first = reserve_ids(len(edges))
    made: list[Strip] = []
    for count, (panel, face) in enumerate(edges):
        shape = shapes[panel]
        piece = next(j for j, numbers in enumerate(shape.pieces) if face in numbers)
        opened = {f for k, f in edges if k == panel}
        planes = _planes(shape, piece, face, opened, reach)
        solid = solid_within(planes, first + count, shape.name)
        if solid is not None:
            made.append(Strip(panel, piece, face, reach, edge_frame(shape, piece, face), planes, *solid, first + count))
    return tuple(made)


def solid_within(planes: Sequence[Plane], origin: int, beyond: str) -> tuple[TriMesh, Manifold] | None:
    """The solid within planes as a mesh, its faces labelled by their number, and in the kernel, under an id of its own.

    None where nothing is left. beyond: the name of the panel beyond which it lies.
    """
    mesh = convex_solid(HalfSpaces.within(planes), np.arange(len(planes)))
    return None if mesh is None else (mesh, to_manifold(mesh, origin, flat_faces=True, what=f"the strip beyond {beyond!r}"))


def in_box(planes: tuple[Plane, ...], low: Floats, high: Floats) -> tuple[Plane, ...]:
    """The planes and those of a box, given by two corners (3,)."""
    axes = np.eye(3)
    return (
        *planes,
        *(Plane(axis, float(axis @ high)) for axis in axes),
        *(Plane(-axis, -float(axis @ low)) for axis in axes),
    )


def held_by_both(one: Strip, other: Strip, frame: Frame) -> shapely.Geometry:
    """Where the room that two strips both hold lies, seen square onto a frame; faces that merely touch hold none."""
    # Corners alone: those of faces in all but one plane need not close round a solid.
    corners = corners_within(HalfSpaces.within((*one.planes, *other.planes)))
    if not len(corners) or np.ptp(frame.plane.over(corners)) < GAP_SEEN:
        return shapely.Polygon()
    return shapely.MultiPoint(frame.flat(corners)).convex_hull


def in_plane(shape: PanelShape, piece: int, plane: Plane) -> tuple[Floats, float]:
    """The part (3,) of an edge's outward normal that lies in the panel's plane, and its length."""
    normal = shape.convex[piece].front.plane.normal
    flat: Floats = plane.normal - (plane.normal @ normal) * normal
    return flat, float(np.linalg.norm(flat))


def edge_frame(shape: PanelShape, piece: int, face: int, offset: float = 0.0) -> Frame:
    """A frame on the edge: u along it, v outward in the panel's plane.

    offset [m]: from the middle of its thickness towards the front.
    """
    front = shape.convex[piece].front.plane
    edge = shape.faces[face].plane
    normal = front.normal
    flat, size = in_plane(shape, piece, edge)
    v = flat / size
    u = np.cross(v, normal)
    origin = normal * (front.distance - shape.panel.thickness / 2 + offset)
    origin = origin + v * -edge.over(origin) / size
    return Frame(triple(origin), triple(u), triple(v))


def _planes(shape: PanelShape, piece: int, face: int, opened: set[int], reach: float) -> tuple[Plane, ...]:
    planes: list[Plane] = []
    for number in shape.pieces[piece]:
        name, plane = shape.faces[number]
        grown = 0.0
        if number in opened:
            grown = reach * in_plane(shape, piece, plane)[1]
        elif name in FACE_NAMES or name == MIDDLE:
            grown = INTO_NEIGHBOUR
        planes.append(plane.moved(grown))
    return (*planes, shape.faces[face].plane.flipped.moved(INTO_PANEL))
