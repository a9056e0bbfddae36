"""The flow of water through a hole."""

from __future__ import annotations

from math import sqrt

GRAVITY = 9.81
"""[m/s2]"""
DISCHARGE = 0.6
"""Share of the frictionless flow that passes a sharp-edged hole."""


def orifice_flow(area: float, head: float) -> float:
    """Litres a minute through a sharp-edged hole of `area` [m2] under `head` [m] of water: 0.6 A sqrt(2 g h).

    Valid for a hole small against its head, running into air; see source `orifice`.

    >>> round(orifice_flow(3.14159 / 4 * 0.025**2, 0.30))
    43
    """
    return 60_000.0 * DISCHARGE * area * sqrt(2.0 * GRAVITY * max(head, 0.0))


def mean_head(tall: float, depth: float) -> tuple[float, float]:
    """Share of an opening `tall` [m] high that is wet with `depth` [m] of water over its lowest place, and the head [m] over
    the middle of that part.

    >>> mean_head(0.5, 1.0), mean_head(0.5, 0.25)
    ((1.0, 0.75), (0.5, 0.125))
    """
    wet = min(1.0, max(depth, 0.0) / tall) if tall > 0 else 1.0
    return wet, depth - 0.5 * wet * tall
