"""Whether she floats swamped: lift against weight under water, by published factors, as a number and a plain sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sketcher.analysis.findings import Finding, Mass, Phrase
from sketcher.analysis.fit.bottles import BottledSpace
from sketcher.analysis.fit.foam import FoamFill
from sketcher.analysis.materials import GRAVITIES
from sketcher.analysis.results import Compartment, Floating, Layout

FRESH = 1000.0
"""[kg/m3] The published factors are for fresh water."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SwampedItem:
    """A part of the balance [kg]: what it weighs under water (positive), or lifts (negative)."""

    name: str
    kind: str
    kg: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Swamped:
    """The balance of a swamped boat [kg]. weight: of what sinks; lift: of wood, foam and bottles; air: of tight empty spaces.

    net: lift less weight, without the air; with_air: with it. unlisted: of the displacement that no part accounts for, None where
    the displacement is not known. answer: what that comes to, to be said.
    """

    items: tuple[SwampedItem, ...]
    weight: float
    lift: float
    air: float
    net: float
    with_air: float
    unlisted: float | None
    answer: Phrase


def under_water(kg: float, gravity: float, density: float) -> float:
    """Weight [kg] under water, of this density [kg/m3], of a part of this mass [kg] and specific gravity; negative: it lifts."""
    return kg * (1.0 - density / FRESH / gravity)


def swamped(layout: Layout, afloat: Floating, bottled: Sequence[BottledSpace], foams: Sequence[FoamFill]) -> Swamped | None:
    """The balance, or None where the scene lists no part that the boat is made of."""
    scene = layout.scene
    if not scene.parts:
        return None
    density = scene.water_density
    items = [
        SwampedItem(
            name=part.name,
            kind=part.made_of,
            kg=under_water(part.kg, part.density / FRESH if part.density else GRAVITIES[part.made_of], density),
        )
        for part in scene.parts
    ]
    items += [SwampedItem(name=fill.name, kind="foam", kg=-fill.credited) for fill in foams]
    items += [
        SwampedItem(name=f"bottles in {space.space}", kind="bottles", kg=-space.uplift)
        for space in bottled
        if space.uplift is not None
    ]
    filled = {fill.space for fill in foams} | {space.space for space in bottled}
    air = sum(density * space.volume for space in _dry(layout.compartments, filled))
    weight = sum(item.kg for item in items if item.kg > 0.0)
    lift = -sum(item.kg for item in items if item.kg < 0.0)
    unlisted = None if afloat.displacement is None else max(0.0, afloat.displacement - sum(part.kg for part in scene.parts))
    net = lift - weight
    return Swamped(
        items=tuple(items),
        weight=weight,
        lift=lift,
        air=air,
        net=net,
        with_air=net + air,
        unlisted=unlisted,
        answer=_answer(net, air, unlisted),
    )


def _dry(spaces: Sequence[Compartment], filled: set[str]) -> list[Compartment]:
    """Tight, empty spaces that nothing else has been counted in; source `air-chambers`: no rule credits them."""
    return [
        space
        for space in spaces
        if space.watertight and space.bounded and space.use in ("void", "bottles") and space.name not in filled
    ]


def _answer(net: float, air: float, unlisted: float | None) -> Phrase:
    left = None if unlisted is None else Mass(unlisted)
    return Phrase("swamped-answer", {"net": Mass(net), "with_air": Mass(net + air), "unlisted": left})


def swamped_findings(found: Swamped | None) -> tuple[Finding, ...]:
    """The answer once among the findings, with what the figures rest on."""
    if found is None:
        return ()
    return (
        Finding(
            code="swamped-balance",
            severity="note",
            object="the boat",
            values={"answer": found.answer},
            measured=found.net,
            limit=0.0,
            source="swamped-weight",
        ),
    )
