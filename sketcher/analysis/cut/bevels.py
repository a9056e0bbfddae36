"""The bevel of a board's edge, point by point, from the normals of the surfaces that it meets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.cut.outlines import OTHER_HALF, BoardFace
from sketcher.analysis.cut.results import Bevel
from sketcher.geometry.mesh import Flags, Floats, Ints

EVERY = 0.100
"""[m] A bevel is marked at least so often along an edge."""

TURN = 2.0
"""[deg] and wherever it has changed by so much: half of what a bevel gauge is read to by eye, each way."""

_STEP = 0.005
"""[m] How finely an edge is looked at."""

_DISAGREE = 1.5
"""[deg] Where surface and outlines differ by more, the surface has a corner within the board's thickness: outlines decide."""

_LOOK = 4
"""Places before and after a change of bevel that are looked at to see whether the outline turns there."""

_STRAIGHT = 10.0
"""[deg] An outline that turns less is crossed by what lies square to it to within a hundredth of its bevel."""

_JUMP = 2.0
"""[deg] A change of bevel from one look to the next that is a corner of the hull, not a curve."""


_OFF = 1e-3
"""[m] A mark that leads further from the other face's outline is not given beside a corner: a pencil line is as wide."""

_CORNER = 10
"""Places at each end of a run at most that are taken as beside its corner."""


@dataclass(frozen=True, eq=False)
class Lean:
    """The lean of an edge at places along it. points (k, 2), along (k,) [m], angle (k,) [deg] as in `Bevel`, owner (k,).

    loose: (k,) places that lie on no neighbour, as in an opening that cuts the edge away. off: (k,) how far the other face's
    outline is from where the lean says [m]: near corners, where that outline has turned already.
    """

    points: Floats
    along: Floats
    angle: Floats
    owner: Ints
    loose: Flags
    off: Floats


def bevel_angles(facing: Floats, outward: Floats) -> Floats:
    """Bevel (k,) [deg] of an edge that lies against surfaces facing (k, 3), out of the board, on a face that looks `outward`.

    Positive where the face that looks outward is the longer: the surface then faces the other way. The edge's inclination to
    a square cut is the angle between the surface's normal and the board's plane.
    """
    angle: Floats = -np.degrees(np.arcsin(np.clip(facing @ outward, -1.0, 1.0)))
    return angle


def lean_along(
    ring: shapely.LinearRing, faces: tuple[BoardFace, BoardFace], thickness: float, cut_away: shapely.Geometry, reach: float
) -> Lean:
    """How the edge of a board leans along a ring of its drawn outline. faces: the drawn one and the other, in one frame's axes.

    cut_away: openings and notches, whose own edges are sawn square; reach [m]: how far the outline may lie from what it meets.
    """
    drawn, other = faces
    along = np.arange(0.0, ring.length, _STEP)
    points = _places_on(ring, along)
    nearest, facing = drawn.stretches.nearest(points)
    loose = shapely.distance(drawn.stretches.tree.geometries[nearest], shapely.points(points)) > reach
    loose |= shapely.contains_xy(cut_away.buffer(_STEP / 2), points[:, 0], points[:, 1])
    angle, owner = bevel_angles(facing, drawn.frame.normal), drawn.stretches.owner[nearest]
    between = _between_outlines(points, other.net, thickness)
    settled = np.zeros(len(points), dtype=bool)
    mitred = max(1, int(np.ceil(1.5 * thickness / _STEP)))
    for run in _runs(owner, loose, angle):
        # Beside a corner of the outline the other one is not straight across; where only the bevel jumps, it is.
        first, last = (0 if _runs_on(points, owner, loose, k) else mitred for k in (int(run[0]), int(run[-1]) + 1))
        inner = run[first : len(run) - last]
        if len(inner):
            apart = np.abs(between[inner] - angle[inner]) > _DISAGREE
            settled[run] = apart[np.clip(np.arange(len(run)) - first, 0, len(inner) - 1)]
    angle = np.where(settled, between, angle)
    off = np.abs(np.tan(np.radians(between)) - np.tan(np.radians(angle))) * thickness
    return Lean(points, along, angle, owner, loose, off)


