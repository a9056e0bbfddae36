"""Everything that is carried to the boat for one layout, worked out once: boards, sheets, stringers, bonding, order, tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

from sketcher.analysis.cut.berth_boards import berth_board_findings, berth_patterns, boards_of_berths
from sketcher.analysis.cut.boards.hatch_fit import passage, passing_findings
from sketcher.analysis.cut.boards.jointing import from_own_edges, in_parts, strap_findings
from sketcher.analysis.cut.boards.nesting import SheetLayout, Watch, fewer_sheets, sheet_layouts, sheet_purchases, spares_a_sheet
from sketcher.analysis.cut.boards.routes_below import longest_turning_board, routes_below
from sketcher.analysis.cut.boards.stated_joints import joint_findings, place_of_joint, proposed
from sketcher.analysis.cut.boards.support_room import SupportRoom
from sketcher.analysis.cut.bonding.cleats import Cleat, cleats_for
from sketcher.analysis.cut.bonding.fixings import taped_seams
from sketcher.analysis.cut.bonding.purchases import other_purchases
from sketcher.analysis.cut.bonding.quantities import bonding_list
from sketcher.analysis.cut.bonding.seam_reach import within_reach
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.fitting import (
    ReadPlace,
    fitted_in_boat,
    gaps_of_whole,
    read_places,
    reading_findings,
    sawn_as_read,
    single_readings,
)
from sketcher.analysis.cut.leak_tests import leak_tests
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.plating import Strake, plating_findings, plating_patterns, strakes, transom_pattern
from sketcher.analysis.cut.results import (
    BondingList,
    Joint,
    LeakTest,
    Passage,
    Pattern,
    Purchase,
    StringerPattern,
    Support,
    WorkStep,
)
from sketcher.analysis.cut.timber.bearer_patterns import bearer_findings, stringer_patterns
from sketcher.analysis.cut.timber.borne_joints import over_supports
from sketcher.analysis.cut.timber.stringers import StringerRun, stringer_runs
from sketcher.analysis.cut.timber.supports import lids_supports, support_room, timber_marks
from sketcher.analysis.cut.work_order import work_steps
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import PanelShape
from sketcher.geometry.flat.widths import least_width
from sketcher.model.cutting import PartReadings
from sketcher.model.errors import SketchError
from sketcher.model.limits import LONGEST_BUILT
from sketcher.model.scene import Opening, Scene


@dataclass(frozen=True, eq=False, kw_only=True)
class BuildPlan:
    """patterns: every board to cut; panels too large for the way below or a sheet in parts. bonding: None where none is planned.

    findings: what was noticed of the boards, beside what the evaluation notices. wholes: the boards before they are in parts,
    as planned and as they follow the readings, which are told from their zero.
    """

    evaluation: Evaluation
    patterns: tuple[Pattern, ...]
    sheets: tuple[SheetLayout, ...]
    stringers: tuple[StringerPattern, ...] = ()
    supports: tuple[Support, ...] = ()
    joints: tuple[Joint, ...] = ()
    passages: tuple[Passage, ...] = ()
    bonding: BondingList | None = None
    steps: tuple[WorkStep, ...] = ()
    leak_tests: tuple[LeakTest, ...] = ()
    findings: tuple[Finding, ...] = ()
    wholes: tuple[tuple[Pattern, Pattern], ...] = ()
    readings: tuple[PartReadings, ...] = ()

    @cached_property
    def read_places(self) -> dict[str, tuple[ReadPlace, ...]]:
        """Where gaps are read, by the names of the boards, numbered and told from the zero of those they are parts of."""
        found: dict[str, tuple[ReadPlace, ...]] = {}
        for whole, _ in self.wholes:
            mine = [each for each in self.patterns if each.name == whole.name or each.name.startswith(f"{whole.name}, part ")]
            found |= read_places(whole, mine)
        return found

    @property
    def drawn(self) -> tuple[Pattern, ...]:
        """Everything that is drawn at true size: the boards, then the bearers."""
        return (*self.patterns, *(stringer.board for stringer in self.stringers))

    @property
    def cleats(self) -> tuple[Cleat, ...]:
        """The cleats under edges that nobody reaches later."""
        if self.bonding is None:
            return ()
        scene = self.evaluation.scene
        return cleats_for(scene, taped_seams(scene, self.bonding.seams))

    @property
    def purchases(self) -> tuple[Purchase, ...]:
        """The one shopping list: sheets, what bonds them, what covers the openings and what goes into the spaces."""
        bonded = self.bonding.purchases if self.bonding is not None else ()
        others = other_purchases(self.evaluation, self.bonding)
        return (*sheet_purchases(self.sheets), *bonded, *others)


def build_plan(evaluation: Evaluation, watch: Watch | None = None) -> BuildPlan:
    """The plan of a layout. watch: told how many boards were laid on sheets so far; False keeps the best laying so far.

    Raises SketchError for a hull too long to be built by hand.
    """
    scene, layout = evaluation.scene, evaluation.layout
    _refuse_too_long(evaluation)
    plating = strakes(layout.hull) if scene.cutting.plating else ()
    wholes, divided, passages = _boards(evaluation, plating)
    made = _laid_out(evaluation, divided, watch)
    spared = _off_supports(scene, made)
    if spared is not None:
        passages = _passages(evaluation, spared)
        made = _laid_out(evaluation, spared, watch)
    patterns, supports, joints, layouts = made.patterns, made.supports, made.joints, made.layouts
    stringers = stringer_patterns(layout, evaluation.water)
    tests = leak_tests(layout) if patterns else ()
    reached_seams = within_reach(layout, seams(layout), patterns, wholes)
    return BuildPlan(
        evaluation=evaluation,
        patterns=patterns,
        sheets=layouts,
        stringers=stringers,
        supports=supports,
        joints=joints,
        passages=passages,
        bonding=bonding_list(layout, patterns, stringers, reached_seams, joints, supports),
        steps=work_steps(evaluation, patterns, passages, stringers, tests, reached_seams, joints, supports, wholes),
        leak_tests=tests,
        findings=(
            *made.findings,
            *passing_findings(scene, passages, joints),
            *joint_findings(scene, wholes),
            *strap_findings(joints, wholes),
            *_other_joints(scene, made.divided, layouts),
            *berth_board_findings(layout),
            *_nothing_left(evaluation, patterns),
            *reading_findings((*patterns, *(board.fitted for board in made.divided)), made.readings),
            *single_readings([board.fitted for board in made.divided]),
            *plating_findings(plating),
            *bearer_findings(stringers),
        ),
        wholes=tuple((board.whole, board.fitted) for board in made.divided),
        readings=made.readings,
    )


def _refuse_too_long(evaluation: Evaluation) -> None:
    """Raises SketchError for a hull longer than boards are worked out for."""
    form = evaluation.layout.hull
    length = form.x_after - form.x_forward
    if length > LONGEST_BUILT:
        hull = evaluation.scene.hull
        raise SketchError(
            f"the hull is {length:.0f} m long; boards are worked out for hulls up to {LONGEST_BUILT:.0f} m",
            "Is the unit right? Else give only the stations of the part that is built.",
            hull.file or evaluation.scene.file,
            key="units",
        )


def _nothing_left(evaluation: Evaluation, patterns: tuple[Pattern, ...]) -> Iterator[Finding]:
    """Findings for planned panels so small that the gaps, or the hull, leave no board."""
    cut = {pattern.panel for pattern in patterns}
    gap = evaluation.scene.cutting.gap
    for shape in evaluation.layout.panels:
        if shape.panel.built == "planned" and shape.name not in cut:
            yield Finding(
                code="nothing-to-cut",
                severity="warn",
                object=shape.name,
                values={"panel": shape.name, "in_hull": shape.reaches_in, "gap": Length(gap)},
                measured=gap,
            )


@dataclass(frozen=True, eq=False)
class _CutBoard:
    """A board, its parts as they are marked out, and its joints.

    fitted: as gaps move its edges, by the readings, told from its zero, that its parts follow.
    shapes, bearers: what its straps keep clear of; route: to it; supports: tells where some can lie under its joints.
    """

    form: HullForm
    whole: Pattern
    fitted: Pattern
    readings: tuple[PartReadings, ...]
    shapes: tuple[PanelShape, ...]
    route: Sequence[Opening] | None
    bearers: Sequence[StringerRun]
    supports: Callable[[], SupportRoom] | None
    parts: tuple[Pattern, ...]
    joints: tuple[Joint, ...]

    def marked_with(self, supports: Sequence[Support]) -> _CutBoard:
        """The same with what lies under a lid drawn on its parts."""
        parts = (replace(part, marks=(*part.marks, *timber_marks(part, supports, self.bearers))) for part in self.parts)
        return replace(self, parts=tuple(parts))


@dataclass(frozen=True, eq=False)
class _LaidOut:
    """Boards with what lies under them, on their sheets; findings: of the sheets."""

    divided: list[_CutBoard]
    patterns: tuple[Pattern, ...]
    supports: tuple[Support, ...]
    joints: tuple[Joint, ...]
    layouts: tuple[SheetLayout, ...]
    findings: tuple[Finding, ...]

    @property
    def readings(self) -> tuple[PartReadings, ...]:
        """All that was read, gaps of parts told as their whole board's."""
        return self.divided[-1].readings if self.divided else ()


