"""What is carried to the boat for one layout: a small boat's forepeak, lid and stringers, taken below through a low way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from scene_specimens import forepeak_to_build

from sketcher.analysis.build_plan import BuildPlan, build_plan
from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.panel_patterns import panel_patterns
from sketcher.geometry.no_fit import turned
from sketcher.model.making import Sheet


@pytest.fixture(scope="module")
def plan() -> BuildPlan:
    return build_plan(evaluate(forepeak_to_build()))


@pytest.mark.property
def test_every_board_lies_with_its_grain_along_its_sheet(plan: BuildPlan) -> None:
    """No sheet is listed, so plywood is taken: each board's arrow, turned as the board is laid, lies along the sheet's length."""
    grain = {pattern.name: pattern.grain for pattern in plan.patterns}
    laid = [placed for layout in plan.sheets for placed in layout.nesting.placed]
    assert {placed.piece for placed in laid} == set(grain)
    for placed in laid:
        of = grain[placed.piece]
        assert of is not None
        assert abs(turned(np.array([of]), placed.turn, placed.mirrored)[0][1]) < 1e-9


@pytest.mark.property
def test_straps_with_grain_across_are_no_longer_than_a_sheet_is_wide(plan: BuildPlan) -> None:
    """A joint 1718 mm long takes two straps from sheets 1220 mm wide, which make up its length without a gap."""
    straps = [pattern for pattern in plan.patterns if pattern.kind == "butt strap" and pattern.panel == "berth top"]
    longest = [strap.blank.bounds for strap in straps if "part 1 of 4 and part 2 of 4" in strap.forward]
    assert len(longest) == 2
    assert all(strap.blank.bounds[2] <= 1.2 for strap in straps)
    assert sum(bounds[2] for bounds in longest) == pytest.approx(1.6787, abs=0.002)


@pytest.mark.property
def test_sheets_without_grain_leave_the_claim_out(plan: BuildPlan) -> None:
    """Of foam-cored or cast sheets no board has an arrow, and a long strap comes in one piece."""
    sheets = tuple(Sheet(name=f"{t:g}", thickness=t, size=(2.44, 1.22), grain="any") for t in (0.009, 0.012))
    found = build_plan(evaluate(replace(plan.evaluation.scene, sheets=sheets)))
    assert all(pattern.grain is None for pattern in found.patterns)
    assert not any("Grain" in note for pattern in found.patterns for note in pattern.notes)
    assert not any(layout.grained for layout in found.sheets)
    assert max(p.blank.bounds[2] for p in found.patterns if p.kind == "butt strap") > 1.6


@pytest.mark.property
def test_a_part_names_only_what_it_touches(plan: BuildPlan) -> None:
    """Of a lid in four parts the aftermost touches the main bulkhead, the foremost the collision bulkhead, the others none."""
    lid = [pattern for pattern in plan.patterns if pattern.kind == "lid"]
    assert [pattern.touches for pattern in lid] == [("main",), (), (), ("collision",)]
    assert [any("other panels" in note for note in pattern.notes) for pattern in lid] == [True, False, False, True]


@pytest.mark.property
def test_gaps_are_said_to_be_taken_off_already(plan: BuildPlan) -> None:
    """Nobody takes 6 mm off twice: the line on the board is the line to saw."""
    for pattern in plan.patterns:
        if pattern.kind in ("lid", "bulkhead"):
            assert pattern.notes[0].startswith("Already taken off: 6 mm to hull")
            assert pattern.notes[0].endswith("Saw on the line.")


@pytest.mark.property
def test_a_part_is_measured_from_its_own_lowest_edge(plan: BuildPlan) -> None:
    """The first line of each table is the part's own lowest point, where a tape is hooked, and it lies in the boat as before."""
    (lid,) = panel_patterns(plan.evaluation.layout, None, ["berth top"])
    for part in (pattern for pattern in plan.patterns if pattern.kind == "lid"):
        assert part.blank.bounds[1] == pytest.approx(0.0, abs=1e-9)
        assert part.offsets[0].along == pytest.approx(0.0, abs=2e-6)
        corners = lid.frame.flat(part.frame.space(np.array([at for _, at in part.corners])))
        assert lid.blank.buffer(1e-6).contains(shapely.MultiPoint(corners))
