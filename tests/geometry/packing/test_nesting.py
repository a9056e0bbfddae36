"""Shapes on sheets: cases whose best arrangement is known by hand, and what must hold for any shapes."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern_specimens import overlap

from sketcher.geometry.mesh import GeometryError
from sketcher.geometry.packing.nesting import Nesting, Piece, Stock, nest, nest_on_fewer

TRIANGLE = shapely.Polygon([(0, 0), (1, 0), (0, 1)])
TRAPEZOID = shapely.Polygon([(0, 0), (1.2, 0), (0.8, 0.5), (0.4, 0.5)])
ANGLE = shapely.Polygon([(0, 0), (3, 0), (3, 1), (1, 1), (1, 2), (0, 2)])


def pieces(*outlines: shapely.Polygon, along: tuple[float, float] | None = None) -> list[Piece]:
    return [Piece(name=f"part {k}", outline=outline, along=along) for k, outline in enumerate(outlines)]


def sheet(along: float, across: float, count: int | None = None, name: str = "sheet") -> Stock:
    return Stock(name=name, size=(along, across), count=count)


def all_placed(nesting: Nesting, sheets: int) -> bool:
    return not nesting.left_out and len(nesting.sheets) == sheets


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("outlines", "size", "share"),
    [
        ([shapely.box(0, 0, 0.5, 0.5)] * 4, (1, 1), 1.0),
        ([TRIANGLE] * 2, (1, 1), 1.0),
        ([TRAPEZOID] * 2, (2.0, 0.5), 0.8),
        ([ANGLE] * 2, (4, 2), 1.0),
    ],
    ids=["four squares", "two triangles", "two trapezoids head to tail", "two angles, each in the other's corner"],
)
def test_known_best_arrangements_are_found(outlines: list[shapely.Polygon], size: tuple[float, float], share: float) -> None:
    """Shapes that fill one sheet when laid head to tail by hand come out of one sheet."""
    found = nest(pieces(*outlines), [sheet(*size)])
    assert all_placed(found, 1)
    assert found.share == pytest.approx(share, abs=1e-9)
    assert overlap(found, 0.0, 0.0) == 0.0


@pytest.mark.closed_form
def test_kerf_and_margin_fit_to_the_last_millimetre() -> None:
    """Two boards of 497 mm with a kerf of 3 and margins of 10 need 1017 mm of sheet; with a millimetre less they need two."""
    board = shapely.box(0, 0, 0.497, 0.5)
    assert all_placed(nest(pieces(board, board), [sheet(1.017, 0.520)], kerf=0.003, margin=0.010), 1)
    assert all_placed(nest(pieces(board, board), [sheet(1.016, 0.520)], kerf=0.003, margin=0.010), 2)


@pytest.mark.closed_form
def test_grain_forbids_a_quarter_turn() -> None:
    """A board longer than the sheet is wide lies only along it where its grain must."""
    board = shapely.box(0, 0, 0.9, 0.4)
    across = pieces(board, board, along=(0.0, 1.0))
    assert all_placed(nest(pieces(board, board), [sheet(2.0, 0.5)]), 1)
    assert nest(across, [sheet(2.0, 0.5)]).left_out == ("part 0", "part 1")


@pytest.mark.closed_form
def test_turning_over_is_used_only_where_allowed() -> None:
    """A corner sawn off a square goes back into it by half a turn; one of the other hand only when it is turned over."""
    half = shapely.Polygon([(0, 0), (1, 0), (1, 1), (0.5, 1)])
    assert all_placed(nest(pieces(half, half, along=(1.0, 0.0)), [sheet(1.5, 1.0)]), 1)
    narrow = shapely.Polygon([(0, 0), (1.0, 0), (1.0, 0.4), (0.8, 1), (0, 1)])
    notch = shapely.Polygon([(0, 0), (0.2, 0), (0, 0.6)])
    two = [Piece(name="board", outline=narrow, along=(1.0, 0.0)), Piece(name="corner", outline=notch, along=(1.0, 0.0))]
    assert all_placed(nest(two, [sheet(1.0, 1.0)]), 1)
    other_hand = [two[0], Piece(name="corner", outline=shapely.transform(notch, lambda p: p * [-1, 1]), along=(1.0, 0.0))]
    assert all_placed(nest(other_hand, [sheet(1.0, 1.0)]), 2)
    assert all_placed(nest(other_hand, [sheet(1.0, 1.0)], mirror=True), 1)


@pytest.mark.example
def test_offcuts_are_used_before_a_sheet_is_bought() -> None:
    """A part that an offcut holds is cut from it, and a second such part from a new sheet once the offcuts are used up."""
    board = shapely.box(0, 0, 0.8, 0.5)
    found = nest(pieces(board, board), [sheet(2.44, 1.22), sheet(0.9, 0.6, 1, "offcut")])
    assert sorted(stock.name for stock in found.sheets) == ["offcut", "sheet"]


@pytest.mark.closed_form
def test_every_order_of_three_shapes_is_tried() -> None:
    """There are 3! = 6 orders of three triangles on sheets that hold one each."""
    pieces = [Piece(name=str(k), outline=shapely.Polygon([(0, 0), (1.0 + k / 50, 0), (0.5, 0.9)])) for k in range(3)]
    assert nest(pieces, [Stock(name="", size=(1.1, 1.0))]).tries == 6


def _bars(*sizes: tuple[float, float]) -> list[Piece]:
    return [Piece(name=str(k), outline=shapely.box(0.0, 0.0, *size), along=(1.0, 0.0)) for k, size in enumerate(sizes)]


@pytest.mark.closed_form
def test_one_sheet_fewer_is_found_where_one_order_wastes_it() -> None:
    """Bars of one sheet's width fill lengths of 10: 5+5, 4+3+3 and 4+3+3 take three; the longest first, 5+5, 4+4, 3+3+3, four."""
    bars = _bars(*((length, 1.0) for length in (5.0, 5.0, 4.0, 4.0, 3.0, 3.0, 3.0, 3.0)))
    stock = [Stock(name="", size=(10.0, 1.0))]
    first = nest(bars, stock, tries=1)
    assert len(first.sheets) == 4
    better = nest_on_fewer(bars, stock, first)
    assert better is not None
    assert (len(better.sheets), better.left_out) == (3, ())
    assert better.sheets == (stock[0],) * 3
    assert overlap(better, 0.0, 0.0) == 0.0
    assert nest_on_fewer(bars, stock, better) is None


