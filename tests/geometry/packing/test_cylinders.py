import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from shapely.geometry import box
from shapes import mesh_of

from sketcher.geometry.mesh import GeometryError, TriMesh
from sketcher.geometry.packing.circle_rows import Region, filled, most_in_rows
from sketcher.geometry.packing.clearances import clearances
from sketcher.geometry.packing.cylinders import Packing, Size, best_packing, pack

UP = np.array([0.0, 0.0, 1.0])
HEXAGONAL = np.pi / np.sqrt(12.0)
NOTHING = np.zeros((0, 3))


def block(length: float, width: float, height: float) -> TriMesh:
    return mesh_of(Manifold.cube((length, width, height)))


def trough(length: float = 1.5, half: float = 0.6, height: float = 0.7, keel: float = 0.05) -> TriMesh:
    """A vee-bottomed space that narrows forward, like a forepeak: the hull of six points a side."""
    points = [(0, 0, 0.4), (0, 0.1, height), (0, -0.1, height), (length, keel, 0), (length, -keel, 0)]
    return mesh_of(Manifold.hull_points([*points, (length, half, height), (length, -half, height)]))


def assert_sound(solid: TriMesh, packing: Packing) -> None:
    """No cylinder overlaps another or leaves the solid, to a micrometre."""
    found = clearances(solid, packing)
    assert found.outside == 0
    assert found.wall > -1e-6
    assert found.apart > -1e-6


def rows_by_formula(length: float, width: float, across: float) -> tuple[int, int, int]:
    """Circles in a rectangle by hand: staggered rows along the length, along the width, and square rows."""

    def staggered(along: float, over: float) -> int:
        rows = int((over - across) / (across * np.sqrt(0.75)) + 1e-9) + 1
        full, between = int(along / across + 1e-9), int((along - across / 2) / across + 1e-9)
        return (rows + 1) // 2 * full + rows // 2 * between

    return staggered(length, width), staggered(width, length), int(length / across + 1e-9) * int(width / across + 1e-9)


@pytest.mark.closed_form
def test_bottles_of_88_mm_on_a_metre_by_600_mm() -> None:
    """The worked case 74 (staggered), 72 (staggered the other way), 66 (square): rows counted by hand, and not beaten by them."""
    assert rows_by_formula(1.0, 0.6, 0.088) == (74, 72, 66)
    packing = pack(block(1.0, 0.6, 0.31), [Size(0.044, 0.31)], UP)
    assert packing.count >= 74
    assert_sound(block(1.0, 0.6, 0.31), packing)


@pytest.mark.closed_form
@settings(max_examples=40, deadline=None)
@given(st.floats(0.3, 1.6), st.floats(0.2, 0.9), st.sampled_from([0.065, 0.088, 0.108]))
def test_rectangles_hold_what_rows_by_hand_hold_and_never_more_than_hexagons(length: float, width: float, across: float) -> None:
    """As many circles as staggered or square rows counted by hand, within one; and never denser than a hexagonal packing.

    Groemer's bound for a convex region, from memory: 2 A / (sqrt(3) d^2) + (perimeter) / (2 d) + 1 with A and the perimeter of
    the region the centres may lie in.
    """
    centres = most_in_rows(Region(box(0, 0, length, width), NOTHING), across / 2)
    assert len(centres) >= max(rows_by_formula(length, width, across)) - 1
    a, b = length - across, width - across
    assert len(centres) <= 2 * a * b / (np.sqrt(3) * across**2) + (a + b) / across + 1 + 1e-9
    assert len(centres) * np.pi * across**2 / 4 < HEXAGONAL * (length + across) * (width + across)


@pytest.mark.published
@pytest.mark.parametrize(
    ("count", "radius"),
    [(4, 0.25), (6, 0.187681), (7, 0.174458), (9, 1 / 6), (10, 0.148204), (13, 0.133994), (16, 0.125), (18, 0.115521), (25, 0.1)],
)
def test_proven_packings_of_a_square_are_met_within_one(count: int, radius: float) -> None:
    """Circles in a unit square at the largest radius at which so many fit (published optima, radii from memory)."""
    centres = most_in_rows(Region(box(0, 0, 1, 1), NOTHING), radius - 1e-6)
    assert count - 1 <= len(centres) <= count


@pytest.mark.closed_form
def test_layers_stand_on_one_another() -> None:
    """A box three bottles deep holds three layers of what its floor holds."""
    floor = pack(block(0.5, 0.4, 0.33), [Size(0.05, 0.33)], UP).count
    packing = pack(block(0.5, 0.4, 1.0), [Size(0.05, 0.33)], UP)
    assert floor >= 20
    assert packing.count == 3 * floor
    assert np.bincount(packing.layer).tolist() == [floor] * 3


