"""Gaps typed beside the pattern: the edge follows, the change is told, and the hull can be corrected by them."""

from __future__ import annotations

from pathlib import Path

import pytest
from driven_sketch import DrivenSketch, at_pattern

from sketcher.model.cutting import GapReading, PartReadings
from sketcher.model.edits.readings import RecordReadings
from sketcher.web.state import Boards
from sketcher.web.typed_state import GapRow

pytestmark = [pytest.mark.example, pytest.mark.slow]


@pytest.fixture
def sketch(boats: Path) -> DrivenSketch:
    """The smallest demo, her collision bulkhead's pattern on the page."""
    return at_pattern(boats / "scenes" / "quillet-forepeak.yaml")


def shown(sketch: DrivenSketch) -> Boards:
    boards = sketch.state().boards
    assert boards is not None
    return boards


def typed(sketch: DrivenSketch, row: GapRow, text: str) -> None:
    sketch.ask("gap", board=row.board, number=row.number, value=text)


def test_a_gap_typed_moves_the_edge_and_one_undo_takes_it_back(sketch: DrivenSketch) -> None:
    """10 mm where 6 are planned: the edge goes out by some 4 mm, said beside it; emptied, all is as before.

    How sure the edge is by the first twelve to each is said before, and where worst by what was read after.
    """
    before = shown(sketch)
    (doubt,) = before.doubts
    assert "In the order of what they tell. The first" in sketch.parts()["boards"]
    row = next(each for each in before.gaps if each.to == "hull")
    assert (row.planned, row.read, row.moved) == (0.006, None, None)
    typed(sketch, row, "10")
    after = shown(sketch)
    read = next(each for each in after.gaps if each.number == row.number)
    assert read.read == pytest.approx(0.010)
    assert read.moved is not None
    assert 0.002 < read.moved < 0.008
    assert after.wholes[0].area > before.wholes[0].area
    assert (after.doubts[0].count, after.doubts[0].then) == (1, 2 if row.number == 1 else 1)
    assert after.doubts[0].within > doubt.within
    assert "Known worst at" in sketch.parts()["boards"]
    assert sketch.parts()["boards"].count('data-do="gap"') == len(after.gaps)
    sketch.ask("undo")
    assert shown(sketch).wholes[0].outline.equals(before.wholes[0].outline)
    typed(sketch, row, "10")
    typed(sketch, read, "")
    assert sketch.scene.as_built == ()


def test_an_edge_that_follows_one_reading_says_so(sketch: DrivenSketch) -> None:
    """A word of caution beside the gaps, gone once a second is read on that side; the boards are parted as before."""
    before = shown(sketch)
    side = [each for each in before.gaps if each.to == "hull" and each.at[0] > 0.05]
    typed(sketch, side[0], "10")
    one = shown(sketch)
    assert [each.object for each in one.findings if each.code == "edge-by-one-reading"] == ["collision"]
    assert "follows one reading alone" in sketch.parts()["boards"]
    assert before.parts is not None
    assert one.parts is not None
    assert [part.name for part, _ in one.parts] == [part.name for part, _ in before.parts]
    typed(sketch, side[1], "3/8 in")
    assert 'value="9.525"' in sketch.parts()["boards"]
    assert "follows one reading alone" not in sketch.parts()["boards"]


@pytest.mark.parametrize("text", ["-3", "wide"])
def test_what_is_no_gap_is_refused_in_words(sketch: DrivenSketch, text: str) -> None:
    """Nothing changes, and the page says why."""
    before = sketch.scene
    typed(sketch, shown(sketch).gaps[0], text)
    assert sketch.scene == before
    assert sketch.notice is not None
    assert sketch.notice.refused


def test_the_hull_is_corrected_by_the_gaps_which_are_then_in_her(sketch: DrivenSketch) -> None:
    """12 mm read all round where 6 were planned: points near the bulkhead move, its readings go, and both can be undone."""
    gaps = tuple(GapReading(at=each.at, gap=0.012) for each in shown(sketch).gaps if each.to == "hull")
    sketch.session.do(RecordReadings((PartReadings(name="collision", gaps=gaps),)))
    wide = shown(sketch).wholes[0].area
    hull = sketch.session.hull.hull
    sketch.ask("hull_by_gaps", board="collision")
    assert sketch.session.hull.hull != hull
    assert sketch.scene.as_built == ()
    assert sketch.notice is not None
    assert "points of" in sketch.notice.text
    sketch.workspace.judged_hull.wait()
    sketch.controller.before_picture()
    assert shown(sketch).wholes[0].area == pytest.approx(wide, rel=0.01)
    sketch.session.hull.undo()
    assert sketch.session.hull.hull == hull
