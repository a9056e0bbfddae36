"""Straight cuts that part boards on a sheet, and the corners by which they are marked out on it."""

from dataclasses import replace
from math import dist

import pytest
import shapely
from pattern_specimens import board
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.nesting import OFFCUT, SheetLayout, sheet_layouts
from sketcher.analysis.cut.boards.straight_cuts import corner_places, straight_cuts
from sketcher.analysis.cut.results import Pattern

KERF = 0.003
SIZES = {
    "row": ((1.0, 0.5), (1.0, 0.5), (1.0, 0.5)),
    "many": ((1.2, 0.55), (0.9, 0.5), (0.7, 0.4), (0.6, 0.3), (0.5, 0.5), (0.4, 0.2), (0.3, 0.6), (0.2, 0.2)),
    "one": ((0.8, 0.6),),
}


def laid(sizes: tuple[tuple[float, float], ...]) -> tuple[SheetLayout, dict[str, Pattern]]:
    areas = [shapely.box(0.0, 0.0, *size) for size in sizes]
    boards = [
        replace(
            board(f"{k}"),
            outline=area,
            other_outline=area,
            blank=area,
            grain=None,
            corners=tuple(zip("ABCD", list(area.exterior.coords)[:-1], strict=True)),
        )
        for k, area in enumerate(areas)
    ]
    (layout,), _ = sheet_layouts(layout_scene(box_form()), boards)
    return layout, {each.name: each for each in boards}


@pytest.mark.property
@pytest.mark.parametrize("name", SIZES)
def test_straight_cuts_go_through_no_board_and_each_part_is_cut_right_through(name: str) -> None:
    """A saw a kerf wide touches no board; each cut ends at the sheet's edges or at earlier cuts; boards apart are parted."""
    layout, _ = laid(SIZES[name])
    for number, stock in enumerate(layout.nesting.sheets):
        wood = shapely.union_all([each.outline for each in layout.nesting.placed if each.sheet == number])
        walls = [shapely.box(0.0, 0.0, *stock.size).exterior]
        for cut in straight_cuts(layout, number, KERF):
            ends = [(cut.at, cut.start), (cut.at, cut.end)] if cut.across else [(cut.start, cut.at), (cut.end, cut.at)]
            line = shapely.LineString(ends)
            assert wood.distance(line) > KERF / 2 - 1e-5
            assert all(shapely.union_all(walls).distance(shapely.Point(end)) < 1e-9 for end in ends)
            walls.append(line)


@pytest.mark.closed_form
def test_a_single_board_is_freed_by_one_cut_across_and_one_along() -> None:
    """Of 800 by 600 laid 10 from the corner, the cuts are a kerf beyond it, at 813 or 613: what is left stays whole."""
    layout, _ = laid(SIZES["one"])
    (placed,) = layout.nesting.placed
    *_, east, north = placed.outline.bounds
    first, second = straight_cuts(layout, 0, KERF)
    assert (first.across, first.at, first.start, first.end) == pytest.approx((True, east + KERF, 0.0, 1.22))
    assert (second.across, second.at, second.start, second.end) == pytest.approx((False, north + KERF, 0.0, first.at))
    assert min(2.44 - first.at, 1.22 - second.at) > OFFCUT


@pytest.mark.property
@pytest.mark.parametrize("name", SIZES)
def test_boards_marked_out_by_two_corners_lie_where_they_are_laid(name: str) -> None:
    """Both corners are corners of the board as laid, as far apart as on the board."""
    layout, patterns = laid(SIZES[name])
    for placed in layout.nesting.placed:
        one, two = corner_places(patterns[placed.piece], placed)
        west, south, east, north = placed.outline.bounds
        for place in (one, two):
            assert min(abs(place.along - west), abs(place.along - east)) < 1e-9
            assert min(abs(place.up - south), abs(place.up - north)) < 1e-9
        width, height = SIZES[name][int(placed.piece)]
        assert dist((one.along, one.up), (two.along, two.up)) == pytest.approx((width**2 + height**2) ** 0.5)
