import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from shapes import mesh_of

from sketcher.geometry.boxes import Box, largest_box


def spill(solid: Manifold, found: Box) -> float:
    """Volume of the box outside the solid [m3]."""
    return float((Manifold.cube(found.size).translate(found.low) - solid).volume())


ROOM = Manifold.cube((1.0, 0.7, 0.4))
VEE = Manifold.hull_points([(0, 0, 0), (2, 0, 0), *[(x, y, 0.6) for x in (0, 2) for y in (-0.5, 0.5)]])


@pytest.mark.closed_form
def test_box_in_a_box_is_the_box() -> None:
    """A box holds itself."""
    found = largest_box(mesh_of(ROOM))
    assert found is not None
    assert found.size == pytest.approx((1.0, 0.7, 0.4), abs=1e-6)


@pytest.mark.closed_form
def test_vee_trough_holds_half_its_section() -> None:
    """The largest rectangle in a triangle has half its area: here 2 m x 0.5 m x 0.3 m."""
    found = largest_box(mesh_of(VEE))
    assert found is not None
    assert found.size == pytest.approx((2.0, 0.5, 0.3), abs=1e-4)


@pytest.mark.closed_form
def test_cube_in_a_vee_trough() -> None:
    """A cube of side s stands in the vee where it is as wide as s: s = 0.6 - s/2 x 1.2, s = 0.375."""
    found = largest_box(mesh_of(VEE), proportions=(1.0, 1.0, 1.0))
    assert found is not None
    assert found.size == pytest.approx((0.375, 0.375, 0.375), abs=1e-5)


@pytest.mark.closed_form
def test_box_in_a_corner() -> None:
    """In the corner cut off by x + y + z = 1 the largest box has sides of a third."""
    found = largest_box(mesh_of(Manifold.hull_points([(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1)])))
    assert found is not None
    assert found.size == pytest.approx((1 / 3, 1 / 3, 1 / 3), abs=1e-4)


@pytest.mark.closed_form
def test_limits_of_an_opening() -> None:
    """With two sides limited to 300 mm the third takes what the vee leaves: 0.6 - 0.15 x 1.2 = 0.42 m high."""
    found = largest_box(mesh_of(VEE), at_most=(0.3, 0.3, 9.0))
    assert found is not None
    assert found.size == pytest.approx((0.3, 0.3, 0.42), abs=1e-4)


@pytest.mark.closed_form
def test_box_beside_a_post() -> None:
    """A post through the room leaves the larger side of it."""
    found = largest_box(mesh_of(ROOM - Manifold.cube((0.1, 0.1, 0.4)).translate((0.3, 0.3, 0.0))))
    assert found is not None
    assert found.size == pytest.approx((0.6, 0.7, 0.4), abs=1e-5)


@pytest.mark.property
@settings(max_examples=8, deadline=None)
@given(st.lists(st.tuples(st.floats(-0.6, 0.6), st.floats(-0.5, 0.5), st.floats(-0.4, 0.4)), min_size=8, max_size=14))
def test_box_lies_inside_and_none_of_many_tried_is_larger(points: list[tuple[float, float, float]]) -> None:
    """In any convex space the box lies inside it, and none of 2 000 boxes tried at random beats it by more than 1 %."""
    solid = Manifold.hull_points(points)
    if solid.volume() < 0.05:
        return
    found = largest_box(mesh_of(solid))
    assert found is not None
    assert spill(solid, found) < 1e-7
    mesh = mesh_of(solid)
    a, b, c = mesh.vertices[mesh.triangles.T]
    normal = np.cross(b - a, c - a)
    level = np.einsum("ij,ij->i", normal, a)
    rng = np.random.default_rng(7)
    low, high = mesh.bounds
    middle, half = rng.uniform(low, high, (2000, 3)), rng.uniform(0, (high - low) / 2, (2000, 3))
    # the largest multiple of each random box about its own middle that the faces allow
    room = (level - middle @ normal.T) / np.maximum(half @ np.abs(normal).T, 1e-12)
    scale = np.maximum(room.min(axis=1), 0.0)
    assert found.volume >= 0.99 * float((8 * half.prod(axis=1) * scale**3).max())
