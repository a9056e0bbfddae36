"""Straight lines past triangles."""

import numpy as np
import pytest

from sketcher.geometry.solid.visibility import visible_from


@pytest.mark.closed_form
def test_a_wall_hides_what_is_behind_it_and_nothing_else() -> None:
    """A triangle at x = 1 hides a point straight behind it, not one before it, beside it, or on it."""
    wall = np.array([[[1.0, -1.0, -1.0], [1.0, 1.0, -1.0], [1.0, 0.0, 1.0]]])
    targets = np.array([[2.0, 0.0, 0.0], [0.9, 0.0, 0.0], [2.0, 3.0, 0.0], [1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])
    assert visible_from(wall, np.zeros(3), targets).tolist() == [False, True, True, True, True]


@pytest.mark.example
def test_without_walls_all_is_seen() -> None:
    """Nothing stands in the way of nothing."""
    assert visible_from(np.zeros((0, 3, 3)), np.zeros(3), np.ones((4, 3))).all()
