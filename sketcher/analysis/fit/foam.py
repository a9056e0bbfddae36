"""Foam in a space: how much, in how many kits and pours, what it weighs and lifts, and what it takes away for good."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.findings import Area, Finding, Length, Mass, Phrase, Place, Volume
from sketcher.analysis.fit.access import space_named
from sketcher.analysis.hull.form import SKIN
from sketcher.analysis.results import Compartment, Layout
from sketcher.geometry.packing.heap import heap
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.model.contents import Foam

CREDIT = 881.0
"""[kg/m3] What foam may count for at the most, source `foam-credit`."""
SHARES = {"poured": 1.0, "blocks": 0.85}
"""Share of a space that is filled where the file does not say; of blocks by habit, source `foam-blocks`."""

HEAT = 4455.0 * 68.5e3 / 1100.0
"""[J/kg] What the mixed liquids give off: 4455 mol of isocyanate in a cubic metre of 1100 kg, 68.5 kJ each; `foam-heat`."""
CAPACITY, CONDUCTIVITY = 1800.0, 0.0225
"""[J/kg K, W/m K] How foam holds heat and lets it out; source `foam-heat`."""
POURED_AT, RISING = 25.0, 300.0
"""[deg C, s] What it is poured at and how long it rises; source `foam-pour`."""
COOLED = 0.1
"""A lift has cooled when this share of its rise in temperature is left in its middle."""
CAUTIOUS_LAYER = 0.025
"""[m] What one supplier asks for in deep cavities, source `foam-heat`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """One lift of poured foam, from its lowest to its highest level [m], and how much of it [m3].

    heat [J] that it gives off; hottest [deg C] and cooling [s], estimates: in its middle, and until that has cooled, between
    faces that stay cold, so that against anything warmer it gets hotter and takes longer.
    """

    low: float
    high: float
    volume: float
    heat: float
    hottest: float
    cooling: float


@dataclass(frozen=True, eq=False, kw_only=True)
class FoamFill:
    """Foam in a space. volume [m3]: in place; bought [m3]: with waste; kits: of the size stated, None without one; mass [kg].

    lift [kg]: what it displaces in this water less its own mass; credited [kg]: what the published rule lets it count for.
    permeability: what is left of the space for water. pours: from the bottom up, empty for blocks. top [m]: how high it comes.
    lowest, highest: (3,) where water must get out and air must get out [m]. skin [m2]: of the shell no longer to be looked at.
    """

    name: str
    space: str
    form: str
    volume: float
    bought: float
    kits: int | None
    mass: float
    lift: float
    credited: float
    permeability: float
    pours: tuple[Pour, ...]
    top: float
    lowest: tuple[float, float, float]
    highest: tuple[float, float, float]
    skin: float


def foam_fills(layout: Layout) -> tuple[tuple[FoamFill, ...], tuple[Finding, ...]]:
    """Every foam filling, in the file's order, with its cautions once each. Raises SketchError for a space that is not there."""
    fills = tuple(_fill(layout, foam) for foam in layout.scene.foams)
    findings = [finding for fill in fills for finding in _about_water_and_air(fill)]
    poured = [fill for fill in fills if fill.form == "poured"]
    if poured:
        findings.append(_pouring(poured[0], max((len(fill.pours) for fill in poured), default=1)))
    blocks = next((fill for fill in fills if fill.form == "blocks"), None)
    if blocks is not None:
        findings.append(_solvents(blocks))
    return fills, tuple(findings)


def _fill(layout: Layout, foam: Foam) -> FoamFill:
    space = space_named(layout, foam.space, f"foams.{foam.name}.in")
    share = SHARES[foam.form] if foam.share is None else foam.share
    volume = share * space.volume
    bought = volume / (1.0 - foam.waste)
    vertices = space.mesh.vertices
    low, high = vertices[np.argmin(vertices[:, 2])].tolist(), vertices[np.argmax(vertices[:, 2])].tolist()
    empty, foamed = USES["void"].permeability, USES["foam"].permeability
    return FoamFill(
        name=foam.name,
        space=space.name,
        form=foam.form,
        volume=volume,
        bought=bought,
        kits=None if not foam.kit else int(np.ceil(bought / foam.kit - 1e-9)),
        mass=volume * foam.density,
        lift=volume * (layout.scene.water_density - foam.density),
        credited=volume * min(CREDIT, layout.scene.water_density - foam.density),
        permeability=empty * (1.0 - share) + foamed * share,
        pours=_pours(space, foam.lift, share, foam.density) if foam.form == "poured" else (),
        top=heap(space.mesh, volume, (high[0], high[1], high[2]), 0.0).peak,
        lowest=(low[0], low[1], low[2]),
        highest=(high[0], high[1], high[2]),
        skin=_skin(space),
    )


