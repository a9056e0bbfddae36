"""What is asked of a place, and the row of figures that answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sketcher.analysis.findings import Finding
from sketcher.model.edits.number_range import NumberRange
from sketcher.model.scene import Scene
from sketcher.model.stated_limits import StatedLimit

FigureValue = float | str | None


@dataclass(frozen=True, slots=True)
class Question:
    """A scene and what of it moves. holed: spaces holed together, each set for itself; more: limits beside the scene's."""

    scene: Scene
    ranges: tuple[NumberRange, ...]
    holed: tuple[tuple[str, ...], ...] = ()
    more: tuple[StatedLimit, ...] = ()

    @property
    def limits(self) -> tuple[StatedLimit, ...]:
        """Every limit that is read at a place."""
        return (*self.scene.limits, *self.more)

    @property
    def all_holed(self) -> tuple[tuple[str, ...], ...]:
        """Every set of spaces that is flooded, those of limits among them."""
        return tuple(dict.fromkeys((*self.holed, *(limit.when_holed for limit in self.limits if limit.when_holed))))


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit at one place: value and bound in SI or degrees; met None: not known; margin: negative by how much missed."""

    name: str
    figure: str
    path: str
    value: float | None
    bound: float
    met: bool | None
    margin: float | None


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """One place. values: of each range; figures: by their path in the report's JSON; None: not known, or no longer there.

    rules: whether the collision bulkhead stands in each rule's window, by source. error: why there is no boat here. read: what is
    read beside the scene's limits, by the same means.
    """

    values: tuple[float, ...]
    figures: Mapping[str, FigureValue] = field(default_factory=dict)
    limits: tuple[LimitRow, ...] = ()
    read: tuple[LimitRow, ...] = ()
    rules: Mapping[str, bool] = field(default_factory=dict)
    error: str | Finding | None = None

    @property
    def feasible(self) -> bool:
        """Whether there is a boat that meets every limit."""
        return self.error is None and all(limit.met for limit in self.limits)

    @property
    def missed(self) -> tuple[str, ...]:
        """The limits that forbid this place: missed, or not known at it."""
        return tuple(limit.name for limit in self.limits if not limit.met)


@dataclass(frozen=True, slots=True)
class Sweep:
    """Rows of all places that were worked out, in order. complete: whether these are all that were asked for."""

    question: Question
    rows: tuple[PlaceRow, ...]
    complete: bool = True

    @property
    def paths(self) -> tuple[str, ...]:
        """Every figure that some place has, in the order met."""
        return tuple(dict.fromkeys(path for row in self.rows for path in row.figures))
