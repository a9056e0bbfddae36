"""Spaces holed on the page: what floods, and the boat as she then lies."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sketcher.analysis.flooding import flooding_cases
from sketcher.analysis.flooding_results import FloodingCase
from sketcher.analysis.results import Evaluation


@dataclass(frozen=True, slots=True)
class Flooded:
    """case: what happens with the spaces holed; lying: the evaluation with the water where it then stands."""

    case: FloodingCase
    lying: Evaluation


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
            lying = replace(evaluation, water=case.water) if case.water is not None else evaluation
            self._made_of, self._made = (evaluation, names), Flooded(case, lying)
        return self._made
