"""Air shut in a space: what warming does to its pressure, what cold takes of its volume, and how fast it leaves by a hole."""

from __future__ import annotations

from math import sqrt

import numpy as np

from sketcher.analysis.findings import Finding, Mass, Phrase
from sketcher.analysis.results import Compartment, Layout
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.analysis.spaces.leaks.orifice_flow import DISCHARGE, GRAVITY

ATMOSPHERE, INDOORS = 101325.0, 293.15
"""[Pa] and [K]: air shut in at a usual pressure and temperature."""

ZERO = 273.15
"""[K] of 0 deg C."""

CLOSED_AT, SUN = 12.0, 45.0
"""[deg C] a space shut on a cool day, and the same under a deck in the sun; source `shut-in-air`."""

FILLED_AT, COLD_WATER = 20.0, 5.0
"""[deg C] bottles shut indoors, and the water of a cold spring; source `shut-in-air`."""

AIR_DENSITY = ATMOSPHERE / 287.05 / INDOORS
"""[kg/m3] of dry air, 1.204"""


def pressure_gained(before: float, after: float) -> float:
    """What air shut in at `before` [deg C] presses with [Pa] over the air outside once it is at `after`, its room unchanged.

    The gas law at constant volume: p = p0 (T / T0 - 1), source `shut-in-air`.

    >>> round(pressure_gained(12.0, 45.0))
    11726
    """
    return ATMOSPHERE * ((after + ZERO) / (before + ZERO) - 1.0)


def share_drawn_in(before: float, after: float) -> float:
    """The share of its volume that air loses by cooling at constant pressure [1], temperatures in deg C.

    >>> round(share_drawn_in(20.0, 5.0), 4)
    0.0512
    """
    return 1.0 - (after + ZERO) / (before + ZERO)


def seconds_to_fall(volume: float, area: float, start: float, left: float) -> float:
    """How long [s] an overpressure takes to fall from `start` to `left` [Pa] through a hole of `area` [m2] out of `volume` [m3].

    Air leaves at C A sqrt(2 p / rho), little denser inside than out, and at one temperature each cubic metre that leaves takes
    P / V of the pressure: dp/dt = -(P / V) C A sqrt(2 p / rho), so t = 2 V (sqrt(start) - sqrt(left)) / (P C A sqrt(2 / rho)).
    Right to a few per cent for the centimetres of water that a test is made with.

    >>> round(seconds_to_fall(1.2, 3.14159 / 4 * 0.001**2, 1245.0, 498.0) / 60, 1)
    8.4
    """
    return 2.0 * volume * (sqrt(start) - sqrt(left)) / (ATMOSPHERE * DISCHARGE * area * sqrt(2.0 / AIR_DENSITY))


def hole_passed(volume: float, start: float, left: float, seconds: float) -> float:
    """The area [m2] of a hole through which the overpressure falls from `start` to `left` [Pa] in just that time."""
    return seconds_to_fall(volume, 1.0, start, left) / seconds


def sealed_spaces(layout: Layout) -> list[tuple[str, str, float]]:
    """The tight spaces that the sun can warm: each with the lid that it presses on most, and that lid's area towards it [m2].

    A space that a hose with a tight cover joins to another has its breather; those that people live in and tanks have theirs.
    """
    breathing = {name for path in layout.closed if path.kind == "conduit" for name in path.between}
    found = []
    for space in layout.compartments:
        if space.watertight and space.bounded and space.use not in ("accommodation", "tank") and space.name not in breathing:
            panel = _largest_lid(layout, space)
            if panel is not None:
                found.append((space.name, *panel))
    return found


def shut_in_loads(layout: Layout) -> dict[str, float]:
    """The load [kg] of sealed air in the sun on each panel told of in `sealed_spaces`, of several spaces the greatest."""
    gained = pressure_gained(CLOSED_AT, SUN)
    loads: dict[str, float] = {}
    for _, panel, area in sealed_spaces(layout):
        loads[panel] = max(loads.get(panel, 0.0), gained * area / GRAVITY)
    return loads


def sealed_air_findings(layout: Layout) -> tuple[Finding, ...]:
    """One warning of all the sealed spaces: the pressure, and the load on a lid of each."""
    gained = pressure_gained(CLOSED_AT, SUN)
    sealed = [(space, panel, gained * area / GRAVITY) for space, panel, area in sealed_spaces(layout)]
    if not sealed:
        return ()
    first = sealed[0][0]
    loads = tuple(
        Phrase("sealed-air-load", {"space": space, "panel": panel, "load": Mass(load)}) for space, panel, load in sealed
    )
    return (
        Finding(
            code="sealed-air-warmed",
            severity="warn",
            object=first,
            values={"closed_at": CLOSED_AT, "sun": SUN, "kilopascals": gained / 1000.0, "loads": loads, "space": first},
            measured=max(load for _, _, load in sealed),
            source="shut-in-air",
        ),
    )


def panel_area(space: Compartment, number: int) -> float:
    """The area of a panel towards a space [m2], openings with their covers on included."""
    a, b, c = space.mesh.vertices[space.mesh.triangles[space.mesh.labels == FIRST_PANEL + number].T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def _largest_lid(layout: Layout, space: Compartment) -> tuple[str, float] | None:
    """The lid with the largest area towards a space, else the panel with the largest; None where no panel bounds it."""
    bounding = {panel for panel, _ in space.bounds}
    found = [
        (shape.kind == "lid", panel_area(space, number), shape.name)
        for number, shape in enumerate(layout.panels)
        if shape.name in bounding
    ]
    if not found:
        return None
    _, area, name = max(found)
    return name, area
