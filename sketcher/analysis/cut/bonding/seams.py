"""Where panels are bonded: each seam's length and the corner that it fills, on both faces of a board, from the geometry."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from sketcher.analysis.cut.bevels import bevel_angles
from sketcher.analysis.cut.bonding.rules import fillet_section
from sketcher.analysis.cut.cutouts import openings_in
from sketcher.analysis.cut.outlines import OTHER_HALF, BoardFace, edges_of_area
from sketcher.analysis.cut.panel_patterns import Board, boards_of
from sketcher.analysis.cut.results import Seam
from sketcher.analysis.results import Layout
from sketcher.geometry.mesh import Floats

_SHORTEST = 0.005
"""[m] A seam shorter than this is a corner, not a seam."""


def seams(layout: Layout) -> tuple[Seam, ...]:
    """Every seam of every planned panel, face by face; none where an edge stands free or is cut away by an opening."""
    all_seams: list[Seam] = []
    for number, shape in enumerate(layout.panels):
        if shape.panel.built == "planned":
            for board in boards_of(layout.scene, layout.hull, layout.panels, number):
                outward = board.drawn.frame.normal
                all_seams += _of_face(layout, board, board.drawn, board.names[0], outward)
                all_seams += _of_face(layout, board, board.other, board.names[1], -outward)
    return tuple(all_seams)


def _of_face(layout: Layout, board: Board, face: BoardFace, name: str, outward: Floats) -> Iterator[Seam]:
    holes = shapely.union_all(
        [c.outline for c in openings_in(layout.scene, board.shape, face.frame, board.shape.panel.thickness)]
    )
    area = shapely.difference(face.exact, holes)
    starts, ends = edges_of_area(area)
    if not len(starts):
        return
    middles = (starts + ends) / 2
    nearest, facing = face.stretches.nearest(middles)
    touching = shapely.distance(face.stretches.tree.geometries[nearest], shapely.points(middles)) < 1e-6
    angles = np.radians(90.0 + bevel_angles(facing, outward))
    lengths = np.linalg.norm(ends - starts, axis=1)
    owner = face.stretches.owner[nearest]
    for k, neighbour in enumerate(face.stretches.neighbours):
        mine = touching & (owner == k)
        length = float(lengths[mine].sum())
        if neighbour.kind == "free" or neighbour.name == OTHER_HALF or length < _SHORTEST:
            continue
        of, runs = angles[mine], _runs(starts[mine], ends[mine])
        yield Seam(
            panel=board.name,
            face=name,
            to=neighbour.name,
            length=length,
            reached=length,
            angle=float(np.degrees(of @ lengths[mine] / length)),
            least_angle=float(np.degrees(of.min())),
            greatest_angle=float(np.degrees(of.max())),
            fillet=float(fillet_section(of, layout.scene.bonding.fillet) @ lengths[mine]),
            lines=tuple(face.frame.space(run) for run in runs),
            angles=tuple(_corner_angles(face, run, k, outward) for run in runs),
        )


def _runs(starts: Floats, ends: Floats) -> list[Floats]:
    """The stretches of a seam joined to lines (k, 2)."""
    merged = shapely.line_merge(shapely.multilinestrings(np.stack([starts, ends], axis=1)))
    return [np.asarray(part.coords) for part in shapely.get_parts(merged).tolist()]


def _corner_angles(face: BoardFace, run: Floats, neighbour: int, outward: Floats) -> Floats:
    """The corner's angle (k,) [deg] at the points of a line along one neighbour; its ends are as the places next to them."""
    nearest, facing = face.stretches.nearest(run)
    angles: Floats = 90.0 + bevel_angles(facing, outward)
    own = np.flatnonzero(face.stretches.owner[nearest] == neighbour)
    return angles if not len(own) else np.interp(np.arange(len(run)), own, angles[own])
