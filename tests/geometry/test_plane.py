"""Planes and half spaces: heights over them, the same whichever way they are told."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.geometry.plane import HalfSpaces, Plane

PLACES = st.tuples(*[st.floats(-5.0, 5.0)] * 3)
WAYS = PLACES.filter(lambda way: float(np.linalg.norm(way)) > 0.1)


@pytest.mark.property
@given(PLACES, WAYS, st.floats(-3.0, 3.0), PLACES)
def test_a_plane_moves_square_to_itself(
    point: tuple[float, ...], way: tuple[float, ...], by: float, other: tuple[float, ...]
) -> None:
    """By as much as all heights over it are less; turned round, they change their sign."""
    plane = Plane.through(point, way)
    assert float(plane.over(np.array(point))) == pytest.approx(0.0, abs=1e-12)
    height = float(plane.over(np.array(other)))
    assert float(plane.moved(by).over(np.array(other))) == pytest.approx(height - by, abs=1e-12)
    assert float(plane.flipped.over(np.array(other))) == pytest.approx(-height, abs=1e-12)
    assert plane.flipped.flipped == plane
    assert hash(plane.flipped.flipped) == hash(plane)


@pytest.mark.property
@given(PLACES, WAYS, st.integers(0, 2), PLACES)
def test_a_line_along_an_axis_meets_the_plane_in_it(
    point: tuple[float, ...], way: tuple[float, ...], axis: int, start: tuple[float, ...]
) -> None:
    """Wherever it starts, its coordinate put in gives a point of the plane."""
    plane = Plane.through(point, way)
    if abs(plane.normal[axis]) < 0.05:
        return
    met = np.array(start)
    met[axis] = plane.coordinate(axis, start)
    assert float(plane.over(met)) == pytest.approx(0.0, abs=1e-11)


@pytest.mark.property
@given(st.lists(st.tuples(PLACES, WAYS), min_size=1, max_size=5), PLACES)
def test_half_spaces_have_the_heights_of_their_planes(
    planes: list[tuple[tuple[float, ...], ...]], point: tuple[float, ...]
) -> None:
    """One column for each."""
    told = [Plane.through(at, way) for at, way in planes]
    heights = HalfSpaces.within(told).over(np.array([point]))
    assert heights[0] == pytest.approx([float(plane.over(np.array(point))) for plane in told], abs=1e-12)
