"""Flooding cases in words and figures."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat
from scene_specimens import demo

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.findings import Length, Phrase
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.flooding.findings import flooding_findings
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import WaterPlane
from sketcher.outputs.tables.flooding import case_figures, case_words, flooding_report
from sketcher.outputs.tables.flooding_detail import case_detail
from sketcher.outputs.tables.report import report
from sketcher.outputs.wording.sentences import message as in_words

KEYS = "holed floods verdict forward_m after_m heel_deg trim_deg trim_change_deg water_m3 least_freeboard_m "
KEYS += "forward_freeboard_m after_freeboard_m gm_m lids"

REST = Phrase("comes-to-rest", {"through": (), "heel": None, "lolled": False, "edge_depth": None, "edge_aft": Length(0.0)})
HOLED = FloodingCase(
    holed=("forepeak",),
    floods=("forepeak", "low void"),
    verdict="floats",
    reason=REST,
    water=WaterPlane(forward=0.8, after=0.45, heel=-2.0, x_forward=0.0, x_after=4.0),
    trim_change=5.0,
    water_volume=1.9,
    least_freeboard=0.2,
    gm=0.4,
    lids=(LidLevel(name="tank top", clear_of_water=-0.081, lowest_safe_height=0.53),),
)
LOST = FloodingCase(holed=("after space",), floods=("after space",), verdict="founders", reason=Phrase("cannot-carry-her-weight"))


@pytest.mark.golden
def test_a_case_has_the_keys_that_other_programs_know() -> None:
    """The keys of a flooding case, in their order; a case without a rest has them all, null."""
    assert list(case_figures(HOLED)) == KEYS.split()
    lost = case_figures(LOST)
    assert list(lost) == KEYS.split()
    assert {lost[key] for key in ("forward_m", "after_m", "heel_deg", "trim_deg", "water_m3", "least_freeboard_m", "gm_m")} == {
        None
    }


@pytest.mark.example
def test_the_emptiest_state_stands_under_keys_of_its_own_beneath_the_stated_one() -> None:
    """The keys that programs know keep the stated permeabilities; `emptiest` has the same keys and each space's permeability."""
    emptied = replace(HOLED, water_volume=2.5, shares={"forepeak": 0.95, "low void": 0.95})
    both = replace(HOLED, emptiest=emptied)
    values = case_figures(both)
    assert list(values) == [*KEYS.split(), "emptiest"]
    assert values["water_m3"] == 1.9
    assert list(values["emptiest"]) == ["permeability", *KEYS.split()[1:]]
    assert values["emptiest"]["water_m3"] == 2.5
    assert values["emptiest"]["permeability"] == {"forepeak": 0.95, "low void": 0.95}
    text = flooding_report(box_boat(), [both])
    assert " ".join(next(line for line in text.splitlines() if line.startswith("  when empty")).split()).startswith(
        "when empty 2500 800"
    )
    assert "When empty: the same." in text


@pytest.mark.example
def test_an_estimated_case_says_so_in_figures_and_words() -> None:
    """Estimates carry their mark wherever they appear."""
    case = FloodingCase(
        holed=("forepeak",), floods=("forepeak",), verdict="unknown", reason=Phrase("measured-forward-only"), estimated=True
    )
    assert case_figures(case)["estimated"] is True
    assert case_words(case, "mm", box_boat().layout).startswith("ESTIMATE: ")
    assert "unknown (estimate)" in flooding_report(box_boat(), [case])


@pytest.mark.closed_form
def test_a_case_stands_in_one_line_with_the_water_at_both_ends() -> None:
    """1.9 m3 are 1900 litres; the water at 800 mm forward and 450 aft; heel to port; 200 mm of freeboard; GM 400 mm."""
    line = next(line for line in flooding_report(box_boat(), [HOLED]).splitlines() if line.startswith("forepeak "))
    assert " ".join(line.split()) == "forepeak 1900 800 450 2.0° P 200 400 floats"


@pytest.mark.closed_form
def test_a_lid_under_water_is_named_with_its_depth() -> None:
    """The sentence says where the water goes on to and that the lid is 81 mm under; in inches 3 3/16."""
    assert case_words(HOLED, "mm", box_boat().layout) == (
        "she floats. The water goes on into low void. tank top is 81 mm under water at its lowest place."
    )
    assert "3 3/16 in under water" in case_words(HOLED, "in", box_boat().layout)


@pytest.mark.example
def test_what_has_no_rest_prints_no_figures() -> None:
    """A boat that founders has no waterline: each figure is not known, and the reason stands beneath."""
    text = flooding_report(box_boat(), [LOST])
    line = next(line for line in text.splitlines() if line.startswith("after space "))
    assert line.count("not known") == 6
    assert "she founders: all that still displaces water cannot carry her weight." in text


@pytest.mark.example
def test_one_that_founders_still_tells_where_the_sea_came_in() -> None:
    """She founders for want of buoyancy; that the cockpit's rim went under on the way is said beside it, not as the cause."""
    lost = replace(LOST, through=("the cockpit's rim",))
    cause, way = "all that still displaces water cannot carry her weight", "n the way the sea comes in through the cockpit's rim."
    assert case_words(lost, "mm", box_boat().layout) == f"she founders: {cause}. O{way}"
    (finding, *_) = flooding_findings(box_boat().layout, [lost])
    assert f"she founders: {cause}; o{way}" in in_words(finding)


