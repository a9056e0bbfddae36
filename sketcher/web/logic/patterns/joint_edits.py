"""The joints of the panel that is looked at: dragged, nudged, typed, added, taken out, or left to the sketch."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS, in_boat
from sketcher.model.cutting import JointDirection, Joints
from sketcher.model.edits.actions import SetJoints
from sketcher.model.errors import SketchError
from sketcher.web.logic.drag.grips import Grip, in_whole_steps
from sketcher.web.logic.scene_objects import BLOCK_OF
from sketcher.web.state import Boards

AXIS_OF: dict[JointDirection, str] = {"aft": "x", "off_centre": "y", "height": "z"}
ARROWS = ({"left": -1.0, "right": 1.0}, {"down": -1.0, "up": 1.0})
"""Which way each arrow key points along the two axes of a pattern."""
MIDDLE_STEP = 0.005
"""[m] A new joint stands at a whole step, as one that is dragged."""


def joint_grip(boards: Boards, number: int) -> Grip:
    """The grip on one joint of a panel; one that was found becomes a stated one with the others when it is moved.

    Raises SketchError where there is no such joint.
    """
    joints = _joints_with(boards, number)
    return Grip(
        ref=boards.panel,
        axes=AXIS_OF[joints.direction],
        values=(joints.places[number],),
        edit=lambda to: _edit(boards, _with_place(joints, number, to[0])),
        what=f"joint of {boards.panel.name}",
        divides=False,
    )


def _joints_with(boards: Boards, number: int, remedy: str = "") -> Joints:
    """The joints of which one has this number. Raises SketchError where there is no such joint."""
    if boards.joints is None or not 0 <= number < len(boards.joints.places):
        raise SketchError(f"{boards.panel.name} has no such joint", remedy)
    return boards.joints


def _with_place(joints: Joints, number: int, place: float) -> Joints:
    places = (*joints.places[:number], place, *joints.places[number + 1 :])
    return Joints(joints.direction, places)


def joint_moved(boards: Boards, number: int, place: float) -> SetJoints:
    """The edit that puts a joint at a place that was typed [m]. Raises SketchError where there is no such joint."""
    return _edit(boards, _with_place(_joints_with(boards, number, "Add one first."), number, place))


def joint_nudged(boards: Boards, number: int, towards: str, size: float) -> SetJoints | None:
    """The edit that moves a joint one step [m] by an arrow key, the way the arrow points on the pattern; None across that way.

    Raises SketchError where there is no such joint.
    """
    axis = DIRECTIONS[boards.panel.kind].index(_joints_with(boards, number).direction)
    direction = ARROWS[axis].get(towards, 0.0) * np.sign(
        in_boat(boards.wholes[0], axis, 1.0) - in_boat(boards.wholes[0], axis, 0.0)
    )
    if direction == 0.0:
        return None
    grip = joint_grip(boards, number)
    return joint_moved(boards, number, in_whole_steps(grip, (direction * size,), size)[0])


def joint_taken_out(boards: Boards, number: int) -> SetJoints:
    """The edit that takes a joint out; with the last, where it must be cut is found again.

    Raises SketchError where there is no such joint.
    """
    joints = _joints_with(boards, number)
    left = tuple(place for k, place in enumerate(joints.places) if k != number)
    return _edit(boards, Joints(joints.direction, left) if left else None)


def joint_added(boards: Boards, direction: str) -> SetJoints:
    """The edit that puts one more joint into the largest part; stated in another direction, it takes the place of the others.

    Raises SketchError where no joint of a panel of this kind is told so.
    """
    whole = max(boards.wholes, key=lambda each: each.area, default=None)
    known = DIRECTIONS.get(boards.panel.kind, ())
    chosen = next((each for each in known if each == direction), None)
    if whole is None or chosen is None:
        raise SketchError(f"a {boards.panel.kind} is not cut so", f"Choose {' or '.join(known)}." if known else "")
    axis = known.index(chosen)
    kept = boards.joints.places if boards.stated and boards.joints is not None and boards.joints.direction == chosen else ()
    ends = [in_boat(whole, axis, whole.blank.bounds[k]) for k in (axis, axis + 2)]
    lines = sorted((*ends, *kept))
    low, high = max(pairwise(lines), key=lambda pair: pair[1] - pair[0])
    middle = round((low + high) / 2 / MIDDLE_STEP) * MIDDLE_STEP
    return _edit(boards, Joints(chosen, (*kept, middle)))


def joints_taken_over(boards: Boards) -> SetJoints:
    """The edit that states the joints that were found. Raises SketchError where there are none."""
    if boards.stated or boards.joints is None:
        raise SketchError("there is no joint to take over", "This panel goes below and comes out of a sheet in one piece.")
    return _edit(boards, boards.joints)


def joints_found_again(boards: Boards) -> SetJoints:
    """The edit that leaves it to the sketch where the panel is cut."""
    return _edit(boards, None)


def _edit(boards: Boards, joints: Joints | None) -> SetJoints:
    return SetJoints(BLOCK_OF[boards.panel.kind], boards.panel.name, joints)