def _laid_out(evaluation: Evaluation, divided: list[_CutBoard], watch: Watch | None) -> _LaidOut:
    scene, layout = evaluation.scene, evaluation.layout
    supports = lids_supports(scene, layout.hull.fine, [(board.whole, board.parts) for board in divided], layout.panels)
    marked = [board.marked_with(supports) for board in divided]
    patterns = tuple(part for board in marked for part in board.parts)
    joints = over_supports([joint for board in marked for joint in board.joints], supports)
    layouts, findings = sheet_layouts(scene, patterns, watch)
    return _LaidOut(marked, patterns, supports, joints, layouts, findings)


def _off_supports(scene: Scene, made: _LaidOut) -> list[_CutBoard] | None:
    """The boards with the joints of lids elsewhere, where laying them over supports costs a sheet; None where it costs none."""
    spared = list(made.divided)
    for k, board in enumerate(made.divided):
        laid = _layout_of(board, made.layouts)
        if board.supports is None or not board.joints or board.joints[0].stated or laid is None or not spares_a_sheet(laid):
            continue
        plain = _cut_up(scene, board.form, board.whole, board.readings, board.shapes, board.route, board.bearers)
        if {joint.line for joint in plain.joints} == {joint.line for joint in board.joints}:
            continue
        if fewer_sheets(scene, laid, [*_others_on(made.divided, board, laid), *plain.parts]) is not None:
            joints = tuple(replace(joint, unborne=Phrase("support-takes-sheet")) for joint in plain.joints)
            spared[k] = replace(plain, joints=joints)
    return spared if any(one is not other for one, other in zip(spared, made.divided, strict=True)) else None


