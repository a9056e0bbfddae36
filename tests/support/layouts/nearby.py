"""Layouts near one that is given: panels moved by less than a gap is wide, or turned by less than a tape can tell."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any, TypeVar

from layouts.at_random import GAPS, THICKNESSES
from sketcher.model.scene import Bulkhead, Lid, Partition, Scene

ASKEW = (1e-7, 1e-6, 5e-6, 1e-5, 2e-5, 1e-4, 5e-4, 1e-3, 0.01)
"""[deg], or [m] over a partition's length."""
TURNED = {"rake": (0.0, 3.0, -7.5, 12.0), "angle": (0.0, 4.0, -9.0), "slope": (0.0, 2.0, -5.0, 11.0), "lean": (0.0, 5.0, -8.0)}
"""[deg] by field."""
PLACED = ("at", "height", "start", "end", "bottom", "top", "span")
Kind = TypeVar("Kind", Bulkhead, Partition, Lid)


def nearby(rng: random.Random, scene: Scene) -> Scene:
    """The scene with most of its panels changed a little, and now and then another limit for gaps."""
    return replace(
        scene,
        bulkheads=tuple(_changed(rng, panel) for panel in scene.bulkheads),
        partitions=tuple(_changed(rng, panel) for panel in scene.partitions),
        lids=tuple(_changed(rng, panel) for panel in scene.lids),
        gap_limit=rng.choice((0.0, 0.005, 0.01, 0.02)) if rng.random() < 0.25 else scene.gap_limit,
    )


def _changed(rng: random.Random, panel: Kind) -> Kind:
    if rng.random() < 0.35:
        return panel
    new: dict[str, Any] = {name: _moved(rng, getattr(panel, name)) for name in PLACED if hasattr(panel, name)}
    for name, angles in TURNED.items():
        if hasattr(panel, name):
            angle = rng.choice(angles) if rng.random() < 0.2 else getattr(panel, name)
            new[name] = angle + (rng.choice((1, -1)) * rng.choice(ASKEW) if rng.random() < 0.3 else 0.0)
    if isinstance(panel, Partition):
        fore, aft = panel.off_centre
        fore = _moved(rng, fore)
        aft = rng.choice((fore, fore, aft, _moved(rng, aft), round(fore + rng.choice((1, -1)) * rng.choice(ASKEW), 7)))
        new["off_centre"] = (fore, aft)
    if rng.random() < 0.3:
        new["thickness"] = rng.choice(THICKNESSES)
    return replace(panel, **new)


def _moved(rng: random.Random, value: Any) -> Any:
    """A length or each of several moved by one of the gaps, or left; a name stays."""
    if isinstance(value, tuple):
        return tuple(_moved(rng, each) for each in value)
    return round(value + rng.choice((0, 0, 0, 1, -1)) * rng.choice(GAPS), 6) if isinstance(value, float) else value
