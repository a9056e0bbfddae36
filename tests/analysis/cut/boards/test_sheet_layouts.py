"""Boards on sheets: which are alike, what is bought, and what is left over."""

from dataclasses import replace

import pytest
from pattern_specimens import board
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.nesting import USUAL_SHEET, sheet_layouts, sheet_purchases
from sketcher.model.cutting import Sheet

FORM = box_form()
BARE = layout_scene(FORM)


@pytest.mark.example
def test_boards_of_a_thickness_and_material_share_sheets() -> None:
    """Two of 12 mm lie on one assumed sheet of the usual size, one of 9 mm on its own."""
    boards = [board("a"), board("b"), replace(board("c"), thickness=0.009)]
    layouts, findings = sheet_layouts(BARE, boards)
    assert [(layout.thickness, layout.assumed, len(layout.sheets)) for layout in layouts] == [(0.009, True, 1), (0.012, True, 1)]
    assert {stock.size for layout in layouts for stock in layout.nesting.sheets} == {USUAL_SHEET}
    assert [(purchase.amount, purchase.source) for purchase in sheet_purchases(layouts)] == [(1, "sheet-sizes")] * 2
    assert [finding.severity for finding in findings] == ["note"] * len(findings)


@pytest.mark.example
def test_a_sheet_at_hand_is_not_bought() -> None:
    """One that the owner has is cut first and stands on no shopping list; what is left of it whole is told."""
    own = Sheet(name="left over", size=(1.5, 1.0), thickness=0.012, have=1)
    (layout,), _ = sheet_layouts(layout_scene(FORM, sheets=(own,)), [board()])
    assert layout.sheets == (own,)
    assert not layout.assumed
    assert sheet_purchases([layout]) == ()
    (offcut,) = layout.offcuts
    assert offcut is not None
    assert 0.0 < offcut[0] < 1.5


@pytest.mark.example
def test_a_board_that_no_sheet_holds_is_said() -> None:
    """A sheet of 300 mm holds no board of 600 by 300."""
    small = Sheet(name="scrap", size=(0.3, 0.3), thickness=0.012, have=1)
    (layout,), findings = sheet_layouts(layout_scene(FORM, sheets=(small,)), [board()])
    assert layout.nesting.left_out
    assert any(finding.object == "collision" for finding in findings)
