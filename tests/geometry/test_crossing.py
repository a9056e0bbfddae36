"""Triangles split by a plane: what is left on both sides makes the whole."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.geometry.crossing import met, ring_part, split
from sketcher.geometry.mesh import Floats, Ints

LEVELS = st.lists(st.integers(-3, 3), min_size=9, max_size=9)
ROWS = np.arange(9).reshape(3, 3)
TRIANGLES: Ints = np.array(
    [
        t
        for i in (0, 1)
        for j in (0, 1)
        for t in ((ROWS[i, j], ROWS[i + 1, j], ROWS[i, j + 1]), (ROWS[i + 1, j], ROWS[i + 1, j + 1], ROWS[i, j + 1]))
    ]
)
PLAN: Floats = np.stack(np.meshgrid(np.arange(3.0), np.arange(3.0), indexing="ij"), axis=2).reshape(-1, 2)


def areas(points: Floats, triangles: Ints) -> Floats:
    """Signed area of each triangle in plan."""
    (ax, ay), (bx, by), (cx, cy) = points[triangles].transpose(1, 2, 0)
    doubled: Floats = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
    return doubled / 2


@pytest.mark.property
@given(LEVELS)
def test_both_sides_of_a_split_make_the_whole(levels: list[int]) -> None:
    """In area, in the triangles' own sense, each piece within what it came from, wherever the heights are 0."""
    height = np.array(levels, dtype=float)
    total = 0.0
    for under in (False, True):
        part = split(height, TRIANGLES, under=under)
        low, high = part.edges.T
        points, levelled = (np.concatenate([each, met(each, height, low, high)]) for each in (PLAN, height[:, None]))
        left = areas(points, part.triangles)
        assert (left >= -1e-12).all()
        total += float(areas(PLAN, TRIANGLES[part.whole]).sum() + left.sum())
        sides = levelled[part.triangles, 0]
        assert (sides <= 1e-12).all() if under else (sides >= -1e-12).all()
        assert sorted(set(part.source.tolist()) & set(part.whole.tolist())) == []
    assert total == pytest.approx(4.0, abs=1e-12)


@pytest.mark.property
@given(st.lists(st.integers(-2, 2), min_size=4, max_size=4))
def test_the_rim_of_a_split_has_as_many_ways_in_as_out(levels: list[int]) -> None:
    """Of a closed surface: the four faces of a tetrahedron."""
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
    rim = split(np.array(levels, dtype=float), faces).rim
    assert sorted(rim[:, 0].tolist()) == sorted(rim[:, 1].tolist())


@pytest.mark.property
@given(st.floats(-1.5, 1.5))
def test_both_parts_of_a_ring_make_it_whole(level: float) -> None:
    """A square of side 2 cut at a height: widths above and below it, and nothing of it twice."""
    square = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    over, under = (ring_part(square, square[:, 1] - level, under=side) for side in (False, True))
    highs = [float(np.ptp(part[:, 1])) if len(part) else 0.0 for part in (over, under)]
    assert sum(highs) == pytest.approx(2.0)
    assert highs[0] == pytest.approx(min(max(1.0 - level, 0.0), 2.0))
