"""Which figures of a space may be told: one that runs on past the measured hull has no volume, only a least one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Compartment, Immersion, Position


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownSpace:
    """A compartment's figures [m3, m] as they may be printed; None: cannot be known. at_least: the part that was measured."""

    space: Compartment
    volume: float | None
    at_least: float | None
    below: float | None
    position: Position | None
    centroid: tuple[float, float, float] | None
    lowest: float | None
    highest: float | None

    @property
    def name(self) -> str:
        return self.space.name


Relation = Literal["below", "above", "crosses", "unknown"]


def known_spaces(evaluation: Evaluation) -> tuple[KnownSpace, ...]:
    """The compartments in the layout's order, with only what the measured part of the hull can tell."""
    return tuple(
        known(space, immersion) for space, immersion in zip(evaluation.layout.compartments, evaluation.immersion, strict=True)
    )


def known(space: Compartment, immersion: Immersion | None) -> KnownSpace:
    """One compartment. Of a space that runs on past the measured end only this is sure: what crosses the water crosses it."""
    if space.bounded:
        return KnownSpace(
            space=space,
            volume=space.volume,
            at_least=None,
            below=immersion.below if immersion else None,
            position=immersion.position if immersion else None,
            centroid=space.centroid,
            lowest=space.lowest,
            highest=space.highest,
        )
    crosses: Position | None = "crosses" if immersion and immersion.position == "crosses" else None
    return KnownSpace(
        space=space, volume=None, at_least=space.volume, below=None, position=crosses, centroid=None, lowest=None, highest=None
    )


def relation(space: KnownSpace) -> Relation:
    """How a space stands to the water, for tints and words."""
    return space.position or "unknown"


def why_unknown(evaluation: Evaluation, figure: str) -> str:
    """Why a figure of `Floating`, of a space or a berth is not known, in a few words."""
    scene = evaluation.scene
    if evaluation.water is None:
        return "no waterline is stated"
    if (
        figure in ("gm", "moment_per_cm", "gm_longitudinal")
        and scene.centre_of_gravity_height is None
        and not scene.hull.open_aft
    ):
        return "the height of the centre of gravity is not stated"
    if figure == "least_opening_clear":
        return "no opening leads outside"
    if scene.hull.open_aft:
        return "only the forward part of the boat was measured"
    return "see what was noticed below"
