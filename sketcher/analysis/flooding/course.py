"""The course of a flooding case: what is open to the sea so far, and the case that it ends in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from sketcher.analysis.afloat.equilibrium import Settled, Unsettled
from sketcher.analysis.findings import Angle, Length, Phrase
from sketcher.analysis.flooding.results import Attitude, Crossing, FloodingCase
from sketcher.analysis.results import WaterPlane

TOLD_HEEL = 0.5
"""[deg] a heel that people aboard would feel, and that the answer tells."""


@dataclass(slots=True)
class Course:
    """The course of a case: which spaces are open to the sea so far, and which flow paths the water crossed."""

    holed: tuple[str, ...]
    floods: list[str]
    intact: WaterPlane | None
    crossed: list[Crossing] = field(default_factory=list)
    through: list[str] = field(default_factory=list)
    before: Attitude | None = None
    steps: int = 0

    def without_rest(self, why: Unsettled) -> FloodingCase:
        """The case of a boat that finds no rest, or of which a figure is missing."""
        return FloodingCase(
            holed=self.holed,
            floods=tuple(self.floods),
            verdict="unknown" if why.reason == "unsettled" else why.reason,
            reason=why.why,
            crossed=tuple(self.crossed),
            through=tuple(dict.fromkeys(self.through)),
            before=self.before,
            steps=self.steps,
            intact=self.intact,
        )


def not_even_intact(intact: Settled | Unsettled) -> Unsettled:
    """Why a boat is lost that found no upright rest before she was holed."""
    if isinstance(intact, Unsettled):
        return Unsettled(intact.reason, Phrase("even-without-a-hole", {"reason": intact.why}))
    return Unsettled("capsizes", Phrase("even-without-a-hole", {"reason": Phrase("metacentric-height-negative")}))


def rest_words(lies: Attitude, through: Sequence[str], lolled: bool) -> Phrase:
    """How she lies at rest; heel and the deck's edge only where they are worth a word."""
    heel, edge = lies.water.heel, lies.least_freeboard
    return Phrase(
        "comes-to-rest",
        {
            "through": tuple(dict.fromkeys(through)),
            "heel": Angle(heel) if abs(heel) >= TOLD_HEEL else None,
            "lolled": lolled,
            "edge_depth": Length(-edge) if edge < 0 else None,
            "edge_aft": Length(lies.least_freeboard_at[0]),
        },
    )
