"""Convex solids from half spaces."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sketcher.geometry.convex import convex_solid, joined_halves
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.solid import is_convex

SQUARES = np.array([[-1.0, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]])


def box(*reach: float) -> TriMesh | None:
    return convex_solid(SQUARES, np.array(reach, dtype=float), np.arange(6))


@pytest.mark.closed_form
def test_six_half_spaces_make_a_box() -> None:
    """Of the volume of its three sides, and with two triangles to each face, labelled as the face is."""
    mesh = box(0, 2, 0, 3, 0, 4)
    assert mesh is not None
    assert mesh.volume == pytest.approx(24.0, abs=1e-12)
    assert np.bincount(mesh.labels).tolist() == [2] * 6


@pytest.mark.closed_form
def test_a_cut_corner_takes_its_tetrahedron() -> None:
    """A plane through three edges of a unit box at half their length takes 1/48 of it."""
    normals = np.vstack([SQUARES, np.ones(3) / np.sqrt(3)])
    mesh = convex_solid(normals, np.array([0, 1, 0, 1, 0, 1, 2.5 / np.sqrt(3)]), np.arange(7))
    assert mesh is not None
    assert mesh.volume == pytest.approx(1 - 1 / 48, abs=1e-12)


@pytest.mark.property
def test_half_spaces_that_leave_nothing_give_none() -> None:
    """Neither where they miss each other nor where they only touch."""
    assert box(-2, 1, 0, 3, 0, 4) is None
    assert box(-1, 1, 0, 3, 0, 4) is None


@pytest.mark.property
def test_a_plane_that_touches_a_corner_changes_nothing() -> None:
    """It is redundant: the box stays a box."""
    normals = np.vstack([SQUARES, np.ones(3) / np.sqrt(3)])
    mesh = convex_solid(normals, np.array([0, 1, 0, 1, 0, 1, np.sqrt(3)]), np.arange(7))
    assert mesh is not None
    assert mesh.volume == pytest.approx(1.0, abs=1e-12)
    assert 6 not in mesh.labels


@pytest.mark.property
def test_what_is_not_a_number_is_refused() -> None:
    """Before it becomes an empty solid."""
    with pytest.raises(GeometryError, match="not a number"):
        box(0, float("nan"), 0, 1, 0, 1)


@pytest.mark.property
def test_half_spaces_that_are_open_are_refused() -> None:
    """The sides and bottom of a box under a plane that leans away from it, so that there is no top."""
    away = np.array([[1.0, 0.3, -0.5]]) / np.linalg.norm([1.0, 0.3, -0.5])
    with pytest.raises(GeometryError, match="do not close"):
        convex_solid(np.vstack([SQUARES[:5], away]), np.array([1, 1, 1, 1, 1, 0.5]), np.arange(6))


@pytest.mark.closed_form
def test_two_halves_are_joined_along_their_open_faces() -> None:
    """Two unit boxes side by side make one of two, without a wall in between."""
    halves = [
        convex_solid(SQUARES, np.array(reach, dtype=float), np.array([0, 1, label, 7 - label, 4, 5]), open_label=7)
        for reach, label in (([0, 1, 1, 0, 0, 1], 0), ([0, 1, 0, 1, 0, 1], 7))
    ]
    mesh = joined_halves([half for half in halves if half is not None])
    assert mesh.volume == pytest.approx(2.0, abs=1e-12)
    assert 7 not in mesh.labels


@pytest.mark.property
def test_halves_that_do_not_meet_are_refused() -> None:
    """One of them higher than the other."""
    halves = [
        convex_solid(SQUARES, np.array(reach, dtype=float), np.array([0, 1, label, 7 - label, 4, 5]), open_label=7)
        for reach, label in (([0, 1, 1, 0, 0, 1.5], 0), ([0, 1, 0, 1, 0, 1], 7))
    ]
    with pytest.raises(GeometryError, match="do not meet"):
        joined_halves([half for half in halves if half is not None])


directions = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(directions, st.floats(0.1, 1.2)), max_size=6))
def test_any_planes_about_a_point_make_a_closed_convex_solid(cuts: list[tuple[tuple[float, float, float], float]]) -> None:
    """All corners lie in every half space, and the point in the middle stays inside."""
    more: Floats = np.array([np.array(v) / np.linalg.norm(v) for v, _ in cuts]).reshape(-1, 3)
    normals, distances = np.vstack([SQUARES, more]), np.concatenate([np.ones(6), [d for _, d in cuts]])
    mesh = convex_solid(normals, distances, np.arange(len(normals)))
    assert mesh is not None
    assert is_convex(mesh)
    assert (mesh.vertices @ normals.T <= distances + 1e-9).all()
    assert 0 < mesh.volume <= 8 + 1e-9
