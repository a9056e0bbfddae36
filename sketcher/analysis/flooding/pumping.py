"""Getting the water out again: how long a pump takes, and what it leaves below the lowest drain of each space."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.flooding.at_rest import water_in
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import OUTSIDE, Layout
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.model.errors import SketchError
from sketcher.model.hull import Point3


@dataclass(frozen=True, slots=True, kw_only=True)
class Emptied:
    """One space. held, left [m3]: water in it before and after; drains_at [m]: height over the base line of what lets it run.

    drains_at None: nothing lets its water reach the pump.
    """

    space: str
    held: float
    left: float
    drains_at: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Emptying:
    """minutes: to pump all that can be reached, at the pump's rate; spaces in the order they flooded."""

    pump_in: str
    minutes: float
    spaces: tuple[Emptied, ...]


def emptying(
    layout: Layout, case: FloodingCase, afloat: Plane, pump_in: str, intake: Point3, litres_per_minute: float
) -> Emptying:
    """Pump a flooded boat out once her hole is stopped.

    Water stands as in `case` to begin with; what is left is reckoned at the plane's attitude `afloat`, to which she returns. It
    runs to the pump through flow paths, down to the lowest of each; flow through them is taken to keep up.
    Raises SketchError where the rate is nothing or the pump stands in no flooded space.
    """
    if litres_per_minute <= 0:
        raise SketchError(f"a pump of {litres_per_minute:g} litres a minute empties nothing", "Give its rate at this head.")
    if case.water is None or pump_in not in case.floods:
        raise SketchError(
            f"the pump stands in {pump_in!r}, which is not flooded", f"Flooded: {', '.join(case.floods) or 'none'}."
        )
    drains = _drain_levels(layout, case.floods, afloat, pump_in, float(afloat.over(np.array(intake))))
    emptied = tuple(_emptied(layout, case, afloat, name, drains.get(name)) for name in case.floods)
    out = sum(each.held - each.left for each in emptied)
    return Emptying(pump_in=pump_in, minutes=1000.0 * out / litres_per_minute, spaces=emptied)


def _drain_levels(layout: Layout, floods: Sequence[str], afloat: Plane, pump_in: str, intake: float) -> dict[str, float]:
    """For each space the level over `afloat` down to which its water reaches the pump: the lowest path's highest sill."""
    levels = {pump_in: intake}
    for _ in floods:
        for path in layout.flow_paths:
            if OUTSIDE in path.between or not len(path.outline):
                continue
            sill = float(afloat.over(path.outline).min())
            for here, there in (path.between, path.between[::-1]):
                if here in levels and there in floods:
                    levels[there] = min(levels.get(there, np.inf), max(sill, levels[here]))
    return levels


def _emptied(layout: Layout, case: FloodingCase, afloat: Plane, name: str, level: float | None) -> Emptied:
    space = next(each for each in layout.compartments if each.name == name)
    assert case.water is not None
    share = case.shares.get(name, space.permeability)
    held = water_in(space, case.water, share)
    if level is None:
        return Emptied(space=name, held=held, left=held, drains_at=None)
    drained = afloat.moved(level)
    left = min(held, share * volume_under(space.mesh, drained))
    return Emptied(space=name, held=held, left=left, drains_at=drained.coordinate(2, space.centroid))
