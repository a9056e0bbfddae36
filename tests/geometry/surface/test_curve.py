import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.geometry.surface.curve import curve_through, fair_slopes


def _arc(count: int) -> np.ndarray:
    angle = np.linspace(0.0, np.pi / 2, count)
    return np.column_stack([np.zeros(count), np.sin(angle), -np.cos(angle)])


@pytest.mark.closed_form
@pytest.mark.parametrize(("count", "error"), [(4, 5e-3), (7, 4e-4), (13, 3e-5)])
def test_curve_through_points_of_a_circle_follows_it(count: int, error: float) -> None:
    """A quarter of a circle comes out of a few of its points, ever closer the more there are."""
    fine = curve_through(_arc(count)).at(np.linspace(0.0, 1.0, 400))
    assert np.abs(np.hypot(fine[:, 1], fine[:, 2]) - 1.0).max() < error


@pytest.mark.closed_form
def test_share_of_length_is_true_on_a_circle() -> None:
    """Half the length of a quarter circle lies at 45 degrees."""
    middle = curve_through(_arc(15)).at(np.array([0.5]))[0]
    assert middle[1:] == pytest.approx([np.sqrt(0.5), -np.sqrt(0.5)], abs=1e-5)


@pytest.mark.example
def test_given_points_come_out_exactly() -> None:
    """The curve passes through every point it was given, to the rounding of numbers."""
    points = np.array([[0.0, 0.0, 0.0], [0.0, 0.3, 0.05], [0.0, 0.5, 0.4], [0.0, 0.55, 1.0]])
    curve = curve_through(points)
    assert np.abs(curve.at(curve.shares) - points).max() < 1e-15


@pytest.mark.example
def test_corner_stays_sharp_and_its_sides_straight() -> None:
    """Between a corner and an end with no point between, the curve is the straight line."""
    points = np.array([[0.0, 0.0, 0.0], [0.0, 0.6, 0.2], [0.0, 0.8, 0.9]])
    curve = curve_through(points, corners=[1])
    fine = curve.at(np.linspace(0.0, curve.shares[1], 50))
    assert np.abs(fine[:, 2] - fine[:, 1] / 3.0).max() < 1e-12


@pytest.mark.example
def test_polygon_has_straight_sides() -> None:
    """A curve that is not smooth is the polygon through its points."""
    points = _arc(4)
    curve = curve_through(points, smooth=False)
    middles = curve.at((curve.shares[1:] + curve.shares[:-1]) / 2)
    assert middles == pytest.approx((points[1:] + points[:-1]) / 2, abs=1e-12)


@pytest.mark.example
def test_single_point_is_a_curve_of_no_length() -> None:
    """An end that is one point gives that point at every share."""
    point = np.array([[1.0, 0.0, 2.0]])
    assert (curve_through(point).at(np.array([0.0, 0.4, 1.0])) == point).all()


POINTS = st.lists(st.tuples(st.integers(1, 40), st.integers(-30, 30)), min_size=3, max_size=9)


@pytest.mark.property
@given(POINTS)
def test_curve_never_leaves_the_range_of_its_neighbours(steps: list[tuple[int, int]]) -> None:
    """Between two points neither coordinate goes past either of them: no overshoot, and monotone where the points are."""
    flat = np.cumsum(np.array(steps, dtype=float) / 100.0, axis=0)
    points = np.column_stack([np.zeros(len(flat)), flat])
    curve = curve_through(points)
    for low, high, start, end in zip(curve.shares[:-1], curve.shares[1:], points[:-1], points[1:], strict=True):
        piece = curve.at(np.linspace(low, high, 30))
        lower, upper = np.minimum(start, end) - 1e-12, np.maximum(start, end) + 1e-12
        assert ((piece >= lower) & (piece <= upper)).all()


@pytest.mark.property
@given(POINTS)
def test_slopes_of_many_lines_are_those_of_each(steps: list[tuple[int, int]]) -> None:
    """Lines fitted together come out as when fitted one by one."""
    flat = np.cumsum(np.array(steps, dtype=float), axis=0)
    line = np.column_stack([np.zeros(len(flat)), flat])
    other = line + np.sin(flat[:, :1])
    together = fair_slopes(np.stack([line, other]))[0]
    assert together[1] == pytest.approx(fair_slopes(other[None])[0][0], abs=1e-9)


@pytest.mark.example
def test_long_lines_are_fitted_as_short_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    """Solving a spline's equations one by one gives what solving them at once gives."""
    x = np.cumsum(np.random.default_rng(2).uniform(0.1, 1.0, 20))
    lines = np.stack([np.column_stack([x, np.sin(x), np.cos(0.7 * x)]), np.column_stack([x, np.sqrt(x), np.zeros(20)])])
    at_once = fair_slopes(lines)[0]
    monkeypatch.setattr("sketcher.geometry.surface.curve.DENSE", 3)
    assert fair_slopes(lines)[0] == pytest.approx(at_once, abs=1e-12)
