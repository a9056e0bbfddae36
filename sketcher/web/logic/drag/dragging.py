"""Hands on the boat: pressing, moving, letting go, in the picture and in the drawings alike; and nudging by keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from sketcher.analysis.cut.boards.stated_joints import WAYS
from sketcher.geometry.mesh import Floats
from sketcher.model.errors import SketchError
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.web.logic.drag.contents_grip import grip_into
from sketcher.web.logic.drag.drag_evaluation import Quick
from sketcher.web.logic.drag.grips import MOVED_IN, Grip, grip_on, moved_in_drawing, moved_in_picture, snapped, step
from sketcher.web.logic.drag.stroke import Stroke, under_hand
from sketcher.web.logic.patterns import AXIS_OF, joint_grip
from sketcher.web.logic.session import Evaluate, Session
from sketcher.web.logic.view_settings import Looking
from sketcher.web.state import HandLine, Notice, ObjectRef
from sketcher.web.view.boat_shapes import BoatShapes
from sketcher.web.view.cut_places import cut_places
from sketcher.web.view.drawing_sheet import KINDS, DrawingSheet, Pane
from sketcher.web.view.pattern_paper import PatternPaper
from sketcher.web.view.picking import STROKE_REACH, CutPlane, Hit, pick
from sketcher.web.view.shapes import Shapes
from sketcher.web.view.zoomed_paper import Paper

Mode = Literal["none", "turn", "pan", "sheet", "stroke"]
Place = tuple[float, float]
CLICK_REACH = 0.006
"""A hand that moved less than this share of the picture has clicked, not dragged."""
BEFORE_WALL = 0.005
"""[m] What a hand points to lies so far before the wall that one sees: in the space, not in the wall."""
FAR_OFF = np.full(3, 1e6)
"""[m] Where a line of sight ends that meets nothing of the boat."""
SQUARELY = 3.0
"""[pixels] A press so near to an opening's line means the opening; further off its panel may be meant."""
CLICK_REACH_SHEET = 0.6
"""The same on the sheet of drawings [mm]."""


