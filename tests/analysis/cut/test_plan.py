"""What is carried to the boat for one layout: a small boat's forepeak, lid and stringers, taken below through a low way."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from scene_specimens import forepeak_to_build
from specimens import box_form, layout_scene

from sketcher.analysis.cut.bonding.seam_reach import within_reach
from sketcher.analysis.cut.bonding.seams import seams
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.cut.plan import BuildPlan, build_plan
from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.flat.no_fit import turned
from sketcher.model.cutting import Joints, Sheet
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, Lid, NamedSpace, Opening
from sketcher.outputs.paper.build_files import build_files
from sketcher.outputs.scene3d.solid_files import as_glb, solids
from sketcher.outputs.tables.costs import sold
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words


@pytest.fixture(scope="module")
def plan() -> BuildPlan:
    return build_plan(evaluate(forepeak_to_build()))


@pytest.fixture(scope="module")
def of_bamboo(plan: BuildPlan) -> BuildPlan:
    """The same from sheets without grain, of a material that no table has."""
    sheets = tuple(Sheet(name=f"{t:g}", thickness=t, size=(2.44, 1.22), material="bamboo", grain="any") for t in (0.009, 0.012))
    return build_plan(evaluate(replace(plan.evaluation.scene, sheets=sheets)))


@pytest.mark.example
def test_every_board_lies_with_its_grain_along_its_sheet(plan: BuildPlan) -> None:
    """No sheet is listed, so plywood is taken: each board's arrow, turned as the board is laid, lies along the sheet's length."""
    grain = {pattern.name: pattern.grain for pattern in plan.patterns}
    laid = [placed for layout in plan.sheets for placed in layout.nesting.placed]
    assert {placed.piece for placed in laid} == set(grain)
    for placed in laid:
        of = grain[placed.piece]
        assert of is not None
        assert abs(turned(np.array([of]), placed.turn, placed.mirrored)[0][1]) < 1e-9


@pytest.mark.example
def test_straps_with_grain_across_are_no_longer_than_a_sheet_is_wide(plan: BuildPlan) -> None:
    """A joint 1711 mm long takes two straps from sheets 1220 mm wide, which make up its length without a gap."""
    straps = [pattern for pattern in plan.patterns if pattern.kind == "butt strap" and pattern.panel == "berth top"]
    longest = [strap.blank.bounds for strap in straps if "part 1 of 4 and part 2 of 4" in words(strap.forward)]
    assert len(longest) == 2
    assert all(strap.blank.bounds[2] <= 1.2 for strap in straps)
    assert sum(bounds[2] for bounds in longest) == pytest.approx(1.6721, abs=0.002)


@pytest.mark.example
@pytest.mark.slow
def test_a_joint_that_saves_a_sheet_is_told_and_does_so() -> None:
    """A bulkhead's boards take two sheets of 2.35 m: with its joint upright, as is said, they come out of one."""
    demo_scene = read_scene(demo_folder() / "scenes" / "marram-two-tanks.yaml")
    webs, lids = ([replace(each, built="already") for each in of] for of in (demo_scene.partitions, demo_scene.lids))
    short = Sheet(name="short", thickness=0.018, size=(2.35, 1.22))
    scene = replace(demo_scene, partitions=tuple(webs), lids=tuple(lids), sheets=(short,))
    first = build_plan(evaluate(scene))
    told = next(each for each in first.findings if (each.code, each.object) == ("joints-save-sheet", "collision"))
    assert "with joints at the centreline, one sheet of 18 mm would do in place of 2" in in_words(told)
    moved = [replace(each, joints=Joints("off_centre", (0.0,))) if each.name == told.object else each for each in scene.bulkheads]
    again = build_plan(evaluate(replace(scene, bulkheads=tuple(moved))))
    assert [len(plan.sheets[-1].nesting.sheets) for plan in (first, again)] == [2, 1]


@pytest.mark.example
@pytest.mark.slow
def test_sheets_without_grain_leave_the_claim_out(of_bamboo: BuildPlan) -> None:
    """Of foam-cored or cast sheets no board has an arrow, and a long strap comes in one piece."""
    assert all(pattern.grain is None for pattern in of_bamboo.patterns)
    assert not any("Grain" in words(note) for pattern in of_bamboo.patterns for note in pattern.notes)
    assert not any(layout.grained for layout in of_bamboo.sheets)
    assert max(p.blank.bounds[2] for p in of_bamboo.patterns if p.kind == "butt strap") > 1.6


