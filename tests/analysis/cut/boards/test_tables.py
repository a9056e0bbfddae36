"""A pattern in numbers, of outlines worked out by hand."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sketcher.analysis.cut.boards.tables import corners, diagonals, offsets

TAPER = shapely.Polygon([(-0.2, 0.0), (0.2, 0.0), (0.3, 0.3), (-0.3, 0.3)])


@pytest.mark.closed_form
def test_offsets_of_a_taper_lie_on_its_straight_sides() -> None:
    """Half-breadth 200 mm below and 300 above, 300 high: 200 + a third of the height on either side."""
    rows = offsets(TAPER, 0.05, "v")
    assert [row.along for row in rows] == pytest.approx([0.0, 0.05, 0.10, 0.15, 0.20, 0.25, 0.30], abs=2e-6)
    for row in rows:
        assert row.across == pytest.approx((-0.2 - row.along / 3, 0.2 + row.along / 3), abs=1e-9)


@pytest.mark.closed_form
def test_offsets_through_a_hole_tell_its_sides_too() -> None:
    """A line through the middle of a frame crosses it four times."""
    frame = shapely.box(0.0, 0.0, 0.4, 0.3).difference(shapely.box(0.1, 0.1, 0.2, 0.2))
    (middle,) = (row for row in offsets(frame, 0.15, "v") if abs(row.along - 0.15) < 1e-9)
    assert middle.across == pytest.approx((0.0, 0.1, 0.2, 0.4))


@pytest.mark.closed_form
def test_corners_and_diagonals_of_a_taper() -> None:
    """Lettered from lower left; both diagonals are the hypotenuse over 500 by 300 mm."""
    named = corners(TAPER)
    assert named == (("A", (-0.2, 0.0)), ("B", (0.2, 0.0)), ("C", (0.3, 0.3)), ("D", (-0.3, 0.3)))
    found = diagonals(named)
    assert [each.name for each in found] == ["AC", "BD"]
    assert [each.length for each in found] == pytest.approx([(0.5**2 + 0.3**2) ** 0.5] * 2)


@pytest.mark.property
@given(st.tuples(*[st.floats(0.1, 3.0)] * 4))
def test_three_corners_are_checked_by_all_their_sides(sides: tuple[float, float, float, float]) -> None:
    """A triangle has no diagonals: its three sides fix it."""
    x, y, shift, height = sides
    triangle = shapely.Polygon([(0.0, 0.0), (x, 0.0), (shift, y + height)])
    named = corners(triangle)
    lengths = sorted(each.length for each in diagonals(named))
    if len(named) == 3:
        assert sum(lengths) == pytest.approx(triangle.length)
