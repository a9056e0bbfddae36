"""Compartments holed on the page: what floods, and the boat as she then floats."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from sketcher.analysis.evaluate import with_flooding
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.at_rest import at_rest, water_held
from sketcher.analysis.flooding.cases import first_cases, flooding_cases, given_way_cases
from sketcher.geometry.caching import remembered
from sketcher.model.errors import SketchError
from sketcher.web.logic.session import Session
from sketcher.web.state import DamagedCondition, JudgedHoles


@dataclass(eq=False, repr=False)
class Damage:
    """shown: the boat as she is looked at; holed: names of the compartments with a hole, in the order they were made.

    tried: whether there ever was one.
    """

    session: Session
    shown: Callable[[], Evaluation]
    holed: tuple[str, ...] = ()
    tried: bool = False
    _judged: tuple[Evaluation, JudgedHoles] | None = None

    def toggle(self, name: str) -> None:
        """Hole a compartment, or close the hole again."""
        self.tried = True
        self.holed = tuple(other for other in self.holed if other != name) if name in self.holed else (*self.holed, name)

    def close(self) -> None:
        """Close all holes."""
        self.holed = ()

    def condition(self, figured: Evaluation | None = None) -> DamagedCondition | None:
        """The boat with her holes; None without any. figured: while figures follow, those of a moment before: how she then lay.

        Where that cannot be worked out the holes are closed, and it is said.
        """
        try:
            if figured is None:
                return damaged_condition(self.shown(), self.holed)
            before = damaged_condition(figured, self.holed)
            return None if before is None else replace(before, evaluation=_resting(self.shown(), before.case))
        except SketchError as problem:
            self.session.notices.refuse(problem)
            self.close()
            return None

    def in_turn(self, *, resting: bool) -> JudgedHoles | None:
        """Each compartment holed by itself, worked out once the page rests: no picture waits for it. None before that."""
        evaluation = self.shown()
        if resting:
            self._judged = evaluation, holed_in_turn(evaluation)
        return self._judged[1] if self._judged is not None and self._judged[0] is evaluation else None


def damaged_condition(evaluation: Evaluation, holed: tuple[str, ...]) -> DamagedCondition | None:
    """The boat with holes in compartments; None without any, or where the compartments are gone.

    Raises SketchError where it cannot be worked out.
    """
    names = tuple(name for name in holed if any(space.name == name for space in evaluation.layout.compartments))
    return _condition(evaluation, names) if names else None


@remembered(1)
def holed_in_turn(evaluation: Evaluation) -> JudgedHoles:
    """What is told first of holes, and what there is to say of it beside what the evaluation says."""
    cases = first_cases(evaluation.layout, evaluation.water, evaluation.floating)
    return JudgedHoles(cases=cases, evaluation=with_flooding(evaluation, cases))


_resting = remembered(1)(at_rest)


@remembered(3)
def _condition(evaluation: Evaluation, holed: tuple[str, ...]) -> DamagedCondition:
    boat = evaluation.layout, evaluation.water, evaluation.floating
    (case,) = flooding_cases(*boat, holed)
    return DamagedCondition(
        case=case,
        evaluation=at_rest(evaluation, case),
        water_in=water_held(evaluation.layout, case),
        given_way=given_way_cases(*boat, (case,)),
    )
