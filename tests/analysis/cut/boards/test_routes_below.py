"""How boards get to their places in a box 4 x 2 x 1 m with hatches and a standing bulkhead."""

from dataclasses import replace

import numpy as np
import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.hatch_fit import CLEARANCE, passage, passing_findings
from sketcher.analysis.cut.boards.routes_below import longest_turning_board, routes_below
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Cutting
from sketcher.model.scene import Bulkhead, Opening
from sketcher.outputs.wording.sentences import message as in_words

MAIN = Opening(name="main hatch", through="deck", at=(3.0, 0.0), size=(0.7, 0.7), cover="loose")
FORE = Opening(name="fore hatch", through="deck", at=(1.4, 0.0), size=(0.3, 0.3), cover="tight")
DOOR = Opening(name="door", through="old", at=(0.0, 0.5), size=(0.4, 0.6))


def laid_out(*openings: Opening, through: str | None = None) -> Layout:
    """A new bulkhead at 1 m, and an old one at 2 m that stands already."""
    form = box_form()
    panels = (Bulkhead(name="new", at=1.0, thickness=0.012), Bulkhead(name="old", at=2.0, thickness=0.012, built="already"))
    return lay_out(layout_scene(form, bulkheads=panels, openings=openings, cutting=Cutting(through=through)), form)


def names(layout: Layout, panel: str) -> list[str]:
    return [opening.name for opening in routes_below(layout).get(panel, ())]


@pytest.mark.example
def test_a_board_goes_through_every_opening_on_its_way() -> None:
    """To the fore part it goes by the hatch aft and the door in the standing bulkhead; the new bulkhead is in no board's way."""
    layout = laid_out(MAIN, DOOR)
    assert names(layout, "new") == ["main hatch", "door"]
    assert names(layout, "old") == ["main hatch"]


@pytest.mark.closed_form
def test_the_narrowest_opening_decides() -> None:
    """A board passes the door from corner to corner, less what thickness and hands take; the wider hatch is no help."""
    layout = laid_out(MAIN, DOOR)
    (new,) = panel_patterns(layout, None, ["new"])
    found = passage(layout.scene, new, routes_below(layout)["new"], 2.0)
    assert (found.opening, found.through) == ("door", ("main hatch", "door"))
    # A section w x t, turned by a, lies in 0.4 x 0.6 where w cos a + t sin a <= 0.4 and w sin a + t cos a <= 0.6.
    angles = np.linspace(0.0, np.pi / 2, 200_001)[1:-1]
    widest = np.minimum((0.6 - 0.012 * np.cos(angles)) / np.sin(angles), (0.4 - 0.012 * np.sin(angles)) / np.cos(angles)).max()
    assert found.room == pytest.approx(widest - CLEARANCE, abs=1e-4)
    assert found.passes is False
    assert found.length == pytest.approx(1.988, abs=1e-4)
    assert found.turns is True


@pytest.mark.example
def test_the_widest_way_is_taken_unless_another_is_named() -> None:
    """A small hatch straight above is passed over for the door; named as the way below, it is taken."""
    assert names(laid_out(MAIN, DOOR, FORE), "new") == ["main hatch", "door"]
    assert names(laid_out(MAIN, DOOR, FORE, through="fore hatch"), "new") == ["fore hatch"]


@pytest.mark.example
def test_no_way_is_known_to_a_space_that_is_shut() -> None:
    """Without a door or a hatch of its own the fore part has no way in."""
    assert names(laid_out(MAIN), "new") == []


@pytest.mark.closed_form
def test_the_longest_straight_line_below_a_hatch() -> None:
    """From the middle of a deck 1 m up to a far corner; a standing bulkhead cuts it short; a door lets through what passes it."""
    form = box_form()
    hatch = Opening(name="hatch", through="deck", at=(2.5, 0.0), size=(0.6, 0.6))
    bare = lay_out(layout_scene(form, openings=(hatch,)), form)
    assert longest_turning_board(bare, hatch) == pytest.approx(np.sqrt(2.5**2 + 1.0 + 0.998**2), abs=1e-6)
    shut = laid_out(hatch)
    assert longest_turning_board(shut, hatch) == pytest.approx(np.sqrt(1.5**2 + 1.0 + 0.998**2), abs=1e-6)
    with_door = laid_out(hatch, replace(DOOR, size=(0.6, 0.9)))
    assert longest_turning_board(with_door, hatch, 0.5) == longest_turning_board(bare, hatch)
    assert longest_turning_board(with_door, hatch, 1.2) == longest_turning_board(shut, hatch)


@pytest.mark.example
def test_a_board_longer_than_the_boat_is_straight_is_said() -> None:
    """A board of 1.988 m with 1.5 m of straight room below the hatch: both lengths are said, and what to try."""
    layout = laid_out(MAIN, DOOR)
    (new,) = panel_patterns(layout, None, ["new"])
    found = list(passing_findings(layout.scene, [passage(layout.scene, new, routes_below(layout)["new"], 1.5)]))
    said = next(finding for finding in found if finding.code == "board-may-not-turn")
    assert "1988 mm long" in in_words(said)
    assert "1500 mm" in in_words(said)
