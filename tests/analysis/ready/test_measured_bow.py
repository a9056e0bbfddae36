"""What a ready layout is placed by, against a box whose places are known."""

import pytest
from specimens import box_form

from sketcher.analysis.ready.measured_bow import MeasuredBow
from sketcher.analysis.results import WaterPlane
from sketcher.model.errors import SketchError


def box_bow() -> MeasuredBow:
    water = WaterPlane(forward=0.3, after=0.3, heel=0.0, x_forward=0.0, x_after=10.0)
    return MeasuredBow(box_form(length=10.0, breadth=3.0, depth=1.4), water, 1.8, "mm")


@pytest.mark.closed_form
def test_a_box_is_as_wide_and_high_as_it_is() -> None:
    """Heights and half-breadths are the box's own."""
    bow = box_bow()
    assert bow.upright(2.0, 0.5) == pytest.approx((0.0, 1.4))
    assert bow.half_breadth(2.0, 0.7) == pytest.approx(1.5)


@pytest.mark.closed_form
def test_the_collision_bulkhead_stands_where_both_rules_windows_meet() -> None:
    """Of a box of 10 m afloat from its bow: 5 to 15 % of the waterline, and no more than 15 % of the length from the bow."""
    assert 0.5 <= box_bow().collision <= 1.5


@pytest.mark.example
def test_where_the_hull_was_not_measured_there_is_no_room() -> None:
    """Beyond the hull's end there is no height to be had."""
    with pytest.raises(SketchError, match="no inside 12000 aft"):
        box_bow().upright(12.0)
