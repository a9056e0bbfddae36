"""Everything that goes into the spaces, and what it changes: permeability for flooding, weights for how she floats."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from sketcher.analysis.afloat.permeability import STEEL, USES
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Finding, Mass, Share
from sketcher.analysis.fit.bottles import BottledSpace, bottled_spaces
from sketcher.analysis.fit.chain import ChainStow, chain_stows
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.foam import FoamFill, foam_fills
from sketcher.analysis.fit.lying import judged_by_people, lying_now
from sketcher.analysis.fit.lying_findings import lying_places
from sketcher.analysis.fit.stowage import rooms
from sketcher.analysis.fit.swamped import swamped, swamped_findings
from sketcher.analysis.fit.tanks import TankFill, tank_fills
from sketcher.analysis.results import Compartment, Layout
from sketcher.geometry.packing.cylinders import Watch
from sketcher.geometry.solid.rays import holds
from sketcher.model.contents import Bottles, Chain, Foam, Stowage, Tank
from sketcher.model.errors import nearest
from sketcher.model.scene import Weight

InSpace = Stowage | Bottles | Chain | Foam | Tank

SAME_SPACE = 1e-9
"""[m3, m] A space whose volume and middle differ by less is the same."""

SAME_SHARE = 0.01
"""[1] A stated permeability within this of what the contents leave does not contradict them."""

ALIKE_MASS = 0.25
"""A weight within this share of a chain's mass may well be that chain."""

IN_SPACES = ("stowage", "bottles", "chains", "foams", "tanks")
"""Blocks whose items name a space they are in."""


def with_contents(evaluation: Evaluation, watch: Watch | None = None) -> Evaluation:
    """The evaluation with its contents worked out, and their weights and permeabilities in its layout.

    A permeability that the file states stands, in the contents too; where they leave another, that is said. watch: told how many
    bottles are placed so far; False stops there. Raises SketchError for a berth that is not there.
    """
    layout, unknown = _with_known_spaces(evaluation.layout)
    lying, of_lying = lying_places(layout, evaluation.berths)
    found_rooms, of_rooms = rooms(layout)
    bottles, of_bottles = bottled_spaces(layout, watch)
    chains, of_chains = chain_stows(layout)
    foams, of_foams = foam_fills(layout)
    tanks, of_tanks = tank_fills(layout, evaluation.floating)
    stated = _stated(layout)
    against_stated = _against_stated(stated, (*bottles, *foams))
    bottles = tuple(replace(b, permeability=stated[b.space], stated=True) if b.space in stated else b for b in bottles)
    foams = tuple(replace(fill, permeability=stated[fill.space]) if fill.space in stated else fill for fill in foams)
    weights = (*_of_chains(chains), *_of_bottles(bottles), *_of_foams(layout, foams), *_of_tanks(tanks))
    contents = Contents(
        lying=lying,
        rooms=found_rooms,
        bottles=bottles,
        chains=chains,
        foams=foams,
        tanks=tanks,
        swamped=swamped(layout, evaluation.floating, bottles, foams),
        weights=weights,
        spaces=layout.compartments,
    )
    said = (
        *unknown,
        *_twice_filled(layout),
        *_twice_weighed(layout, chains),
        *of_lying,
        *of_rooms,
        *of_bottles,
        *of_chains,
        *of_foams,
        *of_tanks,
        *against_stated,
        *swamped_findings(contents.swamped),
    )
    return replace(
        evaluation,
        layout=_changed(evaluation.layout, contents),
        berths=judged_by_people(evaluation.berths, lying),
        contents=contents,
        findings=(*evaluation.findings, *said),
    )


