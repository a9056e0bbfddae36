"""One boat and all that is done with her on the page; every tab shows the same."""

from __future__ import annotations

import gc
from dataclasses import dataclass, field, replace

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.edits.number_range import STATED_WATER
from sketcher.outputs.places.figure_words import told
from sketcher.outputs.places.range_fields import told_paths
from sketcher.outputs.places.sweep_table import range_value_words
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.background_build import BackgroundBuild
from sketcher.web.logic.comparing import Comparing
from sketcher.web.logic.damage import Damage
from sketcher.web.logic.drag.pointer_drag import PointerDrag
from sketcher.web.logic.drawn_boat import DrawnWater, shapes_now
from sketcher.web.logic.files.scene_files import SceneFiles
from sketcher.web.logic.hull.judged_hull import JudgedHull
from sketcher.web.logic.hull.tracing import Tracing
from sketcher.web.logic.measuring import Measuring
from sketcher.web.logic.objects.editing import ObjectEditor
from sketcher.web.logic.objects.placing import Placing
from sketcher.web.logic.objects.water_fields import NOTHING_TYPED
from sketcher.web.logic.patterns.panel_pattern import PanelPattern
from sketcher.web.logic.places.along_range import AlongRange
from sketcher.web.logic.places.best_search import BestSearch
from sketcher.web.logic.places.goals import PlaceGoal, place_goals
from sketcher.web.logic.places.workers import LONGEST_END
from sketcher.web.logic.selection import Selection
from sketcher.web.logic.session import Session
from sketcher.web.logic.staged.shown_stage import ShownStage
from sketcher.web.logic.sure.known_figures import KnownFigures
from sketcher.web.logic.view_settings import ViewSettings
from sketcher.web.state import Boards, DamagedCondition, Dialog
from sketcher.web.view.drawing_sheet import DrawingSheet

BUILD_AFTER, BUILD_AT_ONCE = 12.0, 0.5
"""Seconds of rest after which the build is worked out unasked, and where its page is open: it takes a few seconds of a core."""
BANDS_AFTER = 3.0
"""[s] How long the page has rested when it is worked out how sure its figures are."""

ROOMY = (560.0, 700.0)
"""Pixels across and down: where boat and drawings have so much, there is room for curves under them."""


