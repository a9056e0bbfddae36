"""Which tint has each compartment: its own, or by the water, or by its use; and what the tints mean."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, get_args

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Layout
from sketcher.outputs.palette import RELATION_WORDS, SPACE_TINTS, TINTS, USE_TINTS
from sketcher.outputs.wording.known_spaces import KnownSpace, known_spaces, relation

TintBy = Literal["space", "water", "use"]
TINTED_BY: tuple[TintBy, ...] = get_args(TintBy)
NO_USE = "no use stated"


def tints(evaluation: Evaluation, by: TintBy) -> dict[str, str]:
    """The tint `#rrggbb` of each compartment by name."""
    if by == "space":
        return _own_tints(evaluation.layout)
    return {known.name: (water_tint if by == "water" else _use_tint)(known) for known in known_spaces(evaluation)}


def tint_words(evaluation: Evaluation, by: TintBy, spaces: Collection[str]) -> list[tuple[str, str]]:
    """What the tints of some spaces mean, each with its words: names in the file's order, else in the list's."""
    found = {name: tint for name, tint in tints(evaluation, by).items() if name in spaces}
    if by == "space":
        return [(tint, name) for name, tint in found.items()]
    meant = {TINTS[shown]: words for shown, words in RELATION_WORDS.items()}
    if by == "use":
        meant = {tint: use for use, tint in USE_TINTS.items()} | {TINTS["unknown"]: NO_USE}
    return [(tint, words) for tint, words in meant.items() if tint in found.values()]


def water_tint(known: KnownSpace) -> str:
    """By how a space stands to the water."""
    return TINTS[relation(known)]


def _use_tint(known: KnownSpace) -> str:
    return USE_TINTS.get(known.space.use or "", TINTS["unknown"])


def _own_tints(layout: Layout) -> dict[str, str]:
    """Each space's own, in the order of the file's names, so that it stays with the name; of more, unlike its neighbours."""
    stated = [named.name for named in layout.scene.compartments]
    there = {space.name for space in layout.compartments}
    names = [name for name in stated if name in there] + sorted(there.difference(stated))
    beside = _neighbours(layout) if len(names) > len(SPACE_TINTS) else {}
    found: dict[str, str] = {}
    for number, name in enumerate(names):
        from_here = [SPACE_TINTS[(number + k) % len(SPACE_TINTS)] for k in range(len(SPACE_TINTS))]
        taken = {found[other] for other in beside.get(name, ()) if other in found}
        found[name] = next((tint for tint in from_here if tint not in taken), from_here[0])
    return found


def _neighbours(layout: Layout) -> dict[str, set[str]]:
    """The names of the spaces that each touches."""
    beside: dict[str, set[str]] = {}
    for one, other in layout.adjoining:
        beside.setdefault(one, set()).add(other)
        beside.setdefault(other, set()).add(one)
    return beside
