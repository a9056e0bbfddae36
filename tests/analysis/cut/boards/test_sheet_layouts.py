"""Boards on sheets: which are alike, what is bought, and what is left over."""

from dataclasses import replace

import pytest
import shapely
from pattern_specimens import board
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.nesting import USUAL_SHEET, sheet_layouts, sheet_purchases
from sketcher.analysis.cut.results import Bevel, Pattern
from sketcher.model.cutting import Sheet
from sketcher.outputs.wording.sentences import message as in_words
from sketcher.outputs.wording.sentences import words as in_phrase

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
    """Sheets of 300 mm, of which there are as many as you like, hold no board of 600 by 300."""
    small = Sheet(name="scrap", size=(0.3, 0.3), thickness=0.012)
    (layout,), findings = sheet_layouts(layout_scene(FORM, sheets=(small,)), [board()])
    assert layout.nesting.left_out
    assert any(finding.object == "collision" for finding in findings)


def said(length: float) -> list[tuple[str, str]]:
    """What is said of saving a sheet, of two boards so long [m] and 1.2 m wide that end at the hull."""
    area = shapely.box(0.0, 0.0, length, 1.2)
    edge = Bevel(at=(0.0, 0.0), along=0.0, angle=0.0, against="hull", edge="hull")
    alike = replace(board(), outline=area, other_outline=area, blank=area, grain=(1.0, 0.0), bevels=(edge,))
    boards = [replace(alike, name=name) for name in "ab"]
    found = sheet_layouts(BARE, boards)[1]
    return [(finding.code, in_words(finding)) for finding in found if finding.code.endswith("saves")]


@pytest.mark.closed_form
def test_a_sheet_that_is_nearly_saved_is_told() -> None:
    """Of 2440 mm, 10 of each edge not used and 3 of saw between, two boards up to 1208.5 long come out of one sheet; of 2500, up
    to 1238.5; and a gap of 10 in place of 6 takes 8 mm off each."""
    assert said(1.208) == []
    assert [code for code, _ in said(1.215)] == ["longer-sheet-saves", "wider-gap-saves"]
    ((code, words),) = said(1.238)
    assert code == "longer-sheet-saves"
    assert "one sheet of 2500 mm × 1220 mm would do, in place of 2" in words
    assert said(1.240) == []


@pytest.mark.closed_form
def test_sheets_of_which_the_owner_has_a_number_are_not_compared() -> None:
    """Two at hand cost nothing: no other is proposed."""
    own = Sheet(name="left over", size=USUAL_SHEET, thickness=0.012, have=2)
    area = shapely.box(0.0, 0.0, 1.215, 1.2)
    boards = [replace(board(name), outline=area, other_outline=area, blank=area) for name in "ab"]
    found = sheet_layouts(layout_scene(FORM, sheets=(own,)), boards)[1]
    assert not [finding for finding in found if finding.code.endswith("saves")]


def _of(length: float, width: float, name: str, grain: tuple[float, float] = (1.0, 0.0)) -> Pattern:
    area = shapely.box(0.0, 0.0, length, width)
    return replace(board(name), outline=area, other_outline=area, blank=area, grain=grain)


@pytest.mark.example
def test_a_board_lies_across_the_grain_rather_than_nowhere() -> None:
    """Beside 1.6 m of one board the one sheet at hand has room for 0.75 by 1.1 m, so the other is turned, and that is said."""
    own = Sheet(name="at hand", size=(2.44, 1.22), thickness=0.012, have=1)
    scene = layout_scene(FORM, sheets=(own,))
    (layout,), findings = sheet_layouts(scene, [_of(1.6, 1.1, "long"), _of(1.1, 0.75, "short")])
    assert layout.nesting.left_out == ()
    assert (layout.grained, layout.across) == ({"long"}, {"short"})
    assert sheet_purchases([layout]) == ()
    assert [(finding.code, finding.object) for finding in findings] == [("grain-across", "short")]
    # A strap's grain must run across its joint: for that another sheet is bought, of those at hand if they are whole.
    strap = replace(_of(1.1, 0.75, "short"), kind="butt strap")
    (layout,), findings = sheet_layouts(scene, [_of(1.6, 1.1, "long"), strap])
    assert (layout.nesting.left_out, layout.across, len(layout.sheets)) == ((), frozenset(), 2)
    assert [(purchase.amount, in_phrase(purchase.item, "mm")) for purchase in sheet_purchases([layout])] == [
        (1, "okoume, 12 mm thick")
    ]
    assert findings == ()


@pytest.mark.example
def test_an_offcut_is_used_up_and_no_second_one_is_bought() -> None:
    """The strap comes out of the offcut; the board out of a sheet of the usual size, which is bought."""
    offcut = Sheet(name="offcut", size=(0.7, 0.4), thickness=0.012, have=1)
    boards = [_of(1.6, 1.1, "long"), replace(_of(0.6, 0.18, "strap", (0.0, 1.0)), kind="butt strap", grain=None)]
    (layout,), findings = sheet_layouts(layout_scene(FORM, sheets=(offcut,)), boards)
    assert {placed.piece: layout.nesting.sheets[placed.sheet].size for placed in layout.nesting.placed}["long"] == USUAL_SHEET
    assert [(in_phrase(name, "mm"), count) for name, count in layout.bought] == [("2440 mm × 1220 mm", 1)]
    assert [finding.code for finding in findings] == ["sheet-assumed"]
