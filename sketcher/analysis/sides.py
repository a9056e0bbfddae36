"""What lies on either side of each panel: the regions of its two faces by part, and where two parts face each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.cutting import FIRST_PANEL, Parts
from sketcher.analysis.results import PanelShape
from sketcher.geometry.regions import flat_regions
from sketcher.geometry.section import Frame, frame_on
from sketcher.geometry.tolerances import ADJOINING_AREA


@dataclass(frozen=True, eq=False)
class Board:
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

    board: Board
    front: int
    back: int
    region: shapely.Geometry


def board_frame(shape: PanelShape, piece: int) -> Frame:
    """A frame in the middle of the thickness of a panel's piece; its normal points out of the front face."""
    plane = shape.faces[shape.pieces[piece][0]][1]
    return frame_on(plane.normal, plane.distance - shape.panel.thickness / 2)


def boards(parts: Parts, shapes: Sequence[PanelShape]) -> tuple[Board, ...]:
    """Every panel's faces with the parts that lie on them."""
    on_panel = np.flatnonzero((parts.owner >= FIRST_PANEL) & ~parts.plug)
    owner, face = parts.owner[on_panel] - FIRST_PANEL, parts.face[on_panel]
    found: list[Board] = []
    for k, shape in enumerate(shapes):
        mine = on_panel[owner == k]
        number = face[owner == k]
        for j, piece in enumerate(shape.pieces):
            frame = board_frame(shape, j)
            sides = []
            for which in piece[:2]:
                chosen = mine[number == which]
                used, index = np.unique(parts.triangles[chosen], return_inverse=True)
                flat = frame.flat(parts.vertices[used])
                sides.append(flat_regions(flat, index.reshape(-1, 3), parts.part[chosen]))
            found.append(Board(k, j, frame, sides[0], sides[1]))
    return tuple(found)


def merged(groups: Sequence[tuple[Sequence[Board], int]]) -> tuple[Board, ...]:
    """Boards of several blocks as one for each board: each block's with the number by which its parts' are raised."""
    found: dict[tuple[int, int], Board] = {}
    for group, start in groups:
        for board in group:
            key = board.panel, board.piece
            front, back = ({k + start: region for k, region in side.items()} for side in (board.front, board.back))
            if key in found:
                front, back = found[key].front | front, found[key].back | back
            found[key] = replace(board, front=front, back=back)
    return tuple(found.values())


def meetings(found: Sequence[Board]) -> tuple[Meeting, ...]:
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
