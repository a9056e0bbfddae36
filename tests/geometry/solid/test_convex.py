"""Convex solids from half spaces."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from shapes import is_convex

from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.plane import HalfSpaces
from sketcher.geometry.solid.convex import convex_solid, difference_bounds, joined_halves

SQUARES = np.array([[-1.0, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]])


def box(*reach: float) -> TriMesh | None:
    return convex_solid(HalfSpaces(SQUARES, np.array(reach, dtype=float)), np.arange(6))


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
    mesh = convex_solid(HalfSpaces(normals, np.array([0, 1, 0, 1, 0, 1, 2.5 / np.sqrt(3)])), np.arange(7))
    assert mesh is not None
    assert mesh.volume == pytest.approx(1 - 1 / 48, abs=1e-12)


@pytest.mark.example
def test_half_spaces_that_leave_nothing_give_none() -> None:
    """Neither where they miss each other nor where they only touch."""
    assert box(-2, 1, 0, 3, 0, 4) is None
    assert box(-1, 1, 0, 3, 0, 4) is None


@pytest.mark.example
def test_a_plane_that_touches_a_corner_changes_nothing() -> None:
    """It is redundant: the box stays a box."""
    normals = np.vstack([SQUARES, np.ones(3) / np.sqrt(3)])
    mesh = convex_solid(HalfSpaces(normals, np.array([0, 1, 0, 1, 0, 1, np.sqrt(3)])), np.arange(7))
    assert mesh is not None
    assert mesh.volume == pytest.approx(1.0, abs=1e-12)
    assert 6 not in mesh.labels


@pytest.mark.closed_form
def test_two_floors_apart_by_rounding_are_one() -> None:
    """A third, two degrees out of level, meets them further apart than corners are told; it takes a wedge of half the box."""
    slope = np.tan(np.radians(2.0))
    sloping = np.array([0.0, -slope, -1.0]) / np.hypot(1.0, slope)
    normals = np.vstack([SQUARES, SQUARES[4], sloping])
    reach = np.array([0.0, 1.0, 0.0, 1.0, 7e-12, 1.0, 0.0, sloping @ [0.0, 0.5, 0.0]])
    mesh = convex_solid(HalfSpaces(normals, reach), np.arange(8))
    assert mesh is not None
    assert mesh.volume == pytest.approx(1.0 - slope * 0.5**2 / 2, abs=1e-10)


@pytest.mark.example
def test_what_is_not_a_number_is_refused() -> None:
    """Before it becomes an empty solid."""
    with pytest.raises(GeometryError, match="not a number"):
        box(0, float("nan"), 0, 1, 0, 1)


@pytest.mark.example
def test_half_spaces_that_are_open_are_refused() -> None:
    """The sides and bottom of a box under a plane that leans away from it, so that there is no top."""
    away = np.array([[1.0, 0.3, -0.5]]) / np.linalg.norm([1.0, 0.3, -0.5])
    with pytest.raises(GeometryError, match="do not close"):
        convex_solid(HalfSpaces(np.vstack([SQUARES[:5], away]), np.array([1, 1, 1, 1, 1, 0.5])), np.arange(6))


@pytest.mark.closed_form
def test_two_halves_are_joined_along_their_open_faces() -> None:
    """Two unit boxes side by side make one of two, without a wall in between."""
    halves = [
        convex_solid(HalfSpaces(SQUARES, np.array(reach, dtype=float)), np.array([0, 1, label, 7 - label, 4, 5]), open_label=7)
        for reach, label in (([0, 1, 1, 0, 0, 1], 0), ([0, 1, 0, 1, 0, 1], 7))
    ]
    mesh = joined_halves([half for half in halves if half is not None])
    assert mesh.volume == pytest.approx(2.0, abs=1e-12)
    assert 7 not in mesh.labels


@pytest.mark.example
def test_halves_that_do_not_meet_are_refused() -> None:
    """One of them higher than the other."""
    halves = [
        convex_solid(HalfSpaces(SQUARES, np.array(reach, dtype=float)), np.array([0, 1, label, 7 - label, 4, 5]), open_label=7)
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
    mesh = convex_solid(HalfSpaces(normals, distances), np.arange(len(normals)))
    assert mesh is not None
    assert is_convex(mesh)
    assert (mesh.vertices @ normals.T <= distances + 1e-9).all()
    assert 0 < mesh.volume <= 8 + 1e-9


TILTED = np.vstack([SQUARES, *(np.array(way) / np.linalg.norm(way) for way in ([1, 1, 1], [-1, 1, 0.5], [0.3, -1, 1]))])
REACH = np.array([0.5, 0.6, 0.5, 0.5, 0.4, 0.5, 0.7, 0.65, 0.7])
MOVES = st.lists(st.tuples(st.integers(0, 8), st.integers(-9, 9), st.integers(-3, 3)), max_size=3, unique_by=lambda move: move[0])


@pytest.mark.property
@settings(max_examples=20, deadline=None)
@given(MOVES)
def test_what_only_one_of_two_solids_has_lies_in_its_box(moves: list[tuple[int, int, int]]) -> None:
    """The box is that of what lies in one solid and beyond a face of the other, by scipy's linear programming."""
    normals, distances = TILTED.copy(), REACH.copy()
    moved = [which for which, by, turn in moves if by or turn]
    for which, by, turn in moves:
        distances[which] += by / 30
        normals[which] += turn / 20 * np.array([0.4, -0.3, 0.5])
        normals[which] /= np.linalg.norm(normals[which])
    before, after = (convex_solid(HalfSpaces(*sides), np.arange(9)) for sides in ((TILTED, REACH), (normals, distances)))
    assert before is not None
    if after is None:
        return
    found = difference_bounds(before.vertices, HalfSpaces(TILTED, REACH), after.vertices, HalfSpaces(normals, distances))
    reached = []
    for own, others in (((TILTED, REACH), (normals, distances)), ((normals, distances), (TILTED, REACH))):
        for which in moved:
            sides = np.vstack([own[0], -others[0][which]]), np.append(own[1], -others[1][which] - 1e-7)
            ends = [linprog(way, *sides, bounds=(None, None)) for way in np.vstack([np.eye(3), -np.eye(3)])]
            if all(end.success for end in ends):
                reached.append([end.fun for end in ends])
    if not reached:
        assert found is None
        return
    assert found is not None
    least = np.min(reached, axis=0)
    assert found[0] == pytest.approx(least[:3], abs=1e-5)
    assert found[1] == pytest.approx(-least[3:], abs=1e-5)
