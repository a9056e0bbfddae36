"""The boards that a panel is cut as, with its joints, always of the boat as she stands."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from sketcher.analysis.cut.berth_boards import berth_patterns, boards_of_berths
from sketcher.analysis.cut.boards.hatch_fit import passage
from sketcher.analysis.cut.boards.jointing import in_parts, strap_findings
from sketcher.analysis.cut.boards.routes_below import routes_below
from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS, joint_findings, joint_line, joints_of, proposed
from sketcher.analysis.cut.fitting import fitted_in_boat
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Mark, Passage, Pattern
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.cut.timber.supports import support_room
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.model.cutting import Joints
from sketcher.model.lookup import find
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.patterns.gap_readings import board_doubts, gap_rows
from sketcher.web.logic.scene_objects import BLOCK_OF
from sketcher.web.state import Boards
from sketcher.web.typed_state import GapRow


def panel_boards(evaluation: Evaluation, panel: ObjectRef, *, resting: bool) -> Boards:
    """What is cut for one panel, or for a berth on boards of its own.

    resting: what takes longer is worked out as well: the joints that are found, and how each part goes below; and boards are cut
    by the hull's fine facets, not by those that a drag has at hand, half a millimetre off.
    """
    scene, layout, water = evaluation.scene, evaluation.layout, evaluation.water
    form = None if resting else layout.hull
    if panel.kind == "berth":
        wholes = tuple(each for each in berth_patterns(layout, water, boards_of_berths(layout), form) if each.panel == panel.name)
    else:
        wholes = panel_patterns(layout, water, [panel.name], form)
    gaps: tuple[GapRow, ...] = ()
    if resting:
        planned = wholes
        wholes = tuple(fitted_in_boat(whole, layout.hull.fine, scene.cutting.gap, scene.as_built) for whole in planned)
        gaps = tuple(row for one, whole in zip(planned, wholes, strict=True) for row in gap_rows(scene, one, whole))
    stated = joints_of(scene, panel.name) if panel.kind in DIRECTIONS else None
    cut = getattr(find(scene, BLOCK_OF[panel.kind], panel.name), "built", "planned") == "planned"
    needed, parts, straps = _cut_to_go_below(evaluation, panel, wholes) if resting and cut else (None, None, ())
    return Boards(
        panel=panel,
        wholes=tuple(_with_joints(whole, stated or needed) for whole in wholes),
        joints=stated or needed,
        stated=stated is not None,
        findings=(*joint_findings(scene, wholes), *straps),
        parts=parts,
        planned=cut,
        gaps=gaps,
        doubts=tuple(board_doubts(wholes, gaps)),
    )


def _cut_to_go_below(
    evaluation: Evaluation, panel: ObjectRef, wholes: tuple[Pattern, ...]
) -> tuple[Joints | None, tuple[tuple[Pattern, Passage], ...], tuple[Finding, ...]]:
    """The joints that are found for a panel, if it needs any, how each board that it becomes goes below, and its weak straps."""
    scene, layout = evaluation.scene, evaluation.layout
    route = routes_below(layout).get(panel.name)
    lids = boards_of_berths(layout)
    shapes = (*layout.panels, *(lid for berth, lid in lids.items() if berth != panel.name))
    form = layout.hull.fine
    bearers = stringer_runs(scene, form) if scene.stringers else ()
    room = partial(support_room, scene, form)
    divided = [
        (whole, *in_parts(scene, whole, shapes, route, bearers, supports=partial(room, whole, layout.panels, bearers)))
        for whole in wholes
    ]
    found = next((joints for whole, _, cut in divided if (joints := proposed(whole, cut)) is not None), None)
    weak = tuple(finding for _, _, cut in divided for finding in strap_findings(cut, wholes))
    return found, tuple((part, passage(scene, part, route)) for _, cut, _ in divided for part in cut), weak


def _with_joints(whole: Pattern, joints: Joints | None) -> Pattern:
    """The board with its joints drawn across it."""
    if joints is None:
        return whole
    lines = (joint_line(whole, joints, number) for number in range(len(joints.places)))
    return replace(whole, marks=(*whole.marks, *(Mark(kind="joint", line=line, says=None) for line in lines if line is not None)))
