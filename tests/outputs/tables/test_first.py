"""What the owner must know first: the verdict, the worst flooding, and where both stand in a report."""

from __future__ import annotations

from dataclasses import replace

import pytest
from evaluation_specimen import box_boat
from places import SCENES
from scene_specimens import demo

from sketcher.analysis.checking import findings_of_file
from sketcher.analysis.evaluate import with_flooding
from sketcher.analysis.findings import Finding, Length, Mass, Phrase
from sketcher.analysis.flooding.cases import first_cases, flooding_cases, single_cases, struck_at, struck_cases
from sketcher.analysis.flooding.findings import flooding_findings
from sketcher.analysis.flooding.freeboards import LidLevel
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.analysis.results import WaterPlane
from sketcher.outputs.tables.first import MOST, if_holed, only_while, verdict
from sketcher.outputs.tables.flooding import flooding_report
from sketcher.outputs.tables.report import report
from sketcher.outputs.wording.kinds import in_brief, kinds

REST = Phrase("comes-to-rest", {"through": (), "heel": None, "lolled": False, "edge_depth": None, "edge_aft": Length(0.0)})
INTACT = WaterPlane(forward=0.5, after=0.5, heel=0.0, x_forward=0.0, x_after=4.0)
VOID = FloodingCase(
    holed=("low void",),
    floods=("low void", "forepeak"),
    verdict="floats",
    reason=REST,
    water=replace(INTACT, forward=0.75, after=0.45),
    water_volume=1.9,
    least_freeboard=0.25,
    lids=(LidLevel(name="tank top", clear_of_water=-0.12, lowest_safe_height=0.8),),
    intact=INTACT,
)
FOREPEAK = replace(VOID, holed=("forepeak",), floods=("forepeak",), water_volume=0.2, least_freeboard=0.4, lids=())
PAIR = replace(VOID, holed=("low void", "after space"), verdict="founders", water=None)
UNKNOWN = FloodingCase(
    holed=("after space",), floods=("after space",), verdict="unknown", reason=Phrase("gravity-height-not-stated")
)
DEMOS = sorted(path.stem for path in SCENES.glob("*.yaml"))


def no_access(space: str) -> Finding:
    values = {"space": space, "least": Length(0.15), "easy": Length(0.2)}
    return Finding(code="no-access", severity="warn", object=space, values=values)


@pytest.mark.closed_form
def test_the_worst_flooding_is_that_of_one_space_with_the_least_freeboard() -> None:
    """Of the void, 250 mm left, and the forepeak, 400 mm, the void: 0.75 less 0.50 m is 250 mm at the bow. Pairs do not count."""
    (said,) = if_holed(box_boat(), [FOREPEAK, VOID, PAIR], "mm")
    assert said.startswith("The worst is low void holed, the water going on into forepeak: she floats, with 1900 litres in her")
    assert said.endswith("bow 250 mm deeper, least freeboard 250 mm. Tank top goes 120 mm under.")


@pytest.mark.example
def test_what_lifts_the_lid_is_told_as_the_finding_tells_it() -> None:
    """In the demo boat the lid over the void goes under, and one figure stands for its lift: the finding's."""
    boat = demo("marram-forepeak")
    cases = flooding_cases(boat.layout, boat.water, boat.floating)
    lid = next(found for found in flooding_findings(boat.layout, cases) if found.code == "lid-under-flooded-water")
    uplift = lid.values["uplift"]
    assert isinstance(uplift, Mass)
    assert f"the water lifts it with {uplift.kilograms:.0f} kgf." in if_holed(boat, cases, "mm")[0]


@pytest.mark.example
def test_what_is_not_known_of_a_hole_is_said() -> None:
    """One space known, one not: the known one is the worst known, and the other is named with the reason."""
    known, unknown = if_holed(box_boat(), [FOREPEAK, UNKNOWN], "mm")
    assert known.startswith("The worst known is forepeak holed")
    assert unknown == "With after space holed: not known; the height of the centre of gravity is not stated."


@pytest.mark.example
def test_findings_of_one_kind_are_one_line() -> None:
    """Three spaces without a way in are one sentence and one remedy that name them all."""
    (line,) = verdict([no_access(space) for space in ("bilge", "void", "crash space")], "mm").lines
    assert line.text.startswith("Three spaces have no way in: bilge, void and crash space. Give each an opening")


@pytest.mark.example
def test_a_kind_without_a_sentence_of_its_own_names_the_others() -> None:
    """The first in its own words, then the names of the rest."""
    found = [Finding(code="appendage-depth-unknown", severity="note", object=name, values={"appendage": name}) for name in "ABC"]
    assert in_brief(found, "mm").endswith(" Likewise B and C.")


