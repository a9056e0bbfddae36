"""Panels that pass each other a little way apart: the room between their faces, where it parts two spaces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.leaks.edge_extensions import Strip, in_plane, solid_within
from sketcher.analysis.spaces.panel_planes import FACE_NAMES
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.boolean import reserve_ids
from sketcher.geometry.solid.convex import convex_solid
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import INTO_NEIGHBOUR, INTO_PANEL
from sketcher.geometry.vectors import triple

_FACING = 0.7
"""[1] least cosine between two directions for panels to count as facing each other, or as passing each other."""


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
        return float(-self.shape.faces[self.face].plane.over(point) / self.lean)


def laps_between(shapes: Sequence[PanelShape], edges: Sequence[tuple[int, int]], reach: float) -> tuple[Strip, ...]:
    """The room no wider than `reach` [m] between each two open edges of panels that pass each other, or nearly do.

    edges: (panel, face) of each edge that is open. Each strip belongs to the first panel's edge and goes no further than `reach`
    from half way along the lap: that closes the room, however long it is.
    """
    made: list[Strip] = []
    for one, other in combinations([_edge(shapes, edges, panel, face) for panel, face in edges], 2):
        if one.panel == other.panel or one.out @ other.out > -_FACING:
            continue
        for mine, its in product(one.shape.pieces[one.piece][:2], other.shape.pieces[other.piece][:2]):
            here, there = one.shape.faces[mine].plane, other.shape.faces[its].plane
            if here.normal @ there.normal > -_FACING:
                continue
            room = _room(one, other, here, there, reach)
            whole = convex_solid(HalfSpaces.within(room), np.arange(len(room)))
            if whole is None:
                continue
            frame, aside = _frame(one, other, here, whole.vertices.mean(axis=0))
            middle = Plane.through(frame.origin, one.out.tolist())
            planes = (*room, middle.moved(reach), middle.flipped.moved(reach))
            origin = reserve_ids(1)
            solid = solid_within(planes, origin, one.shape.name)
            if solid is not None:
                made.append(
                    Strip(one.panel, one.piece, one.face, reach, frame, planes, *solid, origin, lapping=True, aside=triple(aside))
                )
    return tuple(made)


def _edge(shapes: Sequence[PanelShape], edges: Sequence[tuple[int, int]], panel: int, face: int) -> _Edge:
    shape = shapes[panel]
    piece = next(j for j, numbers in enumerate(shape.pieces) if face in numbers)
    flat, lean = in_plane(shape, piece, shape.faces[face].plane)
    opened = frozenset(f for k, f in edges if k == panel)
    return _Edge(panel, shape, piece, face, opened, flat / lean, lean)


def _room(one: _Edge, other: _Edge, here: Plane, there: Plane, reach: float) -> tuple[Plane, ...]:
    """The planes round the room from one panel's face to the other's, `reach` past their open edges."""
    planes = [here.flipped.moved(INTO_PANEL), there.flipped.moved(INTO_PANEL), here.moved(reach)]
    for end in (one, other):
        for number in end.shape.pieces[end.piece]:
            name, plane = end.shape.faces[number]
            if name not in FACE_NAMES:
                grown = reach * in_plane(end.shape, end.piece, plane)[1] if number in end.opened else INTO_NEIGHBOUR
                planes.append(plane.moved(grown))
    return tuple(planes)


def _frame(one: _Edge, other: _Edge, here: Plane, middle: Floats) -> tuple[Frame, Floats]:
    """A frame on the first panel's face, half way along the lap, and by how much (3,) [m] the edges fail to reach each other."""
    v = here.normal
    mine, its = one.runs_out(middle), other.runs_out(middle)
    origin = middle + one.out * (mine - its) / 2
    origin = origin - v * here.over(origin)
    return Frame(triple(origin), triple(np.cross(v, one.out)), triple(v)), one.out * max(0.0, -(mine + its))
