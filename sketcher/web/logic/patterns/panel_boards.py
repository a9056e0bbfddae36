"""The boards that a panel is cut as, with its joints, always of the boat as she stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from sketcher.analysis.cut.berth_boards import berth_patterns, boards_of_berths
from sketcher.analysis.cut.boards.hatch_fit import passage
from sketcher.analysis.cut.boards.jointing import from_own_edges, in_parts, strap_findings
from sketcher.analysis.cut.boards.routes_below import routes_below
from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS, joint_findings, joint_line, joints_of, proposed
from sketcher.analysis.cut.fitting import fitted_in_boat, gaps_of_whole, single_readings
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Joint, Mark, Passage, Pattern
from sketcher.analysis.cut.timber.stringers import stringer_runs
from sketcher.analysis.cut.timber.supports import support_room
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding
from sketcher.model.cutting import Joints, PartReadings
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
    stated = joints_of(scene, panel.name) if panel.kind in DIRECTIONS else None
    cut = getattr(find(scene, BLOCK_OF[panel.kind], panel.name), "built", "planned") == "planned"
    needed: Joints | None = None
    parts: tuple[tuple[Pattern, Passage], ...] | None = None
    straps: tuple[Finding, ...] = ()
    gaps: tuple[GapRow, ...] = ()
    readings = scene.as_built
    if resting:
        divided = _divided(evaluation, panel, wholes, cut=cut)
        readings = divided[-1].readings if divided else readings
        gaps = tuple(row for each in divided for row in gap_rows(scene.cutting.gap, readings, each.whole, each.fitted))
        wholes = tuple(each.fitted for each in divided)
        if cut:
            needed, parts, straps = _to_go_below(evaluation, panel, divided)
    return Boards(
        panel=panel,
        wholes=tuple(_with_joints(whole, stated or needed) for whole in wholes),
        joints=stated or needed,
        stated=stated is not None,
        findings=(*joint_findings(scene, wholes), *straps, *single_readings(wholes)),
        parts=parts,
        planned=cut,
        gaps=gaps,
        readings=readings,
        doubts=tuple(board_doubts(wholes, gaps)),
    )


@dataclass(frozen=True, eq=False)
class _Divided:
    """A board as planned and as it follows the readings, told from its zero; its parts and joints, if it is to be cut."""

    whole: Pattern
    fitted: Pattern
    readings: tuple[PartReadings, ...]
    parts: tuple[Pattern, ...]
    joints: tuple[Joint, ...]


def _divided(evaluation: Evaluation, panel: ObjectRef, wholes: Sequence[Pattern], *, cut: bool) -> list[_Divided]:
    """The boards of a panel that follow the gaps read of them, while their joints stay where they were planned."""
    scene, layout = evaluation.scene, evaluation.layout
    route = routes_below(layout).get(panel.name)
    lids = boards_of_berths(layout)
    shapes = (*layout.panels, *(lid for berth, lid in lids.items() if berth != panel.name))
    form, readings = layout.hull.fine, scene.as_built
    bearers = stringer_runs(scene, form) if scene.stringers else ()
    found = []
    for whole in wholes:
        room = partial(support_room, scene, form, whole, layout.panels, bearers)
        parts, joints = in_parts(scene, whole, shapes, route, bearers, supports=room) if cut else ((), ())
        own = [from_own_edges(part) for part in parts if joints and part.kind == whole.kind]
        readings = gaps_of_whole(whole, own, readings)
        fitted = fitted_in_boat(whole, form, scene.cutting.gap, readings)
        if cut and fitted is not whole:
            parts, joints = in_parts(scene, whole, shapes, route, bearers, supports=room, fitted=fitted)
        found.append(_Divided(whole, fitted, readings, parts, joints))
    return found


def _to_go_below(
    evaluation: Evaluation, panel: ObjectRef, divided: Sequence[_Divided]
) -> tuple[Joints | None, tuple[tuple[Pattern, Passage], ...], tuple[Finding, ...]]:
    """The joints that are found for a panel, if it needs any, how each board that it becomes goes below, and its weak straps."""
    route = routes_below(evaluation.layout).get(panel.name)
    found = next((joints for each in divided if (joints := proposed(each.whole, each.joints)) is not None), None)
    weak = tuple(finding for each in divided for finding in strap_findings(each.joints, [one.fitted for one in divided]))
    return found, tuple((part, passage(evaluation.scene, part, route)) for each in divided for part in each.parts), weak


def _with_joints(whole: Pattern, joints: Joints | None) -> Pattern:
    """The board with its joints drawn across it."""
    if joints is None:
        return whole
    lines = (joint_line(whole, joints, number) for number in range(len(joints.places)))
    return replace(whole, marks=(*whole.marks, *(Mark(kind="joint", line=line, says=None) for line in lines if line is not None)))
