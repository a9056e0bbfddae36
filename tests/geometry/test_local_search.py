import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from sketcher.geometry.local_search import best_vertex, local_search


@pytest.mark.published
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 7), st.integers(0, 40))
def test_linear_programmes_end_where_a_reference_solver_ends(seed: int, unknowns: int, count: int) -> None:
    """Random programmes in a box, against scipy's HiGHS: the same best value."""
    rng = np.random.default_rng(seed)
    box = np.vstack([-np.eye(unknowns), np.eye(unknowns)])
    rows = np.vstack([box, rng.normal(size=(count, unknowns))])
    # every row leaves the corner -1, -1, ... free, from which the search begins
    limits = np.concatenate([np.ones(2 * unknowns), -rows[2 * unknowns :].sum(axis=1) + rng.exponential(size=count)])
    gain = rng.normal(size=unknowns)
    found = best_vertex(gain, rows, limits, list(range(unknowns)))
    reference = linprog(-gain, A_ub=rows, b_ub=limits, bounds=[(None, None)] * unknowns, method="highs")
    assert (rows @ found <= limits + 1e-7).all()
    assert gain @ found == pytest.approx(-reference.fun, abs=1e-6)


@pytest.mark.closed_form
def test_climb_to_the_top_of_a_circle() -> None:
    """The farthest point of a disc in a direction lies on its rim: a curved constraint is followed to it."""
    towards = np.array([3.0, 4.0]) / 5.0

    def rows_at(place: np.ndarray) -> object:
        return lambda places: 1.0 - np.linalg.norm(places, axis=1, keepdims=True)

    top = local_search(np.array([0.1, -0.2]), np.array([0.5, 0.5]), lambda places: places @ towards, rows_at)  # type: ignore[arg-type]
    assert top.gain == pytest.approx(1.0, abs=1e-6)
    assert top.place == pytest.approx(towards, abs=1e-3)
    assert top.missing < 1e-9


@pytest.mark.closed_form
def test_a_start_without_room_is_brought_back_first() -> None:
    """From outside a box the search first gets in, then to the corner that is worth most."""

    def rows_at(place: np.ndarray) -> object:
        return lambda places: np.hstack([places, 1.0 - places])

    top = local_search(np.array([1.8, -0.4]), np.array([0.5, 0.5]), lambda places: places.sum(axis=1), rows_at)  # type: ignore[arg-type]
    assert top.place == pytest.approx([1.0, 1.0], abs=1e-6)
    assert top.missing < 1e-9


@pytest.mark.closed_form
def test_what_cannot_be_is_said_to_lack_clearance() -> None:
    """Between walls that leave no room the search ends with the least that is missing: half of what they overlap."""

    def rows_at(place: np.ndarray) -> object:
        return lambda places: np.hstack([places - 0.6, 0.4 - places])

    top = local_search(np.array([0.0]), np.array([0.5]), lambda places: places[:, 0], rows_at)  # type: ignore[arg-type]
    assert top.missing == pytest.approx(0.1, abs=1e-6)
