"""Joints where the owner wants them: their places on the pattern, and what is weak about them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.results import Joint, Pattern
from sketcher.analysis.findings import Finding, Length, Phrase, Value
from sketcher.geometry.mesh import Floats
from sketcher.model.cutting import JointDirection, Joints
from sketcher.model.scene import Scene

DIRECTIONS: dict[str, tuple[JointDirection, JointDirection]] = {
    "bulkhead": ("off_centre", "height"),
    "partition": ("aft", "height"),
    "lid": ("off_centre", "aft"),
}
"""What tells a place to the right and a place up on the pattern of each kind of panel."""

RATIOS = {"butt strap": 15.0, "scarf": 8.0}
"""Width of a butt strap and length of a scarf in thicknesses of the board (sources `butt-strap`, `scarf`)."""

_COMPONENT = {"aft": 0, "off_centre": 1, "height": 2}
_CLEAR = 1e-6
"""[m] A joint nearer to an edge of its board cuts nothing off."""
_WHOLE = 0.001
"""[m] Joints that are taken over stand at whole millimetres: no pencil line is finer."""


def joints_of(scene: Scene, panel: str) -> Joints | None:
    """The joints that a scene states for a panel."""
    return next((each.joints for each in scene.panels if each.name == panel), None)


def on_pattern(pattern: Pattern, direction: JointDirection, place: float) -> tuple[int, float]:
    """A joint's axis on a pattern, 0 for lines up the paper and 1 for lines across it, and where it crosses that axis [m].

    The place is told on the drawn face; on a panel that leans and stands askew as well, at the drawing's base line.
    """
    axis = DIRECTIONS[pattern.kind].index(direction)
    k = _COMPONENT[direction]
    return axis, (place - pattern.frame.origin[k]) / (pattern.frame.u, pattern.frame.v)[axis][k]


def in_boat(pattern: Pattern, axis: int, place: float) -> float:
    """The same backwards: where in the boat [m] a line of the pattern lies, in the direction that its joints are told in."""
    k = _COMPONENT[DIRECTIONS[pattern.kind][axis]]
    return pattern.frame.origin[k] + place * (pattern.frame.u, pattern.frame.v)[axis][k]


def joint_line(whole: Pattern, joints: Joints, number: int) -> Floats | None:
    """The ends (2, 2) [m] of a joint across a board, edge to edge; None where it does not cross it."""
    axis, at = on_pattern(whole, joints.direction, joints.places[number])
    west, south, east, north = whole.blank.bounds
    across = shapely.LineString([(at, south), (at, north)] if axis == 0 else [(west, at), (east, at)])
    low, bottom, high, top = shapely.intersection(across, whole.blank).bounds
    return None if np.isnan(low) or (low, bottom) == (high, top) else np.array([[low, bottom], [high, top]])


def stated_places(scene: Scene, pattern: Pattern) -> tuple[tuple[int, float], ...] | None:
    """Axis and place [m] of the joints stated for a panel that cut this board, ascending; None where none are stated."""
    joints = joints_of(scene, pattern.panel) if pattern.kind in DIRECTIONS else None
    if joints is None:
        return None
    found = sorted(on_pattern(pattern, joints.direction, place) for place in joints.places)
    return tuple((axis, at) for axis, at in found if _to_edge(pattern, axis, at) > _CLEAR)


def proposed(pattern: Pattern, joints: Sequence[Joint]) -> Joints | None:
    """The joints found for a pattern as an owner would state them; None where it has none, is no panel's, or is cut both ways."""
    if not joints or pattern.kind not in DIRECTIONS:
        return None
    (x, _), (x2, _) = joints[0].line
    axis = 0 if abs(x2 - x) < _CLEAR else 1
    if any(abs(joint.line[1][axis] - joint.line[0][axis]) > _CLEAR for joint in joints):
        return None
    places = {round(in_boat(pattern, axis, joint.line[0][axis]) / _WHOLE) * _WHOLE for joint in joints}
    return Joints(DIRECTIONS[pattern.kind][axis], tuple(sorted(places)))


def joint_findings(scene: Scene, wholes: Sequence[Pattern]) -> Iterator[Finding]:
    """What is weak about stated joints: over an opening, too near each other or an edge, or beside the board altogether."""
    for panel in dict.fromkeys(whole.panel for whole in wholes):
        stated = joints_of(scene, panel)
        boards = [whole for whole in wholes if whole.panel == panel and whole.kind in DIRECTIONS]
        if stated is None or not boards:
            continue
        width = RATIOS[scene.cutting.joint] * boards[0].thickness
        for place in stated.places:
            crossed = [
                line for line in (_line(board, stated.direction, place, width) for board in boards) if line.to_edge > _CLEAR
            ]
            if not crossed:
                yield _weak("joint-beside-panel", panel, place_of_joint(stated.direction, place))
            for line in crossed:
                yield from _over_openings(panel, stated.direction, line)
                if line.to_edge < width / 2:
                    lengths = {"to_edge": Length(line.to_edge), "takes": Length(width / 2)}
                    yield _weak("joint-near-edge", panel, place_of_joint(stated.direction, place), **lengths)
        for one, other in pairwise(sorted(stated.places)):
            if other - one < width:
                lengths = {"apart": Length(other - one), "takes": Length(width)}
                yield _weak("joints-too-near", panel, place_of_joint(stated.direction, one), **lengths)


@dataclass(frozen=True, eq=False)
class _Line:
    """A stated joint on one board. place [m]: in the boat; axis, at [m]: on the pattern; to_edge [m]: negative beside it."""

    board: Pattern
    place: float
    axis: int
    at: float
    width: float
    to_edge: float


def _line(board: Pattern, direction: JointDirection, place: float, width: float) -> _Line:
    axis, at = on_pattern(board, direction, place)
    return _Line(board, place, axis, at, width, _to_edge(board, axis, at))


def _to_edge(board: Pattern, axis: int, at: float) -> float:
    """How far a line across a pattern is from the nearer end of the board [m]."""
    return float(min(at - board.blank.bounds[axis], board.blank.bounds[axis + 2] - at))


def _over_openings(panel: str, direction: JointDirection, line: _Line) -> Iterator[Finding]:
    """The openings that a joint's strap or scarf runs into, and the nearest place clear of each."""
    half = line.width / 2
    low, high = np.array(line.board.blank.bounds[:2]), np.array(line.board.blank.bounds[2:])
    low[line.axis], high[line.axis] = line.at - half, line.at + half
    strip = shapely.box(*low, *high)
    for cutout in line.board.cutouts:
        if cutout.kind != "opening" or not strip.intersects(cutout.outline):
            continue
        ends = (cutout.outline.bounds[line.axis] - half, cutout.outline.bounds[line.axis + 2] + half)
        clear = [end for end in ends if _to_edge(line.board, line.axis, end) >= half]
        nearest = min(clear, key=lambda end: abs(end - line.at), default=None)
        clear_at = None if nearest is None else place_of_joint(direction, in_boat(line.board, line.axis, nearest))
        where = place_of_joint(direction, line.place)
        yield _weak("joint-over-opening", panel, where, opening=cutout.name, takes=Length(half), clear_at=clear_at)


def _weak(code: str, panel: str, where: Phrase, **values: Value) -> Finding:
    return Finding(code=code, severity="warn", object=panel, values={"panel": panel, "where": where, **values})


def place_of_joint(direction: JointDirection, place: float) -> Phrase:
    """Where a joint lies in the boat [m], in words for its direction."""
    return Phrase("where-joint-lies", {"direction": direction, "place": Length(place)})