def _with_known_spaces(layout: Layout) -> tuple[Layout, list[Finding]]:
    """The layout without contents of unknown spaces: of one that is not there, or that runs out of the hull's open end.

    Spaces come and go with the panels, so a name that fits none is said, and the rest goes on.
    """
    spaces = {space.name: space for space in layout.compartments}
    findings: list[Finding] = []
    kept: dict[str, Any] = {}
    for block in IN_SPACES:
        items = getattr(layout.scene, block)
        kept[block] = tuple(item for item in items if item.space in spaces and spaces[item.space].bounded)
        findings += [_nowhere(item, list(spaces)) for item in items if item.space not in spaces]
        findings += [_runs_out(item) for item in items if item.space in spaces and not spaces[item.space].bounded]
    return (replace(layout, scene=replace(layout.scene, **kept)) if findings else layout), findings


def _nowhere(item: InSpace, known: list[str]) -> Finding:
    return Finding(
        code="contents-nowhere",
        severity="warn",
        object=item.name,
        values={
            "thing": item.name,
            "space": item.space,
            "near": nearest(item.space, known) or None,
            "known": tuple(sorted(known)),
        },
    )


def _runs_out(item: InSpace) -> Finding:
    return Finding(code="contents-run-out", severity="note", object=item.name, values={"thing": item.name, "space": item.space})


def _twice_filled(layout: Layout) -> list[Finding]:
    """Spaces that the scene fills with more than one thing, which cannot all be there."""
    scene = layout.scene
    findings = []
    for space in layout.compartments:
        bottles = [kind.name for kind in scene.bottles if kind.space == space.name]
        filling: tuple[Foam | Tank | Chain, ...] = (*scene.foams, *scene.tanks, *scene.chains)
        others = [item.name for item in filling if item.space == space.name]
        if len(others) + bool(bottles) > 1:
            findings.append(
                Finding(
                    code="space-filled-twice",
                    severity="warn",
                    object=space.name,
                    values={"space": space.name, "things": (*others, *bottles)},
                    at=space.centroid,
                )
            )
    return findings


def _stated(layout: Layout) -> dict[str, float]:
    """Permeabilities that the file states, by space."""
    return {space.name: space.permeability for space in layout.scene.compartments if space.permeability is not None}


def _against_stated(stated: Mapping[str, float], filled: Sequence[BottledSpace | FoamFill]) -> list[Finding]:
    """Spaces whose stated permeability, which counts, is not what bottles or foam leave of them."""
    return [
        Finding(
            code="permeability-against-contents",
            severity="warn",
            object=fill.space,
            values={"space": fill.space, "stated": Share(stated[fill.space]), "left": Share(fill.permeability)},
            measured=fill.permeability,
            limit=stated[fill.space],
        )
        for fill in filled
        if fill.space in stated and fill.permeability is not None and abs(fill.permeability - stated[fill.space]) > SAME_SHARE
    ]


def _twice_weighed(layout: Layout, stows: Sequence[ChainStow]) -> list[Finding]:
    """Chains that a weight in the same locker seems to count already."""
    meshes = {space.name: space.mesh for space in layout.compartments}
    findings = []
    for stow in stows:
        for weight in layout.scene.weights:
            like = not stow.aboard and abs(weight.kg - stow.mass) <= ALIKE_MASS * stow.mass
            if like and holds(meshes[stow.space], np.array(weight.at)):
                findings.append(
                    Finding(
                        code="chain-counted-twice",
                        severity="warn",
                        object=stow.name,
                        values={
                            "chain": stow.name,
                            "mass": Mass(stow.mass),
                            "space": stow.space,
                            "weight": weight.name,
                            "weighs": Mass(weight.kg),
                        },
                        measured=weight.kg,
                        limit=stow.mass,
                        at=weight.at,
                    )
                )
    return findings


def _changed(layout: Layout, contents: Contents) -> Layout:
    """The layout with the permeabilities that are left, and with the weights that come aboard."""
    left = {space.space: space.permeability for space in contents.bottles if space.permeability is not None}
    left |= {fill.space: fill.permeability for fill in contents.foams}

    def refilled(space: Compartment) -> Compartment:
        share = left.get(space.name, space.permeability)
        return replace(space, permeability=share, blocked=_blocked(space, contents))

    scene = replace(layout.scene, weights=(*layout.scene.weights, *contents.weights))
    return replace(layout, scene=scene, compartments=tuple(refilled(space) for space in layout.compartments))