@pytest.mark.closed_form
def test_a_hole_of_exactly_a_bottle() -> None:
    """A space of exactly one bottle holds it; a tenth of a millimetre less holds none."""
    assert pack(block(0.1, 0.1, 0.3), [Size(0.05, 0.3)], UP).count == 1
    assert pack(block(0.1, 0.0999, 0.3), [Size(0.05, 0.3)], UP).count == 0
    assert pack(block(0.1, 0.1, 0.2999), [Size(0.05, 0.3)], UP).count == 0


@pytest.mark.closed_form
def test_largest_first_small_ones_between() -> None:
    """Between four large bottles in a square box one small one stands in the middle, and no large one was given up for it."""
    large, small = Size(0.05, 0.3), Size(0.02, 0.3)
    packing = pack(block(0.2, 0.2, 0.3), [small, large], UP)
    assert np.bincount(packing.kind).tolist() == [1, 4]
    assert packing.base[packing.kind == 0][0, :2] == pytest.approx([0.1, 0.1], abs=0.01)
    assert_sound(block(0.2, 0.2, 0.3), packing)


@pytest.mark.closed_form
def test_direction_that_holds_most_is_chosen() -> None:
    """In a space too shallow to stand in, bottles lie down along its length."""
    shallow = block(0.62, 0.2, 0.1)
    packing = best_packing(shallow, [Size(0.05, 0.31)], [UP, np.array([1.0, 0, 0]), np.array([0, 1.0, 0])])
    assert packing.count == 4
    assert np.abs(packing.direction) == pytest.approx([1, 0, 0])


@pytest.mark.property
@settings(max_examples=12, deadline=None)
@given(
    st.floats(0.8, 1.8),
    st.floats(0.3, 0.7),
    st.floats(0.5, 0.9),
    st.sampled_from([UP, np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), np.array([0.3, -0.2, 1.0])]),
    st.floats(0.03, 0.06),
)
@pytest.mark.slow
def test_forepeaks_of_any_shape(length: float, half: float, height: float, direction: np.ndarray, radius: float) -> None:
    """In a vee-bottomed tapering space nothing overlaps, nothing leaves it, and it is never filled beyond the hexagonal limit."""
    solid = trough(length, half, height)
    packing = pack(solid, [Size(radius, 5 * radius), Size(radius / 2, 3 * radius)], direction)
    assert packing.count > 0
    assert_sound(solid, packing)
    assert packing.volume < HEXAGONAL * solid.volume


@pytest.mark.example
def test_posts_and_hollows_are_kept_clear_of() -> None:
    """A space with a post through it and a ledge in it: bottles stand round them."""
    solid = mesh_of(
        Manifold.cube((0.8, 0.6, 0.7))
        - Manifold.cylinder(0.7, 0.05, circular_segments=32).translate((0.37, 0.3, 0.0))
        - Manifold.cube((0.3, 0.2, 0.2)).translate((0.5, 0.4, 0.0))
    )
    packing = pack(solid, [Size(0.045, 0.32), Size(0.0325, 0.21)], UP)
    assert packing.count > 40
    assert_sound(solid, packing)


@pytest.mark.example
def test_the_check_sees_a_bottle_pushed_into_another_and_through_the_skin() -> None:
    """The check is no formality: a bottle moved 1 mm into its neighbour or through the side is seen, to the millimetre."""
    solid = block(0.5, 0.4, 0.31)
    good = pack(solid, [Size(0.05, 0.31)], UP)
    base = good.base.copy()
    left = int(np.argmin(base[:, 0] + base[:, 1]))
    base[left, 0] -= 0.001
    assert clearances(solid, Packing(good.sizes, good.direction, base, good.kind, good.layer)).wall == pytest.approx(
        -0.001, abs=1e-6
    )
    base = good.base.copy()
    base[left] = base[np.argsort(np.hypot(*(base - base[left]).T[:2]))[1]]
    assert clearances(solid, Packing(good.sizes, good.direction, base, good.kind, good.layer)).apart == pytest.approx(
        -0.1, abs=1e-6
    )
    base = good.base + np.array([0.6, 0.0, 0.0])
    assert clearances(solid, Packing(good.sizes, good.direction, base, good.kind, good.layer)).outside == good.count


@pytest.mark.closed_form
def test_no_more_than_there_are() -> None:
    """With six bottles to place, six are placed, in the lowest layer first."""
    packing = pack(block(0.5, 0.4, 1.0), [Size(0.05, 0.33, most=6)], UP)
    assert packing.count == 6
    assert set(packing.layer) == {0}


