"""Knuckle lines along hulls of known corners."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.analysis.survey.traced_lines import KEEL, SHEER, missed_marks, trace_lines
from sketcher.geometry.mesh import Floats


def chined(chine: float, beam: float = 1.0) -> Floats:
    """A station with one corner: rising gently to a chine and then plumb, with a point half way along each side."""
    corners = np.array([[0.0, 0.0], [beam, chine], [beam, 1.2]])
    return np.array([corners[0], (corners[0] + corners[1]) / 2, corners[1], (corners[1] + corners[2]) / 2, corners[2]])


@pytest.mark.property
@given(st.lists(st.floats(0.25, 0.4), min_size=2, max_size=6))
def test_a_chine_marked_at_every_station_is_one_line(heights: list[float]) -> None:
    """However it rises and falls within what a boat's does: keel, the one chine, sheer."""
    traced = trace_lines([chined(height) for height in heights], [(2,)] * len(heights))
    assert traced == [((KEEL, 0), (1, 2), (SHEER, 4))] * len(heights)


@pytest.mark.property
@given(st.integers(0, 4), st.floats(0.25, 0.4))
def test_a_forgotten_mark_is_found_where_its_neighbours_have_one(forgotten: int, height: float) -> None:
    """At any of five stations; with all marked nothing is missed."""
    points = [chined(height) for _ in range(5)]
    marks: list[tuple[int, ...]] = [(2,)] * 5
    assert missed_marks(points, marks) == []
    marks[forgotten] = ()
    (missed,) = missed_marks(points, marks)
    assert (missed.station, missed.point) == (forgotten, 2)
    assert missed.turn == pytest.approx(90.0 - np.degrees(np.arctan(height)))
    assert abs(missed.beside - forgotten) == 1


@pytest.mark.closed_form
def test_a_round_bilge_has_no_corner() -> None:
    """A quarter circle of nine points turns by the same everywhere."""
    angle = np.linspace(0.0, np.pi / 2, 9)
    bilge = np.column_stack([np.sin(angle), 1.0 - np.cos(angle)])
    assert missed_marks([bilge] * 3, [()] * 3) == []


@pytest.mark.example
def test_a_line_missing_at_one_station_goes_on_and_at_two_ends() -> None:
    """The mark after the gap has the old line's number after one station, a new one after two."""
    points = [chined(0.3)] * 5
    one = trace_lines(points, [(2,), (), (2,), (2,), (2,)])
    assert [line for line, _ in one[2]] == [KEEL, 1, SHEER]
    two = trace_lines(points, [(2,), (), (), (2,), (2,)])
    assert [line for line, _ in two[3]] == [KEEL, 2, SHEER]
