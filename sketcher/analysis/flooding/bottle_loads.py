"""The upward push of sealed bottles in flooded spaces on the lids that keep them down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.fit.bottles import BottledSpace, BottleStow
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane

SLICES = 48
"""Slices along a bottle in which its part under water is summed: right to a quarter of a per cent of it."""
FLAT_ON = 1e-6
"""Sine of the angle between a bottle and plumb below which every slice of it is wholly wet or dry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BottlePush:
    """Bottles under water in a flooded space. load [kg]: what the wet part displaces less what all weigh; share: of them wet.

    lids: what closes the space above, which bears the load between them; empty: no lid does.
    """

    space: str
    lids: tuple[str, ...]
    share: float
    load: float


def bottle_pushes(bottled: Sequence[BottledSpace], case: FloodingCase, density: float) -> tuple[BottlePush, ...]:
    """The push in each flooded space whose bottles lift more than they weigh; none where the boat finds no rest.

    density [kg/m3]: of the water. Spaces with bottles of unknown litres are left out: a finding says so.
    """
    if case.water is None:
        return ()
    pushes = []
    for space in bottled:
        if space.space not in case.floods or space.uplift is None:
            continue
        wet = [(stow.displaced or 0.0) * float(wet_shares(stow, case.water.plane).mean()) for stow in space.stows if stow.count]
        all_of_it = sum(stow.displaced or 0.0 for stow in space.stows)
        load = density * sum(wet) - sum(stow.weight or 0.0 for stow in space.stows)
        if all_of_it > 0.0 and load > 0.0:
            pushes.append(BottlePush(space=space.space, lids=space.lids, share=sum(wet) / all_of_it, load=load))
    return tuple(pushes)


def wet_shares(stow: BottleStow, water: Plane) -> Floats:
    """(k,) the share under water of each bottle, taken as a cylinder, as it stands."""
    along = (np.arange(SLICES) + 0.5) / SLICES * stow.length
    depth = -water.over(stow.base)[:, None] - along * float(water.normal @ stow.direction)
    rise = float(np.linalg.norm(np.cross(water.normal, stow.direction))) * stow.diameter / 2
    if rise < FLAT_ON * stow.diameter:
        return (depth > 0.0).mean(axis=1)  # type: ignore[no-any-return]
    # Each slice is a disc that the water cuts off in a segment.
    level = np.clip(depth / rise, -1.0, 1.0)
    segment = 0.5 + (np.arcsin(level) + level * np.sqrt(1.0 - level**2)) / np.pi
    return segment.mean(axis=1)  # type: ignore[no-any-return]
