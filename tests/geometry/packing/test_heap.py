import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from shapes import mesh_of

from sketcher.geometry.mesh import GeometryError
from sketcher.geometry.packing.heap import heap

FLOOR = mesh_of(Manifold.cube((2.0, 2.0, 1.0)))


@pytest.mark.closed_form
@pytest.mark.parametrize("repose", [15.0, 30.0, 40.0])
def test_open_heap_is_a_cone(repose: float) -> None:
    """Far from walls 20 litres make the cone of that slope: r^3 = 3 V / (pi tan), height r tan, centroid at h/4."""
    pile = heap(FLOOR, 0.02, (1.0, 1.0, 1.0), repose)
    height = float((3 * 0.02 / (np.pi * np.tan(np.radians(repose)))) ** (1 / 3) * np.tan(np.radians(repose)))
    assert pile.peak == pytest.approx(height, rel=1e-4)
    assert pile.centroid == pytest.approx((1.0, 1.0, height / 4), abs=1e-4)
    assert pile.volume == pytest.approx(0.02, abs=2e-7)


@pytest.mark.closed_form
def test_without_a_slope_it_is_level_like_water() -> None:
    """At an angle of 0 a heap is a level filling."""
    pile = heap(FLOOR, 1.0, (0.3, 1.0, 1.0), 0.0)
    assert pile.peak == pytest.approx(0.25, abs=1e-6)
    assert pile.centroid == pytest.approx((1.0, 1.0, 0.125), abs=1e-6)


@pytest.mark.closed_form
def test_heap_in_a_vee_fills_its_bottom_first() -> None:
    """In a vee trough a level filling has the trough's own section: half-breadth equal to depth, V = depth^2 x length."""
    trough = mesh_of(Manifold.hull_points([(0, 0, 0), (2, 0, 0), *[(x, y, 1) for x in (0, 2) for y in (-1, 1)]]))
    pile = heap(trough, 0.18, (1.0, 0.0, 1.0), 0.0)
    assert pile.peak == pytest.approx(0.3, abs=1e-5)
    assert pile.centroid[2] == pytest.approx(0.2, abs=1e-5)


@pytest.mark.closed_form
def test_what_does_not_fit_below_the_point_spills() -> None:
    """More than lies below the cone from the point itself is spilled, and the heap reaches the point."""
    pile = heap(FLOOR, 5.0, (1.0, 1.0, 0.5), 0.0)
    assert pile.reaches
    assert pile.peak == 0.5
    assert pile.spilled == pytest.approx(3.0, abs=1e-6)


@pytest.mark.closed_form
def test_nothing_makes_no_heap() -> None:
    """Without anything to pour the heap has no volume and its peak is the lowest place under the point."""
    pile = heap(FLOOR, 0.0, (1.0, 1.0, 1.0), 30.0)
    assert pile.volume < 1e-6
    assert pile.peak < 0.01


@pytest.mark.property
@settings(max_examples=12, deadline=None)
@given(st.floats(0.005, 0.2), st.floats(0.005, 0.2), st.floats(0.2, 1.8), st.floats(10.0, 45.0))
def test_more_stands_higher(first: float, second: float, place: float, repose: float) -> None:
    """Wherever it is poured, more never stands lower, and a heap holds what was poured."""
    low, high = (heap(FLOOR, volume, (place, 0.7, 1.0), repose) for volume in sorted((first, second)))
    assert low.peak <= high.peak + 1e-6
    assert high.volume + high.spilled == pytest.approx(max(first, second), abs=3e-7)
    assert all(0.0 <= low.centroid[k] <= size for k, size in enumerate((2.0, 2.0, 1.0)))


@pytest.mark.closed_form
@pytest.mark.parametrize(("volume", "repose"), [(-0.1, 30.0), (float("nan"), 30.0), (0.1, 89.0), (0.1, -1.0)])
def test_heaps_that_cannot_be(volume: float, repose: float) -> None:
    """A negative volume or a slope that cannot stand is refused in words."""
    with pytest.raises(GeometryError, match="a heap needs"):
        heap(FLOOR, volume, (1.0, 1.0, 1.0), repose)
