"""Rows of values that are smooth but for what stands on them."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats

_HELD = 1e-11
"""[1] By so much less than by their stiffness values are held to 0, so that rows of which nothing is known come out as that."""


def smoothed(values: Floats, weights: Floats, step: float, wave: float) -> Floats:
    """Rows (m, n) of values a step [m] apart as smooth rows: waves of that length [m] come out at half their height.

    weights (m, n): 0 where nothing is known; there the row runs on as a parabola. Penalised least squares by third differences
    (Whittaker 1923).
    """
    count = values.shape[1]
    rough = np.diff(np.eye(count), 3, axis=0)
    stiffness = (wave / (2.0 * np.pi * step)) ** 6
    stiff = stiffness * rough.T @ rough + _HELD * max(1.0, stiffness) * np.eye(count)
    matrices = stiff + weights[:, :, None] * np.eye(count)
    known = np.where(weights > 0.0, values, 0.0)
    return np.asarray(np.linalg.solve(matrices, (weights * known)[:, :, None])[:, :, 0])


def lining(values: Floats, weights: Floats, step: float, waves: tuple[float, ...], limits: tuple[float, ...]) -> Floats:
    """Smooth rows through the outermost of the values: what stands further inward than a limit is left out, limit by limit.

    values: the greater the further out; what is further out than a limit is left out as well, as a stray.
    """
    used = weights
    fit = smoothed(values, used, step, waves[0])
    for wave, limit in zip(waves, limits, strict=True):
        off = np.where(weights > 0.0, values - fit, 0.0)
        used = weights * ((off > -limit) & (off < 2.0 * limit))
        fit = smoothed(values, used, step, wave)
    return fit