@pytest.mark.example
def test_a_watch_can_stop_the_work() -> None:
    """Whoever waits sees the number grow layer by layer and can end it; what was placed until then is sound."""
    seen: list[int] = []

    def watch(count: int) -> bool:
        seen.append(count)
        return count == 0

    packing = pack(block(0.7, 0.6, 1.0), [Size(0.05, 0.2)], UP, watch)
    assert not packing.complete
    assert packing.count == seen[-1] == 42
    assert_sound(block(0.7, 0.6, 1.0), packing)


@pytest.mark.example
def test_beside_obstacles_one_by_one() -> None:
    """Circles put in one by one keep clear of the round obstacles and the edge of their region."""
    obstacles = np.array([[0.3, 0.3, 0.1], [0.7, 0.25, 0.15]])
    centres = filled(Region(box(0, 0, 1, 0.6), obstacles), 0.03, 1000)
    apart = np.hypot(*(centres[:, None] - centres[None]).transpose(2, 0, 1)) + np.eye(len(centres))
    assert len(centres) > 80
    assert apart.min() > 0.06 - 1e-6
    assert min(np.hypot(*(centres - obstacle[:2]).T).min() - obstacle[2] for obstacle in obstacles) > 0.03 - 1e-6
    assert shapely.distance(box(0, 0, 1, 0.6).exterior, shapely.points(centres)).min() > 0.03 - 1e-6


@pytest.mark.closed_form
@pytest.mark.parametrize(("radius", "length"), [(0.0, 0.3), (-0.05, 0.3), (0.05, 0.0), (float("nan"), 0.3), (0.05, float("inf"))])
def test_cylinders_that_cannot_be(radius: float, length: float) -> None:
    """A bottle without diameter or length is refused in words."""
    with pytest.raises(GeometryError, match="above 0"):
        Size(radius, length)


def imaged(solid: TriMesh, rng: np.random.Generator) -> TriMesh:
    """The mirror image in y, its corners and triangles named in another order and off by what rounding leaves."""
    order = rng.permutation(len(solid.vertices))
    vertices = np.empty_like(solid.vertices)
    vertices[order] = solid.vertices * [1.0, -1.0, 1.0] * (1.0 + rng.uniform(-1e-15, 1e-15, solid.vertices.shape))
    triangles = order[solid.triangles[rng.permutation(len(solid.triangles)), ::-1]]
    return TriMesh(vertices, triangles, solid.labels)


@pytest.mark.property
@settings(max_examples=12, deadline=None)
@given(
    st.floats(0.8, 1.6),
    st.floats(0.3, 0.6),
    st.sampled_from([0.065, 0.09, 0.108]),
    st.sampled_from([UP, np.array([1.0, 0, 0]), np.array([0, 1.0, 0])]),
    st.booleans(),
)
def test_a_space_and_its_mirror_image_hold_the_same(
    length: float, half: float, across: float, direction: np.ndarray, sheared: bool
) -> None:
    """Port and starboard lockers that are each other's image hold equally many bottles of each size, in the image's places."""
    whole = Manifold.hull_points(trough(length, half).vertices)
    locker = mesh_of(whole.trim_by_plane((0.0, 1.0, 0.0), 0.01))
    if sheared:
        # A space whose middle is its box's own, which its image differs from all the same.
        locker = mesh_of(Manifold.cube((length, half, 0.7)).transform(np.array([[1.0, 0, 0, 0], [0.4, 1, 0, 0], [0, 0, 1, 0]])))
    sizes = [Size(across / 2, 0.3), Size(across / 4, 0.2)]
    here, there = pack(locker, sizes, direction), pack(imaged(locker, np.random.default_rng(3)), sizes, direction)
    assert here.count > 10
    assert np.bincount(here.kind).tolist() == np.bincount(there.kind).tolist()
    assert_sound(locker, here)
    middles = [
        np.round((p.base + p.direction * np.array([s.length for s in sizes])[p.kind, None] / 2) * [1, side, 1], 6)
        for p, side in ((here, 1), (there, -1))
    ]
    assert np.sort(middles[0], axis=0) == pytest.approx(np.sort(middles[1], axis=0), abs=1e-5)


@pytest.mark.property
@pytest.mark.parametrize("direction", [[0.0, 0, 1], [0.0, 1, 0], [0.3, -0.2, 1]])
def test_what_is_packed_as_its_image_lies_in_the_space_itself(direction: list[float]) -> None:
    """A space that leans to port is packed as its image and turned back: sound, and along the direction that was asked for."""
    space = mesh_of(Manifold.hull_points(trough().vertices).trim_by_plane((0.0, -1.0, 0.0), 0.01))
    packing = pack(space, [Size(0.045, 0.25), Size(0.03, 0.2)], np.array(direction))
    assert packing.count > 20
    assert packing.direction == pytest.approx(np.array(direction) / np.linalg.norm(direction))
    assert_sound(space, packing)
