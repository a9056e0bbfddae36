"""Interpolation as weights: what is read between given places is linear in the values, so that the effect of each is known."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats


def girths(points: Floats) -> Floats:
    """Distance along the chords from the first point to each (n,) [m]."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])


class Spline:
    """The not-a-knot cubic spline through values at rising knots (n,); a polynomial for up to four. Linear in the values."""

    def __init__(self, knots: Floats) -> None:
        self.knots = knots
        count = len(knots)
        self._steps = steps = np.diff(knots)
        if count <= 4:
            self._powers = np.linalg.inv(np.vander(knots, increasing=True))
            return
        inner = np.arange(1, count - 1)
        bend, force = np.zeros((2, count, count))
        bend[inner, inner - 1], bend[inner, inner], bend[inner, inner + 1] = steps[:-1], 2 * (steps[:-1] + steps[1:]), steps[1:]
        force[inner, inner - 1], force[inner, inner + 1] = 6 / steps[:-1], 6 / steps[1:]
        force[inner, inner] = -force[inner, inner - 1] - force[inner, inner + 1]
        bend[0, :3] = steps[1], -steps[0] - steps[1], steps[0]
        bend[-1, -3:] = steps[-1], -steps[-2] - steps[-1], steps[-2]
        self._bends = np.linalg.solve(bend, force)

    def weights(self, places: Floats) -> Floats:
        """Rows (m, n): the weights of the values at m places."""
        count = len(self.knots)
        if count <= 4:
            return np.asarray(np.vander(places, count, increasing=True) @ self._powers)
        gap = np.clip(np.searchsorted(self.knots, places, side="right") - 1, 0, count - 2)
        width = self._steps[gap]
        before = (self.knots[gap + 1] - places) / width
        after = 1.0 - before
        low, high = (before**3 - before) * width**2 / 6, (after**3 - after) * width**2 / 6
        weights = low[:, None] * self._bends[gap] + high[:, None] * self._bends[gap + 1]
        rows = np.arange(len(places))
        weights[rows, gap] += before
        weights[rows, gap + 1] += after
        return np.asarray(weights)


def chord_weights(knots: Floats, places: Floats) -> Floats:
    """Rows (m, n) of the straight lines from point to point."""
    return np.stack([np.interp(places, knots, unit) for unit in np.eye(len(knots))], axis=1)


def polynomial_weights(here: Floats, places: Floats) -> Floats:
    """Weights (k, m) of the polynomial through k places (k, m) at m points."""
    weights = np.ones_like(places)
    for k in range(len(places)):
        for other in range(len(places)):
            if other != k:
                weights[k] *= (here - places[other]) / (places[k] - places[other])
    return weights
