"""The boat as she lies at the end of a flooding case, and the water that then stands in her."""

from __future__ import annotations

from dataclasses import replace

from sketcher.analysis.afloat.immersion import immersion
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import Compartment, Layout, WaterPlane


def at_rest(evaluation: Evaluation, case: FloodingCase) -> Evaluation:
    """The boat at the waterline she comes to rest at, every space judged by it; as she floated before where she finds no rest."""
    if case.water is None:
        return evaluation
    return replace(evaluation, water=case.water, immersion=immersion(evaluation.layout.compartments, case.water))


def water_held(layout: Layout, case: FloodingCase) -> dict[str, float | None]:
    """Water [m3] in each flooded space of a case; None for each where she finds no rest, and where a space has no known end."""
    return {
        space.name: None
        if case.water is None or not space.bounded
        else water_in(space, case.water, case.shares.get(space.name, space.permeability))
        for space in layout.compartments
        if space.name in case.floods
    }


def water_in(space: Compartment, water: WaterPlane, share: float) -> float:
    """The water in a space open to the sea [m3]. share: its permeability."""
    (under,) = immersion([space], water)
    assert under is not None
    return share * under.below
