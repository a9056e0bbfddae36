"""What is bought beside sheets and what bonds them: covers of openings, fastenings, and what goes into the spaces."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sketcher.analysis.cut.bonding.screws import screw_purchases
from sketcher.analysis.cut.results import BondingList, Purchase
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Area, Length, Phrase, Value, Volume
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.results import Compartment
from sketcher.model.scene import Opening


def other_purchases(evaluation: Evaluation, bonding: BondingList | None) -> tuple[Purchase, ...]:
    """Covers, screws and contents of a planned layout; nothing where nothing is planned."""
    if bonding is None:
        return ()
    breathers = _breathers(evaluation)
    return (*_covers(evaluation), *breathers, *screw_purchases(bonding.screws), *_contents(evaluation, evaluation.contents))


def spaces_to_breathe(evaluation: Evaluation) -> tuple[str, ...]:
    """The spaces in which air is shut in, each to be given a breather (source `shut-in-air`)."""
    loads = [finding.values["loads"] for finding in evaluation.findings if finding.code == "sealed-air-warmed"]
    phrases = [each for load in loads if isinstance(load, tuple) for each in load if isinstance(each, Phrase)]
    return tuple(dict.fromkeys(str(each.values["space"]) for each in phrases))


def _breathers(evaluation: Evaluation) -> Iterator[Purchase]:
    for space in spaces_to_breathe(evaluation):
        yield Purchase(
            item=Phrase("breather-to-buy"),
            amount=1,
            things="piece",
            note=Phrase("breather-of", {"space": space}),
            source="shut-in-air",
        )


def _covers(evaluation: Evaluation) -> Iterator[Purchase]:
    """A cover for every opening in a planned panel, and for those elsewhere that are stated as planned."""
    planned = {shape.name for shape in evaluation.layout.panels if shape.panel.built == "planned"}
    for opening in evaluation.scene.openings:
        made = opening.built == "planned" or (opening.built is None and opening.through in planned)
        if made and opening.cover != "none" and opening.through is not None:
            note: dict[str, Value] = {"opening": opening.name, "through": opening.through}
            yield Purchase(
                item=Phrase("cover-to-buy", {"cover": opening.cover, "size": _size(opening)}),
                amount=1,
                things="piece",
                note=Phrase("cover-of", note),
            )


def _size(opening: Opening) -> Phrase:
    if opening.diameter is not None:
        return Phrase("diameter-across", {"diameter": Length(opening.diameter)})
    if opening.size is not None:
        return Phrase("two-sides", {"along": Length(opening.size[0]), "across": Length(opening.size[1])})
    return Phrase("of-its-size")


def _contents(evaluation: Evaluation, contents: Contents | None) -> Iterator[Purchase]:
    if contents is None:
        return
    spaces = {space.name: space for space in evaluation.layout.compartments}
    kinds = {each.name: each for each in evaluation.scene.bottles}
    for bottled in contents.bottles:
        for stow in bottled.stows:
            kind = kinds[stow.name]
            size = {"diameter": Length(kind.diameter), "length": Length(kind.length)}
            yield Purchase(
                item=Phrase("bottles-to-buy", {"bottles": stow.name}),
                amount=stow.count,
                things="pieces",
                note=Phrase("bottles-into", {**size, "space": stow.space}),
            )
        if bottled.space in spaces and any(stow.count for stow in bottled.stows):
            yield Purchase(
                item=Phrase("slats-over-bottles"),
                amount=Area(_plan_area(spaces[bottled.space])),
                note=Phrase("slats-fastened", {"space": bottled.space}),
                source="bottle-load",
            )
    for foam in contents.foams:
        yield Purchase(
            item=Phrase("foam-to-buy", {"form": foam.form}),
            amount=Volume(foam.bought) if foam.kits is None else foam.kits,
            things="" if foam.kits is None else "kits",
            note=Phrase("foam-into", {"foam": foam.name, "space": foam.space}),
        )
    for chain in evaluation.scene.chains:
        if not chain.aboard:
            yield Purchase(
                item=Phrase("chain-to-buy", {"size": Length(chain.size)}),
                amount=Length(chain.length),
                note=Phrase("chain-into", {"chain": chain.name, "space": chain.space}),
            )


def _plan_area(space: Compartment) -> float:
    """The plan area of a space [m2]: faces that look up, projected."""
    a, b, c = space.mesh.vertices[space.mesh.triangles.T]
    up = np.cross(b - a, c - a)[:, 2] / 2
    return float(up[up > 0.0].sum())
