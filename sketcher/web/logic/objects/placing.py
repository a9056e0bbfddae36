"""What was chosen to be added and is not placed yet: where it would go, and what it would change."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.results import BerthFigures, Layout
from sketcher.analysis.spaces.drag.name_tracking import under_their_names
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.edits.actions import Add
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectKind, ObjectRef
from sketcher.outputs.wording.quantities import length_with_unit, litres
from sketcher.outputs.wording.sentences import capitalized
from sketcher.web.logic.drag.grips import MOVED_IN, grip_on, step
from sketcher.web.logic.drag.object_drag import changed_berths, place_words
from sketcher.web.logic.objects.ghosts import berth_as_placed, cushion, ghost_of
from sketcher.web.logic.objects.new_objects import Point, middle, new_object
from sketcher.web.logic.session import Session
from sketcher.web.state import DragFigure, Ghost

STEPS_AT_ONCE = 10
"""An arrow key moves what is not placed yet by so many of its steps: it has all of the boat to cross."""
ARROWS: dict[str, tuple[str, float]] = {
    "left": ("across", -1.0),
    "right": ("across", 1.0),
    "down": ("up", -1.0),
    "up": ("up", 1.0),
}
AXES = {"bulkhead": "x ", "partition": "xy"}
"""The boat's axes along which arrow keys move a kind, to the right and up; `xz` for the others."""
SIDES = {
    "bulkhead": (("forward", "forward of it"), ("after", "aft of it")),
    "partition": (("port", "to port"), ("starboard", "to starboard")),
    "lid": (("top", "over it"), ("under", "under it")),
}
"""The faces of a panel, and how a space on that side is told of."""
HOW = "Click or Enter places it, arrow keys move it, Escape leaves it."


@dataclass(frozen=True, eq=False)
class WouldBe:
    """The object that would be added, the scene with it, and its outline; of one that cannot be here only what is wrong.

    berth: the figures of a berth.
    """

    ghost: Ghost = field(default_factory=Ghost)
    item: Any = None
    scene: Scene | None = None
    problem: str = ""
    berth: BerthFigures | None = None


@dataclass(eq=False, repr=False)
class Placing:
    """kind: of what is to be placed, None: nothing is; at, on: where it is pointed to [m], and what is there.

    fine: in small steps; by_pointer: the pointer moved it last; pressed: the pointer is down, to place it when it is lifted.
    """

    session: Session
    kind: ObjectKind | None = None
    at: Point = (0.0, 0.0, 0.0)
    on: ObjectRef | None = None
    fine: bool = False
    by_pointer: bool = False
    pressed: bool = False
    _made: tuple[Any, WouldBe] | None = None
    _laid: tuple[WouldBe, Layout | str] | None = None

    def begin(self, kind: ObjectKind | None, selected: ObjectRef | None) -> None:
        """Choose what to place, None: nothing; it waits in or on what is selected, else a third of her length aft."""
        self.kind, self.at, self.on = kind, middle(self.session.evaluation), selected
        self.fine = self.by_pointer = self.pressed = False

    def point(self, at: Point, on: ObjectRef | None, *, fine: bool) -> None:
        """The pointer shows another place."""
        self.at, self.on, self.fine, self.by_pointer = at, on, fine, True

    def nudge(self, towards: str, *, fine: bool) -> None:
        """An arrow key moves it: what goes into a space or a berth, to the next one."""
        self.by_pointer = self.fine = False
        if self.kind in MOVED_IN:
            self._next_home(-1 if towards in ("left", "down") else 1)
            return
        which, sign = ARROWS[towards]
        axis = self._axes()[0 if which == "across" else 1]
        size = step(self.session.scene.units, fine=False) * (1 if fine else STEPS_AT_ONCE)
        self.at = tuple(value + sign * size * (letter == axis) for letter, value in zip("xyz", self.at, strict=True))  # type: ignore[assignment]

    def _axes(self) -> str:
        item = self.would_be().item
        if self.kind == "opening" and item is not None:
            kinds = {shape.name: shape.kind for shape in self.session.evaluation.layout.panels}
            return {"bulkhead": "yz", "partition": "xz"}.get(kinds.get(item.through, ""), "xy")
        return AXES.get(self.kind or "", "xz")

    def _next_home(self, by: int) -> None:
        """The next berth or space aft of the present one, or forward of it."""
        evaluation, item = self.session.evaluation, self.would_be().item
        if self.kind == "person":
            homes = [ObjectRef("berth", berth.name) for berth in evaluation.scene.berths]
        else:
            spaces = sorted(evaluation.layout.compartments, key=lambda space: space.centroid[0])
            homes = [ObjectRef("compartment", space.name) for space in spaces]
        now = getattr(item, "berth", None) or getattr(item, "space", None)
        names = [home.name for home in homes]
        if homes:
            self.on = homes[(names.index(now) + by) % len(homes)] if now in names else homes[0]

    def would_be(self) -> WouldBe:
        """What would be added as things stand, made anew only when any of them has changed."""
        evaluation = self.session.evaluation
        made_of = (evaluation, self.kind, self.at, self.on, self.fine)
        if self._made is None or self._made[0] != made_of:
            kind = self.kind
            made = WouldBe() if kind is None else _would_be(evaluation, kind, self.at, self.on, fine=self.fine)
            self._made = made_of, made
        return self._made[1]

    def place(self) -> ObjectRef | None:
        """Add it as one step; None where that was refused, and it goes on waiting. Raises SketchError where it cannot be here."""
        would_be, kind = self.would_be(), self.kind
        if kind is None:
            return None
        if would_be.item is None:
            new_object(self.session.evaluation, kind, self.at, self.on, fine=self.fine)
            raise SketchError(would_be.problem)
        if not self.session.do(Add(would_be.item)):
            return None
        self.kind = None
        return ObjectRef(kind, would_be.item.name)

    def figures(self, *, resting: bool) -> tuple[DragFigure, ...]:
        """What it would be and where, then what it changes. resting: also the litres on either side of it, which take longer."""
        would_be, kind = self.would_be(), self.kind
        if kind is None:
            return ()
        if would_be.item is None or would_be.scene is None:
            return (DragFigure(would_be.problem, kind),)
        lead = _lead(would_be.scene, ObjectRef(kind, would_be.item.name))
        rows = _tied(would_be, self.session.evaluation)
        if not would_be.ghost.faces and not would_be.ghost.lines and kind != "part":
            rows.append(DragFigure("nothing of it is in the hull", ""))
        elif kind in PANEL_KINDS:
            rows += self._either_side(would_be, kind) if resting else [DragFigure(word, "…") for _, word in SIDES[kind]]
        return (lead, *rows, DragFigure(HOW, ""))

    def _either_side(self, would_be: WouldBe, kind: str) -> list[DragFigure]:
        """The litres that the panel would have on either side, and the berths it would shorten, by a layout of its own."""
        if self._laid is None or self._laid[0] is not would_be:
            self._laid = would_be, _laid_out(would_be, self.session.evaluation)
        layout = self._laid[1]
        if isinstance(layout, str):
            return [DragFigure(layout, "")]
        name, known = would_be.item.name, {space.name for space in self.session.evaluation.layout.compartments}
        beside = [[space for space in layout.compartments if (name, face) in space.bounds] for face, _ in SIDES[kind]]
        round_it = {space.name for space in beside[0]} & {space.name for space in beside[1]}
        words = [(space, word) for spaces, (_, word) in zip(beside, SIDES[kind], strict=True) for space in spaces]
        told = {space.name: (space, "goes round it" if space.name in round_it else word) for space, word in words}
        rows = [
            DragFigure(f"{word}: {space.name}" if space.name in known else word, f"{litres(space.volume)} L")
            for space, word in told.values()
        ]
        return rows + changed_berths(self.session.evaluation.berths, berth_figures(layout)[0], layout.scene.units)


