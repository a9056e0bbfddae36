"""Where two drawings differ: points that only one of them has are found, and none outside the box where they are alike."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.outputs.scene3d.shapes import Strokes
from sketcher.web.view.drag.changed_box import Differing, points_that_differ

POINT = st.tuples(st.integers(0, 9), st.integers(-3, 3), st.integers(0, 3))
POINTS = st.lists(POINT, max_size=12).map(lambda rows: np.array(rows, dtype=float).reshape(-1, 3))
BOX = np.array([[4.5, -9, -9], [9, 9, 9]])
"""All that lies at 5 or more along the first axis."""


def rows(points: np.ndarray) -> list[list[float]]:
    return sorted(points.tolist())


@pytest.mark.property
@given(st.lists(st.tuples(POINTS, POINTS, POINTS), max_size=4), st.randoms())
def test_of_shapes_that_are_alike_outside_the_box_what_lies_in_it_is_found(parts: list[tuple[np.ndarray, ...]], chance) -> None:
    """Whatever comes, goes or moves in it, and in whatever order the points stand; none that lies outside."""
    shapes = []
    for outside, before, after in parts:
        still, turned = outside[outside[:, 0] < 4.5], chance.sample(range(1000), len(outside))
        moved = [each[each[:, 0] > 4.5] for each in (before, after)]
        shapes.append((np.concatenate([still, moved[0]]), np.concatenate([moved[1], still[np.argsort(turned[: len(still)])]])))
    every = np.concatenate([np.zeros((0, 3)), *(points for pair in shapes for points in pair)])
    assert rows(points_that_differ(shapes, BOX)) == rows(every[every[:, 0] > 4.5])


@pytest.mark.property
@given(POINTS.filter(lambda points: len(points) > 1), st.sampled_from(["lost", "wider", "shifted"]))
def test_shapes_that_differ_outside_the_box_too_are_found_whole(points: np.ndarray, how: str) -> None:
    """One that loses a point, is wider on both sides alike, or lies elsewhere; one beside it that is alike is not."""
    other = {
        "lost": points[1:],
        "wider": np.concatenate([points * (1, 2, 1), points * (1, -2, 1)]),
        "shifted": points + np.array([0.0, 0.0, 0.01]),
    }[how]
    before = np.concatenate([points, points * (1, -1, 1)]) if how == "wider" else points
    alike = np.array([[0.0, 0, 0], [1, 0, 0]])
    found = points_that_differ([(alike, alike[::-1]), (before, other)], None)
    same = how == "wider" and not points[:, 1].any()
    assert rows(found) == ([] if same else rows(np.concatenate([before, other])))


@pytest.mark.example
def test_shapes_that_look_otherwise_are_drawn_anew_whole() -> None:
    """One that comes, one that changes its colour; of one that looks as before only what moved, told once for both of a space."""
    points, moved = np.array([[0.0, 0, 0], [5, 0, 0]]), np.array([[6.0, 0, 0], [0, 0, 0]])
    was, now, red = (
        Strokes(points=at, segments=np.array([[0, 1]]), colour=(0, 0, 0), cut=cut)
        for at, cut in ((points, "ink"), (moved, "ink"), (points, "red"))
    )
    differing = Differing(BOX)
    differing.note(was, now)
    differing.note(was, now)
    assert rows(differing.points()) == [[5, 0, 0], [6, 0, 0]]
    differing.note(was, red)
    differing.note(None, was)
    assert len(differing.points()) == 2 + 4 + 2
