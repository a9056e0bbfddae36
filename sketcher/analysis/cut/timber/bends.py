"""How sharply timber bends: the least radius of a line, and of how many strips what takes it is glued up."""

from __future__ import annotations

from math import ceil

import numpy as np

from sketcher.geometry.mesh import Floats

BEND = 100.0
"""[1] A batten bends cold to a radius of so many of its thicknesses: its outer fibres are then stretched by 0.5 %."""

_THINNEST = 0.004
"""[m] Strips thinner than this are more glue than wood: what needs them is sawn to the curve instead (our own choice)."""

_BEND_SPAN = 0.300
"""[m] A bend is judged over so much length at least: shorter, a facet of the hull would count as one."""


def least_radius(points: Floats) -> float | None:
    """The least radius [m] of a line (k, 3) over stretches of 0.3 m or a fifth of its length; None where it is straight."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    span = max(_BEND_SPAN, along[-1] / 5)
    if span >= along[-1]:
        span = float(along[-1])
    middles = np.linspace(span / 2, along[-1] - span / 2, 41)
    a, b, c = (
        np.column_stack([np.interp(middles + shift, along, points[:, k]) for k in range(3)])
        for shift in (-span / 2, 0.0, span / 2)
    )
    twice_area = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    sides = np.linalg.norm(b - a, axis=1) * np.linalg.norm(c - b, axis=1) * np.linalg.norm(c - a, axis=1)
    curvature = float((2.0 * twice_area / sides).max())
    return None if curvature < 1e-4 else 1.0 / curvature


def strips_for(thickness: float, radius: float | None) -> int | None:
    """How many strips of so much timber [m] bend cold to a radius [m] (source `cold-bend`); None where it is sawn to the curve.

    >>> strips_for(0.03, None), strips_for(0.03, 2.0), strips_for(0.03, 0.3)
    (1, 2, None)
    """
    count = 1 if radius is None else max(1, ceil(thickness * BEND / radius - 1e-9))
    return count if thickness / count >= _THINNEST else None