@pytest.mark.example
def test_a_verdict_has_four_lines_at_most_and_says_how_many_it_leaves() -> None:
    """What stops is first, then that by which she floods; what finds no line is counted, and told in full further down."""
    stop = Finding(code="panel-nothing-left", severity="stop", object="lid", values={"panel": "lid", "limits": ()})
    lid = next(found for found in flooding_findings(box_boat().layout, [VOID]) if found.code == "flooding-in-calm-water")
    low = replace(stop, code="deck-edge-under-water", severity="warn", values={"depth": Length(0.1), "aft": Length(1.0)})
    others = [replace(low, code=code, values=values) for code, values in OTHERS.items()]
    said = verdict([lid, *others, low, stop], "mm")
    assert [line.level for line in said.lines] == ["stop", "warn", "warn", "warn"]
    assert (len(said.lines), len(said.left)) == (MOST, 1 + len(others) + 1 - MOST)
    assert said.lines[1].text.startswith("lid: keel reaches 100 mm under the waterline")
    assert low in said.left


OTHERS = {
    "tied-to-removed": {"panel": "lid", "neighbour": "main"},
    "berth-nowhere": {"berth": "berth"},
    "no-such-way-below": {"way": "hatch"},
    "opening-under-water": {"path": "keel", "depth": Length(0.1), "space": "void", "is_opening": True},
}


@pytest.mark.example
@pytest.mark.parametrize("name", DEMOS)
def test_a_report_opens_with_all_that_flooding_warns_of(name: str) -> None:
    """Each kind of warning that a hole raises, in brief, and the worst hole stand in the first 25 lines; notes right after."""
    dry = demo(name)
    cases = flooding_cases(dry.layout, dry.water, dry.floating)
    boat = with_flooding(dry, cases)
    lines = report(boat, cases=cases).splitlines()
    top, more = (" ".join(" ".join(lines[:count]).split()) for count in (25, 29))
    grave = [found for found in flooding_findings(dry.layout, cases) if found.severity != "note"]
    for kind in kinds(grave):
        assert in_brief(kind, boat.scene.units) in top
    worst, *notes = if_holed(boat, cases, boat.scene.units)
    assert worst in top
    assert all(said in more for said in notes)


@pytest.mark.example
def test_a_blow_on_a_bulkhead_is_told_with_both_its_sides() -> None:
    """Of the first demo, by the collision bulkhead, in a line of its own; the main one is not: she is lost by its after side."""
    dry = demo("marram-forepeak")
    boat = dry.layout, dry.water, dry.floating
    singles = single_cases(*boat)
    both = struck_cases(*boat, singles)
    assert len(both) == 2
    told = if_holed(dry, first_cases(*boat), "mm")
    struck = [line for line in told if line.startswith("Struck at")]
    assert struck == [
        "Struck at collision, chain locker and fore cabin fill together: she founders: all that still displaces water cannot "
        "carry her weight."
    ]
    assert set(struck_at(dry.layout).values()) == {"collision", "main"}


@pytest.mark.example
def test_a_lid_that_her_floating_rests_on_is_named_with_what_happens_without_it() -> None:
    """Of the first demo she floats with one space holed only under the tank top and its port: empty she founders without."""
    dry = demo("marram-forepeak")
    cases = first_cases(dry.layout, dry.water, dry.floating)
    told = if_holed(dry, cases, "mm")
    assert told[1] == (
        "She floats only while tank top and inspection port hold: with chain locker and fore cabin both filled, empty but for "
        "what is placed there, she founders: all that still displaces water cannot carry her weight."
    )
    assert sum("only while" in line for line in told) == 1
    (both,) = flooding_cases(dry.layout, dry.water, dry.floating, ["chain locker", "fore cabin"])
    assert [state.verdict for state in both.states] == ["floats", "founders"]
    (one,) = [case for case in cases if case.holed == ("forward void",)]
    assert "only while tank top" in flooding_report(dry, cases)
    assert only_while(dry.layout, one, [one], "mm") is None


@pytest.mark.example
def test_what_a_check_begins_with_is_what_the_report_begins_with() -> None:
    """The same cases are asked in both, so that no sentence of a hole stands in one alone."""
    dry = demo("marram-forepeak")
    checked = findings_of_file(SCENES / "marram-forepeak.yaml")
    assert [case.holed for case in checked.cases] == [case.holed for case in first_cases(dry.layout, dry.water, dry.floating)]


@pytest.mark.closed_form
def test_how_much_deeper_is_told_from_which_water() -> None:
    """Stated at 0.45 m, she floods from 0.50 m with what is aboard: 250 mm more is 750 mm, and not 0.45 + 0.25."""
    stated = replace(box_boat(), water=replace(INTACT, forward=0.45))
    (said,) = if_holed(stated, [VOID], "mm")
    assert "bow 250 mm deeper than with the changes in weight (water there from 500 to 750 mm up), least" in said
