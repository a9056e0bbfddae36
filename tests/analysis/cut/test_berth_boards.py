"""Boards of berths and their infills against hand reckoning, in a box 4 x 2 x 1 m."""

import numpy as np
import pytest
import shapely
from specimens import box_form, layout_scene

from sketcher.analysis.cut.berth_boards import (
    berth_board_findings,
    berth_patterns,
    boards_of_berths,
    widest_between_ledges,
)
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.cutting import Cutting
from sketcher.model.scene import Berth, Bulkhead, Infill
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words


def boards(infill: Infill | None = None, **keys: object) -> tuple[Pattern, ...]:
    """The boards of a bunk from a bulkhead's after face at 1.018 m to another's forward face at 3 m."""
    form = box_form()
    ends = tuple(Bulkhead(name=name, at=at, thickness=0.018) for name, at in (("fore", 1.0), ("aft", 3.0)))
    bunk = Berth(**{"name": "bunk", "height": 0.5, "start": "fore", "end": "aft", "thickness": 0.012, "infill": infill} | keys)
    cutting = Cutting(gap=0.006, panel_gap=0.001)
    layout = lay_out(layout_scene(form, bulkheads=ends, berths=(bunk,), cutting=cutting), form)
    return berth_patterns(layout, None, boards_of_berths(layout))


@pytest.mark.closed_form
def test_boards_fill_the_berth_between_finished_faces_less_the_gaps() -> None:
    """1.982 m between the bulkheads less 1 mm at each, 2 m across less 6 mm at each side, drawn at the boards' top."""
    (board,) = boards()
    assert board.kind == "berth board"
    west, south, east, north = board.outline.bounds
    assert (east - west, north - south) == pytest.approx((1.988, 1.980), abs=1e-5)
    assert board.frame.space(np.zeros((1, 2)))[0, 2] == pytest.approx(0.5, abs=1e-9)
    assert board.drawn_face == "top"


@pytest.mark.closed_form
def test_an_infill_fills_the_vee_less_a_millimetre_all_round() -> None:
    """300 mm wide at 2.4 m and 600 where the berth ends: as long as the vee less 1 mm at each end, and 1 mm off both sides.

    The vee is stated to the boards' after edge, 1 mm short of the bulkhead; its sides lean by atan(150 / 599).
    """
    board, infill = boards(Infill(2.4, (0.3, 0.6)))
    assert [board.name, infill.name] == ["bunk", "bunk, infill"]
    assert infill.kind == "infill"
    vee = (0.3 + 0.6) / 2 * 0.599
    assert board.outline.area == pytest.approx(1.988 * 1.980 - vee, abs=2e-5)
    side = 0.599 / np.cos(np.arctan(0.15 / 0.599))
    # 1 mm comes off both sides and the fore end; aft, the bulkhead's own gap is in the boards' edge already.
    assert infill.outline.area == pytest.approx(vee - 0.001 * (2 * side + 0.3), abs=2e-5)
    assert any("ledge 617 mm long" in words(note) for note in infill.notes)
    assert {(bevel.against, round(bevel.angle, 6)) for bevel in infill.bevels} == {("aft", 0.0)}


@pytest.mark.example
def test_boards_and_infill_share_no_wood() -> None:
    """Laid in place in one frame, the infill stands free of the boards, a millimetre at least."""
    board, infill = boards(Infill(2.4, (0.2, 0.7)))
    laid = shapely.transform(infill.outline, lambda flat: board.frame.flat(infill.frame.space(flat)))
    assert board.outline.distance(laid) == pytest.approx(0.001, abs=1e-5)


@pytest.mark.closed_form
@pytest.mark.parametrize("infill", [None, Infill(2.4, (0.3, 0.6))])
def test_what_boards_span_is_the_largest_circle_on_them(infill: Infill | None) -> None:
    """1.988 by 1.980 m: a circle of 1.98 m, as wide over an infill, which bears nothing; a board alone is as wide as it is."""
    found = boards(infill)
    assert widest_between_ledges(found, "bunk") == pytest.approx(1.980, abs=0.011)
    assert widest_between_ledges(found, "no such berth") == 0.0


@pytest.mark.example
def test_a_berth_on_a_lid_or_of_unknown_thickness_has_no_boards() -> None:
    """The lid is its boards; without a thickness there is no pattern, and a note says what to add."""
    assert boards(thickness=None) == ()
    form = box_form()
    bunk = Berth(name="bunk", height=0.5, start="stem", end="transom")
    (said,) = berth_board_findings(lay_out(layout_scene(form, berths=(bunk,)), form))
    assert "Add `thickness`" in in_words(said)
