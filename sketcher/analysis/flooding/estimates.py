"""Flooding of a boat of which only the forward part was measured: what the `boat` block allows, marked as an estimate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sketcher.analysis.afloat.buoyancy import Lost
from sketcher.analysis.afloat.waterplane import freeboards_at
from sketcher.analysis.findings import Phrase
from sketcher.analysis.flooding.freeboards import lid_tops, opening_levels
from sketcher.analysis.flooding.lid_heights import lids_in_water
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import OUTSIDE, Compartment, Floating, Layout, WaterPlane
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import clip_body
from sketcher.geometry.tolerances import CROSSED

ROUNDS = 200
"""Each round adds the water of the round before at its new level; a boat that takes more rounds is filling without end."""
STILL = 1e-6
"""[m] The estimate has settled when a round moves neither end further."""


@dataclass(frozen=True, eq=False, slots=True)
class Estimate:
    """floods: spaces open to the sea; water: her estimated waterline, heel as stated, or None and the reason why."""

    floods: tuple[str, ...]
    reason: Phrase
    water: WaterPlane | None = None
    water_volume: float | None = None


def estimated_case(
    layout: Layout,
    water: WaterPlane,
    afloat: Floating,
    names: tuple[str, ...],
    permeability: Mapping[str, float],
    margin: float,
) -> FloodingCase:
    """The case of a boat of which only the forward part was measured: unknown, with an estimated waterline where there is one."""
    estimated = estimate(layout, water, afloat, names, permeability)
    case = FloodingCase(holed=names, floods=estimated.floods, verdict="unknown", reason=estimated.reason, intact=water)
    if estimated.water is None:
        return case
    spaces = {space.name: space for space in layout.compartments}
    shares = {name: permeability.get(name, spaces[name].permeability) for name in estimated.floods}
    lost = [(clip_body(spaces[name].mesh), share) for name, share in shares.items()]

    def rest(more: Lost) -> Plane | None:
        then = still_water(layout, water, afloat, [*lost, *more])
        return None if then is None else then.plane

    return replace(
        case,
        water=estimated.water,
        trim_change=estimated.water.trim_deg - water.trim_deg,
        forward_freeboard=freeboards_at(layout.hull, estimated.water)[0],
        water_volume=estimated.water_volume,
        lids=lids_in_water(layout, lid_tops(layout), estimated.water.plane, margin, shares, rest),
        openings=opening_levels(layout.flow_paths, estimated.water.plane),
        shares=shares,
        estimated=True,
    )


def estimate(
    layout: Layout, water: WaterPlane, afloat: Floating, holed: Sequence[str], permeability: Mapping[str, float]
) -> Estimate:
    """Water taken in as a weight, by kg per cm and moment per cm, again and again until the level no longer rises.

    Forward heights only are estimated: how the boat heels, and what freeboard and stability are left aft, is not known.
    """
    boat, floods = layout.hull.hull.boat, list(holed)
    if boat is None or boat.length is None or None in (afloat.kg_per_cm, afloat.moment_per_cm, afloat.centre_of_flotation):
        return Estimate(tuple(floods), Phrase("measured-forward-only"))
    while True:
        unbounded = next((name for name in floods if not _space(layout, name).bounded), None)
        if unbounded is not None:
            return Estimate(tuple(floods), Phrase("runs-past-measured-end", {"space": unbounded}))
        lost = [(clip_body(space.mesh), permeability.get(name, space.permeability)) for name, space in _named(layout, floods)]
        then = still_water(layout, water, afloat, lost)
        if then is None:
            return Estimate(tuple(floods), Phrase("fills-without-end"))
        new = _dipping(layout, floods, then)
        if not new:
            reason = Phrase("estimated-from-boat-block")
            return Estimate(tuple(floods), reason, then, _taken_in(lost, then)[0])
        floods += new


def still_water(layout: Layout, water: WaterPlane, afloat: Floating, lost: Lost) -> WaterPlane | None:
    """The water once these spaces have filled to its level; None where that has no end, or the `boat` block says too little."""
    boat, density = layout.hull.hull.boat, layout.scene.water_density
    if boat is None or boat.length is None:
        return None
    then = water
    for _ in range(ROUNDS):
        last, then = then, _sunk(water, afloat, boat.length, density, *_taken_in(lost, then))
        if not -1.0 < then.forward - water.forward < 10.0:
            return None
        if abs(then.forward - last.forward) + abs(then.after - last.after) < STILL:
            return then
    return None


def _space(layout: Layout, name: str) -> Compartment:
    return next(space for space in layout.compartments if space.name == name)


def _named(layout: Layout, names: Sequence[str]) -> list[tuple[str, Compartment]]:
    return [(name, _space(layout, name)) for name in names]


def _taken_in(lost: Lost, water: WaterPlane) -> tuple[float, float]:
    """Volume of water in flooded spaces [m3] and its moment about x = 0 [m4]."""
    cuts = [share * body.under(water.plane) for body, share in lost]
    return sum(cut.volume for cut in cuts), sum(float(cut.moment[0]) for cut in cuts)


def _sunk(water: WaterPlane, afloat: Floating, length: float, density: float, volume: float, moment: float) -> WaterPlane:
    """The stated waterline raised by a weight of water, by the boat's figures per centimetre."""
    assert afloat.kg_per_cm is not None
    assert afloat.moment_per_cm is not None
    assert afloat.centre_of_flotation is not None
    at = afloat.centre_of_flotation
    rise = density * volume / afloat.kg_per_cm / 100.0
    slope = density * (volume * at - moment) / afloat.moment_per_cm / 100.0 / length
    return replace(
        water,
        forward=water.forward + rise + slope * (at - water.x_forward),
        after=water.after + rise + slope * (at - water.x_after),
    )


def _dipping(layout: Layout, floods: Sequence[str], water: WaterPlane) -> list[str]:
    """Dry spaces that a flow path under the water joins to a flooded one or the sea."""
    wet, found = {*floods, OUTSIDE}, []
    for path in layout.flow_paths:
        dry = [name for name in path.between if name not in wet and name not in found]
        if len(dry) == 1 and len(path.outline) and float(water.plane.over(path.outline).min()) < -CROSSED:
            found.append(dry[0])
    return found