@dataclass(eq=False, repr=False)
class Workspace:
    """session: the scene; files: where scenes are read and written; dialog: the question that is open.

    echo: the number of the last message that a page waits for; spoken: what is read out to who does not see it. resting:
    whether nothing has moved for a while. station: the one of the hull that is worked on; board: pixels across and down that boat
    and drawings have.
    """

    session: Session
    files: SceneFiles
    selection: Selection = field(default_factory=Selection)
    sheet: DrawingSheet = field(default_factory=DrawingSheet)
    pattern: PanelPattern = field(default_factory=PanelPattern)
    dialog: Dialog | None = None
    echo: int = 0
    spoken: str = ""
    resting: bool = False
    damage: Damage = field(init=False)
    view_settings: ViewSettings = field(init=False)
    drag: PointerDrag = field(init=False)
    editor: ObjectEditor = field(init=False)
    placing: Placing = field(init=False)
    comparing: Comparing = field(init=False)
    measuring: Measuring = field(init=False)
    build: BackgroundBuild = field(init=False)
    judged_hull: JudgedHull = field(init=False)
    along: AlongRange = field(init=False)
    best: BestSearch = field(init=False)
    sure: KnownFigures = field(init=False)
    stage: ShownStage = field(init=False)
    station: int = 1
    tracing: Tracing = field(default_factory=Tracing)
    board: tuple[float, float] = (900.0, 900.0)
    _drawn_water: DrawnWater = field(default_factory=DrawnWater)

    def __post_init__(self) -> None:
        session = self.session
        self.stage = ShownStage(lambda scene: session.evaluate(scene))
        self.damage = Damage(session, lambda: self.shown)
        self.view_settings = ViewSettings(session.evaluation.layout.hull.outside.vertices)
        self.drag = PointerDrag(session, self.view_settings, self.sheet)
        self.editor = ObjectEditor(session)
        self.placing = Placing(session)
        self.comparing = Comparing(session)
        self.measuring = Measuring(self.sheet)
        self.build = BackgroundBuild(session.evaluate, lambda: self.drag.mode != "none")
        self.judged_hull = JudgedHull(lambda scene: session.evaluate(scene))
        self.along = AlongRange(lambda: self.drag.mode != "none" or self.best.looking is not None)
        self.files.fitting.workers = self.along.workers
        self.best = BestSearch(self.along.workers, lambda: self.drag.mode != "none")
        self.sure = KnownFigures(self.along.workers, self._hands_full)
        self.dialog = self.files.offer_recovery(session)
        session.notices.shown = self.files.kept_elsewhere(session)

    def open_other(self, dialog: Dialog | None) -> None:
        """After another file was opened, or the question that was asked instead: another boat is seen afresh."""
        self.dialog = dialog
        if dialog is not None and dialog.name != "recover":
            return
        self.selection.selected = self.placing.kind = None
        self.selection.tab = "findings"
        self.editor.water_typed = NOTHING_TYPED
        self.damage.close()
        self.measuring.begin(on=False)
        self.view_settings.show_boat(self.session.evaluation.layout.hull.outside.vertices)
        self.sheet.show_all()
        self.pattern.paper.show_all()
        self.build.forget()
        self.along.forget()
        self.best.forget()
        self.sure.forget()
        self.stage.choose(None)
        self.judged_hull.forget()
        self.station = 1
        self.tracing = Tracing()

    @property
    def shown(self) -> Evaluation:
        """The boat as she is looked at: after a stage of her refit, if one was chosen and nothing is dragged; else all of her."""
        drag, whole = self.drag.object_drag, self.session.evaluation
        return whole if drag is not None and drag.edit is not None else self.stage.of(whole)

    @property
    def at_hull(self) -> bool:
        """Whether the hull's place is shown."""
        return self.view_settings.look.arrangement == "hull"

    @property
    def half_entered(self) -> bool:
        """Whether no boat comes of the hull as she is typed: all figures are of another."""
        judged, hull = self.judged_hull.last, self.session.hull.hull
        stopped = judged is not None and judged.hull == hull and (judged.problem is not None or bool(judged.refused))
        return stopped and hull != self.session.scene.hull

    def follow_hull(self) -> None:
        """Have the hull judged if she has changed or is looked at, and show the layout in her once that is worked out."""
        session, judged = self.session, self.judged_hull
        if self.drag.object_drag is not None:
            return
        come = judged.newly_come()
        if come is not None:
            session.take_hull(come)
            self.view_settings.keep_boat(come.layout.hull.outside.vertices)
        if session.hull.hull != session.scene.hull or self.at_hull:
            judged.ask(session.hull.hull, session.evaluation, session.in_saved_hull)

    def build_ahead(self, rested: float) -> None:
        """Begin with the build of the layout as it stands once nobody has asked for anything for so long [s]."""
        wait = BUILD_AT_ONCE if self.view_settings.look.arrangement == "build" else BUILD_AFTER
        if rested >= wait and self.resting and self.drag.mode == "none":
            self.build.ahead(self.session.scene)

    def bands_ahead(self, rested: float) -> None:
        """Begin with how sure figures are, once such are in front and nobody has asked for anything for so long [s]."""
        in_front = self.selection.tab == "spaces" or (self.selection.tab == "findings" and bool(self.shown.limits))
        if rested >= BANDS_AFTER and in_front and self.resting and not self.session.filling and self.drag.mode == "none":
            self.sure.ahead(self.shown)

    def _hands_full(self) -> bool:
        """Whether something comes before bands: a hand that moves, a place that is looked for, curves that are on their way."""
        known = self.along.shown
        return self.drag.mode != "none" or self.best.looking is not None or (known is not None and bool(known.working))

    def drawn_boat(self) -> BoatShapes:
        """The shapes of the boat as she stands."""
        evaluation, damaged, look = self.shown, self.damaged(), self.view_settings.appearance
        case, late = None, self.still_to_follow()
        if late:
            look = replace(look, faded=late)
        if damaged is not None:
            bounds, evaluation = evaluation.layout.hull.outside.bounds, damaged.evaluation
            case = self._drawn_water.case_to_draw(damaged.case, bounds, moving=not self.resting)
        return shapes_now(evaluation, look, self.selection.selected, case)

    def damaged(self) -> DamagedCondition | None:
        """The boat with her holes, while something is dragged as she lay a moment before; None without any."""
        return self.damage.condition(self.figured)

    @property
    def figured(self) -> Evaluation | None:
        """While figures are still to follow what is dragged: those of a moment before, all of one place; else None."""
        figured = self.drag.figured
        return None if figured is None else self.session.renamed(figured)

    def still_to_follow(self) -> frozenset[ObjectRef]:
        """What is drawn where it lay a moment before, so faintly: people in a berth that has changed, a chain that is held."""
        figured, now, drag = self.figured, self.session.evaluation, self.drag.object_drag
        if figured is None or figured.contents is None:
            return frozenset()
        was = {berth.name: berth.outline for berth in figured.berths}
        same = {berth.name for berth in now.berths if np.array_equal(was.get(berth.name, ()), berth.outline)}
        late = [ObjectRef("person", person.name) for person in now.scene.people if person.berth not in same]
        held = [drag.grip.ref] if drag is not None and drag.grip.ref.kind == "chain" else []
        return frozenset([*late, *held])

    def boards(self) -> Boards | None:
        """The boards of the panel that is looked at; what takes longer is left out while something is dragged."""
        dragging = self.drag.object_drag is not None
        return self.pattern.boards(self.session.evaluation, self.selection.selected, resting=not dragging, still=self.resting)

    @property
    def under_drawings(self) -> bool:
        """Whether there are drawings for curves to stand under."""
        return self.view_settings.look.arrangement in ("both", "drawings")

    @property
    def curves_opened(self) -> bool:
        """Whether the curves along the selected part's range are shown: unasked only where there is room."""
        along = self.view_settings.look.along
        roomy = self.board[0] >= ROOMY[0] and self.board[1] >= ROOMY[1]
        return roomy if along is None else along

    def look_along(self) -> None:
        """Show what is known along the range of what is selected; not while something is dragged: its curves stay."""
        if self.drag.object_drag is None and self.under_drawings:
            self.along.look(self.shown, self.selection.selected, self.damage.holed)

    def work_along(self) -> None:
        """Nothing has moved for a while: go on with the places along the range that is shown."""
        if self.under_drawings and self.curves_opened and not self.session.filling:
            self.along.work()

    def goals_along(self) -> tuple[PlaceGoal, ...]:
        """What there may be most or least of along the range that is shown, what was chosen or is likeliest first.

        Nothing where it is the water that moves: she floats as she does, and not where it is best.
        """
        shown, evaluation = self.along.shown, self.shown
        if shown is None or shown.number.range.block == STATED_WATER:
            return ()
        fields = told_paths(shown.sweep(), [space.name for space in evaluation.layout.compartments])
        goals = place_goals(evaluation, [path for paths in fields for path in paths], self.damage.holed)
        return tuple(sorted(goals, key=lambda goal: goal.words != self.along.goal))

    def look_for_best(self) -> None:
        """Look for the best place along the range that is shown, in the layout as it stands."""
        shown, goals = self.along.shown, self.goals_along()
        if shown is not None and goals:
            question = replace(shown.question, scene=self.shown.scene)
            self.best.begin(shown, question, goals[0])

    def take_best(self) -> None:
        """Put the part at the best place once that is found, as one step; not in a layout that has become another meanwhile."""
        come = self.best.newly_come() if self.drag.mode == "none" else None
        if come is None:
            return
        session, known = self.session, come.known
        if come.answer is None:
            session.notices.warn(come.problem)
        elif not known.is_of(known.number, self.shown, known.question.holed):
            session.notices.warn("The layout was changed while the best place was looked for.", "Look for it again.")
        elif come.answer.best is not None:
            (value,) = come.answer.best.values
            place = range_value_words(known.number.range, value, session.scene.units)
            there = value == known.number.now(session.scene)
            if there or session.do(known.number.edit(session.scene, value)):
                amount = told(come.answer.path, come.answer.value, session.scene.units)
                session.notices.tell(f"{'Already at' if there else 'Put at'} {place}: {come.goal.words}, {amount}")

    def take_fitted(self) -> None:
        """Go on in the scene whose ready layout is fitted, unless what says so was left meanwhile."""
        if self.dialog is None or self.dialog.name != "fitting":
            self.files.fitting.leave()
            return
        come = self.files.take_fitted(self.session)
        if come is not None:
            self.open_other(come[0])

    def end_along(self) -> None:
        """The server ends, and with it what it has worked out by other processes."""
        self.best.stop()
        self.sure.stop()
        self.along.end()
        self.best.wait(LONGEST_END)
        self.sure.wait(LONGEST_END)
        # What the processes shared is given back when nothing holds it any more: an error that told of their end may.
        gc.collect()

    def follow_pointer(self) -> None:
        """Apply the newest move of the pointer; what it moves is selected."""
        self.session.take_bottles()
        self.take_best()
        self.take_fitted()
        self.follow_hull()
        self.drag.apply()
        drag = self.drag.object_drag
        # On paper the drawings' cut follows what is selected: it must not move under the pointer.
        if drag is not None and drag.edit is not None and not self.drag.on_paper:
            self.selection.selected = drag.grip.ref