def lidded() -> Evaluation:
    """The box boat with the low void under its lid and the after space on it."""
    boat = box_boat()
    sides = {"low void": (("tank top", "under"),), "after space": (("tank top", "top"),)}
    spaces = tuple(replace(space, bounds=sides.get(space.name, space.bounds)) for space in boat.layout.compartments)
    return replace(boat, layout=replace(boat.layout, compartments=spaces))


def lid_table(*cases: FloodingCase) -> str:
    """What is said of lids at their worst, on one line."""
    text = flooding_report(lidded(), cases)
    return " ".join(text.partition("LIDS AT THEIR WORST")[2].partition("Of the cases")[0].split())


@pytest.mark.example
def test_a_lid_of_which_a_case_is_not_known_is_not_called_safe() -> None:
    """It stands 300 mm clear where that is known; with the void under it holed nobody knows, which is said."""
    clear = replace(HOLED, lids=(LidLevel(name="tank top", clear_of_water=0.3, lowest_safe_height=0.15),))
    unknown = replace(LOST, holed=("low void",), floods=("low void",), verdict="unknown")
    pair = replace(unknown, holed=("low void", "forepeak"))
    assert "tank top 300 150 forepeak" in lid_table(clear)
    said = lid_table(clear, unknown, pair)
    assert "tank top not known not known low void" in said
    assert said.endswith("tank top: not known where she comes to no rest, with low void holed.")


@pytest.mark.example
def test_only_water_that_comes_to_a_lid_counts_for_it() -> None:
    """A case that floods neither of its sides says nothing of a lid, however high the sea stands outside."""
    elsewhere = replace(HOLED, floods=("forepeak",), lids=(replace(HOLED.lids[0], clear_of_water=-0.515),))
    assert lid_table(elsewhere) == ""
    assert "tank top -81 530 forepeak" in lid_table(elsewhere, HOLED)


@pytest.mark.closed_form
def test_each_lid_is_shown_at_its_worst() -> None:
    """Of two cases the one that asks for the higher lid is printed, with the height it asks for."""
    drier = replace(HOLED, holed=("low void",), lids=(LidLevel(name="tank top", clear_of_water=0.02, lowest_safe_height=0.43),))
    assert lid_table(drier, HOLED).endswith("tank top -81 530 forepeak")
    emptied = replace(HOLED, lids=(replace(HOLED.lids[0], clear_of_water=-0.09, lowest_safe_height=0.54),))
    assert lid_table(drier, replace(HOLED, emptiest=emptied)).endswith("tank top -90 540 forepeak (empty)")


@pytest.mark.example
def test_a_case_asked_for_is_told_in_full() -> None:
    """The void under the berth of the demo boat holed: the hole it runs through, the lid's uplift, the check by hand."""
    boat = demo("marram-forepeak")
    cases = flooding_cases(boat.layout, boat.water, boat.floating, ["forward void"])
    text = flooding_report(boat, cases, detail=True)
    assert "it takes the waterplane to stay as it is, so the deeper she goes the further it is out" in " ".join(text.split())
    for words in ("The water's way: through limber hole", "WATER AGAINST PANELS", "litres a minute", "By hand", "safe height"):
        assert words in text
    row = next(line for line in text.splitlines() if line.startswith("tank top") and "under" in line).split()
    # A column of sea water of a millimetre weighs 1.025 kg on a square metre.
    assert float(row[4]) == pytest.approx(1.025 * float(row[3]), abs=1.1)


@pytest.mark.example
def test_the_metacentric_height_of_two_hulls_is_told_rounded_in_metres() -> None:
    """18.62 m in tables of millimetres: 18.6 m in the report, with what it means, and in the table of cases."""
    told = " ".join(report(demo("pellwick-bows")).split())
    assert "metacentric height GM 18.6 m two hulls: stiff, which says nothing of capsizing" in told
    line = next(
        line for line in flooding_report(box_boat(), [replace(HOLED, gm=18.62)]).splitlines() if line.startswith("forepeak ")
    )
    assert " ".join(line.split()) == "forepeak 1900 800 450 2.0° P 200 18.6 m floats"


@pytest.mark.example
def test_every_flooding_report_says_what_it_leaves_out() -> None:
    """Waves and strength are not part of the answer, and each answer says so."""
    assert "no waves" in " ".join(flooding_report(box_boat(), [LOST]).split())


@pytest.mark.closed_form
def test_a_balance_to_less_than_a_gram_is_said_in_words() -> None:
    """3 millionths of a gram are rounding and no figure for an owner; 2 grams are told."""
    boat = demo("marram-forepeak")
    for kilograms, words in ((3.02e-9, "agree to less than a gram"), (-0.002, "agree to 2 g")):
        case = replace(HOLED, hand=(0.8, 0.4), residual=kilograms, lids=())
        assert words in " ".join(" ".join(case_detail(boat, case, "mm", 96)).split())