def _blocked(space: Compartment, contents: Contents) -> float:
    """The share of a space that bottles, foam and chain placed in it keep from the water; bottles of unknown litres: none."""
    bottles = sum(stow.share or 0.0 for bottled in contents.bottles if bottled.space == space.name for stow in bottled.stows)
    kept_by_foam = USES["void"].permeability - USES["foam"].permeability
    foam = sum(kept_by_foam * fill.volume for fill in contents.foams if fill.space == space.name)
    steel = sum(stow.mass / STEEL for stow in contents.chains if stow.space == space.name)
    return bottles + (foam + steel) / space.volume


def _of_chains(stows: tuple[ChainStow, ...]) -> Iterator[Weight]:
    """The weights of chains: in their heaps, and as a condition of its own with half of each out."""
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
    """The weights of tanks: full, less what was in them when the waterline was read; half full as a condition of its own."""
    for fill in fills:
        if abs(fill.full - fill.aboard) > 1e-9:
            yield Weight(name=fill.name, kg=fill.full - fill.aboard, at=fill.full_centre)
        condition = f"{fill.name} half full"
        yield Weight(name=f"{fill.name}, full", kg=-fill.full, at=fill.full_centre, condition=condition)
        yield Weight(name=f"{fill.name}, half", kg=fill.half, at=fill.half_centre, condition=condition)


def followed(evaluation: Evaluation, before: Contents | None, *, chains: bool = False) -> Evaluation:
    """The evaluation of a layout that something moves in, with the contents of a moment before as far as they still stand.

    People are followed to where they now lie; what is in a space that has changed is left out until it is worked out afresh,
    and weighs what it did a moment before. chains: they are what moves, and are heaped anew.
    """
    if before is None:
        return evaluation
    rooms_now = {room.name: room for room in evaluation.berths}
    people = evaluation.scene.people
    lying = tuple(
        lying_now(evaluation.layout, rooms_now[place.berth], [p for p in people if p.berth == place.berth], place)
        for place in before.lying
        if place.berth in rooms_now
    )
    inside = replace(still_standing(before, evaluation.layout.compartments), lying=lying)
    if chains:
        inside = _heaped_anew(evaluation.layout, inside, before)
    berths = judged_by_people(evaluation.berths, lying)
    return replace(evaluation, layout=_changed(evaluation.layout, inside), berths=berths, contents=inside)


def _heaped_anew(layout: Layout, inside: Contents, before: Contents) -> Contents:
    """Contents with the chains where they now lie, and their weights there."""
    stows, _ = chain_stows(_with_known_spaces(layout)[0])
    weighed = set(_of_chains(before.chains))
    others = [weight for weight in inside.weights if weight not in weighed]
    return replace(inside, chains=stows, weights=(*_of_chains(stows), *others))


def still_standing(before: Contents, now: Sequence[Compartment]) -> Contents:
    """The contents of a moment before, people as they lay, without what is in a space that has changed since."""
    same = _unchanged(before.spaces, now)
    return replace(
        before,
        rooms=tuple(room for room in before.rooms if room.space in same),
        bottles=tuple(space for space in before.bottles if space.space in same),
        chains=tuple(stow for stow in before.chains if stow.space in same),
        foams=tuple(fill for fill in before.foams if fill.space in same),
        tanks=tuple(fill for fill in before.tanks if fill.space in same),
        swamped=None,
    )


def _unchanged(before: Sequence[Compartment], now: Sequence[Compartment]) -> set[str]:
    """Names of the spaces that are as they were."""
    then = {space.name: space for space in before}
    return {
        space.name
        for space in now
        if space.name in then
        and abs(space.volume - then[space.name].volume) < SAME_SPACE
        and np.abs(np.subtract(space.centroid, then[space.name].centroid)).max() < SAME_SPACE
    }
