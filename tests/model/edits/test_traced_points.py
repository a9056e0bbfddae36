"""Points traced on a drawing take their place along the section."""

from __future__ import annotations

from itertools import permutations

import pytest

from sketcher.model.edits.traced_points import TracePoint
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Station

SECTION = ((0.0, 0.0), (0.4, 0.1), (0.7, 0.4), (0.8, 0.9))


def hull(station: Station, **more: object) -> Hull:
    return Hull(name="a hull", units="mm", stations=(Station(at=0.0, points=SECTION), station), **more)  # type: ignore[arg-type]


@pytest.mark.property
@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_in_whatever_order_they_are_clicked_they_follow_the_section(order: tuple[int, ...]) -> None:
    """A bilge of four points, each clicked once: the lowest is the keel's end."""
    traced = hull(Station(at=1.0, points=()))
    for number in order:
        traced = TracePoint(2, SECTION[number]).apply(traced)
    assert traced.stations[1].points == SECTION


@pytest.mark.example
def test_a_guess_makes_way_and_what_was_measured_stays() -> None:
    """Two guessed points go, the measured foot and its corner stay, and the point is told in words."""
    station = Station(at=1.0, points=((0.0, 0.0), (0.1, 0.05), (0.5, 0.5)), knuckles=(1, 3), guessed=(2, 3))
    edit = TracePoint(2, (0.4, 0.1))
    after = edit.apply(hull(station)).stations[1]
    assert (after.points, after.knuckles, after.guessed) == (((0.0, 0.0), (0.4, 0.1)), (1,), ())
    assert edit.describe(hull(station)) == "Trace a point of station 2: 400 mm, 100 mm"


@pytest.mark.closed_form
def test_heights_measured_down_are_written_so() -> None:
    """From a string 1 m up, a height of 100 mm is 900 mm down."""
    traced = TracePoint(2, (0.4, 0.1)).apply(hull(Station(at=1.0, points=()), heights_from=1.0, heights_down=True))
    assert traced.stations[1].points[0] == pytest.approx((0.4, 0.9))


@pytest.mark.example
def test_a_point_on_another_is_refused() -> None:
    """Two points in one place make no curve."""
    with pytest.raises(SketchError, match="a point is there already"):
        TracePoint(1, (0.4, 0.1)).apply(hull(Station(at=1.0, points=())))
