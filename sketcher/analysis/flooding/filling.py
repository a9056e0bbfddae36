"""How long she takes to fill through a hole of a stated size, and what a pump changes: an estimate.

Where she lies with part of the water in her is taken from the rests that she would have with that share of every flooded space
open to the sea. The water in each space then stands level there, and runs in through the hole, and on through every flow path, by
0.6 A sqrt(2 g h), h the difference of the levels. The hole is at the lowest place of the holed space, where it lets in most.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from sketcher.analysis.afloat.buoyancy import Buoyancy, buoyancy_of
from sketcher.analysis.afloat.equilibrium import Settled, settle
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.loading.weights import Loading, loading
from sketcher.analysis.results import OUTSIDE, Compartment, FlowPath, Layout, WaterPlane
from sketcher.analysis.spaces.leaks.orifice_flow import mean_head, orifice_flow
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip_body, volume_under

ATTITUDES, LEVELS = 12, 24
"""Rests on her way down, and levels of each space at each of them, between which figures are taken on straight lines."""

STEPS = 400
"""Steps in which the water comes in, each of as much of it at the most."""

WIDE = 10.0
"""A path inside her so many times as large as the hole takes a hundredth of its head, and a larger one counts as no larger."""

WINDOW, STALLED = 40, 0.004
"""A pump holds her once so many steps bring in no more than this share of all the water, a twenty-fifth of what they might."""

LONGEST = 7 * 86_400.0
"""[s] A boat that takes longer fills by a weep, and no pump or hole of a stated size is the answer."""

MARKS = (0.5, 0.9, 0.99)
"""Shares of all the water that the time is told for; the last is as good as at rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """share: of all the water of the case; volume [m3]; seconds: until it is in, None where it never is."""

    share: float
    volume: float
    seconds: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """hole [m]: its diameter; pump [m3/s]; first [m3/s]: through the hole at the beginning.

    held [m3]: the water at which the pump keeps up with the hole, None where it does not or there is none. lost: whether she
    finds no rest with all the water; the volumes then are of the most that she can bear.
    """

    hole: float
    pump: float
    first: float
    marks: tuple[Filled, ...]
    held: float | None
    lost: bool


@dataclass(frozen=True, eq=False, slots=True)
class _Rest:
    """One rest on her way down. water [m3]: in her then; depths: by space, volumes (k,) that rise and, for each, how deep [m] the
    water's level in it lies under the sea; sills: by flow path how deep [m] its lowest place does; bottom: of the holed space.
    """

    water: float
    depths: dict[str, tuple[Floats, Floats]]
    sills: tuple[float, ...]
    bottom: float

    def depth(self, name: str, volume: float) -> float:
        """How deep the water's level in a space lies under the sea [m] with that volume in it."""
        return float(np.interp(volume, *self.depths[name]))


def filling(
    layout: Layout, water: WaterPlane | None, case: FloodingCase, hole: float, pump: float = 0.0, condition: str | None = None
) -> Filling | None:
    """How the spaces of a case fill through a hole of that diameter [m], a pump in the holed space taking `pump` [m3/s] out.

    None where she has no known weight or centre of gravity, floats without being holed by no rest, or a space has no known end.
    """
    boat = loading(layout, water, condition)
    spaces = [space for space in layout.compartments if space.name in case.floods]
    if water is None or boat is None or not all(space.bounded for space in spaces):
        return None
    paths = [path for path in layout.flow_paths if len(path.outline) and {*path.between} <= {*case.floods, OUTSIDE}]
    rests, lost = _way_down(layout, water, boat, case, spaces, paths)
    return None if len(rests) < 2 else _Inflow(case.holed[0], spaces, paths, rests, hole, pump).run(lost)


def _way_down(
    layout: Layout, water: WaterPlane, boat: Loading, case: FloodingCase, spaces: Sequence[Compartment], paths: Sequence[FlowPath]
) -> tuple[list[_Rest], bool]:
    """Her rests with more and more of the flooded spaces open to the sea, and whether she finds none before all of it is."""
    carrier, density, plane = buoyancy_of(layout.hull), layout.scene.water_density, water.plane
    rests: list[_Rest] = []
    for part in np.linspace(0.0, 1.0, ATTITUDES + 1):
        settled = _rest(carrier, density, boat, plane, case, spaces, float(part))
        if settled is None:
            return rests, True
        plane = settled
        rests.append(_measured(plane, case, spaces, paths, float(part)))
    return rests, False


def _rest(
    carrier: Buoyancy,
    density: float,
    boat: Loading,
    plane: Plane,
    case: FloodingCase,
    spaces: Sequence[Compartment],
    part: float,
) -> Plane | None:
    lost = [(clip_body(space.mesh), part * _share(case, space)) for space in spaces] if part > 0.0 else []
    settled = settle(carrier, boat.mass / density, boat.centre, plane, lost, density)
    return settled.plane if isinstance(settled, Settled) else None


def _share(case: FloodingCase, space: Compartment) -> float:
    return case.shares.get(space.name, space.permeability)


