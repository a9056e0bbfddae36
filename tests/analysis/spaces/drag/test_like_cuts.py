"""Cuts closed by the triangles of earlier ones: as well as with new ones."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import triangulate
from shapes import box, wigley

from sketcher.analysis.spaces.drag.like_cuts import LikeCuts
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface, divided, surface_of, to_manifold
from sketcher.geometry.solid.half_space import FaceCut, beyond

HULL = wigley(8.0, 2.4, 0.5, columns=60, rows=30)

WELL, HOLLOW = box((-2, -0.4, 0.2), (2, 0.3, 0.6)), box((-1, -0.2, 0.05), (3, -0.1, 0.1))
NOTCHED = surface_of(to_manifold(HULL, 1) - to_manifold(WELL, 2) - to_manifold(HOLLOW, 3))
"""A hull with a well in its deck and a hollow that is not seen from outside."""


@pytest.mark.property
@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(-3.9, 3.9), st.floats(-0.3, 0.3)), min_size=2, max_size=12))
def test_a_cut_closed_as_one_before_is_closed_as_well(moves: list[tuple[float, float]]) -> None:
    """Along planes that move and turn, with the triangles of earlier cuts at hand: the same volume and the same face."""
    cuts = LikeCuts()
    for x, turn in moves:
        normal = np.array([np.cos(turn), 0.0, np.sin(turn)])
        face = FaceCut(Plane(normal, x), 7, 3, NOTCHED.vertices @ normal - x)
        fresh, again = beyond(NOTCHED, face), beyond(NOTCHED, face, partial(cuts.fill, 3))
        sizes = [[float(divided(each).volume.sum()), *_area(each)] if len(each.triangles) else [] for each in (fresh, again)]
        assert sizes[1] == pytest.approx(sizes[0], rel=1e-9, abs=1e-12)


def _area(side: TracedSurface) -> tuple[float, float]:
    """Of the face of a cut: as its triangles turn, and without regard to that."""
    a, b, c = side.vertices[side.triangles[side.origin == 7].T]
    across = np.cross(b - a, c - a) / 2
    return float(np.linalg.norm(across.sum(axis=0))), float(np.linalg.norm(across, axis=1).sum())


@pytest.mark.example
def test_a_small_move_needs_no_new_triangles(monkeypatch: pytest.MonkeyPatch) -> None:
    """Within one row of the mesh they are looked for once."""
    asked: list[int] = []
    monkeypatch.setattr(
        "sketcher.analysis.spaces.drag.like_cuts.triangulate", lambda loops: asked.append(len(loops)) or triangulate(loops)
    )
    cuts = LikeCuts()
    x = float(np.unique(HULL.vertices[:, 0])[20])
    for by in (0.01, 0.012, 0.015, 0.011):
        height = NOTCHED.vertices[:, 0] - x - by
        beyond(NOTCHED, FaceCut(Plane.of((1.0, 0.0, 0.0), x + by), 7, 3, height), partial(cuts.fill, 3))
    assert len(asked) == 1
