"""The boat as shapes to draw and to point at, of the moment; water that hardly moves is not drawn anew."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import WaterPlane
from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats
from sketcher.outputs.scene3d.boat_shapes import boat_shapes

SEEN_RISE = 0.001
"""[m] Of water in the picture: a small part of a pixel."""

shapes_now = remembered(1)(boat_shapes)
"""Shapes of the boat, made anew only when anything of her or of the look has changed."""


@dataclass(eq=False, repr=False)
class DrawnWater:
    """water: where it is drawn in the boat that is holed."""

    water: WaterPlane | None = None

    def case_to_draw(self, case: FloodingCase, bounds: tuple[Floats, Floats], *, moving: bool) -> FloodingCase:
        """While anything moves, water that rises or falls by less than can be seen stays: else all of her is drawn anew.

        bounds: two corners (3,) of a box about the boat [m].
        """
        if not moving or self.water is None or case.water is None or _rise(self.water, case.water, bounds) >= SEEN_RISE:
            self.water = case.water
        return case if self.water == case.water else _with_water(case, self.water)


@remembered(1)
def _with_water(case: FloodingCase, water: WaterPlane | None) -> FloodingCase:
    return replace(case, water=water)


def _rise(one: WaterPlane, other: WaterPlane, bounds: tuple[Floats, Floats]) -> float:
    """The most that two waters differ by over the boat [m]."""
    low, high = bounds
    corners = [(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])]
    return max(abs(one.height(*at) - other.height(*at)) for at in corners)