def _measured(plane: Plane, case: FloodingCase, spaces: Sequence[Compartment], paths: Sequence[FlowPath], part: float) -> _Rest:
    depths = {}
    for space in spaces:
        deepest = max(-float(plane.over(space.mesh.vertices).min()), 0.0)
        down = np.linspace(deepest, 0.0, LEVELS)
        volumes = np.array([_share(case, space) * volume_under(space.mesh, plane.moved(-each)) for each in down])
        depths[space.name] = np.maximum.accumulate(volumes), down
    holed = next(space for space in spaces if space.name == case.holed[0])
    return _Rest(
        water=part * sum(float(volumes[-1]) for volumes, _ in depths.values()),
        depths=depths,
        sills=tuple(-float(plane.over(path.outline).min()) for path in paths),
        bottom=-float(plane.over(holed.mesh.vertices).min()),
    )


@dataclass(frozen=True, eq=False, slots=True)
class _Inflow:
    """Water on its way into the flooded spaces."""

    holed: str
    spaces: Sequence[Compartment]
    paths: Sequence[FlowPath]
    rests: Sequence[_Rest]
    hole: float
    pump: float

    def run(self, lost: bool) -> Filling:
        """Steps through time, each by the rates in its middle, to the last mark, a balance with the pump, or the longest time."""
        held = {space.name: 0.0 for space in self.spaces}
        end, first = self.rests[-1].water, max(self._rates(held)[0], 0.0)
        marks: list[Filled] = []
        totals, seconds, balance = [0.0], 0.0, None
        while len(marks) < len(MARKS) and seconds < LONGEST and first > 0.0:
            net = self._net(held)
            fastest = max(abs(rate) for rate in net.values())
            if fastest == 0.0 or (self.pump and len(totals) > WINDOW and totals[-1] - totals[-WINDOW] < STALLED * end):
                balance = totals[-1]
                break
            step = end / STEPS / fastest
            middle = {name: max(held[name] + rate * step / 2, 0.0) for name, rate in net.items()}
            held = {name: max(held[name] + rate * step, 0.0) for name, rate in self._net(middle).items()}
            before, after = totals[-1], sum(held.values())
            for share in MARKS[len(marks) :]:
                if after >= share * end > before:
                    at = seconds + step * (share * end - before) / (after - before)
                    marks.append(Filled(share=share, volume=share * end, seconds=at))
            totals.append(after)
            seconds += step
        marks += [Filled(share=share, volume=share * end, seconds=None) for share in MARKS[len(marks) :]]
        return Filling(hole=self.hole, pump=self.pump, first=first, marks=tuple(marks), held=balance, lost=lost)

    def _net(self, held: dict[str, float]) -> dict[str, float]:
        """What each space gains [m3/s], the pump running in the holed one as long as there is water."""
        inflow, between = self._rates(held)
        net = {name: between.get(name, 0.0) for name in held}
        net[self.holed] += inflow
        if self.pump and (held[self.holed] > 0.0 or net[self.holed] > self.pump):
            net[self.holed] -= self.pump
        elif self.pump:
            net[self.holed] = 0.0
        return net

    def _rates(self, held: dict[str, float]) -> tuple[float, dict[str, float]]:
        """Through the hole, and what every space gains through flow paths [m3/s], the water standing in her as `held`."""
        water = sum(held.values())
        k = int(np.clip(np.searchsorted([rest.water for rest in self.rests], water), 1, len(self.rests) - 1))
        before, after = self.rests[k - 1], self.rests[k]
        part = min((water - before.water) / max(after.water - before.water, 1e-12), 1.0)

        def mixed(one: float, other: float) -> float:
            return one + part * (other - one)

        depth = {name: mixed(before.depth(name, volume), after.depth(name, volume)) for name, volume in held.items()}
        depth[OUTSIDE] = 0.0
        bottom = mixed(before.bottom, after.bottom)
        inflow = _flow(pi / 4 * self.hole**2, 0.0, bottom, depth[self.holed])
        gains = dict.fromkeys(held, 0.0)
        for path, one, other in zip(self.paths, before.sills, after.sills, strict=True):
            here, there = path.between
            upper, lower = (here, there) if depth[here] <= depth[there] else (there, here)
            over = mixed(one, other) - depth[upper]
            if over > 0.0:
                wet, head = mean_head(float(np.ptp(path.outline[:, 2])), over)
                area = path.area if OUTSIDE in path.between else min(path.area, WIDE * pi / 4 * self.hole**2)
                rate = orifice_flow(wet * area, min(head, depth[lower] - depth[upper])) / 60_000.0
                for name, gain in ((lower, rate), (upper, -rate)):
                    if name != OUTSIDE and (gain > 0.0 or held[name] > 0.0):
                        gains[name] += gain
        return inflow, gains


def _flow(area: float, outer: float, place: float, inner: float) -> float:
    """Through a hole [m3/s] whose place lies so deep [m] under the sea, from one level to another, both as depths."""
    return orifice_flow(area, min(place, inner) - outer) / 60_000.0