def _would_be(evaluation: Evaluation, kind: ObjectKind, at: Point, on: ObjectRef | None, *, fine: bool) -> WouldBe:
    try:
        item = new_object(evaluation, kind, at, on, fine=fine)
        scene = Add(item).apply(evaluation.scene)
        if kind == "berth":
            berth = berth_as_placed(scene, evaluation, item.name)
            return WouldBe(cushion(berth), item, scene, berth=berth)
        return WouldBe(ghost_of(scene, evaluation, item), item, scene)
    except SketchError as problem:
        return WouldBe(problem=f"{capitalized(problem.message)}. {problem.remedy}".strip())


def _laid_out(would_be: WouldBe, evaluation: Evaluation) -> Layout | str:
    """The layout with the object in it, its spaces under the names that they would keep; what is wrong where there is none."""
    assert would_be.scene is not None
    try:
        return under_their_names(evaluation.layout, lay_out(would_be.scene, evaluation.layout.hull))
    except SketchError as problem:
        return capitalized(problem.message)


def _lead(scene: Scene, ref: ObjectRef) -> DragFigure:
    """What it is, and the figure that says where it would be."""
    try:
        grip = grip_on(scene, ref)
    except SketchError:
        return DragFigure(f"new {ref.kind}", ref.name)
    return DragFigure(f"new {ref.kind}, {grip.what}", place_words(grip, grip.values, scene.units))


def _tied(would_be: WouldBe, evaluation: Evaluation) -> list[DragFigure]:
    """What it is tied to or lies in, and how large it is."""
    item, units = would_be.item, evaluation.scene.units
    rows = []
    if hasattr(item, "start"):
        rows.append(DragFigure(f"{item.start} to {item.end}", ""))
    if getattr(item, "size", None) is not None and hasattr(item, "through"):
        rows.append(DragFigure(f"through {item.through}", " × ".join(length_with_unit(side, units) for side in item.size)))
    elif hasattr(item, "through"):
        rows.append(DragFigure(f"through {item.through}", f"{length_with_unit(item.diameter, units)} across"))
    if getattr(item, "under", None) or getattr(item, "lies_on", None):
        word, lid = ("under", item.under) if hasattr(item, "under") else ("on", item.lies_on)
        rows.append(DragFigure(f"{word} {lid}", ""))
    if would_be.berth is not None:
        length = would_be.berth.length
        rows.append(DragFigure("clear length", "cannot be known" if length is None else length_with_unit(length, units)))
    home = getattr(item, "berth", None) or getattr(item, "space", None)
    space = next((space for space in evaluation.layout.compartments if space.name == home), None)
    if home:
        rows.append(DragFigure(f"in {home}", "" if space is None else f"{litres(space.volume)} L"))
    return rows
