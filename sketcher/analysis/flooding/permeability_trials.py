"""Trials of other permeabilities: a case with a space empty, with bottles or foam in it, or as its use can make it at worst."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.geometry.solid.rays import holds

if TYPE_CHECKING:
    from sketcher.analysis.flooding.results import FloodingCase
    from sketcher.analysis.results import Compartment, Floating, Layout, WaterPlane

STEEL = 7850.0
"""[kg/m3] chain"""
EMPTY = "void"
AS_IT_IS = "as in the scene"
FILLS = {"empty": EMPTY, "bottles, usual": "bottles", "foam, usual": "foam"}
"""What a space may be filled with, and the use whose usual permeability that is."""


def compare_fills(
    layout: Layout,
    water: WaterPlane | None,
    afloat: Floating,
    holed: Sequence[str],
    space: str,
    condition: str | None = None,
    permeability: Mapping[str, float] | None = None,
) -> dict[str, FloodingCase]:
    """The case of `holed` with one space as the scene has it, empty, and with bottles and foam as they usually fill a space.

    permeability: other values, by fill.
    """
    own = next(each.permeability for each in layout.compartments if each.name == space)
    shares = {AS_IT_IS: own} | {fill: USES[use].permeability for fill, use in FILLS.items()} | dict(permeability or {})
    return {fill: flooding_cases(layout, water, afloat, holed, permeability={space: share})[0] for fill, share in shares.items()}


def worst_permeability(layout: Layout, space: Compartment) -> float | None:
    """The greatest permeability of a space whose stores or chain may be taken out; None where its use settles it.

    Stowage: as a void. A chain locker: one less the steel's share, by the weights of chain placed in it; as a void without.
    """
    if space.use == "stowage":
        return max(space.permeability, USES[EMPTY].permeability)
    if space.use != "chain":
        return None
    steel = sum(weight.kg for weight in layout.scene.weights if weight.kg > 0 and holds(space.mesh, np.array(weight.at))) / STEEL
    return max(space.permeability, 1.0 - steel / space.volume if steel > 0 else USES[EMPTY].permeability)


def worst_cases(
    layout: Layout, water: WaterPlane | None, afloat: Floating, cases: Sequence[FloodingCase]
) -> tuple[FloodingCase | None, ...]:
    """For each case the same with stowage and chain lockers at their worst permeability; None where none of them floods."""
    worst = {space.name: share for space in layout.compartments if (share := worst_permeability(layout, space)) is not None}
    return tuple(
        flooding_cases(layout, water, afloat, case.holed, permeability=worst)[0] if worst.keys() & set(case.floods) else None
        for case in cases
    )
