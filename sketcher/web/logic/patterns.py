"""The boards of the panel that is looked at, and its joints, always of the boat as she stands."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from sketcher.analysis.cut.berth_boards import berth_patterns, boards_of_berths
from sketcher.analysis.cut.boards.hatch_fit import passage
from sketcher.analysis.cut.boards.jointing import in_parts
from sketcher.analysis.cut.boards.routes_below import ways_below
from sketcher.analysis.cut.boards.stated_joints import WAYS, in_boat, joint_findings, joint_line, joints_of, proposed
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Mark, Passage, Pattern
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.analysis.results import Layout
from sketcher.model.cutting import Joints, JointWay
from sketcher.model.edits.actions import SetJoints
from sketcher.model.errors import SketchError
from sketcher.model.lookup import find
from sketcher.web.logic.drag.grips import BLOCK_OF, Grip, snapped
from sketcher.web.state import PANEL_KINDS, Boards, ObjectRef, PartKind

AXIS_OF: dict[JointWay, str] = {"aft": "x", "off_centre": "y", "height": "z"}
ARROWS = ({"left": -1.0, "right": 1.0}, {"down": -1.0, "up": 1.0})
"""Which way each arrow key points along the two axes of a pattern."""
MIDDLE_STEP = 0.005
"""[m] A new joint stands at a whole step, as one that is dragged."""


@dataclass(eq=False, repr=False)
class ShownPatterns:
    """Which panel's boards are looked at, and those boards as they were found last."""

    panel: ObjectRef | None = None
    _made_of: tuple[Evaluation, ObjectRef, bool] | None = None
    _boards: Boards | None = None
    _took: float = 0.0
    _ended: float = 0.0

    def look_at(self, layout: Layout, selected: ObjectRef | None) -> ObjectRef | None:
        """The panel whose boards to show: the selected one, or the one with the selected opening, else as before."""
        panels = {shape.name: _panel(shape.kind, shape.name) for shape in layout.panels}
        berths = [ObjectRef("berth", each.name) for each in layout.scene.berths if each.thickness is not None]
        if selected is not None and (selected.kind in PANEL_KINDS or selected in berths):
            self.panel = selected
        elif selected is not None and selected.kind == "opening":
            through = next((each.through for each in layout.scene.openings if each.name == selected.name), None)
            self.panel = panels.get(through or "", self.panel)
        elif self.panel not in (*panels.values(), *berths):
            planned = [panels[shape.name] for shape in layout.panels if shape.panel.built == "planned"]
            self.panel = next(iter([*planned, *panels.values(), *berths]), None)
        return self.panel

    def boards(self, evaluation: Evaluation, selected: ObjectRef | None, *, resting: bool, still: bool = False) -> Boards | None:
        """The boards of the panel looked at; None where there is no panel.

        resting: what takes longer is worked out as well: the joints that are found, and which part goes below. While a hand
        moves, boards take half of the time at most: the last ones stay for as long as they took, so that the hand is not held
        up. still: the hand has stopped, and they are brought up to date.
        """
        panel = self.look_at(evaluation.layout, selected)
        if panel is None:
            return None
        if self._made_of is not None and self._made_of[:2] == (evaluation, panel) and (self._made_of[2] or not resting):
            return self._boards
        began = time.perf_counter()
        if (
            not (resting or still)
            and self._boards is not None
            and self._boards.panel == panel
            and began - self._ended < self._took
        ):
            return self._boards
        self._boards = _boards(evaluation, panel, resting=resting)
        self._made_of = (evaluation, panel, resting)
        self._ended = time.perf_counter()
        self._took = 0.0 if resting else self._ended - began
        return self._boards


def _panel(kind: str, name: str) -> ObjectRef:
    known: dict[str, PartKind] = {"bulkhead": "bulkhead", "partition": "partition", "lid": "lid"}
    return ObjectRef(known[kind], name)


