"""Strips along the edges of panels that stand open: a panel grown in its own plane, to see what it just fails to reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL, Parts
from sketcher.analysis.spaces.panel_planes import FACE_NAMES
from sketcher.analysis.spaces.panel_solids import BEYOND, MIDDLE
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.solid.convex import convex_solid
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import INTO_NEIGHBOUR, OPEN_EDGE_AREA
from sketcher.geometry.vectors import triple

_INNER = 1_000_000
"""Face number of the side of a strip that lies inside its own panel."""


@dataclass(frozen=True, eq=False)
class Strip:
    """The space beyond one edge of a panel, as far as `reach` [m]. face: the edge's number in the shape; piece: its piece.

    frame: in the middle of the panel's thickness, on the edge: u along it, v square to it and outward. origin: id in the kernel.
    boards: the numbers of the panel's front and back face. lapping: it fills the room between the faces of two panels that pass
    each other; then `frame` lies on one's face half way along the lap, v towards the other, `boards` are the strip's two ends,
    and `aside` (3,) [m] is how far one edge fails to reach the other.
    """

    panel: int
    piece: int
    face: int
    reach: float
    frame: Frame
    mesh: TriMesh
    solid: Manifold
    origin: int
    boards: tuple[int, int]
    lapping: bool = False
    aside: tuple[float, float, float] = (0.0, 0.0, 0.0)


def open_edges(parts: Parts, shapes: Sequence[PanelShape]) -> tuple[tuple[int, int], ...]:
    """The (panel, face) of each edge that looks into a space: that stands against no hull or neighbour, and in no plugged gap."""
    on_panel = np.flatnonzero((parts.owner >= FIRST_PANEL) & ~parts.plug)
    if not len(on_panel):
        return ()
    panel, face = parts.owner[on_panel] - FIRST_PANEL, parts.face[on_panel]
    width = max(len(shape.faces) for shape in shapes)
    edge = np.zeros((len(shapes), width), dtype=bool)
    for k, shape in enumerate(shapes):
        for f, (name, _) in enumerate(shape.faces):
            edge[k, f] = name not in FACE_NAMES and name not in (BEYOND, MIDDLE)
    chosen = edge[panel, face]
    a, b, c = parts.vertices[parts.triangles[on_panel[chosen]].T]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2
    sums = np.bincount(panel[chosen] * width + face[chosen], area, len(shapes) * width)
    return tuple((int(k) // width, int(k) % width) for k in np.flatnonzero(sums > OPEN_EDGE_AREA))


def strips_along(shapes: Sequence[PanelShape], edges: Sequence[tuple[int, int]], reach: float) -> tuple[Strip, ...]:
    """A strip beyond each open edge; at a corner of two open edges both go round it."""
    first = reserve_ids(len(edges))
    made: list[Strip] = []
    for count, (panel, face) in enumerate(edges):
        shape = shapes[panel]
        piece = next(j for j, numbers in enumerate(shape.pieces) if face in numbers)
        opened = {f for k, f in edges if k == panel}
        mesh = _strip(shape, piece, face, opened, reach)
        if mesh is not None:
            numbers = shape.pieces[piece][0], shape.pieces[piece][1]
            solid = to_manifold(mesh, first + count, flat_faces=True, what=f"the strip beyond {shape.name!r}")
            made.append(Strip(panel, piece, face, reach, edge_frame(shape, piece, face), mesh, solid, first + count, numbers))
    return tuple(made)


def in_plane(shape: PanelShape, piece: int, plane: Plane) -> tuple[Floats, float]:
    """The part (3,) of an edge's outward normal that lies in the panel's plane, and its length."""
    normal = shape.faces[shape.pieces[piece][0]][1].normal
    flat: Floats = plane.normal - (plane.normal @ normal) * normal
    return flat, float(np.linalg.norm(flat))


def edge_frame(shape: PanelShape, piece: int, face: int, offset: float = 0.0) -> Frame:
    """A frame on the edge: u along it, v outward in the panel's plane.

    offset [m]: from the middle of its thickness towards the front.
    """
    front = shape.faces[shape.pieces[piece][0]][1]
    edge = shape.faces[face][1]
    normal = front.normal
    flat, size = in_plane(shape, piece, edge)
    v = flat / size
    u = np.cross(v, normal)
    origin = normal * (front.distance - shape.panel.thickness / 2 + offset)
    origin = origin + v * -edge.over(origin) / size
    return Frame(triple(origin), triple(u), triple(v))


def _strip(shape: PanelShape, piece: int, face: int, opened: set[int], reach: float) -> TriMesh | None:
    planes: list[Plane] = []
    labels: list[int] = []
    for number in shape.pieces[piece]:
        name, plane = shape.faces[number]
        grown = 0.0
        if number in opened:
            grown = reach * in_plane(shape, piece, plane)[1]
        elif name in FACE_NAMES or name == MIDDLE:
            grown = INTO_NEIGHBOUR
        planes.append(plane.moved(grown))
        labels.append(number)
    planes.append(shape.faces[face][1].flipped.moved(INTO_NEIGHBOUR))
    labels.append(_INNER)
    return convex_solid(HalfSpaces.within(planes), np.array(labels))
