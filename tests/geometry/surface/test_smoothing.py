"""Smooth curves near measured values."""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from sketcher.geometry.surface.smoothing import smoothing_spline

AT = np.array([0.0, 0.2, 0.45, 0.6, 0.9, 1.3])
BENT = np.array([0.0, 0.004, 0.009, 0.011, 0.006, -0.003])


@pytest.mark.closed_form
def test_without_error_it_is_the_natural_spline() -> None:
    """As another library has it, between the values; beyond them it goes on straight."""
    natural = CubicSpline(AT, BENT, bc_type="natural")
    places = np.linspace(0.0, 1.3, 27)
    assert smoothing_spline(AT, BENT, 1e-9, places) == pytest.approx(natural(places), abs=1e-6)
    beyond = np.array([-0.1, 1.4])
    straight = np.array([BENT[0] - 0.1 * natural(0.0, 1), BENT[-1] + 0.1 * natural(1.3, 1)])
    assert smoothing_spline(AT, BENT, 1e-9, beyond) == pytest.approx(straight, abs=1e-6)


@pytest.mark.closed_form
def test_it_misses_values_by_the_error_in_the_mean_square() -> None:
    """Where no line comes so near, it comes as near as is asked and no nearer."""
    assert np.sqrt(np.mean((smoothing_spline(AT, BENT, 1e-3, AT) - BENT) ** 2)) == pytest.approx(1e-3, rel=1e-6)


@pytest.mark.closed_form
def test_values_on_a_line_to_within_the_error_give_that_line() -> None:
    """Errors of 0.4 mm are smoothed away whole where 1 mm is allowed: the line of least squares is left."""
    noise = np.array([1.0, -1.0, 0.5, -1.0, 1.0, -0.5]) * 4e-4
    slope, start = np.polyfit(AT, 0.01 * AT + noise, 1)
    assert smoothing_spline(AT, 0.01 * AT + noise, 1e-3, AT) == pytest.approx(start + slope * AT, abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("at", "values", "there"), [((0.5,), (0.003,), 0.003), ((0.0, 1.0), (0.0, 0.01), 0.02), ((1.0, 1.0), (0.002, 0.004), 0.003)]
)
def test_few_values_give_a_level_or_a_straight_line(at: tuple[float, ...], values: tuple[float, ...], there: float) -> None:
    """One value holds everywhere, two make a line, and two at one place count by their mean."""
    assert smoothing_spline(np.array(at), np.array(values), 1e-3, np.array([2.0])) == pytest.approx([there])