@pytest.mark.example
def test_shapes_too_large_are_named() -> None:
    """A part that no sheet holds is left out by name, and the others are placed."""
    found = nest(pieces(shapely.box(0, 0, 3, 2), shapely.box(0, 0, 1, 1)), [sheet(2.44, 1.22)])
    assert found.left_out == ("part 0",)
    assert len(found.placed) == 1


@pytest.mark.closed_form
def test_a_long_shape_lies_from_corner_to_corner() -> None:
    """A lath of 1.4 m comes out of a sheet a metre square, on its diagonal."""
    assert all_placed(nest(pieces(shapely.box(0, 0, 1.36, 0.02)), [sheet(1.0, 1.0)]), 1)


@pytest.mark.example
def test_stopping_keeps_what_is_best_so_far() -> None:
    """Stopped after five shapes, four of the first order being all, the first order's answer stands whole."""
    told: list[tuple[int, int]] = []

    def watch(done: int, total: int) -> bool:
        told.append((done, total))
        return done < 5

    found = nest(pieces(*[TRAPEZOID] * 4), [sheet(2.0, 0.6)], watch=watch)
    assert found.stopped
    assert found.left_out == ()
    assert told[-1][0] == 5
    assert [done for done, _ in told] == sorted(done for done, _ in told)


@pytest.mark.example
def test_stopped_at_once_every_shape_is_still_laid() -> None:
    """The first order is finished: a sheet on which half the boards are missing is of no use to anybody."""
    found = nest(pieces(*[TRAPEZOID] * 4), [sheet(2.0, 0.6)], watch=lambda done, total: False)
    assert found.stopped
    assert found.left_out == ()
    assert overlap(found, 0.0, 0.0) == 0.0


@pytest.mark.example
def test_nothing_to_nest_is_said() -> None:
    """No shapes, or no sheets, is an error in words."""
    with pytest.raises(GeometryError, match="nothing to nest"):
        nest([], [sheet(1, 1)])


@st.composite
def boards(draw: st.DrawFn) -> shapely.Polygon:
    """A board with a curved side, hollow or full, in any position."""
    width, height = draw(st.floats(0.1, 0.9)), draw(st.floats(0.1, 0.5))
    bulge = draw(st.floats(-0.4, 0.4))
    t = np.linspace(0, 1, 9)
    curve = np.column_stack([width * (1 + bulge * np.sin(np.pi * t)), height * t])
    moved = np.vstack([[[0, 0]], curve, [[0, height]]]) + draw(st.floats(-1, 1))
    return shapely.Polygon(moved)


@pytest.mark.property
@settings(max_examples=12, deadline=None)
@given(st.lists(boards(), min_size=1, max_size=6), st.booleans())
def test_boards_never_overlap_and_stay_on_their_sheets(outlines: list[shapely.Polygon], mirror: bool) -> None:
    """Whatever the boards: all lie inside sheets, apart by the kerf, with their area unchanged, and the same every time."""
    found = nest(pieces(*outlines), [sheet(1.22, 1.22)], kerf=0.003, margin=0.010, mirror=mirror, tries=3)
    assert not found.left_out
    assert overlap(found, 0.003, 0.010) == 0.0
    by_name = {f"part {k}": outline for k, outline in enumerate(outlines)}
    for placed in found.placed:
        assert placed.outline.area == pytest.approx(by_name[placed.piece].area, rel=1e-9)
    again = nest(pieces(*outlines), [sheet(1.22, 1.22)], kerf=0.003, margin=0.010, mirror=mirror, tries=3)
    assert [p.at for p in again.placed] == [p.at for p in found.placed]
    assert found.share <= found.best_share + 1e-12


@pytest.mark.closed_form
@pytest.mark.parametrize(("size", "sheets"), [((0.59, 0.79), 1), ((0.61, 0.70), 2)], ids=["smaller", "larger"])
def test_a_shape_that_fits_a_hole_lies_in_it(size: tuple[float, float], sheets: int) -> None:
    """On a sheet that one board fills but for its doorway of 600 x 800 mm lies what the doorway holds, and nothing larger."""
    doorway = shapely.box(0.2, 0.2, 0.8, 1.0)
    pieces = [
        Piece(name="board", outline=shapely.box(0.0, 0.0, 1.0, 1.2) - doorway),
        Piece(name="shelf", outline=shapely.box(0.0, 0.0, *size)),
    ]
    found = nest(pieces, [Stock(name="sheet", size=(1.02, 1.22))], kerf=0.003, margin=0.010)
    assert len(found.sheets) == sheets
    assert overlap(found, 0.003, 0.010) == 0.0
    assert found.used_area == pytest.approx(1.2 - 0.48 + size[0] * size[1])
