"""Which figure there may be most or least of at the best place, and which is offered first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.stated_limits import FIGURES, StatedLimit
from sketcher.outputs.places.figure_words import figure_name

UNWANTED = ("trim", "heel", "boards kg", "sheets")
"""Figures of which less is better, where nothing else is said."""
EMPTY = ("void", "bottles", "foam")
"""Uses of spaces that are there to float her."""


@dataclass(frozen=True, slots=True)
class PlaceGoal:
    """most: whether it is the most of the figure that is wanted, else the least."""

    most: bool
    figure: str
    of: str = ""
    holed: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """In words, and as the page names it."""
        of = f" of {self.of}" if self.of else ""
        holed = f" with {' and '.join(self.holed)} holed" if self.holed else ""
        return f"{'most' if self.most else 'least'} {self.figure}{of}{holed}"

    @property
    def stated(self) -> StatedLimit:
        """The figure as a search reads it."""
        bound = {"at_least": "0"} if self.most else {"at_most": "0"}
        return StatedLimit(name="", figure=self.figure, of=self.of or None, when_holed=self.holed, **bound)


def place_goals(evaluation: Evaluation, paths: Iterable[str], holed: tuple[str, ...]) -> tuple[PlaceGoal, ...]:
    """What can be asked of figures by their paths, most and least of each, the likeliest first."""
    stated = [
        PlaceGoal(limit.side == "at_least", limit.figure, limit.of or "", limit.when_holed)
        for limit in evaluation.scene.limits
        if FIGURES[limit.figure].quantity != "count"
    ]
    found = []
    for path in paths:
        name = figure_name(path)
        if name.kind not in FIGURES or (name.holed and name.holed != f"{' and '.join(holed)} holed"):
            continue
        found.append(PlaceGoal(name.kind not in UNWANTED, name.kind, name.of, holed if name.holed else ()))
    likely = sorted(stated, key=lambda goal: goal not in found) or _largest_void(evaluation, found)
    ordered = list(dict.fromkeys([*likely, *stated, *found]))
    turned = [PlaceGoal(not goal.most, goal.figure, goal.of, goal.holed) for goal in ordered]
    return tuple(dict.fromkeys([*ordered, *turned]))


def _largest_void(evaluation: Evaluation, goals: Sequence[PlaceGoal]) -> list[PlaceGoal]:
    """The litres of the largest void, or what is filled as one, that any place changes, else of the largest space."""
    litres = {goal.of: goal for goal in goals if goal.figure == "litres"}
    spaces = [space for space in evaluation.layout.compartments if space.name in litres and space.bounded]
    best = max(spaces, key=lambda space: (space.use in EMPTY, space.volume or 0.0), default=None)
    return [] if best is None else [litres[best.name]]
