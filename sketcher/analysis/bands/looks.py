"""One boat looked at: its figures by path and the margins behind its verdicts, by the evaluation that a report makes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import Literal

from sketcher.analysis.bands.edges import Edges, edges_of
from sketcher.analysis.bands.margins import Margins, margins_of
from sketcher.analysis.bands.readings import TapeReading, remeasured
from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.cases import resting_cases
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.limits.figures import reading
from sketcher.geometry.mesh import Floats, GeometryError
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.model.stated_limits import StatedLimit

FigureValues = Mapping[str, float | bool | str | None]
PACKED_OR_NOT = ("waterline.", "floating.", "compartments.", "berths.", "bulkheads.", "boards.")
"""How the paths of figures begin that are no others with nothing packed in her spaces."""
COARSE = 0.5
"""[share] Of a report's triangles: boats are set against each other, and the same facets err alike in all of them."""
Holed = Literal["pairs", "singles", "none"]
ReadFigures = Callable[[Evaluation, Sequence[FloodingCase]], FigureValues]
"""The figures of a boat by their paths in the report's JSON; a function of a module, so that other processes can call it."""


@dataclass(frozen=True, slots=True)
class BoatLook:
    """What one boat is: figures and verdicts by path, margins of verdicts, and heights of which a figure is the least."""

    values: FigureValues
    margins: Margins
    edges: Edges


@dataclass(frozen=True, slots=True)
class Looking:
    """How boats are looked at. more: figures that are asked for beside those that `read` gives; holed: spaces
    by themselves, adjoining pairs too, or none. resolution: of their surfaces, beside that of a report.
    """

    scene: Scene
    readings: tuple[TapeReading, ...]
    read: ReadFigures
    more: tuple[StatedLimit, ...] = ()
    holed: Holed = "pairs"
    resolution: float = COARSE

    def at(self, evaluation: Evaluation, cases: Sequence[FloodingCase]) -> BoatLook:
        """A boat that is evaluated already."""
        values = dict(self.read(evaluation, cases))
        for limit in self.more:
            found = reading(evaluation, limit, cases)
            values[found.path] = found.value
        return BoatLook(values, margins_of(evaluation, cases), edges_of(evaluation, cases))

    def remeasured(self, by: Floats) -> BoatLook | None:
        """The boat with each reading off by so many of its standard deviations; None where there is no such boat."""
        try:
            evaluation = evaluate(remeasured(self.scene, self.readings, by.tolist()), resolution=self.resolution)
            return self.at(evaluation, self._cases(evaluation))
        except (SketchError, GeometryError):
            return None

    @property
    def intact(self) -> Looking:
        """The same of boats that are not holed, and into which nothing is packed that takes long."""
        return replace(self, scene=replace(self.scene, bottles=(), stowage=()), holed="none")

    def seen_intact(self, path: str) -> bool:
        """Whether a figure is the same in a boat so looked at."""
        if self.scene.bottles or self.scene.stowage:
            return path.startswith(PACKED_OR_NOT) and not path.endswith(".permeability")
        return not path.startswith("flooding.")

    def _cases(self, evaluation: Evaluation) -> tuple[FloodingCase, ...]:
        boat = evaluation.layout, evaluation.water, evaluation.floating
        return () if self.holed == "none" else resting_cases(*boat, pairs=self.holed == "pairs")

    def all(self, moves: Sequence[Floats], executor: Executor | None) -> list[BoatLook | None]:
        """Several of them, in order."""
        if executor is None:
            return [self.remeasured(by) for by in moves]
        return list(executor.map(_looked_at, _with(self, moves)))


def _with(looking: Looking, moves: Sequence[Floats]) -> Iterator[tuple[Looking, Floats]]:
    return ((looking, by) for by in moves)


def _looked_at(asked: tuple[Looking, Floats]) -> BoatLook | None:
    looking, by = asked
    return looking.remeasured(by)
