"""The measure between two points of a drawing, by pointer or keys: it holds to corners and edges as they are cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.recording import Spot
from sketcher.outputs.wording.quantities import length_with_unit
from sketcher.web.state import DragFigure
from sketcher.web.view.drawing_sheet import DrawingSheet
from sketcher.web.view.sheet.panes import Pane
from sketcher.web.view.sheet.snapping import TOWARDS, Held, Holds, holds_of
from sketcher.web.view.zoomed_paper import PIXELS_PER_MM

CORNER_REACH, EDGE_REACH = 14.0, 9.0
"""Pixels within which a corner is held to, and an edge where no corner is."""
FIRST, SECOND = "Click or Enter sets the first point.", "Click or Enter sets the second."
AGAIN = "Click or Enter begins another, Escape ends measuring."
WORDS: dict[str, tuple[str, str]] = {"x": ("aft", "forward"), "y": ("to starboard", "to port"), "z": ("up", "down")}


@dataclass(eq=False, repr=False)
class Measuring:
    """on: whether the hand measures; here, over: where it points, and in which drawing; start, end: what it has set; by_pointer:
    whether the pointer moved it last.
    """

    sheet: DrawingSheet
    on: bool = False
    here: Held | None = None
    over: Kind | None = None
    start: Held | None = None
    end: Held | None = None
    by_pointer: bool = False
    _began_in: Kind | None = None
    _holds: tuple[tuple[Evaluation, Kind, float], Holds] | None = None

    def begin(self, *, on: bool) -> None:
        """Take up the measure, or put it away with all that was measured."""
        self.on, self.by_pointer = on, False
        self.here = self.start = self.end = self.over = self._began_in = None

    def escape(self) -> None:
        """Forget the point that was set; with none, put the measure away."""
        self.begin(on=self.start is not None)

    @property
    def kind(self) -> Kind | None:
        """The drawing that is measured in."""
        return self.over if self.start is None else self._began_in

    def point(self, at: Spot) -> None:
        """The pointer is at a spot of the sheet [mm, y down]; for a second point only the first one's drawing counts."""
        pane = self.sheet.pane_at(at)
        if pane is None or (self.start is not None and self.end is None and pane.kind != self.kind):
            return
        per_pixel = pane.placing.scale / 1000.0 * self.sheet.window[2] / PIXELS_PER_MM
        place = self.sheet.boat_at(pane, at)
        self.here = self._holds_in(pane).nearest(place, CORNER_REACH * per_pixel, EDGE_REACH * per_pixel)
        self.over, self.by_pointer = pane.kind, True

    def nudge(self, towards: str, size: float | None) -> None:
        """An arrow key goes to the next corner that way, at first from the middle; by a size [m] so far, held to nothing."""
        pane = next((pane for pane in self.sheet.panes if self.kind in (None, pane.kind)), None)
        if pane is None:
            return
        if self.end is not None:
            self.start = self.end = None
        across, up = TOWARDS[towards][0] * pane.placing.signs[0], TOWARDS[towards][1]
        here = self.here or Held(pane.placing.boat((pane.left + pane.right) / 2, (pane.bottom + pane.top) / 2))
        if size is None:
            self.here = self._holds_in(pane).next_corner(here.at, across, up) or here
        else:
            self.here = Held((here.at[0] + across * size, here.at[1] + up * size))
        self.over, self.by_pointer = pane.kind, False

    def set(self) -> None:
        """The point that is pointed to becomes the first, or the second; after that a first one again."""
        if self.here is None:
            return
        if self.start is None or self.end is not None:
            self.start, self.end, self._began_in = self.here, None, self.over
        else:
            self.end = self.here

    def drop_old(self, now: Evaluation) -> None:
        """What was measured in a boat, or where a drawing cut her, holds no longer once that has changed."""
        if self._holds is not None and self.kind is not None:
            evaluation, kind, at = self._holds[0]
            if evaluation is not now or (kind == self.kind and at != self.sheet.places.get(kind, at)):
                self._holds = None
                self.begin(on=self.on)

    def _holds_in(self, pane: Pane) -> Holds:
        """What there is to hold to in a drawing."""
        evaluation, at = self.sheet.shows, self.sheet.places[pane.kind]
        assert evaluation is not None
        made_of = evaluation, pane.kind, at
        if self._holds is None or self._holds[0] != made_of:
            self._holds = made_of, holds_of(*made_of)
        return self._holds[1]

    @property
    def ends(self) -> tuple[Spot, Spot | None] | None:
        """The two places, of which the second may be pointed to only [m]; None while nothing is pointed to."""
        if self.start is None:
            return None if self.here is None else (self.here.at, None)
        last = self.end or self.here
        return self.start.at, None if last is None else last.at

    def figures(self, units: str) -> tuple[DragFigure, ...]:
        """What is measured, in words: how long, and how far along each of the boat's axes."""
        if not self.on:
            return ()
        ends, pane = self.ends, next((pane for pane in self.sheet.panes if pane.kind == self.kind), None)
        if ends is None or pane is None:
            return (DragFigure("Point to a corner or an edge in a drawing; arrow keys go from corner to corner.", "Measure"),)
        axes, (first, second) = pane.placing.axes, ends
        if second is None:
            place = tuple(
                DragFigure(WORDS[axis][value < 0], length_with_unit(abs(value), units))
                for axis, value in zip(axes, first, strict=True)
            )
            return (DragFigure(_what(self.here), "Measure"), *place, DragFigure(FIRST, ""))
        by = [b - a for a, b in zip(first, second, strict=True)]
        rows = (DragFigure(WORDS[axis][d < 0], length_with_unit(abs(d), units)) for axis, d in zip(axes, by, strict=True))
        words = f"{_what(self.start)} to {_what(self.end or self.here)}"
        return (
            DragFigure(words, length_with_unit(math.hypot(*by), units)),
            *rows,
            DragFigure(SECOND if self.end is None else AGAIN, ""),
        )


def _what(held: Held | None) -> str:
    return held.what if held is not None and held.what else "a free point"
