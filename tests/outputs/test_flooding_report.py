"""Flooding cases in words and figures."""

from __future__ import annotations

import pytest
from evaluation_specimen import box_boat

from sketcher.analysis.flooding_levels import LidLevel
from sketcher.analysis.flooding_results import FloodingCase
from sketcher.analysis.results import WaterPlane
from sketcher.outputs.flooding import case_figures, case_words, flooding_report

KEYS = "holed floods verdict forward_m after_m heel_deg trim_deg trim_change_deg water_m3 least_freeboard_m gm_m lids"

HOLED = FloodingCase(
    holed=("forepeak",),
    floods=("forepeak", "low void"),
    verdict="floats",
    reason="she comes to rest",
    water=WaterPlane(forward=0.8, after=0.45, heel=-2.0, x_forward=0.0, x_after=4.0),
    trim_change=5.0,
    water_volume=1.9,
    least_freeboard=0.2,
    gm=0.4,
    lids=(LidLevel(name="tank top", clear_of_water=-0.081, lowest_safe_height=0.53),),
)
LOST = FloodingCase(holed=("after space",), floods=("after space",), verdict="founders", reason="nothing carries her")


@pytest.mark.golden
def test_a_case_has_the_keys_that_other_programs_know() -> None:
    """The keys of a flooding case, in their order; a case without a rest has them all, null."""
    assert list(case_figures(HOLED)) == KEYS.split()
    lost = case_figures(LOST)
    assert list(lost) == KEYS.split()
    assert {lost[key] for key in ("forward_m", "after_m", "heel_deg", "trim_deg", "water_m3", "least_freeboard_m", "gm_m")} == {
        None
    }


@pytest.mark.property
def test_an_estimated_case_says_so_in_figures_and_words() -> None:
    """Estimates carry their mark wherever they appear."""
    case = FloodingCase(
        holed=("forepeak",), floods=("forepeak",), verdict="unknown", reason="only a part was measured", estimated=True
    )
    assert case_figures(case)["estimated"] is True
    assert case_words(case, "mm").startswith("ESTIMATE: ")
    assert "unknown (estimate)" in flooding_report(box_boat(), [case])


@pytest.mark.closed_form
def test_a_case_stands_in_one_line_with_the_water_at_both_ends() -> None:
    """1.9 m3 are 1900 litres; the water at 800 mm forward and 450 aft; heel to port; 200 mm of freeboard; GM 400 mm."""
    line = next(line for line in flooding_report(box_boat(), [HOLED]).splitlines() if line.startswith("forepeak "))
    assert " ".join(line.split()) == "forepeak 1900 800 450 2.0° P 200 400 floats"


@pytest.mark.closed_form
def test_a_lid_under_water_is_named_with_its_depth() -> None:
    """The sentence says where the water goes on to and that the lid is 81 mm under; in inches 3 3/16."""
    assert case_words(HOLED, "mm") == (
        "she floats: she comes to rest. The water goes on into low void. tank top is 81 mm under water at its lowest place."
    )
    assert "3 3/16 in under water" in case_words(HOLED, "in")


@pytest.mark.property
def test_what_has_no_rest_prints_no_figures() -> None:
    """A boat that founders has no waterline: each figure is not known, and the reason stands beneath."""
    text = flooding_report(box_boat(), [LOST])
    line = next(line for line in text.splitlines() if line.startswith("after space "))
    assert line.count("not known") == 6
    assert "she founders: nothing carries her." in text
