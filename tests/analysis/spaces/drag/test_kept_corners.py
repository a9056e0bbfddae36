"""Convex solids whose planes move: their corners from the three planes at each, as if worked out afresh."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sketcher.analysis.spaces.drag.kept_corners import corner_planes, reshaped
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.convex import convex_solid

SQUARES = np.array([[-1.0, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]])


def box(*reach: float) -> TriMesh | None:
    return convex_solid(HalfSpaces(SQUARES, np.array(reach, dtype=float)), np.arange(6))


def planes_of(normals: Floats, distances: Floats) -> tuple[Plane, ...]:
    return tuple(Plane(normal, float(d)) for normal, d in zip(normals, distances, strict=True))


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.0, 0.4))
def test_planes_that_move_a_little_give_the_solid_that_is_worked_out_afresh(seed: int, far: float) -> None:
    """Or no answer: where corners come or go. A box cut by two slanting planes, all its planes moved and turned."""
    random = np.random.default_rng(seed)
    slanting = random.normal(size=(2, 3))
    normals = np.vstack([SQUARES, slanting / np.linalg.norm(slanting, axis=1)[:, None]])
    distances = np.array([0, 2, 0, 3, 0, 4, *(normals[6:] @ [1.0, 1.5, 2.0] + 0.7)])
    before = convex_solid(HalfSpaces(normals, distances), np.arange(8))
    assert before is not None
    corners = corner_planes(before, planes_of(normals, distances))
    assert corners is not None
    turned = normals + 0.2 * far * random.normal(size=normals.shape)
    turned /= np.linalg.norm(turned, axis=1)[:, None]
    moved = distances + far * random.normal(size=8)
    afresh = convex_solid(HalfSpaces(turned, moved), np.arange(8))
    quick = reshaped(before, *corners, HalfSpaces(turned, moved))
    if quick is None:
        assert far > 1e-6
        return
    assert afresh is not None
    assert quick.volume == pytest.approx(afresh.volume, rel=1e-9)
    assert np.sort(quick.vertices, axis=0) == pytest.approx(np.sort(afresh.vertices, axis=0), abs=1e-9)
    for label in range(8):
        assert area_of(quick, label) == pytest.approx(area_of(afresh, label), abs=1e-9)


def area_of(mesh: TriMesh, label: int) -> float:
    a, b, c = mesh.vertices[mesh.triangles[mesh.labels == label].T]
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


@pytest.mark.example
def test_a_solid_turned_inside_out_is_not_taken_for_what_it_was() -> None:
    """Two opposite planes that pass each other leave nothing; what is not a number makes no solid."""
    before = box(0, 2, 0, 3, 0, 4)
    assert before is not None
    distances = np.array([0.0, 2, 0, 3, 0, 4])
    corners = corner_planes(before, planes_of(SQUARES, distances))
    assert corners is not None
    assert reshaped(before, *corners, HalfSpaces(SQUARES, np.array([-2.5, 2, 0, 3, 0, 4]))) is None
    moved = reshaped(before, *corners, HalfSpaces(SQUARES, np.array([-0.5, 2, 0, 3, 0, 4])))
    assert moved is not None
    assert moved.volume == pytest.approx(1.5 * 12, abs=1e-12)
    mirrored = [1, 0, 2, 3, 4, 5]
    assert reshaped(before, *corners, HalfSpaces(SQUARES[mirrored], distances[mirrored])) is None
    assert reshaped(before, *corners, HalfSpaces(SQUARES, np.array([0, np.nan, 0, 3, 0, 4]))) is None
    assert reshaped(before, *corners, HalfSpaces(np.vstack([SQUARES[:5], np.full(3, np.nan)]), distances)) is None


@pytest.mark.example
def test_a_corner_of_four_planes_has_no_quick_answer() -> None:
    """A pyramid's top: where its planes move apart it becomes an edge."""
    slopes = np.array([[1.0, 0, 1], [-1, 0, 1], [0, 1, 1], [0, -1, 1]]) / np.sqrt(2)
    normals, distances = np.vstack([[0.0, 0, -1], slopes]), np.array([0.0, *np.full(4, np.sqrt(0.5))])
    pyramid = convex_solid(HalfSpaces(normals, distances), np.arange(5))
    assert pyramid is not None
    assert corner_planes(pyramid, planes_of(normals, distances)) is None
