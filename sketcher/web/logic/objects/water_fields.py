"""The waterline as boxes of its own: two marks, heights or freeboards, and the heel; one mark may be typed before the other."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.analysis.afloat.waterplane import freeboards_at
from sketcher.analysis.evaluation import Evaluation
from sketcher.model.edits.actions import SetSceneValue
from sketcher.model.edits.typed_input import typed_length
from sketcher.model.errors import SketchError
from sketcher.model.scene import Waterline
from sketcher.model.units import format_length, format_number, parse_number, tape_step
from sketcher.web.logic.session import Session
from sketcher.web.typed_state import FieldRow

HEIGHTS, FREEBOARDS = "heights", "freeboards"
MARK_KEYS = ("stated", "heel", "bow", "stern")


@dataclass(frozen=True, slots=True)
class WaterlineMarks:
    """What is stated of the waterline, or typed of it so far. by: heights or freeboards; bow, stern [m]; heel [deg]."""

    by: str = HEIGHTS
    bow: float | None = None
    stern: float | None = None
    heel: float = 0.0

    def waterline(self) -> Waterline | None:
        """The waterline so stated; None while a mark is missing."""
        if self.bow is None or self.stern is None:
            return None
        if self.by == HEIGHTS:
            return Waterline(forward=self.bow, after=self.stern, heel=self.heel)
        return Waterline(bow_freeboard=self.bow, stern_freeboard=self.stern, heel=self.heel)


NOTHING_TYPED = WaterlineMarks()


def _stated(water: Waterline | None, typed: WaterlineMarks) -> WaterlineMarks:
    """What the scene states; where it states nothing, what was typed so far."""
    if water is None:
        return typed
    if water.bow_freeboard is not None:
        return WaterlineMarks(FREEBOARDS, water.bow_freeboard, water.stern_freeboard, water.heel)
    return WaterlineMarks(HEIGHTS, water.forward, water.after, water.heel)


def water_rows(evaluation: Evaluation, typed: WaterlineMarks) -> tuple[FieldRow, ...]:
    """The boxes; a hull that was measured only in part has no freeboard at the stern."""
    scene = evaluation.scene
    marks, units = _stated(scene.waterline, typed), scene.units
    what = "water at the {}" if marks.by == HEIGHTS else "{} freeboard"
    bow, stern = ("" if mark is None else format_length(mark, units) for mark in (marks.bow, marks.stern))
    ways = (HEIGHTS,) if scene.hull.open_aft else (HEIGHTS, FREEBOARDS)
    hint = "Above the base line, at the two ends of the hull."
    if marks.by == FREEBOARDS:
        hint = "Plumb from the water to the deck's edge: at the stem, and at the transom's corner."
    if bool(bow) != bool(stern):
        hint = f"Give the other one too. {hint}"
    return (
        FieldRow(key="stated", word="waterline by", text=marks.by, options=ways),
        FieldRow(key="heel", word="heel to starboard, °", text=format_number(marks.heel)),
        FieldRow(key="bow", word=f"{what.format('bow')}, {units}", text=bow),
        FieldRow(key="stern", word=f"{what.format('stern')}, {units}", text=stern, hint=hint),
    )


def set_mark(session: Session, typed: WaterlineMarks, key: str, text: str) -> WaterlineMarks:
    """Take what was typed in a box: an edit of the scene once both marks are there; gives what is typed but not stated yet.

    Raises SketchError where the text is no such value.
    """
    water = session.scene.waterline
    marks = _changed(session.evaluation, _stated(water, typed), key, text.strip())
    wanted = marks.waterline()
    if wanted is None and water is None:
        return marks
    if not session.do(SetSceneValue("waterline", wanted)):
        return typed
    return marks if wanted is None else WaterlineMarks(by=marks.by)


def _changed(evaluation: Evaluation, marks: WaterlineMarks, key: str, text: str) -> WaterlineMarks:
    units = evaluation.scene.units
    if key == "stated":
        return _by(evaluation, marks, text)
    if key == "heel":
        heel = parse_number(text.removesuffix("°").replace(",", ".")) if text else 0.0
        if heel is None:
            raise SketchError(f"`{text}` is no angle", "Write degrees to starboard, such as 1.5; to port with a minus.")
        return replace(marks, heel=heel)
    mark = typed_length(text, units) if text else None
    return replace(marks, bow=mark) if key == "bow" else replace(marks, stern=mark)


def _by(evaluation: Evaluation, marks: WaterlineMarks, by: str) -> WaterlineMarks:
    """The same water stated in another way, to a whole step of a tape; what is not stated yet is left out."""
    water = evaluation.water
    if by not in (HEIGHTS, FREEBOARDS):
        raise SketchError(f"a waterline is not stated by {by}", "Choose heights or freeboards.")
    if by == marks.by or water is None:
        return WaterlineMarks(by=by, heel=marks.heel) if by != marks.by else marks
    heights = (water.forward, water.after)
    bow, stern = heights if by == HEIGHTS else freeboards_at(evaluation.layout.hull, water)
    step = tape_step(evaluation.scene.units)
    return WaterlineMarks(by, round(bow / step) * step, round(stern / step) * step, marks.heel)