@dataclass(eq=False, repr=False)
class Dragging:
    """mode: what the hand does; waiting: the newest place it was at, applied just before the next picture."""

    session: Session
    looking: Looking
    sheet: DrawingSheet
    quick: Quick
    mode: Mode = "none"
    stroke: Stroke | None = None
    pressed: ObjectRef | None = None
    pane: Pane | None = None
    pressed_at: Place = (0.0, 0.0)
    _last: Place = (0.0, 0.0)
    _waiting: tuple[Place, bool] | None = None
    _paper: Paper | None = None
    _to_boat: Callable[[Place], Place] = lambda at: at
    _travelled: float = 0.0
    _figures: Evaluate | None = None
    _held_at: Floats = field(default_factory=lambda: np.zeros(3))
    _walls: Shapes = field(default_factory=Shapes)
    _planes: tuple[CutPlane, ...] = ()

    def hit(
        self, boat: BoatShapes, at: Place, shapes: Shapes | None = None, reach: float = STROKE_REACH
    ) -> tuple[ObjectRef, Hit] | None:
        """What is under a place in the picture (shares of it). shapes: what of the boat counts, None: all; reach [pixels]."""
        looking = self.looking
        found = pick(shapes or boat.shapes, looking.camera, looking.size, looking.pixels(at), boat.planes, reach)
        return None if found is None else (boat.part(found.owner), found)

    def _meant(self, boat: BoatShapes, at: Place, selected: ObjectRef | None) -> tuple[ObjectRef, Hit] | None:
        """What a press takes hold of: an opening if selected, or hit squarely with nothing selected; else what is behind."""
        found = self.hit(boat, at)
        if found is None or found[0].kind != "opening" or found[0] == selected:
            return found
        squarely = self.hit(boat, at, reach=SQUARELY) if selected is None else None
        if squarely is not None and squarely[0] == found[0]:
            return found
        strokes = boat.shapes.strokes
        others = {key: line for key, line in strokes.items() if line.owner < 0 or boat.part(line.owner).kind != "opening"}
        return self.hit(boat, at, Shapes(surfaces=boat.shapes.surfaces, strokes=others))

    def press_picture(self, boat: BoatShapes, at: Place, selected: ObjectRef | None, *, pan: bool, fine: bool) -> None:
        """A hand comes down on the picture: on a part it takes hold, beside one it turns the boat; a click means what is hit.

        selected: what is moved rather than an opening before it.
        """
        self._begin(at, None, None, self.looking.pixels)
        self._walls = Shapes(surfaces={key: surface for key, surface in boat.shapes.surfaces.items() if key.startswith("space/")})
        self._planes = boat.planes
        found = self.hit(boat, at)
        self.pressed = found[0] if found else None
        found = self._meant(boat, at, selected)
        if pan or (fine and self.pressed is None):
            self.mode = "pan"
        elif found is not None and self._take(found[0], self.looking.pixels(at), None, found[1].point):
            self.mode = "stroke"
        else:
            self.mode = "turn"

    def press_drawing(
        self, sheet: DrawingSheet, pane: Pane | None, part: ObjectRef | None, at: Place, selected: ObjectRef | None
    ) -> None:
        """A hand comes down on the sheet of drawings [mm]: on a part in a view it takes hold, elsewhere it moves the sheet.

        selected: what the views may cut through.
        """
        self._begin(at, sheet, pane, (lambda at: sheet.boat_at(pane, at)) if pane is not None else lambda at: at)
        self.pressed = part
        here = self._to_boat(at)
        held = False
        if part is not None and pane is not None:
            cut = cut_places(self.session.evaluation, self.looking.look, selected)[pane.kind]
            seen = dict(zip(pane.placing.axes, here, strict=True))
            held = self._take(part, here, pane.placing.axes, tuple(seen.get(axis, cut) for axis in "xyz"))
        self.mode = "stroke" if held else "sheet"

    def press_pattern(self, paper: PatternPaper, at: Place) -> None:
        """A hand comes down on the pattern's paper [mm]: on a joint it takes hold, elsewhere it moves the paper."""
        found = paper.joint_at(at)
        self.pressed = None
        if found is None or paper.boards is None:
            self._begin(at, paper, None, lambda at: at)
            self.mode = "sheet"
            return
        board, number = found
        self._begin(at, paper, None, lambda at: paper.boat_at(board, at))
        self.pressed = paper.boards.panel
        axes = "".join(AXIS_OF[way] for way in WAYS[paper.boards.panel.kind])
        self.stroke = Stroke(joint_grip(paper.boards, number), self.session.evaluation, self._to_boat(at), axes)
        self._figures, self.mode = None, "stroke"

    def _begin(self, at: Place, paper: Paper | None, pane: Pane | None, to_boat: Callable[[Place], Place]) -> None:
        """A hand has come down, in the picture or on some paper; to_boat: what its places there are in the stroke's figures."""
        self._last = self.pressed_at = at
        self._travelled = 0.0
        self._paper, self.pane, self._to_boat = paper, pane, to_boat

    def views_now(self) -> tuple[Kind, ...]:
        """The views that follow at once: in a drag the one under the hand, the others wait for it to rest."""
        if self.stroke is None or self.stroke.edit is None:
            return KINDS
        return (self.pane.kind,) if self.pane is not None else ()

    def _take(self, part: ObjectRef, at: Place, axes: str | None, point: tuple[float, ...]) -> bool:
        """Take hold of a part at a point of the boat [m]; False for what does not move or is not seen to move here."""
        hull = self.session.evaluation.layout.hull
        near_x = point[0] if axes is None or "x" in axes else None
        try:
            if part.kind in MOVED_IN:
                grip = grip_into(self.session.evaluation, part)
            else:
                grip = grip_on(self.session.scene, part, near_x, (hull.x_forward, hull.x_after))
        except SketchError:
            return False
        if self._moved(grip, (1.0, 1.0), axes) is None:
            return False
        self.stroke = Stroke(grip, self.session.evaluation, at, axes)
        self._figures, self._held_at = None, np.array(point)
        return True

    def axis_of(self, part: ObjectRef) -> str | None:
        """The axis a part moves along in the first place; None for what does not move."""
        try:
            return grip_on(self.session.scene, part).axes[0]
        except SketchError:
            return None

    def _moved(self, grip: Grip, by: Place, axes: str | None) -> tuple[float, ...] | None:
        if axes is not None:
            return moved_in_drawing(grip, axes, by)
        return moved_in_picture(grip, self.looking.camera, by, self.looking.size)

    @property
    def place(self) -> Place:
        """Where the hand is: in shares of the picture or in millimetres of a paper, by where it came down."""
        return self._last

    @property
    def on_paper(self) -> bool:
        """Whether the hand came down on a drawing or a pattern."""
        return self._paper is not None

    def move(self, at: Place, *, fine: bool) -> None:
        """The hand moves; only the newest place is kept."""
        self._waiting = (at, fine)

    def apply(self) -> bool:
        """Do what the newest move asks; whether anything changed."""
        if self._waiting is None:
            return False
        (at, fine), self._waiting = self._waiting, None
        by = (at[0] - self._last[0], at[1] - self._last[1])
        self._travelled = max(self._travelled, abs(at[0] - self.pressed_at[0]), abs(at[1] - self.pressed_at[1]))
        self._last = at
        match self.mode:
            case "turn":
                self.looking.turn(by)
            case "pan":
                self.looking.pan(by)
            case "sheet":
                (self._paper or self.sheet).pan(by)
                self._last = (at[0] - by[0], at[1] - by[1])
            case "stroke":
                return self._drag_to(at, fine=fine)
            case _:
                return False
        return True

    def _drag_to(self, at: Place, *, fine: bool) -> bool:
        stroke = self.stroke
        if stroke is None or self._travelled < self._reach:
            return False
        here = self._to_boat(at)
        by = (here[0] - stroke.begun_at[0], here[1] - stroke.begun_at[1])
        moved = self._moved(stroke.grip, by, stroke.axes)
        if moved is None:
            return False
        if stroke.grip.lands is None:
            to = snapped(stroke.grip, moved, step(self.session.scene.units, fine=fine))
        else:
            to = stroke.grip.lands(*self._sight(at, moved))
        if to == stroke.to:
            return False
        if self._figures is None:
            self._figures = self.quick.figures(stroke.started, stroke.grip.part, divides=stroke.grip.divides)
        problem = self.session.preview(stroke.grip.edit(to), stroke.edit, self._figures)
        stroke.problem = problem
        if not problem:
            stroke.to = to
        return True

    def _sight(self, at: Place, moved: tuple[float, ...]) -> tuple[Floats, Floats]:
        """Where a line of sight under the hand ends [m], just before the wall of the space one looks into, and the way to the
        eye; in a drawing in its plane."""
        if self.stroke is not None and self.stroke.axes is not None:
            return self._held_at + moved, np.array([float(axis not in self.stroke.axes) for axis in "xyz"])
        looking = self.looking
        eye = looking.camera.axes()[2]
        found = pick(self._walls, looking.camera, looking.size, looking.pixels(at), self._planes)
        return (FAR_OFF if found is None else np.array(found.point) + BEFORE_WALL * eye), eye

    @property
    def _reach(self) -> float:
        """How far a click may stray: in shares of the picture, or in millimetres of the sheet."""
        return CLICK_REACH if self._paper is None else CLICK_REACH_SHEET

    def hand(self) -> tuple[HandLine, ...]:
        """What stands under the hand."""
        if self.stroke is None or (self.stroke.edit is None and not self.stroke.problem):
            return ()
        return under_hand(self.stroke, self.session.evaluation)

    def release(self) -> ObjectRef | None:
        """The hand lets go: a drag becomes one step; a click gives back what was clicked."""
        self.apply()
        stroke, self.stroke = self.stroke, None
        clicked = self.mode != "pan" and self._travelled < self._reach and (stroke is None or stroke.edit is None)
        self.mode, self.pane = "none", None
        if stroke is None:
            return self.pressed if clicked else None
        moved = stroke.edit is not None
        self.session.commit() if moved else self.session.abort(stroke.started)
        if stroke.problem:
            self.session.notice = Notice(text=stroke.problem, refused=True)
        return stroke.grip.part if moved else self.pressed if clicked else None

    def escape(self) -> bool:
        """Put back what is being dragged; False where nothing was."""
        stroke, self.stroke = self.stroke, None
        held, self.mode = self.mode != "none", "none"
        self._waiting = None
        if stroke is not None:
            self.session.abort(stroke.started)
        return held


ACROSS, ALONG, UP = (
    {"left": -1.0, "right": 1.0, "down": -1.0, "up": 1.0},
    {"left": -1.0, "right": 1.0},
    {"down": -1.0, "up": 1.0},
)
NUDGES: dict[str, tuple[dict[str, float], ...]] = {
    "x": (ALONG,),
    "y": (ACROSS,),
    "z": (UP,),
    "xy": (ALONG, UP),
    "xz": (ALONG, UP),
    "yz": (ALONG, UP),
    "xyz": (ALONG, {}, UP),
}
"""What an arrow key does along each of a grip's axes: as in profile and plan, the bow to the left and starboard up."""


def nudge(session: Session, part: ObjectRef, towards: str, *, fine: bool) -> None:
    """Move a part one step by an arrow key, where it moves that way."""
    try:
        grip = grip_on(session.scene, part)
    except SketchError as problem:
        session.refuse(problem)
        return
    size = step(session.scene.units, fine=fine)
    moved = tuple(ways.get(towards, 0.0) * size for ways in NUDGES[grip.axes])
    if any(moved):
        session.do(grip.edit(snapped(grip, moved, size)))
