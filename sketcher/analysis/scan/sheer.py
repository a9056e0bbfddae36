"""The upper edge of a scanned skin: a smooth line through where its points end."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.scan.faces import FacePoints
from sketcher.analysis.scan.sections import cut_at, row_end, top_edge
from sketcher.analysis.scan.skin import Polar, Skin
from sketcher.analysis.scan.smoothing import smoothed
from sketcher.geometry.mesh import Floats

_EVERY, _WAVE = 0.05, 2.5
"""[m] between the places at which the upper edge is found, and the shortest wave that a sheer has."""
_BESIDE, _OFF, _FAIR, _FEW = 0.12, 0.05, 1.0, 50
"""[m] Points so far before and behind each place tell the edge in the end, no further over it; its shortest wave; how many."""
_TOLD = 500
"""Points of a section from which on its upper edge counts whole."""
_WITHIN = 0.025
"""[m] Points before and behind a place that tell its upper edge: further off that edge lies at another girth."""
_POINTS = 100_000
"""Points of a skin below which they are taken from up to twice as far."""


class Sheer:
    """The height of the upper edge at places aft."""

    def __init__(self, x: Floats, z: Floats) -> None:
        self.x, self.z = x, z

    def __call__(self, x: float) -> float:
        return float(self.heights(np.array([x]))[0])

    def heights(self, x: Floats) -> Floats:
        """At places (n,): beyond its ends it goes on straight."""
        k = np.clip(np.searchsorted(self.x, x), 1, len(self.x) - 1)
        return np.asarray(self.z[k - 1] + (self.z[k] - self.z[k - 1]) / (self.x[k] - self.x[k - 1]) * (x - self.x[k - 1]))


def sheer_of(skin: Skin, polar: Polar) -> Sheer:
    """The upper edge, smooth: places where the points end lower, as at a hole, are left out."""
    x = np.arange(skin.x[0], skin.x[-1], _EVERY)
    within = _WITHIN * float(np.clip(_POINTS / len(polar.x), 1.0, 2.0))
    cuts = [cut_at(skin, polar, float(at), half_width=within) for at in x]
    z = np.array([cut.on_line(top_edge(cut, skin.noise))[1] for cut in cuts])
    told = np.minimum([len(cut.along) for cut in cuts], _TOLD) / _TOLD
    weights = told
    for limit in (0.15, 0.08, 0.05, 0.03, 0.02):
        fit = smoothed(z[None], weights[None], _EVERY, _WAVE)[0]
        weights = told * ((z - fit) > -limit) * ((z - fit) < 2 * limit)
    return Sheer(x, smoothed(z[None], weights[None], _EVERY, _WAVE)[0])


def settled_sheer(sheer: Sheer, skin: FacePoints) -> Sheer:
    """The upper edge by the points on both sides of each place, their heights taken from the edge as it was found."""
    off, told = np.zeros((2, len(sheer.x)))
    below = 2.0 * _BESIDE
    for k, at in enumerate(sheer.x.tolist()):
        mine = skin.between(at - _BESIDE, at + _BESIDE)
        over = np.sort(mine[:, 2] - sheer.heights(mine[:, 0]))
        over = over[(over > -below) & (over < _OFF)]
        if len(over) > _FEW:
            off[k], told[k] = row_end(over, -below, skin.noise), min(len(over) / _TOLD, 1.0)
    told = told * (np.abs(off) < _OFF)
    return Sheer(sheer.x, sheer.z + smoothed(off[None], told[None], _EVERY, _FAIR)[0])
