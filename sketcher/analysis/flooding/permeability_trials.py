"""Trials of other permeabilities: a case with a space empty, and with bottles or foam in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.flooding.cases import flooding_cases

if TYPE_CHECKING:
    from sketcher.analysis.flooding.results import FloodingCase
    from sketcher.analysis.results import Floating, Layout, WaterPlane

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
