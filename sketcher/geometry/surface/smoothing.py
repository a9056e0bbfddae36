"""A smooth curve near measured values: as little bent as their error allows."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import SAME_PLACE

_STEPS = 60
"""Halvings of the logarithm of how stiff the curve is: to far below any error."""


def smoothing_spline(at: Floats, values: Floats, error: float, places: Floats) -> Floats:
    """Values (n,) at places (n,) of the natural cubic spline that misses measured ones (k,) at (k,) by `error` (mean square).

    Where the straight line through them misses them by less it is that line; beyond the first and last it goes on straight.
    Values measured at one place count by their mean. (Reinsch 1967, Smoothing by spline functions, Numerische Mathematik 10.)
    """
    at, values = _by_place(at, values)
    if len(at) < 3:
        slope = (values[-1] - values[0]) / (at[-1] - at[0]) if len(at) == 2 else 0.0
        return np.asarray(values[0] + slope * (places - at[0]))
    steps = np.diff(at)
    second = np.zeros((len(at), len(at) - 2))
    inner = np.arange(len(at) - 2)
    second[inner, inner], second[inner + 2, inner] = 1.0 / steps[:-1], 1.0 / steps[1:]
    second[inner + 1, inner] = -1.0 / steps[:-1] - 1.0 / steps[1:]
    bent = np.diag((steps[:-1] + steps[1:]) / 3.0)
    bent[inner[:-1], inner[:-1] + 1] = bent[inner[:-1] + 1, inner[:-1]] = steps[1:-1] / 6.0

    def curve(stiff: float) -> tuple[Floats, Floats]:
        curvature = np.linalg.solve(bent + stiff * second.T @ second, second.T @ values)
        fitted: Floats = values - stiff * second @ curvature
        return fitted, curvature.astype(np.float64)

    # Stiffness has the dimension of a length cubed: from nothing to a beam of a thousand spans.
    low, high = (np.log(share * (at[-1] - at[0]) ** 3) for share in (1e-12, 1e6))
    for _ in range(_STEPS):
        middle = (low + high) / 2.0
        missed = np.sqrt(np.mean((curve(float(np.exp(middle)))[0] - values) ** 2))
        low, high = (middle, high) if missed < error else (low, middle)
    fitted, curvature = curve(float(np.exp(low)))
    return _spline(at, fitted, np.concatenate([[0.0], curvature, [0.0]]), places)


def _by_place(at: Floats, values: Floats) -> tuple[Floats, Floats]:
    """The places in rising order, each once, and the mean of the values there."""
    order = np.argsort(at, kind="stable")
    number = np.concatenate([[0], np.cumsum(np.diff(at[order]) > SAME_PLACE)])
    count = np.bincount(number)
    return np.bincount(number, at[order]) / count, np.bincount(number, values[order]) / count


def _spline(at: Floats, values: Floats, curvature: Floats, places: Floats) -> Floats:
    """Values at places of a cubic spline, from its values and second derivatives at its knots; beyond these it is straight."""
    within = np.clip(places, at[0], at[-1])
    k = np.clip(np.searchsorted(at, within, side="right") - 1, 0, len(at) - 2)
    step = at[k + 1] - at[k]
    after = (within - at[k]) / step
    before = 1.0 - after
    straight = before * values[k] + after * values[k + 1]
    bulge: Floats = ((before**3 - before) * curvature[k] + (after**3 - after) * curvature[k + 1]) * step**2 / 6.0
    slopes = np.diff(values) / np.diff(at)
    ends = slopes[[0, -1]] + np.array([-1.0, 1.0]) * curvature[[1, -2]] * np.diff(at)[[0, -1]] / 6.0
    beyond = places - within
    found: Floats = straight + bulge + beyond * np.where(beyond < 0.0, ends[0], ends[1])
    return found
