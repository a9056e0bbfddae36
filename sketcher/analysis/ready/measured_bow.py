"""What a hull measures where a layout is to stand: heights, breadths, and the places that follow from them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from shapely.geometry import LineString

from sketcher.analysis.fit.berths import STATURE_MARGIN
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import WaterPlane
from sketcher.analysis.spaces.standing_findings import rule_windows
from sketcher.model.errors import SketchError
from sketcher.model.units import format_length, tape_step

SMALL_BOAT = 8.0
"""[m] A shorter boat gets the thinner boards; common practice."""
BULKHEAD, LID = (0.012, 0.018), (0.009, 0.012)
"""[m] Thickness of boards in a small boat and in a larger one, the lids on bearers; common practice."""
OVER_WATER = 0.150
"""[m] A lid begins so high over the water; what it needs when its space is holed is found by flooding it."""
NO_WINDOW_SHARE = 0.12
"""Of her length from the bow: where the collision bulkhead is tried when no rule's window is known."""


@dataclass(frozen=True, eq=False)
class MeasuredBow:
    """A hull with the water it floats in. stature: of whom the berth is for [m]; units: of the scene, whose tape places fit.

    raised [m]: how much higher than usual its lid begins.
    """

    form: HullForm
    water: WaterPlane
    stature: float
    units: str
    raised: float = 0.0

    @cached_property
    def length(self) -> float:
        """Of the whole boat [m], as far as it is known."""
        boat = self.form.hull.boat
        stated = boat.length if self.form.hull.open_aft and boat is not None else None
        return stated or self.form.x_after - self.form.x_forward

    @property
    def bulkhead_thickness(self) -> float:
        return BULKHEAD[self.length >= SMALL_BOAT]

    @property
    def lid_thickness(self) -> float:
        return LID[self.length >= SMALL_BOAT]

    def on_tape(self, metres: float) -> float:
        """The nearest ten steps of the tape: a centimetre, or ten sixteenths."""
        step = 10.0 * tape_step(self.units)
        return round(metres / step) * step

    @cached_property
    def collision(self) -> float:
        """x [m] of a collision bulkhead: inside both rules' windows where they meet, else in the first that is known."""
        windows = rule_windows(self.form, self.water)
        if windows is None:
            return self.on_tape(self.form.x_forward + NO_WINDOW_SHARE * self.length)
        least, most = windows.racing
        if windows.passenger is not None and windows.passenger[0] <= most:
            least, most = max(least, windows.passenger[0]), min(most, windows.passenger[1])
        return self.on_tape(least + 0.25 * (most - least) + 5.0 * tape_step(self.units))

    @cached_property
    def main(self) -> float:
        """x [m] of a bulkhead at a berth's head, as far aft as its person needs."""
        return self.on_tape(self.collision + self.bulkhead_thickness + self.stature + STATURE_MARGIN + 0.02)

    @cached_property
    def lid(self) -> float:
        """Height [m] of a lid over the water between the two bulkheads, its highest there."""
        highest = max(self.water.height(x) for x in (self.collision, self.main))
        return self.on_tape(highest + OVER_WATER + self.raised)

    def upright(self, x: float, y: float = 0.0) -> tuple[float, float]:
        """The lowest and highest inside point [m] over (x, y). Raises SketchError where the hull is not there."""
        low, high = self.form.inside.bounds
        cut = self.form.section_at(x, "inside").intersection(LineString([(y, low[2]), (y, high[2])]))
        if cut.is_empty:
            raise SketchError(f"there is no inside {format_length(x, self.units)} aft", "Measure the hull so far aft.")
        return float(cut.bounds[1]), float(cut.bounds[3])

    def half_breadth(self, x: float, z: float) -> float:
        """[m] Inside, at a place and height, on her narrower side; 0 where the hull is not there."""
        near, far = self.form.inside.bounds
        section = self.form.section_at(x, "inside")
        sides = (section.intersection(LineString([(0.0, z), (side, z)])) for side in (near[1], far[1]))
        return min(0.0 if each.is_empty else max(-float(each.bounds[0]), float(each.bounds[2])) for each in sides)