def _boards(evaluation: Evaluation, panel: ObjectRef, *, resting: bool) -> Boards:
    scene = evaluation.scene
    if panel.kind == "berth":
        layout, water = evaluation.layout, evaluation.water
        wholes = tuple(each for each in berth_patterns(layout, water, boards_of_berths(layout)) if each.panel == panel.name)
    else:
        wholes = panel_patterns(evaluation.layout, evaluation.water, [panel.name])
    stated = joints_of(scene, panel.name) if panel.kind in WAYS else None
    found: Joints | None = None
    parts: tuple[tuple[Pattern, Passage], ...] | None = None
    planned = getattr(find(scene, BLOCK_OF[panel.kind], panel.name), "built", "planned") == "planned"
    if resting and planned:
        way = ways_below(evaluation.layout).get(panel.name)
        divided = [(whole, *in_parts(scene, whole, evaluation.layout.panels, way)) for whole in wholes]
        found = next((joints for whole, _, cut in divided if (joints := proposed(whole, cut)) is not None), None)
        parts = tuple((part, passage(scene, part, way)) for _, cut, _ in divided for part in cut)
    weak: tuple[Finding, ...] = tuple(joint_findings(scene, wholes))
    marked = tuple(_with_joints(whole, stated or found) for whole in wholes)
    return Boards(
        panel=panel,
        wholes=marked,
        joints=stated or found,
        stated=stated is not None,
        findings=weak,
        parts=parts,
        planned=planned,
    )


def _with_joints(whole: Pattern, joints: Joints | None) -> Pattern:
    """The board with its joints drawn across it."""
    if joints is None:
        return whole
    lines = (joint_line(whole, joints, number) for number in range(len(joints.places)))
    return replace(whole, marks=(*whole.marks, *(Mark(kind="joint", line=line, says=None) for line in lines if line is not None)))


def joint_grip(boards: Boards, number: int) -> Grip:
    """The hold on one joint of a panel; one that was found becomes a stated one with the others when it is moved."""
    joints = boards.joints
    assert joints is not None
    part, block = boards.panel, BLOCK_OF[boards.panel.kind]

    def edit(to: tuple[float, ...]) -> SetJoints:
        return SetJoints(block, part.name, _with_place(joints, number, to[0]))

    return Grip(
        part=part,
        axes=AXIS_OF[joints.way],
        values=(joints.places[number],),
        edit=edit,
        what=f"joint of {part.name}",
        divides=False,
    )


def _with_place(joints: Joints, number: int, place: float) -> Joints:
    places = (*joints.places[:number], place, *joints.places[number + 1 :])
    return Joints(joints.way, places)


def joint_moved(boards: Boards, number: int, place: float) -> SetJoints:
    """The edit that puts a joint at a place that was typed [m]. Raises SketchError where there is no such joint."""
    if boards.joints is None or not 0 <= number < len(boards.joints.places):
        raise SketchError(f"{boards.panel.name} has no such joint", "Add one first.")
    return _edit(boards, _with_place(boards.joints, number, place))


def joint_nudged(boards: Boards, number: int, towards: str, size: float) -> SetJoints | None:
    """The edit that moves a joint one step [m] by an arrow key, the way the arrow points on the pattern; None across that way.

    Raises SketchError where there is no such joint.
    """
    if boards.joints is None or not 0 <= number < len(boards.joints.places):
        raise SketchError(f"{boards.panel.name} has no such joint")
    axis = WAYS[boards.panel.kind].index(boards.joints.way)
    way = ARROWS[axis].get(towards, 0.0) * np.sign(in_boat(boards.wholes[0], axis, 1.0) - in_boat(boards.wholes[0], axis, 0.0))
    if way == 0.0:
        return None
    grip = joint_grip(boards, number)
    return joint_moved(boards, number, snapped(grip, (way * size,), size)[0])


def joint_taken_out(boards: Boards, number: int) -> SetJoints:
    """The edit that takes a joint out; with the last, where it must be cut is found again."""
    if boards.joints is None or not 0 <= number < len(boards.joints.places):
        raise SketchError(f"{boards.panel.name} has no such joint")
    left = tuple(place for k, place in enumerate(boards.joints.places) if k != number)
    return _edit(boards, Joints(boards.joints.way, left) if left else None)


def joint_added(boards: Boards, way: str) -> SetJoints:
    """The edit that puts one more joint into the largest part; stated in another way, it takes the place of the others.

    Raises SketchError where no joint of a panel of this kind is told so.
    """
    whole = max(boards.wholes, key=lambda each: each.area, default=None)
    known = WAYS.get(boards.panel.kind, ())
    chosen = next((each for each in known if each == way), None)
    if whole is None or chosen is None:
        raise SketchError(f"a {boards.panel.kind} is not cut so", f"Choose {' or '.join(known)}." if known else "")
    axis = known.index(chosen)
    kept = boards.joints.places if boards.stated and boards.joints is not None and boards.joints.way == chosen else ()
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
