"""Boards as solids between two outlines."""

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.solid.between_outlines import between_outlines
from sketcher.geometry.solid.section import Frame

SLANTED = Frame((1.0, 0.2, 0.3), (0.0, 0.6, 0.8), (1.0, 0.0, 0.0))


def as_read(mesh: TriMesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(mesh.vertices, mesh.triangles)


@pytest.mark.closed_form
def test_a_board_with_all_edges_bevelled_is_a_frustum_less_its_hole() -> None:
    """1 x 1 m over 0.9 x 0.9 m, 100 mm thick: h (A + B + sqrt(A B)) / 3, less a square hole sawn straight through."""
    hole = shapely.box(0.4, 0.4, 0.6, 0.5)
    drawn = shapely.box(0.0, 0.0, 1.0, 1.0).difference(hole)
    other = shapely.box(0.05, 0.05, 0.95, 0.95).difference(hole)
    mesh = as_read(between_outlines(drawn, other, SLANTED, 0.1))
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(0.1 * (1.0 + 0.81 + 0.9) / 3 - 0.1 * 0.02, rel=1e-9)
    depth = (mesh.vertices - np.array(SLANTED.origin)) @ SLANTED.normal
    assert np.unique(depth.round(9)).tolist() == [-0.1, 0.0]


@pytest.mark.closed_form
def test_an_edge_whose_bevel_changes_along_it_is_ruled() -> None:
    """An edge square at one end and 20 mm in at the other: halfway down it stands in by half of that, at every place along it."""
    drawn = shapely.box(0.0, 0.0, 1.0, 1.0)
    other = shapely.Polygon([(0.0, 0.0), (1.0, 0.02), (1.0, 1.0), (0.0, 1.0)])
    board = as_read(between_outlines(drawn, other, SLANTED, 0.02))
    middle = np.array(SLANTED.origin) - 0.01 * SLANTED.normal
    places = np.linspace(0.05, 0.95, 19)
    there = middle + places[:, None] * np.array(SLANTED.u) + (places * 0.01)[:, None] * np.array(SLANTED.v)
    assert np.abs(trimesh.proximity.signed_distance(board, there)).max() < 1e-4


@pytest.mark.example
@pytest.mark.parametrize("other", [shapely.Polygon(), shapely.box(0.1, 0.1, 0.9, 0.9)], ids=["nothing", "no hole"])
def test_a_board_of_which_one_face_is_gone_has_square_edges(other: shapely.Polygon) -> None:
    """Where the other face has no area, or lacks the hole, the solid is as thick all over as the board."""
    drawn = shapely.box(0.0, 0.0, 1.0, 1.0).difference(shapely.box(0.02, 0.02, 0.08, 0.08))
    mesh = as_read(between_outlines(drawn, other, SLANTED, 0.1))
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(0.1 * shapely.union(drawn, other).area, rel=1e-9)


@pytest.mark.property
@given(st.lists(st.tuples(st.floats(0.3, 1.0), st.floats(-0.02, 0.02)), min_size=4, max_size=40))
def test_any_two_outlines_make_a_closed_solid(rays: list[tuple[float, float]]) -> None:
    """Star-shaped outlines a little apart, with one corner more on the second: closed, and of a volume between both prisms."""
    turn = 2 * np.pi * np.arange(len(rays)) / len(rays)
    radii, moved = np.array(rays).T
    drawn, other = (
        shapely.Polygon(np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])) for reach in (radii, radii + moved)
    )
    other = shapely.Polygon([*other.exterior.coords, other.exterior.interpolate(0.999, normalized=True).coords[0]])
    mesh = as_read(between_outlines(drawn, other, SLANTED, 0.012))
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    inner, outer = shapely.intersection(drawn, other).area, shapely.convex_hull(shapely.union(drawn, other)).area
    assert 0.012 * inner * 0.98 <= mesh.volume <= 0.012 * outer
