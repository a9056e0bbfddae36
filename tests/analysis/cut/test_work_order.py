"""The order of work and the leak tests: what comes first, what is objected to, what a test pushes on."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import Literal

import pytest
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bonding.seam_reach import within_reach
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.cautions import cautions_of
from sketcher.analysis.cut.leak_tests import leak_tests
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.results import Seam, WorkStep
from sketcher.analysis.cut.timber.bearer_patterns import stringer_patterns
from sketcher.analysis.cut.work_order import panels_in_order, work_steps
from sketcher.analysis.evaluate import evaluate, judged
from sketcher.analysis.fit.fitting_reach import reach_findings
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.contents import Foam
from sketcher.model.cutting import Bonding
from sketcher.model.scene import Bulkhead, Fitting, Lid, NamedSpace, Opening, Partition, Stringer, Waterline
from sketcher.outputs.tables.build_lists import leak_tests_table, to_mind
from sketcher.outputs.wording.sentences import words

MAIN = Bulkhead(name="main", at=2.0, thickness=0.018)
TOP = Lid(name="bunk", height=0.5, start="stem", end="main", thickness=0.012)
WEB = Partition(name="web", off_centre=(0.0, 0.0), start="stem", end="main", thickness=0.009, top="bunk")
VOID = NamedSpace(name="void", at=(1.0, 0.5, 0.2))
PORT = Opening(name="port", through="bunk", at=(1.0, 0.5), diameter=0.2, cover="tight")


def steps(**blocks: object) -> tuple[WorkStep, ...]:
    form = box_form()
    layout = lay_out(layout_scene(form, **blocks), form)
    empty = judged(layout)
    evaluation = replace(empty, findings=(*empty.findings, *reach_findings(layout)))
    return work_steps(evaluation, (), (), (), leak_tests(evaluation.layout))


def number(found: tuple[WorkStep, ...], title: str) -> int:
    return step_called(found, title).number


def step_called(found: tuple[WorkStep, ...], title: str) -> WorkStep:
    return next(step for step in found if words(step.title) == title)


def minded(step: WorkStep) -> list[str]:
    return to_mind(step, "mm")


@pytest.mark.example
def test_what_stands_under_a_lid_goes_in_before_it() -> None:
    """The bulkhead, then the partition that ends under the bunk, then the bunk that closes both sides."""
    form = box_form()
    scene = layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), partitions=(WEB,))
    assert [shape.name for shape in panels_in_order(lay_out(scene, form))] == ["main", "web", "bunk"]


@pytest.mark.example
def test_what_stands_on_a_lid_goes_in_after_it() -> None:
    """A partition from the bunk up to the deck waits for the bunk."""
    form = box_form()
    locker = Partition(name="locker", off_centre=(0.3, 0.3), start="stem", end="main", thickness=0.009, bottom="bunk")
    scene = layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), partitions=(locker,))
    assert [shape.name for shape in panels_in_order(lay_out(scene, form))] == ["main", "bunk", "locker"]


@pytest.mark.example
def test_every_step_comes_after_what_it_needs() -> None:
    """Numbers go up, and a step names only earlier ones."""
    found = steps(bulkheads=(MAIN,), lids=(TOP,), partitions=(WEB,), compartments=(VOID,), openings=(PORT,))
    assert [step.number for step in found] == list(range(1, len(found) + 1))
    assert all(before < step.number for step in found for before in step.after)
    bunk = step_called(found, "Lid: bunk")
    assert {number(found, "Bulkhead: main"), number(found, "Partition: web")} <= set(bunk.after)


@pytest.mark.example
def test_sealing_a_space_in_is_objected_to() -> None:
    """The bunk without an opening shuts the void for good: the step that does it says so; with a port it does not."""
    sealed = step_called(steps(bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,)), "Lid: bunk")
    assert any(caution.startswith("No opening leads into void") for caution in minded(sealed))
    open_ = step_called(steps(bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT,)), "Lid: bunk")
    assert not any("No opening" in caution for caution in minded(open_))


@pytest.mark.example
def test_a_fitting_that_must_be_reached_is_named_where_it_is_shut_in() -> None:
    """A seacock under the bunk that someone must get at later: the step that closes the void objects, naming it."""
    cock = Fitting(name="seacock", at=(1.0, 0.5, 0.1), size=(0.08, 0.08, 0.08), reach=True)
    found = steps(bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), fittings=(cock,))
    closing = step_called(found, "Lid: bunk")
    assert ("fitting-sealed-in", "seacock") in {(one.code, one.object) for one in closing.objections}
    assert any("seacock" in caution for caution in minded(closing))


@pytest.mark.example
def test_hazards_are_said_once_and_before_the_act() -> None:
    """Dust before grinding, foam before it is poured, air before the test; no caution twice."""
    found = steps(
        bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT,), foams=(Foam(name="foam", space="void"),)
    )
    said = [caution for step in found for caution in minded(step)]
    assert len(said) == len(set(said))
    assert any("isocyanate" in caution for caution in minded(step_called(found, "Lid: bunk")))
    assert any("Dust" in caution for caution in minded(found[0]))
    assert any("water tube" in caution for caution in minded(next(s for s in found if words(s.title).startswith("Test"))))


@pytest.mark.example
def test_a_panel_that_carries_loads_waits_for_the_designer() -> None:
    """The first step is to ask, before anything is cut."""
    found = steps(bulkheads=(Bulkhead(name="main", at=2.0, thickness=0.018, carries=("mast",)),))
    assert words(found[0].title) == "Ask first"
    assert found[0].objects == ("main",)


@pytest.mark.closed_form
def test_a_leak_test_lifts_a_lid_by_pressure_times_area() -> None:
    """Five inches of water are 1.245 kPa; on a bunk of 2 x 2 m they push 4.98 kN; a degree of warming adds 346 Pa."""
    form = box_form()
    layout = lay_out(layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT,)), form)
    (test,) = [test for test in leak_tests(layout) if test.space == "void"]
    forces = {name: force for name, force, _ in test.uplift}
    assert (test.water_column, test.pass_column) == pytest.approx((0.127, 0.0508), rel=1e-4)
    assert forces["bunk"] == pytest.approx(1245.44 * 4.0, rel=1e-4)
    assert test.warmth == pytest.approx(101325 / 293.15)
    assert test.closed


@pytest.mark.published
def test_a_leak_test_is_told_in_inches_of_water_where_inches_are_read() -> None:
    """The rule is of 5 inches blown and 2 left after half a minute: so it is said again, and in millimetres as 127 and 51."""
    step = step_called(steps(bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT,)), "Test: void")
    assert words(step.what, "in").startswith("Blow void to 5 in of water; 2 in or more are left after 30 s. ")
    assert words(step.what, "mm").startswith("Blow void to 127 mm of water; 51 mm or more are left after 30 s. ")
    assert "to find one of 1 mm it must stand so for 14 minutes" in words(step.what, "mm")


@pytest.mark.closed_form
def test_what_a_leak_test_lets_pass_grows_with_the_space() -> None:
    """2 x 2 x 0.488 m: A = 2 V (sqrt p0 - sqrt p1) / (P C t sqrt(2 / rho)), p0 and p1 of 5 and 2 inches, is a hole of 5.2 mm, and
    0.6 A sqrt(2 g h) under 300 mm lets in 113 litres an hour; 1 mm takes as much longer as its area is smaller."""
    form = box_form()
    layout = lay_out(layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT,)), form)
    (test,) = [test for test in leak_tests(layout) if test.space == "void"]
    start, left = (inches * 249.0889 for inches in (5, 2))
    density = 101325 / 287.05 / 293.15
    area = 2 * 1.952 * (start**0.5 - left**0.5) / (101325 * 0.6 * 30 * (2 / density) ** 0.5)
    assert test.passed_hole == pytest.approx((4 * area / 3.14159265) ** 0.5, rel=1e-6)
    assert test.passed_hole == pytest.approx(0.0052, abs=5e-5)
    assert test.passed_flow == pytest.approx(0.6 * area * (2 * 9.81 * 0.3) ** 0.5 * 3600, rel=1e-9)
    assert test.passed_flow == pytest.approx(0.113, abs=5e-4)
    assert test.sought_hold == pytest.approx(30 * (test.passed_hole / 0.001) ** 2, rel=1e-9)
    head, row = list(csv.reader(io.StringIO(leak_tests_table([test]))))
    told = dict(zip(head, row, strict=True))
    assert [told[key] for key in ("passed_hole_mm", "passed_litres_per_hour", "sought_hole_mm")] == ["5.2", "113", "1.0"]


@pytest.mark.example
def test_a_space_with_a_hole_cannot_be_tested_and_says_why() -> None:
    """A limber hole in the bulkhead is named as what keeps the space open."""
    form = box_form()
    hole = Opening(name="limber hole", through="main", at=(0.0, 0.1), diameter=0.025)
    layout = lay_out(layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(hole,)), form)
    (test,) = [test for test in leak_tests(layout) if test.space == "void"]
    assert not test.closed
    assert test.open_paths == ("limber hole",)
    assert [words(each) for each in test.closings] == [
        "drive a soft plug into limber hole (25 mm), with a line on it to pull it out by"
    ]


@pytest.mark.closed_form
@pytest.mark.parametrize(("cover", "how"), [("none", "clamp"), ("loose", "shut its cover and tape its rim all round, or clamp")])
def test_a_space_that_is_open_is_told_how_it_is_closed_for_the_test(cover: Literal["none", "loose"], how: str) -> None:
    """A hatch of 0.4 x 0.5 m in the bunk is pushed off by 1245.44 Pa x 0.2 m2, 249 N, as 25 kg weigh; step and list say so."""
    hatch = Opening(name="hatch", through="bunk", at=(1.0, 0.0), size=(0.4, 0.5), cover=cover)
    blocks = {"bulkheads": (MAIN,), "lids": (TOP,), "compartments": (VOID,), "openings": (hatch,)}
    said = f"hatch: {how} a plate on closed-cell foam over it, from inside where that can be; 25 kg push it off"
    assert words(step_called(steps(**blocks), "Test: void").what).startswith(f"void is open now. For the test: {said}. Blow void")
    form = box_form()
    (test,) = [test for test in leak_tests(lay_out(layout_scene(form, **blocks), form)) if test.space == "void"]
    (row,) = csv.DictReader(io.StringIO(leak_tests_table([test])))
    assert row["to_close"] == said


@pytest.mark.example
def test_a_hose_and_a_leaky_panel_are_each_closed_in_their_own_way() -> None:
    """A hose is plugged; a panel that is stated as not tight is sealed, or the test left out."""
    form = box_form()
    hose = Opening(name="hose", through=None, joins=("void", "cabin"), diameter=0.02)
    cabin = NamedSpace(name="cabin", at=(3.0, 0.0, 0.5))
    blocks = {"bulkheads": (replace(MAIN, watertight=False),), "lids": (TOP,), "compartments": (VOID, cabin), "openings": (hose,)}
    (test,) = [test for test in leak_tests(lay_out(layout_scene(form, **blocks), form)) if test.space == "void"]
    assert {each.code for each in test.closings} == {"close-conduit", "close-panel"}


@pytest.mark.closed_form
def test_the_step_of_a_test_says_what_it_does_to_each_panel() -> None:
    """1245.44 Pa on 2 x 2 m of bunk push up as 508 kg weigh, on 2 x 0.488 m of bulkhead aft as 124 kg."""
    step = step_called(steps(bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT,)), "Test: void")
    assert "That pushes bunk up with 508 kg and main aft with 124 kg." in words(step.what)


@pytest.mark.closed_form
def test_no_test_is_proposed_for_the_main_space() -> None:
    """A bulkhead at 2.5 m of 4 leaves 62 % of the inside before it: no test there, though no use is stated; one for the rest."""
    form = box_form()
    layout = lay_out(layout_scene(form, bulkheads=(replace(MAIN, at=2.5),)), form)
    assert [test.volume for test in leak_tests(layout)] == pytest.approx([(4.0 - 2.5 - 0.018) * 2.0 * 1.0])


@pytest.mark.example
def test_a_stringer_under_a_lid_is_fitted_before_it() -> None:
    """The bearer is bonded to the hull before the bunk lies on it."""
    form = box_form()
    bearer = Stringer(name="bearer", under="bunk", side="both", start="stem", end="main", width=0.03, depth=0.045)
    layout = lay_out(layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), stringers=(bearer,)), form)
    found = work_steps(judged(layout), (), (), stringer_patterns(layout), ())
    assert number(found, "Stringers: bearer") in found[number(found, "Lid: bunk") - 1].after


@pytest.mark.example
def test_an_old_drain_is_objected_to_and_never_called_clear() -> None:
    """The report asks to plug a limber hole under water in a bulkhead: its step says so, and no step wants it clear."""
    hole = Opening(name="limber hole", through="main", at=(0.0, 0.1), diameter=0.025, cover="none")
    form = box_form()
    scene = layout_scene(form, bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), openings=(PORT, hole))
    found = work_steps(evaluate(replace(scene, waterline=Waterline(forward=0.3, after=0.3))), (), (), (), ())
    assert any("Plug it" in caution for caution in minded(step_called(found, "Bulkhead: main")))
    assert not any("limber hole is clear" in words(step.what) for step in found)


@pytest.mark.published
@pytest.mark.parametrize(("temperature", "days"), [(20.0, 7), (10.0, 14)])
def test_resin_is_given_its_time_before_the_test(temperature: float, days: int) -> None:
    """Full cure about 7 days at 20 deg C, twice as long for each 10 degrees colder (resin makers' tables)."""
    found = steps(bulkheads=(MAIN,), lids=(TOP,), compartments=(VOID,), bonding=replace(Bonding(), temperature=temperature))
    assert f"{days} days at {temperature:g} °C" in words(step_called(found, "Seal what passes through").what)
    said = [caution for step in found for caution in minded(step)]
    assert sum("wash it off" in caution for caution in said) == 1


@pytest.mark.example
def test_a_tight_bulkhead_taped_on_one_face_is_warned_of() -> None:
    """Two metres of its seams within a closed space that no opening leads to; with all in reach, or a lid alone, nothing."""
    layout = lay_out(layout_scene(box_form(), bulkheads=(MAIN,), lids=(TOP,)), box_form())
    lid, bulkhead = layout.panels
    of_main = [seam for seam in seams(layout) if seam.panel == "main"]
    lost = [replace(of_main[0], reached=of_main[0].length - 2.0), *of_main[1:]]

    def said(shape: PanelShape, of: list[Seam]) -> list[str]:
        return [words(each) for each in cautions_of(layout, shape, (), of)]

    assert any("2.0 m get tape on one face only" in each for each in said(bulkhead, lost))
    assert not any("one face only" in each for each in (*said(bulkhead, of_main), *said(lid, lost)))


@pytest.mark.parametrize(("side", "order"), [(0.3, ["bunk", "main"]), (1.1, ["main", "bunk"])])
@pytest.mark.property
def test_a_board_that_a_bulkhead_would_shut_out_goes_in_before_it(side: float, order: list[str]) -> None:
    """A board 1 m wide: through a hatch of 0.3 m it gets ahead of the bulkhead no more, through one of 1.1 m it does."""
    form = box_form()
    hatches = (
        Opening(name="locker hatch", through="deck", at=(0.5, 0.0), size=(side, side), cover="loose"),
        Opening(name="fore hatch", through="deck", at=(2.0, 0.0), size=(1.2, 1.2), cover="loose"),
    )
    ahead, low = replace(MAIN, at=1.0), replace(TOP, height=0.3)
    spaces = (NamedSpace(name="locker", at=(0.5, 0.5, 0.6)), NamedSpace(name="cabin", at=(3.0, 0.0, 0.5), use="accommodation"))
    scene = layout_scene(form, bulkheads=(ahead,), lids=(low,), openings=hatches, compartments=spaces)
    layout = lay_out(scene, form)
    boards = panel_patterns(layout, None)
    found = work_steps(judged(layout), boards, (), (), (), wholes=boards)
    told = [words(step.title).split(": ")[1] for step in found if words(step.title).startswith(("Bulkhead", "Lid"))]
    assert told == order
    assert ("This goes in before main: once that stands, locker hatch lets" in words(step_called(found, "Lid: bunk").what)) == (
        side < 1.0
    )
    # The bulkhead's forward face is reached as if it stood there alone, whatever comes after it or before.
    alone = lay_out(layout_scene(form, bulkheads=(ahead,), openings=hatches, compartments=spaces), form)
    reached = [
        sum(
            seam.reached
            for seam in within_reach(each, seams(each), boards, boards)
            if (seam.panel, seam.face) == ("main", "forward")
        )
        for each in (layout, alone)
    ]
    every = sum(seam.length for seam in seams(layout) if (seam.panel, seam.face) == ("main", "forward"))
    assert (reached[0] < every - 1.0) == (side < 1.0)
    assert reached[0] == pytest.approx(reached[1], abs=0.1)
