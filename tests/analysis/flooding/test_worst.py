"""The worst flooding: which case, which lids, and which space is the main one."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat
from scene_specimens import demo

from sketcher.analysis.findings import Phrase
from sketcher.analysis.flooding.cases import single_cases
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.flooding.worst import main_space_lost, worst_flooding
from sketcher.analysis.spaces.compartments import main_space

LOST = FloodingCase(holed=("saloon",), floods=("saloon",), verdict="founders", reason=Phrase("cannot-carry-her-weight"))


@pytest.mark.example
def test_the_main_space_is_the_largest_where_it_is_half_of_her() -> None:
    """The demo boat's saloon is 16.3 of 22.3 m3; of the box boat's three no space is half."""
    assert main_space(demo("marram-forepeak").layout) == "saloon"
    assert main_space(box_boat().layout) is None


@pytest.mark.example
def test_a_boat_that_cannot_float_without_a_hole_is_not_excused_by_her_main_space() -> None:
    """That she founders with the saloon holed is true of nearly all; that she does without a hole, or only when empty, is not."""
    layout = demo("marram-forepeak").layout
    assert main_space_lost(layout, [LOST]) is LOST
    assert main_space_lost(layout, [replace(LOST, reason=Phrase("even-without-a-hole", {"reason": LOST.reason}))]) is None
    assert main_space_lost(layout, [replace(LOST, verdict="floats", emptiest=LOST)]) is None


@pytest.mark.example
def test_each_space_counts_in_the_worse_of_its_states() -> None:
    """Of a case that floats as stated and founders when empty, the second is the worst; lids under water come deepest first."""
    boat = demo("marram-forepeak")
    cases = single_cases(boat.layout, boat.water, boat.floating)
    worst = worst_flooding(boat.layout, cases)
    assert worst.case is not None
    assert [lid.level.name for lid in worst.lids] == ["tank top"]
    assert worst.lids[0].level.clear_of_water < 0.0 < worst.lids[0].lift
    emptied = replace(cases[1], emptiest=replace(LOST, holed=cases[1].holed))
    assert worst_flooding(boat.layout, [*cases[:1], emptied]).case is emptied.emptiest
