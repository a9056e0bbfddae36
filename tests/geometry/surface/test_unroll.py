"""Surfaces laid flat against closed forms."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sketcher.geometry.mesh import Floats, GeometryError
from sketcher.geometry.surface.unroll import unrolled


def cone(columns: int, rows: int, twist: float = 0.0) -> Floats:
    """A cone frustum, radius 0.3 to 0.5 over 0.4 m, slit along a side; twist [rad]: of the grid's lines along it."""
    share = np.linspace(0.0, 1.0, rows)
    turns = np.linspace(0.0, 2 * np.pi, columns)[:, None] + twist * share
    radius = 0.3 + 0.2 * share
    return np.stack([np.broadcast_to(0.4 * share, turns.shape), radius * np.cos(turns), radius * np.sin(turns)], axis=2)


def circle(points: Floats) -> tuple[float, float]:
    """Radius and sector [deg] of the arc through points (n, 2)."""
    a, b, c = np.linalg.lstsq(np.column_stack([2 * points, np.ones(len(points))]), (points**2).sum(axis=1), rcond=None)[0]
    turns = np.unwrap(np.arctan2(points[:, 1] - b, points[:, 0] - a))
    return float(np.sqrt(c + a * a + b * b)), float(np.degrees(abs(turns[-1] - turns[0])))


@pytest.mark.closed_form
@pytest.mark.parametrize("twist", [0.0, 0.4], ids=["along its rulings", "askew to them"])
def test_a_cone_frustum_is_a_ring_sector(twist: float) -> None:
    """Radii 0.6708204 and 1.1180340, sector 160.99689 degrees, area 1.1239704, also where the grid is askew to the rulings."""
    laid = unrolled(cone(73, 7, twist))
    for row, radius in ((0, 0.6708204), (-1, 1.1180340)):
        found, sector = circle(laid.flat[:, row])
        assert found == pytest.approx(radius, abs=1e-4)
        assert sector == pytest.approx(160.99689, abs=0.02)
    assert shapely.Polygon(laid.outline).area == pytest.approx(1.1239704, abs=5e-5)
    assert laid.miss < 1e-4


@pytest.mark.closed_form
def test_half_a_cylinder_is_a_rectangle() -> None:
    """Radius 0.5, 1.2 m long: pi / 2 by 1.2 m, corner to corner right to a tenth of a millimetre."""
    turns, along = np.meshgrid(np.linspace(0.0, np.pi, 41), np.linspace(0.0, 1.2, 5), indexing="ij")
    laid = unrolled(np.stack([0.5 * np.cos(turns), along, 0.5 * np.sin(turns)], axis=2))
    assert laid.flat[-1, -1] == pytest.approx([np.pi / 2, 1.2], abs=1e-4)
    assert laid.flat[-1, 0] == pytest.approx([np.pi / 2, 0.0], abs=1e-4)


@pytest.mark.closed_form
def test_the_side_of_a_box_stays_as_it_is() -> None:
    """A flat side 2 x 1 m standing askew in space: every distance is what it was, exactly."""
    u, v = np.array([0.6, 0.0, 0.8]), np.array([0.0, 1.0, 0.0])
    grid = np.linspace(0.0, 2.0, 9)[:, None, None] * u + np.linspace(0.0, 1.0, 4)[None, :, None] * v
    laid = unrolled(grid)
    assert laid.flat[-1, -1] == pytest.approx([2.0, 1.0], abs=1e-9)
    assert laid.miss < 1e-9


@pytest.mark.closed_form
def test_a_ruled_wedge_has_the_area_of_its_oblique_rulings() -> None:
    """Rulings (0.3, 0, 1) over y = 0.2 x2, x from 0 to 1: the area is the integral of sqrt(1 + 4.36 (0.2 x)2), 1.0284... m2."""
    x, s = np.meshgrid(np.linspace(0.0, 1.0, 41), np.linspace(0.0, 1.0, 5), indexing="ij")
    laid = unrolled(np.stack([x + 0.3 * s, 0.2 * x**2, s], axis=2))
    # |(1, 2cx, 0) x (0.3, 0, 1)| = sqrt(1 + 4 c2 x2 (1 + 0.09)).
    k = 0.4 * np.sqrt(1.09)
    area = (np.sqrt(1 + k * k) + np.arcsinh(k) / k) / 2
    assert shapely.Polygon(laid.outline).area == pytest.approx(area, abs=2e-5)


@pytest.mark.closed_form
def test_a_sphere_misses_by_the_cube_of_the_patch() -> None:
    """A patch twice as large on a sphere misses eight times as much: curvature acts on its area, times its length."""

    def miss(size: float) -> float:
        a, b = np.meshgrid(np.linspace(-size, size, 21), np.linspace(-size / 2, size / 2, 9), indexing="ij")
        return unrolled(np.stack([np.cos(b) * np.cos(a), np.cos(b) * np.sin(a), np.sin(b)], axis=2)).miss

    assert miss(0.2) / miss(0.1) == pytest.approx(8.0, rel=0.02)


@pytest.mark.property
@given(st.floats(0.1, 3.0), st.floats(-3.0, 3.0), st.floats(0.5, 4.0))
def test_place_and_size_do_not_matter(yaw: float, shift: float, scale: float) -> None:
    """Turned, moved and enlarged in space, a patch lies flat in the same shape, enlarged."""
    turn = np.array([[np.cos(yaw), -np.sin(yaw), 0.0], [np.sin(yaw), np.cos(yaw), 0.0], [0.0, 0.0, 1.0]])
    patch = cone(13, 3)[:5]
    assert unrolled(patch @ turn * scale + shift).flat == pytest.approx(unrolled(patch).flat * scale, abs=1e-6)


@pytest.mark.example
def test_a_line_is_no_patch() -> None:
    """A grid of one row cannot be laid flat."""
    with pytest.raises(GeometryError, match="fewer than two"):
        unrolled(np.zeros((5, 1, 3)))
