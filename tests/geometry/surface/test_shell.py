import numpy as np
import pytest
from shapes import box

from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.surface.offset import half_within, moved_sheet
from sketcher.geometry.surface.shell import (
    closed_half,
    edge_loop,
    grid_solid,
    grid_triangles,
    half_body,
    largest_piece,
    mirrored,
    welded,
)


def _v_sheet(length: float = 2.0, half_breadth: float = 1.0, height: float = 0.5) -> Floats:
    """A plane side rising from the centreline, as a grid of 3 columns and 3 rows."""
    x, share = np.linspace(0.0, length, 3), np.linspace(0.0, 1.0, 3)
    return np.stack(
        [
            np.repeat(x[:, None], 3, axis=1),
            np.repeat(share[None] * half_breadth, 3, axis=0),
            np.repeat(share[None] * height, 3, axis=0),
        ],
        axis=2,
    )


def _with_lid(sheet: Floats) -> Floats:
    """The sheet with a row back to the centreline at its top."""
    middle = sheet[:, -1] * np.array([1.0, 0.0, 1.0])
    return np.concatenate([sheet, middle[:, None]], axis=1)


def _lid(top: float) -> TriMesh:
    """A block over the half from y = 0 out, from x = 0 to 2, up to `top`."""
    x, y = np.meshgrid([0.0, 2.0], [0.0, 3.0], indexing="ij")
    return grid_solid(np.stack([x, y, np.full_like(x, top)], axis=2), np.stack([x, y, np.full_like(x, -1.0)], axis=2))


@pytest.mark.closed_form
def test_grid_with_flat_ends_closes_to_a_prism() -> None:
    """A V side, its lid and both ends make a prism: 2 x 1 x 0.5, facing outward."""
    half = half_body(_with_lid(_v_sheet()), np.zeros(3, dtype=np.int64), (1, 2))
    body = mirrored(half)
    assert body.volume == pytest.approx(1.0, rel=1e-12)
    assert to_manifold(body, 1).volume() == pytest.approx(1.0, rel=1e-12)
    assert sorted(set(body.labels.tolist())) == [0, 1, 2]


@pytest.mark.closed_form
def test_half_closes_on_its_own_flat_side() -> None:
    """Half of the prism with its side in the plane y = 0 holds half its volume."""
    half = half_body(_with_lid(_v_sheet()), np.zeros(3, dtype=np.int64), (0, 0))
    closed = closed_half(half, 7)
    assert closed.volume == pytest.approx(0.5, rel=1e-12)
    side = closed.vertices[closed.triangles[closed.labels == 7]]
    assert (side[..., 1] == 0.0).all()


@pytest.mark.example
def test_flat_point_of_an_end_is_kept() -> None:
    """Where the first row and an end meet in the plane y = 0, the corner itself stays part of the body."""
    sheet = _v_sheet()
    sheet[0, :, 1] = 0.0
    body = mirrored(half_body(_with_lid(sheet), np.zeros(3, dtype=np.int64), (0, 0)))
    assert np.linalg.norm(body.vertices - sheet[0, 0], axis=1).min() < 1e-12


@pytest.mark.example
def test_open_edge_is_walked_once() -> None:
    """The edge of a grid is its rim, each step with the triangle it belongs to."""
    triangles = grid_triangles(4, 3)
    loop, owners = edge_loop(triangles)
    assert len(loop) == len(set(loop.tolist())) == 10
    after = np.roll(loop, -1)
    for a, b, owner in zip(loop, after, owners, strict=True):
        corners = triangles[owner].tolist()
        assert corners[(corners.index(a) + 1) % 3] == b


@pytest.mark.example
def test_two_open_edges_are_refused() -> None:
    """Two sheets have two edges; that is no one line."""
    triangles = grid_triangles(3, 3)
    with pytest.raises(GeometryError, match="not one line"):
        edge_loop(np.concatenate([triangles, triangles + 9]))


@pytest.mark.example
def test_places_are_welded_once_each() -> None:
    """Vertices within a millionth of a millimetre become one, others stay; each finds its place again."""
    vertices = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [1e-11, 0.0, 0.0], [1.0, 0.0, 1e-6]])
    places, number = welded(vertices)
    assert len(places) == 3
    assert number[0] == number[2] != number[1]
    assert np.abs(places[number] - vertices).max() <= 1e-9


@pytest.mark.closed_form
def test_largest_piece_leaves_the_rest_and_says_how_much() -> None:
    """Of boxes of 8 and 1 m3 the first is kept and 1 m3 reported; one box alone is given back as it is."""
    large, small = box((0.0, 0.0, 0.0), (2.0, 2.0, 2.0)), box((5.0, 0.0, 0.0), (6.0, 1.0, 1.0))
    both = TriMesh(
        np.concatenate([large.vertices, small.vertices]),
        np.concatenate([large.triangles, small.triangles + len(large.vertices)]),
        np.concatenate([large.labels, small.labels]),
    )
    kept, left = largest_piece(both)
    assert kept.volume == pytest.approx(8.0)
    assert left == pytest.approx(1.0)
    assert largest_piece(large) == (large, 0.0)


@pytest.mark.closed_form
@pytest.mark.parametrize("shift", [0.02, -0.02])
def test_moved_v_is_the_v_moved_square_to_itself(shift: float) -> None:
    """Both sides of a V moved by t meet t / cos(rise) lower; under a lid at 0.5 the section grows accordingly."""
    sheet = _v_sheet()
    lid = to_manifold(_lid(0.5), reserve_ids(1))
    half = half_within(moved_sheet(sheet, shift, 0.1, 0.5, (True, True)), lid, (0, 1))
    body = mirrored(half)
    drop = shift / np.cos(np.arctan(0.5))
    assert body.bounds[0][2] == pytest.approx(-drop, abs=1e-9)
    depth = 0.5 + drop
    assert body.volume == pytest.approx(2.0 * depth * depth * 2.0, rel=1e-9)


@pytest.mark.example
def test_sheet_moved_past_its_own_lid_leaves_nothing() -> None:
    """A shift inward by more than the depth is refused in words."""
    with pytest.raises(GeometryError, match="nothing is left"):
        half_within(moved_sheet(_v_sheet(), -0.6, 0.1, 0.5, (True, True)), to_manifold(_lid(0.5), reserve_ids(1)), (0, 1))
