"""The pointer on the boat: pressed, moved and released, in the picture, in the drawings and on the pattern alike."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS
from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.mesh import Floats
from sketcher.model.errors import SketchError
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.contents_grip import grip_into
from sketcher.web.logic.drag.drag_evaluation import drag_evaluation, prepare_drag
from sketcher.web.logic.drag.following_figures import FollowingFigures
from sketcher.web.logic.drag.grips import (
    MOVED_IN,
    TIE_REACH,
    Grip,
    grip_on,
    in_whole_steps,
    moved_in_drawing,
    moved_in_picture,
    step,
    step_of,
)
from sketcher.web.logic.drag.handles import PartHandle
from sketcher.web.logic.drag.hit_testing import CompartmentWalls, Place, object_at, object_to_move
from sketcher.web.logic.drag.object_drag import ObjectDrag, drag_figures
from sketcher.web.logic.patterns.joint_edits import AXIS_OF, joint_grip
from sketcher.web.logic.session import Session
from sketcher.web.logic.view_settings import ViewSettings
from sketcher.web.state import CUT_AXES, CutName, DragFigure, Look
from sketcher.web.view.drawing_sheet import DrawingSheet
from sketcher.web.view.pattern_paper import PatternPaper
from sketcher.web.view.sheet.cut_places import cut_places
from sketcher.web.view.sheet.panes import KINDS, Pane
from sketcher.web.view.zoomed_paper import Paper

log = logging.getLogger(__name__)

Mode = Literal["none", "turn", "pan", "paper", "cut", "object"]
CLICK_REACH = 0.006
"""A pointer that moved less than this share of the picture has clicked, not dragged."""
CLICK_REACH_PAPER = 0.6
"""The same on paper [mm]."""


@dataclass(eq=False, repr=False)
class PointerDrag:
    """mode: what moves with the pointer; object_drag: the object, where one does; held: the key of the handle that it was taken
    hold of by, if by one; pressed: what was pressed on, for a click; beneath: on paper, all that lies there, the uppermost first.
    changed: called when figures of a drag have followed; without it none are left for later.
    """

    session: Session
    view_settings: ViewSettings
    sheet: DrawingSheet
    mode: Mode = "none"
    object_drag: ObjectDrag | None = None
    held: str = ""
    pressed: ObjectRef | None = None
    beneath: tuple[ObjectRef, ...] = ()
    pane: Pane | None = None
    changed: Callable[[], None] | None = None
    pressed_at: Place = (0.0, 0.0)
    _last: Place = (0.0, 0.0)
    _waiting: tuple[Place, bool] | None = None
    _paper: Paper | None = None
    _to_boat: Callable[[Place], Place] = lambda at: at
    _travelled: float = 0.0
    _figures: FollowingFigures | None = None
    _cut: tuple[CutName, Look] | None = None
    _held_at: Floats = field(default_factory=lambda: np.zeros(3))
    _walls: CompartmentWalls = field(default_factory=CompartmentWalls)

    def press_picture(self, boat: BoatShapes, at: Place, selected: ObjectRef | None, *, pan: bool, fine: bool) -> None:
        """Pressed in the picture (shares of it): an object is taken hold of, beside one the boat is turned.

        selected: what is moved rather than an opening before it. A click means what is hit.
        """
        self._begin(at, None, None, self.view_settings.pixels)
        self._walls = CompartmentWalls.of(boat)
        hit = object_at(boat, self.view_settings, at)
        self.pressed = hit[0] if hit else None
        hit = object_to_move(boat, self.view_settings, at, selected)
        if pan or (fine and self.pressed is None):
            self.mode = "pan"
        elif hit is not None and self._take(hit[0], self.view_settings.pixels(at), None, hit[1].point):
            self.mode = "object"
        else:
            self.mode = "turn"

    def press_handle(self, handle: PartHandle, at: Place, pane: Pane | None, beneath: Sequence[ObjectRef]) -> None:
        """Pressed on a handle: in the picture (shares of it), or in a drawing [mm]. A click means what lies beneath."""
        if pane is None:
            self._begin(at, None, None, self.view_settings.pixels)
        else:
            self._begin(at, self.sheet, pane, lambda at: self.sheet.boat_at(pane, at))
        self.pressed, self.held = next(iter(beneath), None), handle.place.key
        axes = None if pane is None else pane.placing.axes
        held = self._hold(handle.grip, self._to_boat(at), axes, tuple(handle.place.at.tolist()))
        self.mode = "object" if held else "turn" if pane is None else "paper"

    def press_drawing(self, pane: Pane | None, ref: ObjectRef | None, at: Place, selected: ObjectRef | None) -> None:
        """Pressed on the sheet of drawings [mm]: an object in a view is taken hold of, elsewhere the sheet is moved.

        selected: what the views may cut through.
        """
        self._begin(at, self.sheet, pane, (lambda at: self.sheet.boat_at(pane, at)) if pane is not None else lambda at: at)
        self.pressed = ref
        here = self._to_boat(at)
        held = False
        if ref is not None and pane is not None:
            cut = cut_places(self.session.evaluation, self.view_settings.look, selected)[pane.kind]
            seen = dict(zip(pane.placing.axes, here, strict=True))
            held = self._take(ref, here, pane.placing.axes, tuple(seen.get(axis, cut) for axis in "xyz"))
        self.mode = "object" if held else "paper"

    def press_cut(self, pane: Pane, name: CutName, at: Place) -> None:
        """Pressed on the mark of a drawing's cut in another drawing."""
        self._begin(at, self.sheet, pane, lambda at: at)
        self.pressed, self.mode, self._cut = None, "cut", (name, self.view_settings.look)

    def press_pattern(self, paper: PatternPaper, at: Place) -> None:
        """Pressed on the pattern's paper [mm]: a joint is taken hold of, elsewhere the paper is moved."""
        joint = paper.joint_at(at)
        self.pressed = None
        if joint is None or paper.boards is None:
            self._begin(at, paper, None, lambda at: at)
            self.mode = "paper"
            return
        board, number = joint
        self._begin(at, paper, None, lambda at: paper.boat_at(board, at))
        self.pressed = paper.boards.panel
        axes = "".join(AXIS_OF[direction] for direction in DIRECTIONS[paper.boards.panel.kind])
        self.object_drag = ObjectDrag(joint_grip(paper.boards, number), self.session.evaluation, self._to_boat(at), axes)
        self._figures, self.mode = None, "object"

    def _begin(self, at: Place, paper: Paper | None, pane: Pane | None, to_boat: Callable[[Place], Place]) -> None:
        """Pressed in the picture or on some paper; to_boat: what its places there are in the dragged object's figures."""
        self._last = self.pressed_at = at
        self._travelled = 0.0
        self._paper, self.pane, self._to_boat, self.held = paper, pane, to_boat, ""

    def _take(self, ref: ObjectRef, at: Place, axes: str | None, point: tuple[float, ...]) -> bool:
        """Take hold of an object at a point of the boat [m]; False for what does not move or is not seen to move here."""
        evaluation, hull = self.session.evaluation, self.session.evaluation.layout.hull
        near_x = point[0] if axes is None or "x" in axes else None
        try:
            if ref.kind in MOVED_IN:
                grip = grip_into(evaluation, ref)
            else:
                grip = grip_on(evaluation.scene, ref, near_x, (hull.x_forward, hull.x_after))
        except SketchError:
            return False
        return self._hold(grip, at, axes, point)

    def _hold(self, grip: Grip, at: Place, axes: str | None, point: tuple[float, ...]) -> bool:
        """Hold a grip at a point of the boat [m]; False for what is not seen to move here."""
        if self._moved(grip, (1.0, 1.0), axes) is None:
            return False
        self.object_drag = ObjectDrag(grip, self.session.evaluation, at, axes)
        self._figures, self._held_at = None, np.array(point)
        return True

    def _moved(self, grip: Grip, by: Place, axes: str | None) -> tuple[float, ...] | None:
        if axes is not None:
            return moved_in_drawing(grip, axes, by)
        return moved_in_picture(grip, self.view_settings.camera, by, self.view_settings.size)

    @property
    def at(self) -> Place:
        """Where the pointer is: in shares of the picture or in millimetres of a paper, by where it was pressed."""
        return self._last

    @property
    def on_paper(self) -> bool:
        """Whether it was pressed on a drawing or a pattern."""
        return self._paper is not None

    @property
    def views_now(self) -> tuple[Kind, ...]:
        """The views that follow at once: in a drag the one under the pointer, the others wait for it to rest."""
        if self.object_drag is None or self.object_drag.edit is None:
            return KINDS
        return (self.pane.kind,) if self.pane is not None else ()

    @property
    def figures(self) -> tuple[DragFigure, ...]:
        """What stands in the picture about the object that is dragged; nothing before it has moved."""
        drag = self.object_drag
        if drag is None or (drag.edit is None and not drag.problem):
            return ()
        return drag_figures(drag, self.session.evaluation)

    def move(self, at: Place, *, fine: bool) -> None:
        """The pointer moves; only the newest place is kept, and applied just before the next picture."""
        self._waiting = (at, fine)

    def prepare(self, ref: ObjectRef) -> None:
        """Get ready for an object to be dragged, if nothing is."""
        if self.object_drag is None:
            prepare_drag(self.session.evaluation, ref)

    def apply(self) -> None:
        """Do what the newest move asks. A failure ends the drag and is said on the page."""
        try:
            self._apply()
        except Exception:
            log.exception("the sketcher failed during a drag")
            self.escape()
            self.session.notices.fail()

    @property
    def figured(self) -> Evaluation | None:
        """While figures are still to follow what is dragged: those of a moment before, all of one place; else None."""
        return self._figures.last if self._figures is not None and self._figures.behind else None

    def rest(self) -> None:
        """Nothing has moved for a while: what is still to follow is wanted now."""
        if self._figures is not None and self._figures.behind:
            self._figures.hurry()

    def _stop_following(self) -> None:
        if self._figures is not None:
            self._figures.stop()
        self._figures = None

    def _apply(self) -> None:
        come = None if self._figures is None else self._figures.newly_come()
        if come is not None:
            self.session.show(come)
        if self._waiting is None:
            return
        (at, fine), self._waiting = self._waiting, None
        by = (at[0] - self._last[0], at[1] - self._last[1])
        self._travelled = max(self._travelled, abs(at[0] - self.pressed_at[0]), abs(at[1] - self.pressed_at[1]))
        self._last = at
        match self.mode:
            case "turn":
                self.view_settings.turn(by)
            case "pan":
                self.view_settings.pan(by)
            case "paper":
                (self._paper or self.sheet).pan(by)
                self._last = (at[0] - by[0], at[1] - by[1])
            case "cut" if self._cut is not None and self.pane is not None and self._travelled >= CLICK_REACH_PAPER:
                place = self.sheet.boat_at(self.pane, at)[self.pane.placing.axes.index(CUT_AXES[self._cut[0]])]
                self.view_settings.draw_at(self._cut[0], place, step(self.session.scene.units, fine=fine))
            case "object" if self.object_drag is not None and self._travelled >= self._reach:
                self._drag_to(self.object_drag, at, fine=fine)

    def _drag_to(self, drag: ObjectDrag, at: Place, *, fine: bool) -> None:
        here = self._to_boat(at)
        by = (here[0] - drag.begun_at[0], here[1] - drag.begun_at[1])
        moved = self._moved(drag.grip, by, drag.axes)
        if moved is None:
            return
        if drag.grip.lands is None:
            size = step_of(drag.grip, self.session.scene.units, fine=fine)
            to = in_whole_steps(drag.grip, moved, size, 0.0 if fine else TIE_REACH)
        else:
            to = drag.grip.lands(*self._line_of_sight(drag, at, moved))
        if to == drag.to:
            return
        if self._figures is None:
            grip, whole = drag.grip, self.session.figures
            evaluation = drag_evaluation(drag.started, grip.ref, whole, divides=grip.divides)
            self._figures = FollowingFigures(evaluation, drag.started, self.changed)
        drag.problem = self.session.preview(drag.grip.edit(to), drag.edit, self._figures.evaluate)
        if not drag.problem:
            drag.to = to

    def _line_of_sight(self, drag: ObjectDrag, at: Place, moved: tuple[float, ...]) -> tuple[Floats, Floats]:
        """Where the line of sight under the pointer ends [m], and the direction to the eye; in a drawing in its plane."""
        if drag.axes is not None:
            return self._held_at + moved, np.array([float(axis not in drag.axes) for axis in "xyz"])
        return self._walls.line_of_sight(self.view_settings, at)

    @property
    def _reach(self) -> float:
        """How far a click may stray: in shares of the picture, or in millimetres of a paper."""
        return CLICK_REACH if self._paper is None else CLICK_REACH_PAPER

    def release(self) -> ObjectRef | None:
        """Released: a drag becomes one step, a click changes nothing. What was dragged or clicked, to be selected."""
        self.apply()
        drag, self.object_drag = self.object_drag, None
        self._stop_following()
        clicked = self.mode != "pan" and self._travelled < self._reach and (drag is None or drag.edit is None)
        self.mode, self.pane = "none", None
        if drag is None:
            return self.pressed if clicked else None
        moved = drag.edit is not None
        self.session.commit() if moved else self.session.abort(drag.started)
        if drag.problem:
            self.session.notices.warn(drag.problem)
        return drag.grip.ref if moved else self.pressed if clicked else None

    def let_go(self) -> None:
        """End a drag as it stands, before the scene is changed in another way: by a key, by another page."""
        if self.object_drag is not None:
            self.release()

    def escape(self) -> bool:
        """Put back what is being dragged; False where nothing was pressed."""
        drag, self.object_drag = self.object_drag, None
        if self.mode == "cut" and self._cut is not None:
            self.view_settings.look = self._cut[1]
        held, self.mode = self.mode != "none", "none"
        self._waiting = None
        self._stop_following()
        if drag is not None:
            self.session.abort(drag.started)
        return held