@pytest.mark.example
def test_a_part_names_only_what_it_touches(plan: BuildPlan) -> None:
    """Of a lid in four parts the aftermost touches the main bulkhead, the foremost the collision bulkhead, the others none."""
    lid = [pattern for pattern in plan.patterns if pattern.kind == "lid"]
    assert [pattern.touches for pattern in lid] == [("main",), (), (), ("collision",)]
    assert [any("other panels" in words(note) for note in pattern.notes) for pattern in lid] == [True, False, False, True]


@pytest.mark.example
def test_gaps_are_said_to_be_taken_off_already(plan: BuildPlan) -> None:
    """Nobody takes 6 mm off twice: the line on the board is the line to saw."""
    for pattern in plan.patterns:
        if pattern.kind in ("lid", "bulkhead"):
            assert words(pattern.notes[0]).startswith("Already taken off: 6 mm to hull")
            assert words(pattern.notes[0]).endswith("Saw on the line.")


@pytest.mark.example
def test_a_part_is_measured_from_its_own_lowest_edge(plan: BuildPlan) -> None:
    """Its zero is at the part's own lowest point, where a tape is hooked, and it lies in the boat as before."""
    (lid,) = panel_patterns(plan.evaluation.layout, None, ["berth top"])
    for part in (pattern for pattern in plan.patterns if pattern.kind == "lid"):
        assert part.blank.bounds[1] == pytest.approx(0.0, abs=1e-9)
        corners = lid.frame.flat(part.frame.space(np.array([at for _, at in part.corners])))
        assert lid.blank.buffer(1e-6).contains(shapely.MultiPoint(corners))


@pytest.mark.example
def test_parts_are_joined_below_and_before_their_panel_goes_in(plan: BuildPlan) -> None:
    """Boards go below, are glued together flat with their straps up, and only then stand in their place."""
    steps = {words(step.title): step for step in plan.steps}
    for kind, panel, down in (("Bulkhead", "collision", "after"), ("Lid", "berth top", "top")):
        join, place = steps[f"Join the parts: {panel}"], steps[f"{kind}: {panel}"]
        assert steps["Boards below"].number in join.after
        assert join.number in place.after
        assert f"flat, the {down} face down" in words(join.what)


@pytest.mark.example
def test_seams_that_no_arm_reaches_are_bedded_on_cleats(plan: BuildPlan) -> None:
    """Once the lid closes, an arm through a port of 300 x 220 mm reaches none of its edges, and a hand none of the bulkhead's."""
    bonding = plan.bonding
    assert bonding is not None
    lost = {(s.panel, s.face): s.reached for s in bonding.seams if s.reached < s.length}
    assert lost.keys() == {("berth top", "under"), ("collision", "forward")}
    assert bonding.seam_length + bonding.bedded == pytest.approx(sum(seam.length for seam in bonding.seams))
    assert bonding.tapes[0].length == pytest.approx(bonding.seam_length * 1.15)
    lid = next(step for step in plan.steps if words(step.title) == "Lid: berth top")
    assert "first bond cleats along collision and main" in words(lid.what)
    assert "along the hull bearer will do" in words(lid.what)


@pytest.mark.closed_form
def test_an_arm_reaches_what_lies_within_its_length() -> None:
    """A hatch in the middle of a lid 2 x 2 m: an arm of 600 mm reaches no edge, 1 m away; near one, a chord of that edge."""
    form = box_form()
    main = Bulkhead(name="main", at=2.0, thickness=0.018, built="already")
    lid = Lid(name="lid", height=0.5, start="stem", end="main", thickness=0.012)
    void = NamedSpace(name="void", at=(1.0, 0.5, 0.2))
    found = []
    for off in (0.0, 0.7):
        port = Opening(name="port", through="lid", at=(1.0, off), diameter=0.2, cover="tight")
        layout = lay_out(layout_scene(form, bulkheads=(main,), lids=(lid,), compartments=(void,), openings=(port,)), form)
        found.append(sum(s.reached for s in within_reach(layout, seams(layout)) if s.face == "under"))
    assert found[0] == 0.0
    assert found[1] == pytest.approx(2 * np.sqrt(0.6**2 - 0.3**2), abs=0.06)


@pytest.mark.example
def test_drains_are_tried_only_where_there_are_some(plan: BuildPlan) -> None:
    """The lid closes a space without a hole: nothing to try; the chain's pipe into the forepeak is."""
    what = {words(step.title): words(step.what) for step in plan.steps}
    assert "clear" not in what["Lid: berth top"]
    assert "see that anchor chain's pipe is clear" in what["Bulkhead: collision"]


