"""What is bought beside sheets and what bonds them: covers of openings, fastenings, and what goes into the spaces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

import numpy as np

from sketcher.analysis.cut.results import BondingList, Pattern, Purchase, StringerPattern
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.phrases import listed, mm
from sketcher.analysis.results import Compartment
from sketcher.model.scene import Opening, Stringer

SCREWS = 0.150
"""[m] between screws along cleats, bearers and straps (source `screw-spacing`)."""

_COVERS = {"tight": "port or hatch, watertight", "loose": "cover or door"}


def other_purchases(
    evaluation: Evaluation, patterns: Sequence[Pattern], stringers: Sequence[StringerPattern], bonding: BondingList | None
) -> tuple[Purchase, ...]:
    """Covers, screws and contents of a planned layout; nothing where nothing is planned."""
    if bonding is None:
        return ()
    return (
        *_covers(evaluation),
        *_screws(evaluation.scene.stringers, patterns, stringers, bonding),
        *_contents(evaluation, evaluation.contents),
    )


def _covers(evaluation: Evaluation) -> Iterator[Purchase]:
    """Of every opening that is not there yet and has a cover."""
    planned = {shape.name for shape in evaluation.layout.panels if shape.panel.built == "planned"}
    for opening in evaluation.scene.openings:
        if opening.built == "planned" and opening.cover in _COVERS and opening.through is not None:
            note = "" if opening.through in planned else "if it is not there yet; `built: already` leaves it out"
            yield Purchase(
                item=f"{_COVERS[opening.cover]}, {_size(opening)}",
                amount=1.0,
                unit="piece",
                note=f"{opening.name}, in {opening.through}{f'; {note}' if note else ''}",
            )


def _size(opening: Opening) -> str:
    if opening.diameter is not None:
        return f"{mm(opening.diameter)} across"
    return f"{mm(opening.size[0])} × {mm(opening.size[1])}" if opening.size is not None else "of its size"


def _screws(
    known: Sequence[Stringer], patterns: Sequence[Pattern], stringers: Sequence[StringerPattern], bonding: BondingList
) -> Iterator[Purchase]:
    """For lids on their bearers, boards on cleats and straps on both parts; they may come out when the resin is hard."""
    bearers = {each.name for each in known if each.under is not None}
    length = sum(each.length for each in stringers if each.stringer in bearers) + bonding.cleats
    straps = 2.0 * sum(p.blank.bounds[2] - p.blank.bounds[0] for p in patterns if p.kind == "butt strap")
    count = ceil((length + straps) / SCREWS - 1e-9)
    if count:
        what = [name for name, there in (("bearers", bearers), ("cleats", bonding.cleats > 0), ("straps", straps > 0)) if there]
        thickness = max(pattern.thickness for pattern in patterns)
        yield Purchase(
            item=f"screws, stainless or bronze, {mm(2.5 * thickness)} long",
            amount=float(count),
            unit="pieces",
            note=f"every {mm(SCREWS)} along {listed(what)}",
            source="screw-spacing",
        )


def _contents(evaluation: Evaluation, contents: Contents | None) -> Iterator[Purchase]:
    if contents is None:
        return
    spaces = {space.name: space for space in evaluation.layout.compartments}
    kinds = {each.name: each for each in evaluation.scene.bottles}
    for bottled in contents.bottles:
        for stow in bottled.stows:
            kind = kinds[stow.name]
            size = f"{mm(kind.diameter)} × {mm(kind.length)}"
            yield Purchase(
                item=f"bottles, {stow.name}", amount=float(stow.count), unit="pieces", note=f"{size}, sealed, into {stow.space}"
            )
        if bottled.space in spaces and any(stow.count for stow in bottled.stows):
            yield Purchase(
                item="net or slats to hold bottles down",
                amount=_plan_area(spaces[bottled.space]),
                unit="m²",
                note=f"over {bottled.space}, with eyes or cleats that take their lift",
                source="bottle-load",
            )
    for foam in contents.foams:
        amount, unit = (foam.bought * 1000.0, "L") if foam.kits is None else (float(foam.kits), "kits")
        yield Purchase(
            item=f"foam, {foam.form}", amount=amount, unit=unit, note=f"{foam.name}, into {foam.space}, waste included"
        )
    for chain in evaluation.scene.chains:
        if not chain.aboard:
            yield Purchase(
                item=f"chain, {mm(chain.size)}", amount=chain.length, unit="m", note=f"{chain.name}, into {chain.space}"
            )


def _plan_area(space: Compartment) -> float:
    """What a space covers seen from above [m2]: of faces that look up, their shadows."""
    a, b, c = space.mesh.vertices[space.mesh.triangles.T]
    up = np.cross(b - a, c - a)[:, 2] / 2
    return float(up[up > 0.0].sum())
