"""Outlines of flat regions from their triangles."""

from __future__ import annotations

import numpy as np
import pytest

from sketcher.geometry.flat.regions import flat_regions


@pytest.mark.closed_form
def test_a_region_has_the_holes_that_its_triangles_leave() -> None:
    """A square frame, and a triangle of another group beside it."""
    outer = [(0, 0), (3, 0), (3, 3), (0, 3)]
    inner = [(1, 1), (2, 1), (2, 2), (1, 2)]
    points = np.array([*outer, *inner, (5, 0), (6, 0), (5, 1)], dtype=float)
    frame = [t for k in range(4) for t in ((k, (k + 1) % 4, 4 + k), ((k + 1) % 4, 4 + (k + 1) % 4, 4 + k))]
    regions = flat_regions(points, np.array([*frame, (8, 9, 10)]), np.array([3] * 8 + [5]))
    assert {group: region.area for group, region in regions.items()} == {3: pytest.approx(8.0), 5: pytest.approx(0.5)}
    assert len(regions[3].interiors) == 1


@pytest.mark.example
def test_no_triangles_make_no_region() -> None:
    """Nothing in, nothing out."""
    assert flat_regions(np.zeros((0, 2)), np.zeros((0, 3), dtype=np.int64), np.zeros(0, dtype=np.int64)) == {}


@pytest.mark.closed_form
def test_a_corner_that_rounding_put_past_an_edge_costs_no_area() -> None:
    """A unit square whose upper edge goes to a corner a tenth of a micrometre lower, past its end, and so crosses its side."""
    points = np.array([(0, 0), (1, 0), (1, 1), (0, 1), (1.1, 1 - 1e-7)], dtype=float)
    regions = flat_regions(points, np.array([(0, 1, 2), (0, 2, 3), (3, 2, 4)]), np.zeros(3, dtype=np.int64))
    assert regions[0].area == pytest.approx(1.0, abs=1e-7)