@pytest.mark.example
def test_the_shopping_list_holds_what_covers_holds_and_fills(plan: BuildPlan) -> None:
    """As many bottles as were placed, what holds them down, both ports, screws, cleats and chain."""
    amounts = {words(each.item): sold(each.amount, "mm")[0] for each in plan.purchases}
    contents = plan.evaluation.contents
    assert contents is not None
    assert amounts["bottles, soda"] == contents.bottles[0].stows[0].count
    assert amounts["chain, 6 mm"] == 20.0
    assert amounts["port or hatch, watertight, 125 mm across"] == 1.0
    assert amounts["port or hatch, watertight, 300 mm × 220 mm"] == 1.0
    assert 2.0 < amounts["slats to hold bottles down"] < 1.88 * 2.0
    assert any(item.startswith("screws") for item in amounts)
    bonding = plan.bonding
    assert bonding is not None
    cleats = [each for each in plan.purchases if each.note is not None and each.note.code.endswith("-cleats")]
    lengths = [sold(each.amount, "mm")[0] / each.note.values.get("strips", 1) for each in cleats]  # type: ignore[operator, union-attr]
    assert sum(lengths) == pytest.approx(1.05 * bonding.cleats)


@pytest.mark.published
@pytest.mark.slow
def test_boards_of_no_stated_material_weigh_as_okoume_plywood(plan: BuildPlan, of_bamboo: BuildPlan) -> None:
    """9 mm 4.1 and 12 mm 5.4 kg/m2 (merchants' data), marked as assumed; a material that no table has leaves it unknown."""
    for pattern in plan.patterns:
        mean = (pattern.outline.area + pattern.other_outline.area) / 2
        assert pattern.mass_assumed
        assert pattern.mass == pytest.approx({0.009: 4.1, 0.012: 5.4}[pattern.thickness] * mean, rel=1e-6)
    assert {pattern.mass for pattern in of_bamboo.patterns} == {None}


@pytest.mark.example
def test_a_lid_of_which_nothing_is_in_the_hull_leaves_the_rest_to_be_built() -> None:
    """A lid under the keel with a port through it: no step, no board and no solid of it, and a word of why."""
    form = box_form()
    main = Bulkhead(name="main", at=2.0, thickness=0.018)
    under = Lid(name="under", height=-0.01, start="stem", end="main", thickness=0.012)
    port = Opening(name="port", through="under", at=(1.0, 0.0), diameter=0.1, cover="tight")
    plan = build_plan(evaluate(layout_scene(form, bulkheads=(main,), lids=(under,), openings=(port,))))
    assert {pattern.panel for pattern in plan.patterns} == {"main"}
    assert not any("under" in step.objects for step in plan.steps)
    said = next(in_words(finding) for finding in plan.findings if finding.code == "nothing-to-cut")
    assert said == "under: nothing of it lies in the hull, so there is no board to cut. Move it, or leave it out."
    assert "under" not in {solid.name for solid in solids(plan.evaluation)}
    assert len(as_glb(solids(plan.evaluation))) > 1000


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize(
    "panels",
    [
        "bulkheads: {a: {at: -5, thickness: 12}}",
        "bulkheads: {a: {at: 6000, thickness: 900}}",
        "bulkheads: {m: {at: 700, thickness: 9}}\nlids: {l: {height: 1140, from: stem, to: m, thickness: 900}}",
        "bulkheads: {m: {at: 2700, thickness: 9}}\nlids: {l: {height: 5, from: stem, to: m, thickness: 20}}",
        "bulkheads: {m: {at: 2700, thickness: 9}}\npartitions: {l: {off_centre: 1000, from: stem, to: m, thickness: 300}}",
    ],
)
def test_a_panel_that_stands_partly_outside_has_a_plan(panels: str, tmp_path: Path) -> None:
    """One face of it is wholly outside the hull, or next to nothing of it inside: planned all the same, all files written."""
    scene = tmp_path / "scene.yaml"
    hull = demo_folder() / "hulls" / "quillet-21.yaml"
    scene.write_text(f"scene: At the ends\nhull: {hull}\nunits: mm\n{panels}\n", encoding="utf-8")
    plan = build_plan(evaluate(read_scene(scene)))
    if plan.patterns:
        assert dict(build_files(plan, picture=False))["booklet.pdf"].startswith(b"%PDF")
