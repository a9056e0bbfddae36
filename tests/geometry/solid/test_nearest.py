"""The nearest triangle, lines through triangles, and flat regions."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from shapes import box, ellipsoid

from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.geometry.solid.rays import crossings_above, pierced

TRIANGLE = np.array([[0.0, 0, 0], [4, 0, 0], [0, 3, 0]])
BOX = box((0, 0, 0), (4, 2, 1))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("point", "distance"),
    [((1, 1, 2), 2.0), ((2, -1, 0), 1.0), ((-3, -4, 0), 5.0), ((4, 3, 0), 2.4), ((5, 0, 1), 2**0.5), ((1, 1, 0), 0.0)],
)
def test_distance_to_a_triangle(point: tuple[float, float, float], distance: float) -> None:
    """Over its face, beside an edge, off a corner; from (4, 3) to the long side of the 3-4-5 triangle it is 12/5."""
    assert distances_to_mesh(np.array(point, dtype=float), TRIANGLE, np.array([[0, 1, 2]]))[0] == pytest.approx(
        distance, abs=1e-12
    )


@pytest.mark.example
def test_distance_to_a_triangle_without_area() -> None:
    """It is the distance to the line that is left of it."""
    flat = np.array([[0.0, 0, 0], [2, 0, 0], [1, 0, 0]])
    assert distances_to_mesh(np.array([1.0, 0.0, 3.0]), flat, np.array([[0, 1, 2]]))[0] == pytest.approx(3.0)


coordinates = st.floats(-0.5, 4.5) | st.sampled_from([0.0, 1.0, 2.0, 4.0])


@pytest.mark.closed_form
@given(coordinates, coordinates, coordinates)
@example(-5e-92, 2.0, 0.0)
def test_a_plumb_line_tells_inside_from_outside(x: float, y: float, z: float) -> None:
    """Of a box, wherever the point is: over an edge of its triangles, over a corner, beside it."""
    inside = crossings_above(BOX.vertices, BOX.triangles, np.zeros(len(BOX.triangles), dtype=np.int64), 1, np.array([x, y, z]))[0]
    if 0 < x < 4 and 0 < y < 2 and 0 < z < 1:
        assert inside == 1
    if not (0 <= x <= 4 and 0 <= y <= 2 and 0 <= z <= 1):
        assert inside == 0


@pytest.mark.closed_form
@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_line_along_an_axis_passes_a_box_twice(axis: int) -> None:
    """At its two faces."""
    _, at = pierced(BOX.vertices, BOX.triangles, np.array([1.3, 0.7, 0.2]), axis)
    assert sorted(at.tolist()) == pytest.approx([0.0, (4.0, 2.0, 1.0)[axis]], abs=1e-12)


@pytest.mark.closed_form
def test_a_line_through_an_ellipsoid() -> None:
    """Its half-breadth at a place, to the sag of its facets."""
    mesh = ellipsoid(4.0, 1.2, 0.5)
    _, at = pierced(mesh.vertices, mesh.triangles, np.array([1.0, 0.0, 0.1]), 1)
    assert at.max() == pytest.approx(1.2 * (1 - 1 / 16 - 0.04) ** 0.5, abs=1e-3)
