"""How much putty, cloth and resin bonding takes, and how long a mix can be worked: published and derived rules."""

from __future__ import annotations

from math import pi
from typing import Literal

import numpy as np

from sketcher.geometry.mesh import Floats

EPOXY_DENSITY = 1106.0
"""[kg/m3] of mixed epoxy (source `mixed-epoxy`)."""

_GALLON, _SQUARE_FOOT, _OUNCE_PER_SQUARE_YARD = 0.003785411784, 0.09290304, 0.0339057
"""[m3], [m2] and [kg/m2]: exact, but for the last, which is rounded."""

_BY_OUNCE, _BY_AREA, _ESTIMATE_WASTE, _ESTIMATE_COATS = 0.00085, 0.0075, 0.15, 3
"""Gallons for each square foot and ounce, and for its coats; waste and number of coats that they include."""

_POT_LIFE = {"fast": 8.0 * 60.0, "slow": 20.0 * 60.0}
"""[s] at 21 deg C, the short end of what is printed (source `pot-life`)."""

_POT_AT, _POT_HALVES = 21.0, 10.0
"""[deg C] at which pot life is stated, and how much warmer halves it."""

_CURE, _CURE_AT = 7.0 * 86400.0, 20.0
"""[s] until epoxy is hard through, and [deg C] at which that is stated; as pot life, twice as long 10 degrees colder (`cure`)."""

PUTTY_RESIN, PUTTY_FILLER = 0.80, 0.20
"""[1] Share of resin in a putty's volume; filler in kg for each kg of resin (source `putty`)."""


def fillet_section(angle: Floats, radius: float) -> Floats:
    """Area [m2] of a fillet of a radius in corners of so many radians: r2 (cot(A/2) - (pi - A)/2). Source `fillet-volume`.

    >>> round(float(fillet_section(np.array(np.pi / 2), 0.020)) * 1e6)
    86
    """
    held = np.clip(angle, 0.01, pi - 1e-6)
    area: Floats = radius**2 * (1.0 / np.tan(held / 2) - (pi - held) / 2)
    return area


def fillet_reach(angle: float, radius: float) -> float:
    """How far [m] a fillet lies on each side of a corner of so many degrees: r cot(A/2). Source `fillet-volume`.

    >>> round(fillet_reach(90.0, 0.025), 6), round(fillet_reach(50.0, 0.025), 4)
    (0.025, 0.0536)
    """
    return float(radius / np.tan(np.radians(angle) / 2))


def epoxy_for_cloth(area: float, weight: float, kind: Literal["woven", "mat"], waste: float) -> float:
    """Mixed epoxy [m3] that wets cloth of an area [m2] and weight [kg/m2], waste included.

    ft2 x oz/yd2 x 0.00085 US gallons, 15 % waste included (source `epoxy-for-cloth`); mat takes twice as much (`mat-resin`).
    """
    gallons = area / _SQUARE_FOOT * weight / _OUNCE_PER_SQUARE_YARD * _BY_OUNCE
    return gallons * _GALLON * (2.0 if kind == "mat" else 1.0) * (1.0 + waste) / (1.0 + _ESTIMATE_WASTE)


def epoxy_for_coats(area: float, coats: int, waste: float) -> float:
    """Mixed epoxy [m3] for coats over an area [m2]: three take ft2 x 0.0075 US gallons, 15 % waste included."""
    gallons = area / _SQUARE_FOOT * _BY_AREA * coats / _ESTIMATE_COATS
    return gallons * _GALLON * (1.0 + waste) / (1.0 + _ESTIMATE_WASTE)


def pot_life(temperature: float, hardener: Literal["slow", "fast"]) -> float:
    """How long [s] a mix can be worked at a temperature [deg C]: twice as long for each 10 degrees colder (`pot-life`).

    >>> pot_life(21.0, "slow") / 60, pot_life(11.0, "slow") / 60
    (20.0, 40.0)
    """
    return float(_POT_LIFE[hardener] * 2.0 ** ((_POT_AT - temperature) / _POT_HALVES))


def full_cure(temperature: float) -> float:
    """How long [s] until resin is hard through at a temperature [deg C] (source `cure`).

    >>> full_cure(20.0) / 86400, full_cure(10.0) / 86400
    (7.0, 14.0)
    """
    return float(_CURE * 2.0 ** ((_CURE_AT - temperature) / _POT_HALVES))