def _skin(space: Compartment) -> float:
    """Area of the shell that bounds a space [m2]."""
    a, b, c = space.mesh.vertices[space.mesh.triangles[space.mesh.labels == SKIN].T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def _pours(space: Compartment, depth: float, share: float, density: float) -> tuple[Pour, ...]:
    """Lifts no deeper than `depth`, from the bottom up, until the share of the space is full."""
    count = min(int(np.ceil((space.highest - space.lowest) / depth - 1e-9)), 1000)
    levels = space.lowest + depth * np.arange(1, count + 1)
    levels[-1] = space.highest
    under = [0.0, *(min(volume_under(space.mesh, Plane.level(float(level))), share * space.volume) for level in levels)]
    pours = []
    for k, level in enumerate(levels):
        if under[k + 1] - under[k] > 1e-9:
            low, high = float(levels[k - 1]) if k else space.lowest, float(level)
            pours.append(_pour(low, high, under[k + 1] - under[k], density))
    return tuple(pours)


def _pour(low: float, high: float, volume: float, density: float) -> Pour:
    settling = (high - low) ** 2 * density * CAPACITY / CONDUCTIVITY / np.pi**2
    return Pour(
        low=low,
        high=high,
        volume=volume,
        heat=volume * density * HEAT,
        hottest=POURED_AT + HEAT / CAPACITY * kept_in_the_middle(RISING / settling),
        cooling=float(settling * np.log(4.0 / np.pi / COOLED)),
    )


def kept_in_the_middle(time: float) -> float:
    """Share of a heat given off evenly over a time that is still in the middle of a slab between cold faces when it ends.

    time: in depth^2 / (pi^2 diffusivity). The series for the slab, integrated term by term; 1 for a time of 0.
    """
    odd = 2.0 * np.arange(200) + 1.0
    signs = np.where(np.arange(200) % 2, -1.0, 1.0)
    return float((4.0 / np.pi * signs / odd**3 * -np.expm1(-(odd**2) * time)).sum() / time)


def _about_water_and_air(fill: FoamFill) -> list[Finding]:
    return [
        Finding(
            code="foam-needs-drain",
            severity="note",
            object=fill.name,
            values={
                "space": fill.space,
                "skin": Area(fill.skin),
                "lowest": Place(fill.lowest),
                "highest": Place(fill.highest),
            },
            source="foam-credit",
            at=fill.lowest,
        )
    ]


def _pouring(fill: FoamFill, most: int) -> Finding:
    largest = max(fill.pours, key=lambda pour: pour.volume)
    return Finding(
        code="foam-isocyanate-heat",
        severity="warn",
        object=fill.name,
        values={
            "lifts": most,
            "largest": Volume(largest.volume),
            "heat": heat_phrase(fill),
            "layer": Length(CAUTIOUS_LAYER),
        },
        measured=largest.high - largest.low,
        source="foam-heat",
    )


def _solvents(fill: FoamFill) -> Finding:
    return Finding(
        code="foam-solvents",
        severity="note",
        object=fill.name,
        values={"foam": fill.name},
        source="foam-blocks",
    )


def pours_phrase(fill: FoamFill) -> Phrase:
    """The pours in order, each by its level and litres."""
    return Phrase("foam-pours", {"pours": tuple(_pour_phrase(pour) for pour in fill.pours)})


def _pour_phrase(pour: Pour) -> Phrase:
    return Phrase("foam-pour", {"low": Length(pour.low), "high": Length(pour.high), "volume": Volume(pour.volume)})


def credit_phrase(fill: FoamFill) -> Phrase:
    """What foam may count for, and why where that is less than it lifts."""
    return Phrase("foam-credit", {"lift": Mass(fill.lift), "credited": Mass(fill.credited), "limit": CREDIT})


def heat_phrase(fill: FoamFill) -> Phrase:
    """What the heat comes to, by an estimate: of the lift that gets hottest [deg C, s], and of the largest [J]."""
    hottest = max(fill.pours, key=lambda pour: pour.cooling)
    largest = max(pour.heat for pour in fill.pours)
    return Phrase("foam-heat", {"hottest": hottest.hottest, "cooling": hottest.cooling, "heat": largest})
