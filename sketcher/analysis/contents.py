"""Everything that goes into the spaces, and what it changes: permeability for flooding, weights for how she floats."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from sketcher.analysis.bottles import BottledSpace, bottled_spaces
from sketcher.analysis.chain import ChainStow, chain_stows
from sketcher.analysis.foam import FoamFill, foam_fills
from sketcher.analysis.phrases import listed
from sketcher.analysis.results import Compartment, Evaluation, Finding, Layout
from sketcher.analysis.sleeping import SleepingPlace, sleeping_places
from sketcher.analysis.stowage import Room, rooms
from sketcher.analysis.swamped import Swamped, swamped, swamped_findings
from sketcher.analysis.tanks import TankFill, tank_fills
from sketcher.geometry.packing import Watch
from sketcher.model.contents import Chain, Foam, Tank
from sketcher.model.scene import Weight

IN_SPACES = ("stowage", "bottles", "chains", "foams", "tanks")
"""Blocks whose items name a space they are in."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Contents:
    """What the scene puts into the boat, block by block. weights: what that changes in how she floats."""

    sleeping: tuple[SleepingPlace, ...]
    rooms: tuple[Room, ...]
    bottles: tuple[BottledSpace, ...]
    chains: tuple[ChainStow, ...]
    foams: tuple[FoamFill, ...]
    tanks: tuple[TankFill, ...]
    swamped: Swamped | None
    weights: tuple[Weight, ...]


def with_contents(evaluation: Evaluation, watch: Watch | None = None) -> Evaluation:
    """The evaluation with its contents worked out, and their weights and permeabilities in its layout.

    A permeability that the file states stands as stated. watch: told how many bottles are placed so far; False stops there.
    Raises SketchError for a space or berth that is not there.
    """
    layout, runs_out = _measured_only(evaluation.layout)
    sleeping, of_sleeping = sleeping_places(layout, evaluation.berths)
    found_rooms, of_rooms = rooms(layout)
    bottles, of_bottles = bottled_spaces(layout, watch)
    chains, of_chains = chain_stows(layout)
    foams, of_foams = foam_fills(layout)
    tanks, of_tanks = tank_fills(layout, evaluation.floating)
    weights = (*_of_chains(chains), *_of_bottles(bottles), *_of_foams(layout, foams), *_of_tanks(tanks))
    contents = Contents(
        sleeping=sleeping,
        rooms=found_rooms,
        bottles=bottles,
        chains=chains,
        foams=foams,
        tanks=tanks,
        swamped=swamped(layout, evaluation.floating, bottles, foams),
        weights=weights,
    )
    said = (
        *runs_out,
        *_twice_filled(layout),
        *of_sleeping,
        *of_rooms,
        *of_bottles,
        *of_chains,
        *of_foams,
        *of_tanks,
        *swamped_findings(contents.swamped),
    )
    return replace(
        evaluation,
        layout=_changed(evaluation.layout, contents),
        contents=contents,
        findings=(*evaluation.findings, *said),
    )


def _measured_only(layout: Layout) -> tuple[Layout, list[Finding]]:
    """The layout without what is put into a space that runs out of the measured part: nothing can be known of it."""
    open_ended = {space.name for space in layout.compartments if not space.bounded}
    findings: list[Finding] = []
    kept: dict[str, Any] = {}
    for block in IN_SPACES:
        items = getattr(layout.scene, block)
        kept[block] = tuple(item for item in items if item.space not in open_ended)
        findings += [
            Finding(
                code="contents-run-out",
                severity="note",
                object=item.name,
                message=f"{item.space} runs aft out of what was measured, so nothing is known of {item.name} in it. End "
                "it at a bulkhead.",
            )
            for item in items
            if item.space in open_ended
        ]
    return (replace(layout, scene=replace(layout.scene, **kept)) if findings else layout), findings


def _twice_filled(layout: Layout) -> list[Finding]:
    """Spaces that the scene fills with more than one thing, which cannot all be there."""
    scene = layout.scene
    findings = []
    for space in layout.compartments:
        bottles = [kind.name for kind in scene.bottles if kind.space == space.name]
        filling: tuple[Foam | Tank | Chain, ...] = (*scene.foams, *scene.tanks, *scene.chains)
        others = [item.name for item in filling if item.space == space.name]
        if len(others) + bool(bottles) > 1:
            names = listed([*others, *bottles])
            findings.append(
                Finding(
                    code="space-filled-twice",
                    severity="warn",
                    object=space.name,
                    message=f"{space.name} is to hold {names}, each reckoned as if it had the space to itself. Put a "
                    "panel between them, or leave one out.",
                    at=space.centroid,
                )
            )
    return findings


def _changed(layout: Layout, contents: Contents) -> Layout:
    """The layout with the permeabilities that are left, and with the weights that come aboard."""
    left = {space.space: space.permeability for space in contents.bottles if space.permeability is not None}
    left |= {fill.space: fill.permeability for fill in contents.foams}
    stated = {space.name for space in layout.scene.compartments if space.permeability is not None}

    def refilled(space: Compartment) -> Compartment:
        share = None if space.name in stated else left.get(space.name)
        return space if share is None else replace(space, permeability=share)

    scene = replace(layout.scene, weights=(*layout.scene.weights, *contents.weights))
    return replace(layout, scene=scene, compartments=tuple(refilled(space) for space in layout.compartments))


def _of_chains(stows: tuple[ChainStow, ...]) -> Iterator[Weight]:
    """A chain weighs in its heap; half of it out is a condition of its own."""
    for stow in stows:
        if not stow.aboard:
            yield Weight(name=stow.name, kg=stow.mass, at=stow.full.centroid)
        condition = f"half of {stow.name} out"
        yield Weight(name=f"{stow.name}, all of it", kg=-stow.mass, at=stow.full.centroid, condition=condition)
        yield Weight(name=f"{stow.name}, half of it", kg=stow.mass / 2, at=stow.half.centroid, condition=condition)


def _of_bottles(spaces: tuple[BottledSpace, ...]) -> Iterator[Weight]:
    for space in spaces:
        for stow in space.stows:
            if stow.weight:
                x, y, z = (stow.base.mean(axis=0) + stow.direction * stow.length / 2).tolist()
                yield Weight(name=stow.name, kg=stow.weight, at=(x, y, z))


def _of_foams(layout: Layout, fills: tuple[FoamFill, ...]) -> Iterator[Weight]:
    centres = {space.name: space.centroid for space in layout.compartments}
    for fill in fills:
        yield Weight(name=fill.name, kg=fill.mass, at=centres[fill.space])


def _of_tanks(fills: tuple[TankFill, ...]) -> Iterator[Weight]:
    """A tank full, less what was in it when the waterline was read; half full is a condition of its own."""
    for fill in fills:
        if abs(fill.full - fill.aboard) > 1e-9:
            yield Weight(name=fill.name, kg=fill.full - fill.aboard, at=fill.full_centre)
        condition = f"{fill.name} half full"
        yield Weight(name=f"{fill.name}, full", kg=-fill.full, at=fill.full_centre, condition=condition)
        yield Weight(name=f"{fill.name}, half", kg=fill.half, at=fill.half_centre, condition=condition)
