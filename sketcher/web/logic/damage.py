"""Spaces holed on the page: what floods, and the boat as she then lies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from sketcher.analysis.afloat.immersion import wet
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.results import FloodingCase


@dataclass(frozen=True, slots=True)
class Flooded:
    """case: what happens with the spaces holed; lying: the evaluation with the water where it then stands.

    water_in: the water [m3] in each space that floods; None where it cannot be known.
    """

    case: FloodingCase
    lying: Evaluation
    water_in: Mapping[str, float | None]


@dataclass(eq=False, repr=False)
class Holing:
    """Which spaces are holed; what follows is worked out once for each evaluation."""

    holed: tuple[str, ...] = ()
    _made_of: tuple[Any, ...] = ()
    _made: Flooded | None = None

    def toggle(self, name: str) -> None:
        """Hole a space, or close the hole again."""
        self.holed = tuple(other for other in self.holed if other != name) if name in self.holed else (*self.holed, name)

    def flooded(self, evaluation: Evaluation) -> Flooded | None:
        """What follows from the holes; None without any, or where their spaces are gone. Raises SketchError."""
        names = tuple(name for name in self.holed if any(space.name == name for space in evaluation.layout.compartments))
        if not names:
            return None
        if self._made is None or self._made_of != (evaluation, names):
            (case,) = flooding_cases(evaluation.layout, evaluation.water, evaluation.floating, names)
            lying = _lying(evaluation, case)
            self._made_of, self._made = (evaluation, names), Flooded(case, lying, _water_in(lying, case))
        return self._made


def _lying(evaluation: Evaluation, case: FloodingCase) -> Evaluation:
    """The boat as she lies at the end; as she stood before where there is no rest."""
    if case.water is None:
        return evaluation
    return replace(evaluation, water=case.water, wet=wet(evaluation.layout.compartments, case.water))


def _water_in(lying: Evaluation, case: FloodingCase) -> dict[str, float | None]:
    """The water in each space that floods: what of it lies under the water's level, less what its permeability leaves out."""
    found: dict[str, float | None] = {}
    for space, under in zip(lying.layout.compartments, lying.wet, strict=True):
        if space.name in case.floods:
            known = case.water is not None and under is not None and space.bounded
            found[space.name] = under.below * case.shares.get(space.name, space.permeability) if known and under else None
    return found
