"""The air test of each closed space: its pressure, the load on lids, what warming changes, and what hole it lets pass."""

from __future__ import annotations

from math import pi, sqrt

from sketcher.analysis.cut.results import LeakTest
from sketcher.analysis.results import Compartment, Layout
from sketcher.analysis.spaces.leaks.orifice_flow import orifice_flow
from sketcher.analysis.spaces.leaks.shut_in_air import ATMOSPHERE, INDOORS, hole_passed, panel_area, seconds_to_fall

INCH_OF_WATER = 249.0889
"""[Pa] at 4 deg C and standard gravity."""

TEST, PASS, HOLD = 5.0 * INCH_OF_WATER, 2.0 * INCH_OF_WATER, 30.0
"""[Pa], [Pa] and [s]: blown to 5 inches of water, 2 or more are left after half a minute (source `dry-leak-test`)."""

RELIEF = 1.2
"""[1] The water tube lets go at a fifth above the test's pressure: a mouthful more than is meant, and no more."""

SOUGHT, UNDER = 0.001, 0.3
"""[m] The hole that a test of a buoyancy space should find, and the head of water that what a test lets pass is told at."""

_WATER_COLUMN = 9806.65
"""[Pa/m] of fresh water at standard gravity."""


def leak_tests(layout: Layout) -> tuple[LeakTest, ...]:
    """A test for each wholly measured space that a planned panel bounds and people do not live in."""
    planned = {shape.name for shape in layout.panels if shape.panel.built == "planned"}
    return tuple(
        _test(layout, space)
        for space in layout.compartments
        if space.bounded and space.use != "accommodation" and planned & {panel for panel, _ in space.bounds}
    )


def _test(layout: Layout, space: Compartment) -> LeakTest:
    open_paths = tuple(dict.fromkeys(path.name for path in layout.flow_paths if space.name in path.between))
    pushed = []
    for number, shape in enumerate(layout.panels):
        area = panel_area(space, number)
        if area > 0.0:
            pushed.append((shape.name, TEST * area, area))
    passed = hole_passed(space.volume, TEST, PASS, HOLD)
    return LeakTest(
        space=space.name,
        volume=space.volume,
        pressure=TEST,
        water_column=TEST / _WATER_COLUMN,
        pass_pressure=PASS,
        pass_column=PASS / _WATER_COLUMN,
        hold=HOLD,
        uplift=tuple(pushed),
        warmth=ATMOSPHERE / INDOORS,
        relief_column=RELIEF * TEST / _WATER_COLUMN,
        source="dry-leak-test",
        closed=space.watertight,
        open_paths=open_paths,
        passed_hole=sqrt(4.0 * passed / pi),
        passed_flow=orifice_flow(passed, UNDER) * 60.0 / 1000.0,
        sought=SOUGHT,
        sought_hold=seconds_to_fall(space.volume, pi / 4.0 * SOUGHT**2, TEST, PASS),
    )