def _layout_of(board: _CutBoard, layouts: Sequence[SheetLayout]) -> SheetLayout | None:
    """The sheets that a board's first part lies on."""
    return next((each for each in layouts if board.parts[0].name in {placed.piece for placed in each.nesting.placed}), None)


def _others_on(divided: Sequence[_CutBoard], board: _CutBoard, laid: SheetLayout) -> list[Pattern]:
    """What else lies on the sheets of a board."""
    placed = {each.piece for each in laid.nesting.placed}
    return [part for other in divided if other is not board for part in other.parts if part.name in placed]


def _boards(
    evaluation: Evaluation, plating: tuple[Strake, ...]
) -> tuple[tuple[Pattern, ...], list[_CutBoard], tuple[Passage, ...]]:
    """The whole boards without plating, all boards in parts with their joints, and the passages of those that go below."""
    scene, layout, water = evaluation.scene, evaluation.layout, evaluation.water
    lids = boards_of_berths(layout)
    wholes = (*panel_patterns(layout, water), *berth_patterns(layout, water, lids))
    routes = routes_below(layout)
    bearers = stringer_runs(scene, layout.hull.fine) if scene.stringers else ()
    form, readings = layout.hull.fine, scene.as_built
    divided: list[_CutBoard] = []
    for whole in wholes:
        route = routes.get(whole.panel)
        shapes = (*layout.panels, *(lid for berth, lid in lids.items() if berth != whole.panel))
        supports = partial(support_room, scene, form, whole, layout.panels, bearers)
        divided.append(_cut_up(scene, form, whole, readings, shapes, route, bearers, supports))
        readings = divided[-1].readings
    passages = _passages(evaluation, divided)
    transom = transom_pattern(scene, layout.hull) if plating else None
    plates = (*plating_patterns(scene, plating), *([transom] if transom is not None else []))
    divided += [_cut_up(scene, form, plate, readings, (), ()) for plate in plates]
    return wholes, divided, passages


