"""The corners of outlines worked out by hand, and the tape lengths between them."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sketcher.analysis.cut.boards.corners import cornered, corners_and_diagonals

TAPER = shapely.Polygon([(-0.2, 0.0), (0.2, 0.0), (0.3, 0.3), (-0.3, 0.3)])


@pytest.mark.closed_form
def test_corners_and_diagonals_of_a_taper() -> None:
    """Lettered from lower left; both diagonals are the hypotenuse over 500 by 300 mm."""
    named, checks = corners_and_diagonals(TAPER)
    assert named == (("A", (-0.2, 0.0)), ("B", (0.2, 0.0)), ("C", (0.3, 0.3)), ("D", (-0.3, 0.3)))
    assert [each.name for each in checks] == ["AC", "BD"]
    assert [each.length for each in checks] == pytest.approx([(0.5**2 + 0.3**2) ** 0.5] * 2)


@pytest.mark.property
@given(st.tuples(*[st.floats(0.1, 3.0)] * 4))
def test_three_corners_are_checked_by_all_their_sides(sides: tuple[float, float, float, float]) -> None:
    """A triangle has no diagonals: its three sides fix it."""
    x, y, shift, height = sides
    triangle = shapely.Polygon([(0.0, 0.0), (x, 0.0), (shift, y + height)])
    named, checks = corners_and_diagonals(triangle)
    if len(named) == 3 and len(checks) == 3:
        assert sum(each.length for each in checks) == pytest.approx(triangle.length)


@pytest.mark.closed_form
def test_every_corner_of_a_stepped_board_has_a_letter() -> None:
    """Six corners anticlockwise, the inner one too, whichever way the ring was drawn."""
    step = shapely.Polygon([(0, 0), (1, 0), (1, 0.3), (0.4, 0.3), (0.4, 0.6), (0, 0.6)])
    for area in (step, shapely.reverse(step)):
        named, _ = corners_and_diagonals(area)
        assert named[:4] == (("A", (0.0, 0.0)), ("B", (1.0, 0.0)), ("C", (1.0, 0.3)), ("D", (0.4, 0.3)))
        assert len(named) == 6


@pytest.mark.property
@pytest.mark.parametrize("radius", [0.005, 0.02, 0.1])
def test_a_round_corner_is_told_by_its_radius_where_its_edges_would_meet(radius: float) -> None:
    """A notch 300 mm wide and 250 deep in a board's top, its two inner corners round."""
    notch = shapely.box(0.35, 0.25, 0.65, 1.0).buffer(-radius, quad_segs=16).buffer(radius, quad_segs=16)
    found = cornered(shapely.box(0.0, 0.0, 1.0, 0.5).difference(notch).exterior)
    rounds = sorted((point.at, point.radius) for point in found if point.radius)
    assert np.array([at for at, _ in rounds]) == pytest.approx(np.array([(0.35, 0.25), (0.65, 0.25)]), abs=1e-6)
    assert [each for _, each in rounds] == pytest.approx([radius] * 2, abs=1e-6)
