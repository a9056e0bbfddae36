"""In which unit a scan was saved, by how far it reaches; and as many points on a mesh as a cloud would have."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats, Ints
from sketcher.model.units import UNITS, Unit

SHORTEST, LONGEST = 1.2, 30.0
"""[m] What is scanned of a small boat, her forepeak alone or all of her, reaches so far."""
_METRES: dict[Unit, float] = {"m": 1.0, "mm": 0.001, "cm": 0.01, "ft": 0.3048, "in": 0.0254}
"""The likeliest first: telephones save metres, drawing programs millimetres."""
SPREAD = (200_000, 1_000_000)
"""Points put on a mesh: at least, at most."""


def metres_in(unit: str) -> float:
    """Metres in a unit of length."""
    return next(metres for name, metres in _METRES.items() if name == unit)


def likely_units(length: float) -> tuple[Unit, ...]:
    """The units in which a scan that reaches so far may be of a small boat, the likeliest first.

    >>> likely_units(6.5), likely_units(8900), likely_units(250)
    (('m', 'ft'), ('mm',), ('cm', 'in'))
    """
    assert set(_METRES) == set(UNITS)
    return tuple(unit for unit, metres in _METRES.items() if SHORTEST <= length * metres <= LONGEST)


def spread_over(points: Floats, triangles: Ints) -> Floats:
    """Points (n, 3) evenly over a mesh's triangles, the same ones every time; a cloud's own where there are none."""
    if not len(triangles):
        return points
    a, b, c = points[triangles.T]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    if not area.sum() > 0.0:
        return points
    rng = np.random.default_rng(0)
    count = int(np.clip(len(points), *SPREAD))
    which = rng.choice(len(area), count, p=area / area.sum())
    u, v = rng.random((2, count, 1))
    u, v = np.where(u + v > 1.0, 1.0 - u, u), np.where(u + v > 1.0, 1.0 - v, v)
    return np.asarray(a[which] + u * (b - a)[which] + v * (c - a)[which])
