"""Where two drawings differ: all that only one of them has lies in what is found, and no more than that is found."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.outputs.scene3d.shapes import Strokes
from sketcher.web.view.drag.changed_box import points_in_box, segments_that_differ

GRID = st.tuples(st.integers(0, 3), st.integers(0, 3), st.integers(0, 1))
SEGMENTS = st.lists(st.tuples(GRID, GRID).filter(lambda ends: ends[0] != ends[1]), min_size=0, max_size=8)


def strokes(segments: list[tuple[tuple[int, ...], tuple[int, ...]]]) -> Strokes:
    points = np.array(segments, dtype=float).reshape(-1, 3)
    return Strokes(points=points, segments=np.arange(len(points)).reshape(-1, 2), colour=(0, 0, 0))


def along(strokes: Strokes) -> np.ndarray:
    """Points close together on the segments, none at an end."""
    first, last = strokes.points[strokes.segments].swapaxes(0, 1)
    shares = np.linspace(0.005, 0.995, 100)[:, None, None]
    return np.asarray((first + shares * (last - first)).reshape(-1, 3))


@pytest.mark.property
@given(SEGMENTS, SEGMENTS)
def test_a_place_on_one_drawing_alone_is_in_a_box(before: list, after: list) -> None:
    """Whether lines come, go, grow, shrink or swing."""
    old, new = strokes(before), strokes(after)
    boxes = segments_that_differ(old, new)
    for one, other in ((old, new), (new, old)):
        for place in along(one):
            lone = not len(other.points) or not on(other, place)
            in_a_box = ((boxes[:, 0] - 1e-9 <= place) & (place <= boxes[:, 1] + 1e-9)).all(axis=1).any()
            assert in_a_box or not lone


def on(strokes: Strokes, place: np.ndarray) -> bool:
    """Whether a place lies on one of the segments."""
    first, last = strokes.points[strokes.segments].swapaxes(0, 1)
    way = last - first
    share = np.clip(((place - first) * way).sum(axis=1) / (way * way).sum(axis=1), 0.0, 1.0)
    return bool((np.linalg.norm(first + share[:, None] * way - place, axis=1) < 1e-9).any())


@pytest.mark.example
def test_a_line_that_grows_is_drawn_at_its_end_only() -> None:
    """Whichever of its ends it is told from; one that swings is drawn from end to end."""
    old = strokes([((0, 0, 0), (3, 0, 0)), ((0, 1, 0), (3, 1, 0))])
    new = strokes([((4, 0, 0), (0, 0, 0)), ((3, 1, 0), (0, 1, 0))])
    assert segments_that_differ(old, new).tolist() == [[[3, 0, 0], [4, 0, 0]]]
    swung = strokes([((0, 0, 0), (3, 1, 0)), ((0, 1, 0), (3, 1, 0))])
    assert segments_that_differ(old, swung).tolist() == [[[0, 0, 0], [3, 0, 0]], [[0, 0, 0], [3, 1, 0]]]


@pytest.mark.example
def test_shapes_that_differ_outside_the_box_too_are_drawn_whole() -> None:
    """A space that another has taken the name of; and one with a corner more."""
    here, box = np.array([[0.0, 0, 0], [1, 0, 0], [2, 1, 0]]), np.array([[1.5, -1, -1], [9, 9, 9]])
    found = points_in_box(here, np.array([[1.0, 0, 0], [0, 0, 0], [3, 2, 0]]), box)
    assert found is not None
    assert found.tolist() == [[[2, 1, 0], [3, 2, 0]]]
    assert points_in_box(here, here + np.array([0.0, 0.0, 1.0]), box) is None
    assert points_in_box(here, np.concatenate([here, here[:1]]), box) is None
    assert points_in_box(here, here[::-1], None) is not None
