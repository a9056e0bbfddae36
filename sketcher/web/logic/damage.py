"""Compartments holed on the page: what floods, and the boat as she then floats."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.analysis.afloat.immersion import wet
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.geometry.caching import remembered
from sketcher.model.errors import SketchError
from sketcher.web.logic.session import Session
from sketcher.web.state import DamagedCondition


@dataclass(eq=False, repr=False)
class Damage:
    """holed: names of the compartments with a hole, in the order they were made."""

    session: Session
    holed: tuple[str, ...] = ()

    def toggle(self, name: str) -> None:
        """Hole a compartment, or close the hole again."""
        self.holed = tuple(other for other in self.holed if other != name) if name in self.holed else (*self.holed, name)

    def close(self) -> None:
        """Close all holes."""
        self.holed = ()

    def condition(self) -> DamagedCondition | None:
        """The boat with her holes; None without any.

        Where that cannot be worked out the holes are closed, and it is said.
        """
        try:
            return damaged_condition(self.session.evaluation, self.holed)
        except SketchError as problem:
            self.session.notices.refuse(problem)
            self.close()
            return None


def damaged_condition(evaluation: Evaluation, holed: tuple[str, ...]) -> DamagedCondition | None:
    """What follows from holes in compartments; None without any, or where the compartments are gone.

    Raises SketchError where it cannot be worked out.
    """
    names = tuple(name for name in holed if any(space.name == name for space in evaluation.layout.compartments))
    return _condition(evaluation, names) if names else None


@remembered(1)
def _condition(evaluation: Evaluation, holed: tuple[str, ...]) -> DamagedCondition:
    (case,) = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, holed)
    afloat = _at_the_end(evaluation, case)
    return DamagedCondition(case=case, evaluation=afloat, water_in=_water_in(afloat, case))


def _at_the_end(evaluation: Evaluation, case: FloodingCase) -> Evaluation:
    """The boat as she floats at the end; as she floated before where she comes to no rest."""
    if case.water is None:
        return evaluation
    return replace(evaluation, water=case.water, wet=wet(evaluation.layout.compartments, case.water))


def _water_in(afloat: Evaluation, case: FloodingCase) -> dict[str, float | None]:
    """The water in each compartment that floods: what of it is below the water, less what its permeability leaves out."""
    found: dict[str, float | None] = {}
    for space, under in zip(afloat.layout.compartments, afloat.wet, strict=True):
        if space.name in case.floods:
            known = case.water is not None and under is not None and space.bounded
            found[space.name] = under.below * case.shares.get(space.name, space.permeability) if known and under else None
    return found
