"""The air test of each space: its pressure, the load on lids, how it is closed, what warming changes, what hole it lets pass."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt

from sketcher.analysis.cut.results import LeakTest
from sketcher.analysis.findings import Length, Mass, Phrase, PushWay
from sketcher.analysis.results import Compartment, FlowPath, Layout
from sketcher.analysis.spaces.compartments import main_space
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

_PLUGGED = 0.060
"""[m] A round hole up to this is closed by a plug, a larger one by a plate (source `closed-for-test`)."""

_AWAY: dict[str, PushWay] = {
    "under": "up",
    "top": "down",
    "forward": "aft",
    "after": "forward",
    "port": "to starboard",
    "starboard": "to port",
}

_WATER_COLUMN = 9806.65
"""[Pa/m] of fresh water at standard gravity."""


def leak_tests(layout: Layout) -> tuple[LeakTest, ...]:
    """A test for each wholly measured space that a planned panel bounds; none of the main space, or where people live."""
    planned, main = {shape.name for shape in layout.panels if shape.panel.built == "planned"}, main_space(layout)
    return tuple(
        _test(layout, space)
        for space in layout.compartments
        if space.bounded
        and space.use != "accommodation"
        and space.name != main
        and planned & {panel for panel, _ in space.bounds}
    )


def pushes(test: LeakTest) -> tuple[Phrase, ...]:
    """What the test's pressure does to each panel, the hardest pushed first."""
    return tuple(
        Phrase("pushed-on", {"panel": name, "way": way, "force": _weight(force)}) for name, way, force, _ in hardest_first(test)
    )


def hardest_first(test: LeakTest) -> list[tuple[str, PushWay, float, float]]:
    """Each panel that the test pushes on: its name, which way, with which force [N] and on which area [m2]."""
    pushed = [(name, way, force, area) for (name, force, area), way in zip(test.uplift, test.ways, strict=True)]
    return sorted(pushed, key=lambda push: -push[2])


def _way(space: Compartment, panel: str) -> PushWay:
    """Which way air in a space pushes a panel: away from the face that the space has."""
    faces = [face for name, face in space.bounds if name == panel]
    return _AWAY.get(faces[0], "both ways") if len(faces) == 1 else "both ways"


def _weight(force: float) -> Mass:
    """What weighs as much as a force [N] pushes."""
    return Mass(force / _WATER_COLUMN * 1000.0)


def _test(layout: Layout, space: Compartment) -> LeakTest:
    paths = {path.name: path for path in layout.flow_paths if space.name in path.between}
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
        ways=tuple(_way(space, name) for name, _, _ in pushed),
        warmth=ATMOSPHERE / INDOORS,
        relief_column=RELIEF * TEST / _WATER_COLUMN,
        source="dry-leak-test",
        closed=space.watertight,
        open_paths=tuple(paths),
        closings=tuple(_closings(layout, paths)),
        passed_hole=sqrt(4.0 * passed / pi),
        passed_flow=orifice_flow(passed, UNDER) * 60.0 / 1000.0,
        sought=SOUGHT,
        sought_hold=seconds_to_fall(space.volume, pi / 4.0 * SOUGHT**2, TEST, PASS),
    )


def _closings(layout: Layout, paths: dict[str, FlowPath]) -> Iterator[Phrase]:
    """How each way out of a space is closed while it is tested (source `closed-for-test`)."""
    openings = {opening.name: opening for opening in layout.scene.openings}
    for name, path in paths.items():
        opening = openings.get(name)
        if path.kind == "gap":
            yield Phrase("close-gap", {"gap": name})
        elif path.kind == "panel":
            yield Phrase("close-panel", {"panel": name})
        elif path.kind == "conduit":
            yield Phrase("close-conduit", {"conduit": name})
        elif opening is not None and opening.diameter is not None and opening.diameter <= _PLUGGED:
            yield Phrase("close-hole", {"opening": name, "diameter": Length(opening.diameter)})
        else:
            covered = opening is not None and opening.cover != "none"
            yield Phrase("close-opening", {"opening": name, "covered": covered, "force": _weight(TEST * path.area)})
