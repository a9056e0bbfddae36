"""Panels that pass each other a little way apart: the room between their faces, which parts two spaces all but for a gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.leaks.edge_extensions import Strip, in_plane
from sketcher.analysis.spaces.panel_planes import FACE_NAMES
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.solid.convex import convex_solid
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import INTO_NEIGHBOUR
from sketcher.geometry.vectors import triple

_FACING = 0.7
"""[1] least cosine between two directions for panels to count as facing each other, or as passing each other."""
_ENDS = (0, 1)
"""Numbers of the ends of the room: beyond the first panel's edge and beyond the second's."""
_SIDES = 2


@dataclass(frozen=True, eq=False)
class _Edge:
    """An open edge of a panel's piece. out: (3,) away from the panel in its plane; lean: cosine from its normal to `out`."""

    panel: int
    shape: PanelShape
    piece: int
    face: int
    opened: frozenset[int]
    out: Floats
    lean: float

    def runs_out(self, point: Floats) -> float:
        """How far [m] from a point (3,) along `out` the panel ends."""
        return float(-self.shape.faces[self.face][1].over(point) / self.lean)


def laps_between(shapes: Sequence[PanelShape], edges: Sequence[tuple[int, int]], reach: float) -> tuple[Strip, ...]:
    """The room no wider than `reach` [m] between each two open edges of panels that pass each other, or nearly do.

    edges: (panel, face) of each edge that is open. Each strip belongs to the first panel's edge.
    """
    found: list[tuple[_Edge, tuple[int, int], TriMesh, Frame, Floats]] = []
    for one, other in combinations([_edge(shapes, edges, panel, face) for panel, face in edges], 2):
        if one.panel == other.panel or one.out @ other.out > -_FACING:
            continue
        for mine, its in product(one.shape.pieces[one.piece][:2], other.shape.pieces[other.piece][:2]):
            here, there = one.shape.faces[mine][1], other.shape.faces[its][1]
            if here.normal @ there.normal > -_FACING:
                continue
            mesh = _room(one, other, here, there, reach)
            if mesh is not None:
                found.append((one, _ENDS, mesh, *_frame(one, other, here, mesh.vertices.mean(axis=0))))
    first = reserve_ids(len(found))
    return tuple(
        Strip(
            edge.panel,
            edge.piece,
            edge.face,
            reach,
            frame,
            mesh,
            to_manifold(mesh, first + count, flat_faces=True, what=f"the room beside {edge.shape.name!r}"),
            first + count,
            ends,
            lapping=True,
            aside=triple(aside),
        )
        for count, (edge, ends, mesh, frame, aside) in enumerate(found)
    )


def _edge(shapes: Sequence[PanelShape], edges: Sequence[tuple[int, int]], panel: int, face: int) -> _Edge:
    shape = shapes[panel]
    piece = next(j for j, numbers in enumerate(shape.pieces) if face in numbers)
    flat, lean = in_plane(shape, piece, shape.faces[face][1])
    opened = frozenset(f for k, f in edges if k == panel)
    return _Edge(panel, shape, piece, face, opened, flat / lean, lean)


def _room(one: _Edge, other: _Edge, here: Plane, there: Plane, reach: float) -> TriMesh | None:
    """The space from one panel's face to the other's, `reach` past their open edges; None where there is none."""
    planes = [here.flipped.moved(INTO_NEIGHBOUR), there.flipped.moved(INTO_NEIGHBOUR), here.moved(reach)]
    labels = [_SIDES, _SIDES + 1, _SIDES + 2]
    for end, edge in zip(_ENDS, (one, other), strict=True):
        for number in edge.shape.pieces[edge.piece]:
            name, plane = edge.shape.faces[number]
            if name in FACE_NAMES:
                continue
            grown = reach * in_plane(edge.shape, edge.piece, plane)[1] if number in edge.opened else INTO_NEIGHBOUR
            planes.append(plane.moved(grown))
            labels.append(end if number == edge.face else _SIDES + len(labels))
    return convex_solid(HalfSpaces.within(planes), np.array(labels))


def _frame(one: _Edge, other: _Edge, here: Plane, middle: Floats) -> tuple[Frame, Floats]:
    """A frame on the first panel's face, half way along the lap, and by how much (3,) [m] the edges fail to reach each other."""
    v = here.normal
    mine, its = one.runs_out(middle), other.runs_out(middle)
    origin = middle + one.out * (mine - its) / 2
    origin = origin - v * here.over(origin)
    return Frame(triple(origin), triple(np.cross(v, one.out)), triple(v)), one.out * max(0.0, -(mine + its))
