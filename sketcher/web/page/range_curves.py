"""The curves along the selected part's range as the page shows them: drawn anew only when there are new rows or another width."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.analysis.places.rows import Sweep
from sketcher.outputs.drawing.svg import FACE, items_as_svg
from sketcher.outputs.places.curve_field import Axis
from sketcher.outputs.places.range_fields import (
    RangeField,
    forbidden_stretches,
    range_fields,
    screen_axis,
    stretch_words,
    told_paths,
    window_stretches,
)
from sketcher.outputs.places.sweep_table import excluded_words, range_value_words, relaxation_words
from sketcher.web.curves_state import NO_CURVES, CurvesState, RangeFigure
from sketcher.web.logic.places.along_range import KnownPlaces
from sketcher.web.logic.workspace import Workspace
from sketcher.web.view.zoomed_paper import PIXELS_PER_MM

LEAST_WIDE, APART, EDGES = 280.0, 12.0, 20.0
"""Pixels: a field's least width, room between two, and at the strip's sides; as the style sheet has them."""
TALL = 22.0
"""[mm] A field's height."""


@dataclass(eq=False, repr=False)
class RangeCurves:
    """What was drawn last, kept while it is of the same rows."""

    workspace: Workspace
    _drawn: CurvesState = NO_CURVES
    _drawn_of: tuple[object, ...] = ()

    def state(self) -> CurvesState:
        """The curves as they stand, with the place as it now is."""
        workspace, along = self.workspace, self.workspace.along
        workspace.look_along()
        if not (along.met and workspace.under_drawings):
            return NO_CURVES
        shown, opened = along.shown, workspace.curves_opened
        if shown is None or not opened:
            return CurvesState(there=True, opened=opened, part=along.part if along.numbers else None)
        evaluation, width = workspace.shown, workspace.sheet.size[0]
        of = shown, len(shown.rows), width, evaluation.scene.units, along.chosen, along.part, along.goal
        dragging = workspace.drag.object_drag is not None
        if of != self._drawn_of and not (dragging and self._drawn_of[:1] == of[:1]):
            self._drawn_of = of
            spaces = [space.name for space in evaluation.layout.compartments]
            drawn = _drawn(shown, width * PIXELS_PER_MM, evaluation.scene.units, spaces)
            self._drawn = replace(drawn, goals=tuple(goal.words for goal in workspace.goals_along()))
        place, share = _place(shown, workspace)
        return replace(
            self._drawn,
            part=along.part,
            moved=shown.number.range.name,
            numbers=tuple(number.word for number in along.numbers),
            chosen=along.chosen,
            problem=along.problem,
            place=place,
            share=share,
            looking="" if workspace.best.looking is None else workspace.best.looking.words,
            tried=workspace.best.tried,
            answer=self._answer(shown, evaluation.scene.units),
        )

    def _answer(self, shown: KnownPlaces, units: str) -> tuple[str, ...]:
        """Why no best place was found along the range that is shown."""
        last = self.workspace.best.last
        if last is None or last.known is not shown or last.answer is None or last.answer.best is not None:
            return ()
        ranges = (shown.number.range,)
        return (
            "No place keeps to every limit.",
            *(excluded_words(names) for names in last.answer.excluding),
            *(relaxation_words(each, ranges, units) for each in last.answer.relaxations),
        )


def _place(shown: KnownPlaces, workspace: Workspace) -> tuple[str, float | None]:
    """Where the number now stands, in words and as a share of its range."""
    scene, moved = workspace.session.evaluation.scene, shown.number.range
    now, low, high = shown.number.now(scene), moved.values[0], moved.values[-1]
    if now is None:
        return "tied to another part", None
    share = (now - low) / (high - low)
    return range_value_words(moved, now, scene.units), share if 0.0 <= share <= 1.0 else None


def _drawn(shown: KnownPlaces, width: float, units: str, spaces: list[str]) -> CurvesState:
    """What does not change with the place. width: of the strip [pixels]."""
    sweep, moved = shown.sweep(), shown.number.range
    paths = told_paths(sweep, spaces)
    most = int((width - EDGES + APART) // (LEAST_WIDE + APART))
    columns = max(1, min(most, len(paths)))
    size = max(width - EDGES - APART * (columns - 1), LEAST_WIDE) / columns / PIXELS_PER_MM, TALL
    axis = screen_axis(sweep, units, size)
    return CurvesState(
        opened=True,
        there=True,
        figures=tuple(_figure(sweep, axis, field) for field in range_fields(sweep, units, size, paths)),
        forbidden=tuple(
            (axis.x(each.start) / size[0], axis.x(each.end) / size[0], stretch_words(each, moved, units))
            for each in forbidden_stretches(sweep, units, spaces)
        ),
        windows=tuple(stretch_words(each, moved, units) for each in window_stretches(sweep)),
        low=range_value_words(moved, moved.values[0], units),
        high=range_value_words(moved, moved.values[-1], units),
        left=axis.left / size[0],
        right=axis.right / size[0],
        done=len(sweep.rows),
        most=len(shown.places),
    )


def _figure(sweep: Sweep, axis: Axis, field: RangeField) -> RangeFigure:
    items = items_as_svg(field.drawing.items, field.drawing.height, PIXELS_PER_MM)
    box = f'viewBox="0 0 {field.drawing.width:.2f} {field.drawing.height:.2f}" font-family="{FACE}"'
    return RangeFigure(field.title, field.curves, f'<svg {box} aria-hidden="true">{items}</svg>')
