"""Which tint each space has."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat, compartment

from sketcher.model.scene import NamedSpace
from sketcher.outputs.palette import SPACE_TINTS, TINTS, USE_TINTS
from sketcher.outputs.tinting import tint_words, tints

NAMES = ["after space", "forepeak", "low void"]


@pytest.mark.example
def test_each_choice_tells_something_else() -> None:
    """By space each has its own; by water and by use those that are alike share one."""
    boat = box_boat()
    assert len(set(tints(boat, "space").values())) == len(NAMES)
    assert tints(boat, "water")["low void"] == TINTS["below"]
    uses = {"after space": "accommodation", "forepeak": "chain", "low void": "void"}
    assert tints(boat, "use") == {name: USE_TINTS[use] for name, use in uses.items()}
    assert [words for _, words in tint_words(boat, "use", NAMES)] == ["accommodation", "void", "chain"]


@pytest.mark.example
def test_a_tint_stays_with_its_name() -> None:
    """Named in the file, a space keeps its tint when another is found before it."""
    boat = box_boat()
    named = replace(boat.layout.scene, compartments=(NamedSpace(name="low void", at=(2.0, 0.0, 0.2), use="void"),))
    alone = replace(boat, layout=replace(boat.layout, scene=named))
    spaces = (compartment("a", (4, 0, 0), (5, 1, 1)), *boat.layout.compartments)
    more = replace(alone, layout=replace(alone.layout, compartments=spaces))
    assert tints(alone, "space")["low void"] == tints(more, "space")["low void"] == SPACE_TINTS[0]


@pytest.mark.example
def test_of_more_spaces_than_tints_neighbours_still_differ() -> None:
    """Thirty spaces, each beside the next two and the one a whole round of tints away."""
    boat, count = box_boat(), len(SPACE_TINTS)
    spaces = tuple(compartment(f"{k:02}", (k, 0, 0), (k + 1, 1, 1)) for k in range(30))
    beside = [(f"{k:02}", f"{k + step:02}") for k in range(30) for step in (1, 2, count) if k + step < 30]
    found = tints(replace(boat, layout=replace(boat.layout, compartments=spaces, adjoining=beside)), "space")
    assert not [pair for pair in beside if found[pair[0]] == found[pair[1]]]