def _passages(evaluation: Evaluation, divided: Sequence[_CutBoard]) -> tuple[Passage, ...]:
    """How each part of the boards goes below; plating does not."""
    found: list[Passage] = []
    for board in divided:
        route = board.route
        if board.whole.kind == "plating":
            continue
        for part in board.parts:
            run = longest_turning_board(evaluation.layout, route[0], least_width(part.blank)[0]) if route else None
            found.append(passage(evaluation.scene, part, route, run))
    return tuple(found)


def _cut_up(
    scene: Scene,
    form: HullForm,
    whole: Pattern,
    readings: tuple[PartReadings, ...],
    shapes: tuple[PanelShape, ...],
    route: Sequence[Opening] | None,
    bearers: Sequence[StringerRun] = (),
    supports: Callable[[], SupportRoom] | None = None,
) -> _CutBoard:
    """A board in its parts, each with its zero on its own edges; they follow the gaps read, their joints stay where planned."""

    def parted(fitted: Pattern | None = None) -> tuple[tuple[Pattern, ...], tuple[Joint, ...]]:
        parts, joints = in_parts(scene, whole, shapes, route, bearers, supports=supports, fitted=fitted)
        return tuple(from_own_edges(part) if joints and part.kind == whole.kind else part for part in parts), joints

    parts, joints = parted()
    readings = gaps_of_whole(whole, parts, readings)
    fitted = fitted_in_boat(whole, form, scene.cutting.gap, readings)
    if fitted is not whole:
        again, joints = parted(fitted)
        parts = sawn_as_read(fitted, parts, again, readings)
    return _CutBoard(form, whole, fitted, readings, shapes, route, bearers, supports, parts, joints)


def _other_joints(scene: Scene, divided: Sequence[_CutBoard], layouts: Sequence[SheetLayout]) -> Iterator[Finding]:
    """Findings: boards of which joints the other way would save a sheet, with what they cost in parts and straps."""
    for board in divided:
        whole, parts, joints = board.whole, board.parts, board.joints
        laid = _layout_of(board, layouts)
        if not joints or joints[0].stated or laid is None or not spares_a_sheet(laid):
            continue
        axis = 0 if joints[0].line[0][0] == joints[0].line[1][0] else 1
        others = in_parts(scene, whole, board.shapes, board.route, board.bearers, (1 - axis,), board.supports)
        then = fewer_sheets(scene, laid, [*_others_on(divided, board, laid), *others[0]]) if others[1] else None
        if then is not None:
            straps = [sum(part.kind == "butt strap" for part in each) for each in (parts, others[0])]
            stated = proposed(whole, others[1])
            places = () if stated is None else tuple(place_of_joint(stated.direction, place) for place in stated.places)
            yield Finding(
                code="joints-save-sheet",
                severity="note",
                object=whole.panel,
                values={
                    "panel": whole.panel,
                    "places": places,
                    "stuff": laid.stuff,
                    "now": len(laid.nesting.sheets),
                    "then": then,
                    "parts": (len(parts) - straps[0], len(others[0]) - straps[1]),
                    "straps": tuple(straps),
                    "full": not any(joint.short for joint in others[1]),
                },
            )
