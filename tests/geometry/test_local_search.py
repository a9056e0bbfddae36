from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from sketcher.geometry.linear_programme import best_vertices
from sketcher.geometry.local_search import Optimum, Outlook, local_searches


def searched(start: list[float], gain: Callable[[np.ndarray], np.ndarray], rows: Callable[[np.ndarray], np.ndarray]) -> Optimum:
    """The end of a search from one start, the slopes by difference quotients."""

    def look(_: np.ndarray, places: np.ndarray, __: np.ndarray) -> Outlook:
        probed = places[0] + np.vstack([np.zeros(len(start)), 1e-6 * np.eye(len(start))])
        values, rooms = gain(probed), rows(probed)
        steeper, whose = (values[1:] - values[0])[None] / 1e-6, np.zeros(rooms.shape[1], dtype=np.int64)
        return Outlook(places, values[:1], steeper, whose, rooms[0], (rooms[1:] - rooms[0]).T / 1e-6)

    return local_searches(np.array([start]), np.full(len(start), 0.5), look)[0]


@pytest.mark.published
@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 7), st.lists(st.integers(0, 40), min_size=1, max_size=5))
def test_linear_programmes_end_where_a_reference_solver_ends(seed: int, unknowns: int, counts: list[int]) -> None:
    """Random programmes in a box, several at a time, against scipy's HiGHS: the same best values."""
    rng = np.random.default_rng(seed)
    box = np.vstack([-np.eye(unknowns), np.eye(unknowns)])
    rows = np.zeros((len(counts), 2 * unknowns + max(counts), unknowns))
    limits = np.ones(rows.shape[:2])
    for k, count in enumerate(counts):
        more = rng.normal(size=(count, unknowns))
        rows[k, : 2 * unknowns + count] = np.vstack([box, more])
        # every row leaves the corner -1, -1, ... free, from which the search begins
        limits[k, 2 * unknowns : 2 * unknowns + count] = -more.sum(axis=1) + rng.exponential(size=count)
    gain = rng.normal(size=(len(counts), unknowns))
    every = best_vertices(gain, rows, limits, np.tile(np.arange(unknowns), (len(counts), 1)))
    for k, found in enumerate(every):
        reference = linprog(-gain[k], A_ub=rows[k], b_ub=limits[k], bounds=[(None, None)] * unknowns, method="highs")
        assert (rows[k] @ found <= limits[k] + 1e-7).all()
        assert gain[k] @ found == pytest.approx(-reference.fun, abs=1e-6)


@pytest.mark.closed_form
def test_searches_in_lockstep_end_where_each_ends_alone() -> None:
    """In a ring of two discs each start keeps to its own rounds and its own top, whoever is searched for beside it."""

    def look(_: np.ndarray, places: np.ndarray, __: np.ndarray) -> Outlook:
        away = np.linalg.norm(places, axis=1)
        out = places / np.maximum(away, 1e-9)[:, None]
        every = np.arange(len(places))
        return Outlook(
            places,
            places[:, 0],
            np.tile([1.0, 0.0], (len(places), 1)),
            np.concatenate([every, every]),
            np.concatenate([1.0 - away, away - 0.5]),
            np.concatenate([-out, out]),
        )

    starts = np.array([[-0.9, 0.1], [0.9, 0.0], [-2.0, -1.0], [0.0, 0.6], [0.1, -0.1]])
    together = local_searches(starts, np.array([0.3, 0.3]), look)
    for start, top in zip(starts, together, strict=True):
        (alone,) = local_searches(start[None], np.array([0.3, 0.3]), look)
        assert top.place == pytest.approx(alone.place, abs=1e-9)
        assert top.missing == pytest.approx(alone.missing, abs=1e-12)
    assert together[1].place == pytest.approx([1.0, 0.0], abs=1e-3)
    assert together[1].gain == pytest.approx(1.0, abs=1e-6)
    assert local_searches(np.zeros((0, 2)), np.array([0.3, 0.3]), look) == []


@pytest.mark.closed_form
def test_climb_to_the_top_of_a_circle() -> None:
    """The farthest point of a disc in a direction lies on its rim: a curved constraint is followed to it."""
    towards = np.array([3.0, 4.0]) / 5.0
    top = searched([0.1, -0.2], lambda places: places @ towards, lambda places: 1.0 - np.hypot(*places.T)[:, None])
    assert top.gain == pytest.approx(1.0, abs=1e-6)
    assert top.place == pytest.approx(towards, abs=1e-3)
    assert top.missing < 1e-9


@pytest.mark.closed_form
def test_a_start_without_room_is_brought_back_first() -> None:
    """From outside a box the search first gets in, then to the corner that is worth most."""
    top = searched([1.8, -0.4], lambda places: places.sum(axis=1), lambda places: np.hstack([places, 1.0 - places]))
    assert top.place == pytest.approx([1.0, 1.0], abs=1e-6)
    assert top.missing < 1e-9


@pytest.mark.closed_form
def test_what_cannot_be_is_said_to_lack_clearance() -> None:
    """Between walls that leave no room the search ends with the least that is missing: half of what they overlap."""
    top = searched([0.0], lambda places: places[:, 0], lambda places: np.hstack([places - 0.6, 0.4 - places]))
    assert top.missing == pytest.approx(0.1, abs=1e-6)
