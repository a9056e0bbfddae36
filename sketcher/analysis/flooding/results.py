"""The results of a flooding case."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from sketcher.analysis.findings import Phrase
from sketcher.analysis.flooding.freeboards import LidLevel, OpeningLevel
from sketcher.analysis.results import WaterPlane

Verdict = Literal["floats", "downfloods", "capsizes", "founders", "unknown"]

WORST_FIRST: tuple[Verdict, ...] = ("founders", "capsizes", "downfloods", "unknown", "floats")

LID_MARGIN = 0.05
"""[m] how far a lid should stay above the flooded water, unless another margin is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """Water went through a flow path. head [m]: its level over the path's lowest point then; into: the space that filled."""

    path: str
    into: str
    head: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Attitude:
    """How she lies. least_freeboard [m] to the deck's edge, and where; gm [m]: transverse metacentric height left."""

    water: WaterPlane
    least_freeboard: float
    least_freeboard_at: tuple[float, float, float]
    gm: float


@dataclass(frozen=True, eq=False, kw_only=True)
class FloodingCase:
    """One case. holed: as asked; floods: everything open to the sea at the end, the holed first, then in the order crossed.

    reason: of the verdict. water, trim_change [deg, by the bow], water_volume [m3], freeboards, gm [m]: at the end; None where
    there is no rest or a figure is missing. lids, openings: heights over the water. crossed: each flow path, in order.
    through, before: the flow paths from outside that were crossed, and how she lay before the first of them was.
    hand: the water's height forward and after by the small-angle formulas, for all that floods, where asked for. residual [kg]:
    buoyancy less weight. shares: the permeability each flooded space was given. intact: the waterline she floods from. emptiest:
    the same case with her spaces as empty as she may sail (`afloat.permeability.emptiest`), which may end better or worse; None
    where that is this same state.
    """

    holed: tuple[str, ...]
    floods: tuple[str, ...]
    verdict: Verdict
    reason: Phrase
    water: WaterPlane | None = None
    trim_change: float | None = None
    water_volume: float | None = None
    least_freeboard: float | None = None
    least_freeboard_at: tuple[float, float, float] | None = None
    forward_freeboard: float | None = None
    after_freeboard: float | None = None
    gm: float | None = None
    lids: tuple[LidLevel, ...] = ()
    openings: tuple[OpeningLevel, ...] = ()
    crossed: tuple[Crossing, ...] = ()
    through: tuple[str, ...] = ()
    before: Attitude | None = None
    hand: tuple[float, float] | None = None
    residual: float | None = None
    steps: int = 0
    lolled: bool = False
    shares: Mapping[str, float] = field(default_factory=dict)
    estimated: bool = False
    intact: WaterPlane | None = None
    emptiest: FloodingCase | None = None

    @property
    def states(self) -> tuple[FloodingCase, ...]:
        """The case as stated, then at its emptiest where that is another."""
        return (self,) if self.emptiest is None else (self, self.emptiest)
