"""Interpolation by weights: polynomials come out exactly, and weights add up to one."""

from __future__ import annotations

import numpy as np
import pytest

from sketcher.geometry.surface.interpolation import Spline, chord_weights, girths, polynomial_weights

PLACES = np.linspace(0.0, 1.0, 11)


@pytest.mark.closed_form
@pytest.mark.parametrize("count", [2, 3, 4, 5, 9])
def test_the_spline_through_a_polynomials_values_is_the_polynomial(count: int) -> None:
    """Up to a cubic, or as many powers as there are points, exactly."""
    knots = np.linspace(0.0, 1.0, count) ** 1.3
    power = min(count - 1, 3)
    assert Spline(knots).weights(PLACES) @ knots**power == pytest.approx(PLACES**power, abs=1e-12)


@pytest.mark.property
@pytest.mark.parametrize("count", [3, 7])
def test_the_spline_passes_through_its_values(count: int) -> None:
    """At the knots the weights single out the knot's own value."""
    knots = np.linspace(0.0, 1.0, count) ** 1.3
    assert Spline(knots).weights(knots) == pytest.approx(np.eye(count), abs=1e-12)


@pytest.mark.closed_form
def test_four_places_give_a_cubic_exactly() -> None:
    """The polynomial through four values of a cubic, between and beyond them."""
    places = np.array([0.1, 0.35, 0.7, 1.2])
    weights = polynomial_weights(PLACES, np.tile(places[:, None], (1, len(PLACES))))
    assert weights.T @ places**3 == pytest.approx(PLACES**3, abs=1e-12)


@pytest.mark.closed_form
def test_chords_run_straight_from_value_to_value() -> None:
    """Half way between two knots half of each."""
    assert chord_weights(np.array([0.0, 0.5, 1.0]), np.array([0.25])).tolist() == [[0.5, 0.5, 0.0]]


@pytest.mark.closed_form
def test_girth_is_measured_along_the_chords() -> None:
    """A 3-4-5 triangle's two sides."""
    assert girths(np.array([[0.0, 0.0], [3.0, 4.0], [3.0, 10.0]])).tolist() == [0.0, 5.0, 11.0]
