import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from shapes import mesh_of

from sketcher.geometry.packing.box_growth import Asked, Box, small_turns
from sketcher.geometry.packing.largest_box import largest_box
from sketcher.geometry.solid.boolean import simplified


def spill(solid: Manifold, found: Box) -> float:
    """Volume of the box outside the solid [m3]."""
    block = Manifold.cube(found.size, True).transform(np.column_stack([np.array(found.axes).T, found.middle]))
    return float((block - solid).volume())


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
def test_round_trough_of_many_facets_holds_the_radius_squared() -> None:
    """The largest rectangle in a half circle of radius r is r sqrt 2 wide and half as high; a facet lies 0.02 mm within it."""
    trough = Manifold.cylinder(2.0, 0.4, 0.4, 360).rotate((0.0, 90.0, 0.0)).trim_by_plane((0.0, 0.0, -1.0), 0.0)
    solid = mesh_of(trough)
    assert len(simplified(solid, 3e-3).triangles) < len(solid.triangles) / 2
    found = largest_box(solid)
    assert found is not None
    assert found.size == pytest.approx((2.0, 0.4 * np.sqrt(2.0), 0.2 * np.sqrt(2.0)), abs=1e-3)
    assert found.volume == pytest.approx(2.0 * 0.16, rel=2e-4)


@pytest.mark.closed_form
def test_cube_in_a_vee_trough() -> None:
    """A cube of side s stands in the vee where it is as wide as s: s = 0.6 - s/2 x 1.2, s = 0.375."""
    found = largest_box(mesh_of(VEE), asked=Asked(proportions=(1.0, 1.0, 1.0)))
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
    found = largest_box(mesh_of(VEE), asked=Asked(at_most=(0.3, 0.3, 9.0)))
    assert found is not None
    assert found.size == pytest.approx((0.3, 0.3, 0.42), abs=1e-4)


@pytest.mark.closed_form
def test_box_beside_a_post() -> None:
    """A post through the room leaves the larger side of it."""
    found = largest_box(mesh_of(ROOM - Manifold.cube((0.1, 0.1, 0.4)).translate((0.3, 0.3, 0.0))))
    assert found is not None
    assert found.size == pytest.approx((0.6, 0.7, 0.4), abs=1e-5)


TRIANGLE = Manifold.hull_points([(x, y, z) for x, y in ((0, 0), (1.2, 0), (0, 0.9)) for z in (0, 0.8)])


def assert_fills(solid: Manifold, sides: tuple[float, float, float], **asked: object) -> None:
    """The largest box has these sides, in whatever order, to a tenth of a millimetre, and lies in the solid."""
    found = largest_box(mesh_of(solid), **asked)  # type: ignore[arg-type]
    assert found is not None
    assert sorted(found.size) == pytest.approx(sorted(sides), abs=1e-4)
    assert spill(solid, found) < 1e-7
    axes = np.array(found.axes)
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize("turn", [3.0, 22.0, 37.0, 52.0, 84.0, -67.0])
def test_room_turned_in_plan_is_filled_by_a_box_turned_alike(turn: float) -> None:
    """A cuboid space is its own largest box however it is turned in plan, and the box says by how much."""
    solid = ROOM.rotate((0.0, 0.0, turn))
    assert_fills(solid, (1.0, 0.7, 0.4))
    found = largest_box(mesh_of(solid))
    assert found is not None
    assert (found.turn - turn + 45.0) % 90.0 - 45.0 == pytest.approx(0.0, abs=0.01)
    assert found.tilt == pytest.approx(0.0, abs=0.01)


@pytest.mark.closed_form
@pytest.mark.parametrize("angles", [(12.0, 0.0, 0.0), (0.0, -20.0, 30.0), (15.0, 10.0, -50.0)])
def test_room_tilted_is_filled_by_a_box_tilted_alike(angles: tuple[float, float, float]) -> None:
    """A cuboid space is its own largest box tilted too."""
    assert_fills(ROOM.rotate(angles), (1.0, 0.7, 0.4))


@pytest.mark.closed_form
@pytest.mark.parametrize("turn", [0.0, 20.0, 45.0, 71.0])
def test_right_triangular_prism_holds_half_of_itself(turn: float) -> None:
    """No rectangle in a triangle has more than half its area: 0.8 x 0.27 m3 of a prism 0.8 m high on legs of 1.2 and 0.9 m."""
    found = largest_box(mesh_of(TRIANGLE.rotate((0.0, 0.0, turn))))
    assert found is not None
    assert found.volume == pytest.approx(0.8 * 0.27, rel=1e-4)


@pytest.mark.closed_form
@pytest.mark.parametrize("turn", [0.0, 20.0, 45.0, 71.0])
def test_cube_stands_in_the_right_angle(turn: float) -> None:
    """The largest square in a right triangle stands in its right angle: 1.2 x 0.9 / (1.2 + 0.9) a side."""
    side = 1.2 * 0.9 / 2.1
    assert_fills(TRIANGLE.rotate((0.0, 0.0, turn)), (side, side, side), asked=Asked(proportions=(1.0, 1.0, 1.0)))


@pytest.mark.closed_form
def test_long_box_lies_from_corner_to_corner() -> None:
    """A bar five times as long as wide lies along a square's diagonal: l (1 + 1/5) / sqrt(2) = the square's side."""
    long = np.sqrt(2.0) / 1.2
    assert_fills(Manifold.cube((1.0, 1.0, 0.2)), (long, long / 5, long / 10), asked=Asked(proportions=(5.0, 1.0, 0.5)))


@pytest.mark.closed_form
def test_trough_that_runs_askew_and_uphill() -> None:
    """The vee trough turned by 30 and sloping by 15 degrees holds what it holds when level."""
    assert_fills(VEE.rotate((0.0, 15.0, 30.0)), (2.0, 0.5, 0.3))


@pytest.mark.closed_form
@settings(max_examples=20, deadline=None)
@given(st.tuples(*3 * [st.floats(-3.0, 3.0)]))
def test_turns_are_turns(vector: tuple[float, float, float]) -> None:
    """Axes turned about a vector stay square to each other and right-handed, and the vector stays where it is."""
    (turn,) = small_turns(np.array([vector]))
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn @ np.array(vector) == pytest.approx(vector, abs=1e-12)


@pytest.mark.property
@settings(max_examples=5, deadline=None)
@given(st.lists(st.tuples(st.floats(-0.6, 0.6), st.floats(-0.5, 0.5), st.floats(-0.4, 0.4)), min_size=8, max_size=14))
def test_box_lies_inside_and_none_of_many_tried_is_larger(points: list[tuple[float, float, float]]) -> None:
    """It lies inside any convex space, and none of 2 000 boxes tried at random, straight or askew, beats it by over 1 %."""
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
    askew = small_turns(rng.uniform(-1.6, 1.6, (2000, 3)) * rng.integers(0, 2, (2000, 1)))
    reach = np.einsum("kfi,ki->kf", np.abs(np.einsum("kij,fj->kfi", askew, normal)), half)
    # the largest multiple of each random box about its own middle that the faces allow
    room = (level - middle @ normal.T) / np.maximum(reach, 1e-12)
    scale = np.maximum(room.min(axis=1), 0.0)
    assert found.volume >= 0.99 * float((8 * half.prod(axis=1) * scale**3).max())
