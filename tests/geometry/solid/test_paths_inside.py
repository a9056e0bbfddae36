import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from shapes import mesh_of

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.paths_inside import path_lengths, walls_of

ROOM = Manifold.cube((2.0, 1.0, 1.0))
HALF_WALL = mesh_of(ROOM - Manifold.cube((0.01, 1.0, 0.6)).translate((1.0, 0.0, 0.0)))


def longest_way(solid: TriMesh, source: tuple[float, float, float], target: tuple[float, float, float]) -> float:
    return float(path_lengths(walls_of(solid), np.array(source), np.array([target]))[0])


@pytest.mark.closed_form
def test_straight_through_an_open_box() -> None:
    """In a box every corner is a straight line away."""
    assert longest_way(mesh_of(ROOM), (0.5, 0.5, 0.99), (2.0, 1.0, 0.0)) == pytest.approx(np.sqrt(1.5**2 + 0.5**2 + 0.99**2))


@pytest.mark.closed_form
def test_over_a_half_wall_and_down_again() -> None:
    """Not through a half-height wall but over its two edges: up to it, across its thickness, down behind it."""
    over = np.hypot(0.5, 0.4) + 0.01 + np.hypot(0.99, 0.4)
    found = longest_way(HALF_WALL, (0.5, 0.5, 0.2), (2.0, 0.5, 0.2))
    # the way keeps 1 mm off both edges and bends at points 40 mm at most from the best ones
    assert over <= found < over + 0.004


@pytest.mark.closed_form
def test_behind_a_thin_wall_is_far_though_it_is_near() -> None:
    """A point on the far face of a wall 10 mm thick is as far as the way round the wall."""
    over = np.hypot(0.5, 0.4) + 0.01 + 0.6
    assert over <= longest_way(HALF_WALL, (0.5, 0.5, 0.2), (1.01, 0.5, 0.0)) < over + 0.006


@pytest.mark.closed_form
def test_in_front_of_the_wall_it_is_straight() -> None:
    """Its near face and what is above it are straight lines away."""
    assert longest_way(HALF_WALL, (0.5, 0.5, 0.2), (1.0, 0.5, 0.3)) == pytest.approx(np.hypot(0.5, 0.1), abs=1e-9)
    assert longest_way(HALF_WALL, (0.5, 0.5, 0.2), (1.5, 0.5, 0.9)) == pytest.approx(np.hypot(1.0, 0.7), abs=0.004)


@pytest.mark.closed_form
def test_no_way_into_what_is_shut_off() -> None:
    """Through a wall from floor to top there is no way at all."""
    shut = mesh_of(ROOM - Manifold.cube((0.01, 1.0, 1.0)).translate((1.0, 0.0, 0.0)))
    assert longest_way(shut, (0.5, 0.5, 0.5), (1.5, 0.5, 0.5)) == np.inf


@pytest.mark.closed_form
def test_round_two_corners_of_a_labyrinth() -> None:
    """Between two walls that leave gaps at opposite ends, the way bends at both."""
    walls = [Manifold.cube((0.01, 0.8, 1.0)).translate((x, y, 0.0)) for x, y in ((0.8, 0.0), (1.2, 0.2))]
    labyrinth = mesh_of(ROOM - walls[0] - walls[1])
    corners = np.array([[0.4, 0.1], [0.8, 0.8], [0.81, 0.8], [1.2, 0.2], [1.21, 0.2], [1.8, 0.9]])
    taut = float(np.linalg.norm(np.diff(corners, axis=0), axis=1).sum())
    found = longest_way(labyrinth, (0.4, 0.1, 0.5), (1.8, 0.9, 0.5))
    assert taut <= found < taut + 0.02


@pytest.mark.property
@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.floats(0.1, 1.9), st.floats(0.1, 0.9), st.floats(0.1, 0.55)), min_size=2, max_size=2))
def test_there_and_back_is_as_far(ends: list[tuple[float, float, float]]) -> None:
    """A way is as long back as there, within the 10 mm of its sampled bends, and never shorter than the straight line."""
    if any(abs(x - 1.005) < 0.02 for x, _, _ in ends):
        return
    there, back = longest_way(HALF_WALL, ends[0], ends[1]), longest_way(HALF_WALL, ends[1], ends[0])
    assert there == pytest.approx(back, abs=0.01)
    assert there >= np.linalg.norm(np.array(ends[0]) - np.array(ends[1])) - 1e-9