def _places_on(ring: shapely.LinearRing, along: Floats) -> Floats:
    """Points (k, 2) at lengths along a ring (k,)."""
    corners = shapely.get_coordinates(ring)
    lengths = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    places: Floats = np.stack([np.interp(along, lengths, corners[:, axis]) for axis in (0, 1)], axis=1)
    return places


def _runs_on(points: Floats, owner: Ints, loose: Flags, k: int) -> bool:
    """Whether an outline goes on straight, and against the same, over its k-th place."""
    if not _LOOK <= k < len(points) - _LOOK or owner[k - 1] != owner[k] or loose[k - 1] or loose[k]:
        return False
    before, after = points[k] - points[k - _LOOK], points[k + _LOOK] - points[k]
    turn = np.degrees(np.arctan2(before[0] * after[1] - before[1] * after[0], before @ after))
    return bool(abs(turn) < _STRAIGHT)


def _between_outlines(points: Floats, other: shapely.Geometry, thickness: float) -> Floats:
    """Bevel (k,) [deg] from places on the drawn outline straight to the other face's outline."""
    if other.is_empty:
        return np.zeros(len(points))
    edge = shapely.boundary(other)
    shapely.prepare(edge)
    away = shapely.distance(edge, shapely.points(points))
    inside = shapely.contains_xy(other, points[:, 0], points[:, 1])
    angle: Floats = np.degrees(np.arctan(np.where(inside, -away, away) / thickness))
    return angle


def _runs(owner: Ints, loose: Flags, angle: Floats) -> list[Ints]:
    """The places along an outline, parted where what they meet changes or turns a corner."""
    breaks = (owner[1:] != owner[:-1]) | (loose[1:] != loose[:-1]) | (np.abs(np.diff(angle)) > _JUMP)
    return np.split(np.arange(len(owner)), np.flatnonzero(breaks) + 1)


def marked_bevels(lean: Lean, face: BoardFace) -> tuple[Bevel, ...]:
    """The places at which to write the bevel: at both ends of each stretch of edge, and between as often as it changes."""
    if not len(lean.along):
        return ()
    bevels = []
    for run in _runs(lean.owner, lean.loose, lean.angle):
        neighbour = face.stretches.neighbours[int(lean.owner[run[0]])]
        if lean.loose[run[0]] or len(run) < 3 or neighbour.name == OTHER_HALF:
            continue
        for k in _chosen(_clear_of_corners(run, lean), lean):
            x, y = lean.points[k].tolist()
            bevels.append(
                Bevel(
                    at=(x, y),
                    along=float(lean.along[k]),
                    angle=float(lean.angle[k]),
                    against=neighbour.name,
                    edge=neighbour.kind,
                )
            )
    return tuple(bevels)


def _clear_of_corners(run: Ints, lean: Lean) -> Ints:
    """A run less its ends where the lean does not lead to the other face's outline: no gauge is set there."""
    good = np.flatnonzero(lean.off[run] <= _OFF)
    if len(good) < 3:
        return run
    first, last = min(int(good[0]), _CORNER), max(int(good[-1]), len(run) - 1 - _CORNER)
    return run[first : last + 1] if last - first >= 2 else run


def _chosen(run: Ints, lean: Lean) -> list[int]:
    """The first and last place of a run, and those between after EVERY metre or TURN degrees."""
    kept = [int(run[0])]
    for k in run[1:-1].tolist():
        far = lean.along[k] - lean.along[kept[-1]] >= EVERY
        if far or abs(lean.angle[k] - lean.angle[kept[-1]]) >= TURN:
            kept.append(k)
    return [*kept, int(run[-1])]
