"""What lies on either side of each panel: the regions of its two faces by part, and where two parts face each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL, Parts
from sketcher.geometry.flat.regions import areas_within, rims
from sketcher.geometry.solid.section import Frame, frame_on
from sketcher.geometry.tolerances import ADJOINING_AREA


@dataclass(frozen=True, eq=False)
class PanelFaces:
    """A panel's two faces in one frame that lies in the middle of its thickness. front, back: region by part.

    panel: number of the panel; piece: its convex piece, of which it has two where a knuckle bends it on the centreline.
    """

    panel: int
    piece: int
    frame: Frame
    front: dict[int, shapely.Geometry]
    back: dict[int, shapely.Geometry]


@dataclass(frozen=True, eq=False)
class Meeting:
    """Two parts that face each other across a board: `front` on its front face, `back` on its back; region in its frame."""

    board: PanelFaces
    front: int
    back: int
    region: shapely.Geometry


def board_frame(shape: PanelShape, piece: int) -> Frame:
    """A frame in the middle of the thickness of a panel's piece; its normal points out of the front face."""
    return frame_on(shape.convex[piece].front.plane.moved(-shape.panel.thickness / 2))


def panel_faces(parts: Parts, shapes: Sequence[PanelShape], only: frozenset[int] | None = None) -> tuple[PanelFaces, ...]:
    """The faces of every panel that has a part on either, with the parts that lie on them; of the panels `only`, where given."""
    wanted = np.isin(parts.owner - FIRST_PANEL, list(only)) if only is not None else parts.owner >= FIRST_PANEL
    on_panel = np.flatnonzero(wanted & ~parts.plug)
    if not len(on_panel):
        return ()
    there = (np.flatnonzero(np.bincount(parts.owner[on_panel])) - FIRST_PANEL).tolist()
    pieces = [(k, j) for k in there for j in range(len(shapes[k].pieces))]
    side = np.full((len(shapes), max(len(shape.faces) for shape in shapes)), -1)
    for number, (k, j) in enumerate(pieces):
        side[k, list(shapes[k].pieces[j][:2])] = 2 * number, 2 * number + 1
    on_side = side[parts.owner[on_panel] - FIRST_PANEL, parts.face[on_panel]]
    chosen, on_side = on_panel[on_side >= 0], on_side[on_side >= 0]
    start, end, group = rims(parts.triangles[chosen], on_side * parts.count + parts.part[chosen], len(parts.vertices))
    frames = [board_frame(shapes[k], j) for k, j in pieces]
    axes = np.array([(f.origin, f.u, f.v) for f in frames])[group // parts.count // 2]
    origin, u, v = axes[:, 0], axes[:, 1], axes[:, 2]
    flat = [
        np.column_stack([np.einsum("ij,ij->i", off, u), np.einsum("ij,ij->i", off, v)])
        for off in (parts.vertices[start] - origin, parts.vertices[end] - origin)
    ]
    faces: list[dict[int, shapely.Geometry]] = [{} for _ in range(2 * len(pieces))]
    for key, region in areas_within(flat[0], flat[1], group).items():
        faces[key // parts.count][key % parts.count] = region
    return tuple(PanelFaces(k, j, frames[n], faces[2 * n], faces[2 * n + 1]) for n, (k, j) in enumerate(pieces))


def merged(groups: Sequence[tuple[Sequence[PanelFaces], int]]) -> tuple[PanelFaces, ...]:
    """Boards of several blocks as one for each board: each block's with the number by which its parts' are raised."""
    by_board: dict[tuple[int, int], PanelFaces] = {}
    for group, start in groups:
        for board in group:
            key = board.panel, board.piece
            front, back = ({k + start: region for k, region in side.items()} for side in (board.front, board.back))
            if key in by_board:
                front, back = by_board[key].front | front, by_board[key].back | back
            by_board[key] = replace(board, front=front, back=back)
    return tuple(by_board.values())


def meetings(found: Sequence[PanelFaces]) -> tuple[Meeting, ...]:
    """Every two different parts that face each other across a board on more than ADJOINING_AREA."""
    pairs = [(b, i, j) for b in found for i in b.front for j in b.back if i != j]
    if not pairs:
        return ()
    fronts = np.array([b.front[i] for b, i, _ in pairs])
    backs = np.array([b.back[j] for b, _, j in pairs])
    regions = shapely.intersection(fronts, backs)
    return tuple(
        Meeting(b, i, j, region)
        for (b, i, j), region, area in zip(pairs, regions, shapely.area(regions), strict=True)
        if area > ADJOINING_AREA
    )
