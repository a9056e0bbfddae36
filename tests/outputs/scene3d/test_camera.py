"""The eye: parallel projection, turning, and following a hand along an axis of the boat."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.outputs.scene3d.camera import LEAST_FORESHORTENING, Camera, framed

SIZE = (900, 500)
angles = st.tuples(st.floats(0, 360), st.floats(-90, 90))


def eye(azimuth: float, elevation: float, height: float = 4.0) -> Camera:
    return Camera(centre=(2.0, 0.1, 0.5), azimuth=azimuth, elevation=elevation, height=height)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("view", "right", "up"),
    [("profile", (1, 0, 0), (0, 0, 1)), ("plan", (1, 0, 0), (0, 1, 0)), ("ahead", (0, -1, 0), (0, 0, 1))],
)
def test_named_views_lie_as_the_drawings_do(view: str, right: tuple[int, ...], up: tuple[int, ...]) -> None:
    """In profile and plan the bow is to the left, starboard is up in plan, and ahead shows her starboard on the left."""
    camera = framed(view, np.array([[0.0, -1, 0], [8, 1, 2]]), SIZE)  # type: ignore[arg-type]
    across, upward, _ = camera.axes()
    np.testing.assert_allclose(across, right, atol=1e-12)
    np.testing.assert_allclose(upward, up, atol=1e-12)


@pytest.mark.property
@given(angles)
def test_axes_are_square_and_right_handed(at: tuple[float, float]) -> None:
    """However she is turned, nothing is skewed or mirrored."""
    right, up, towards = eye(*at).axes()
    turned = np.stack([right, up, towards])
    np.testing.assert_allclose(turned @ turned.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(turned) == pytest.approx(1.0)


@pytest.mark.property
@given(angles, st.sampled_from([0, 1, 2]), st.floats(-1.5, 1.5))
def test_a_hand_that_follows_a_point_measures_its_way(at: tuple[float, float], axis: int, way: float) -> None:
    """What the hand measures along an axis is how far the point under it moved along that axis, unless it points at the eye."""
    camera, unit = eye(*at), np.eye(3)[axis]
    before, after = camera.project(np.array([[1.0, 0.2, 0.3], np.array([1.0, 0.2, 0.3]) + way * unit]), SIZE)
    found = camera.metres_along(unit, (after[0] - before[0], after[1] - before[1]), SIZE)
    if np.hypot(*(camera.axes()[:2] @ unit)) < LEAST_FORESHORTENING:
        assert found is None
    else:
        assert found == pytest.approx(way, abs=1e-9)


@pytest.mark.closed_form
def test_an_axis_seen_end_on_cannot_be_followed() -> None:
    """Seen from ahead, a bulkhead cannot be dragged fore and aft."""
    assert eye(0.0, 0.0).metres_along(np.array([1.0, 0, 0]), (10, 10), SIZE) is None


@pytest.mark.property
@given(angles, st.tuples(st.floats(0, 900), st.floats(0, 500)), st.floats(0.5, 2.0))
def test_what_is_under_the_pointer_stays_there_when_it_comes_closer(
    at: tuple[float, float], pointer: tuple[float, float], factor: float
) -> None:
    """Magnifying keeps the point under the pointer where it is."""
    camera = eye(*at)
    right, up, _ = camera.axes()
    scale = camera.height / SIZE[1]
    point = np.array(camera.centre) + (pointer[0] - 450) * scale * right - (pointer[1] - 250) * scale * up
    seen = camera.zoomed(factor, pointer, SIZE).project(point[None], SIZE)[0]
    np.testing.assert_allclose(seen[:2], pointer, atol=1e-6)


@pytest.mark.property
@given(angles, st.tuples(st.floats(-200, 200), st.floats(-200, 200)))
def test_moving_the_boat_moves_every_point_with_the_hand(at: tuple[float, float], moved: tuple[float, float]) -> None:
    """Panning follows the hand exactly."""
    camera = eye(*at)
    point = np.array([[1.0, 0.5, 0.2]])
    before, after = camera.project(point, SIZE)[0], camera.panned(moved, SIZE).project(point, SIZE)[0]
    np.testing.assert_allclose(after[:2] - before[:2], moved, atol=1e-6)


@pytest.mark.property
@pytest.mark.parametrize("view", ["quarter", "profile", "plan", "ahead"])
def test_a_named_view_holds_the_whole_boat(view: str) -> None:
    """Every point is in the picture, below the row of controls."""
    points = np.random.default_rng(4).uniform((0, -1.4, -0.5), (9, 1.4, 1.9), (200, 3))
    seen = framed(view, points, SIZE).project(points, SIZE)  # type: ignore[arg-type]
    assert seen[:, 0].min() > 29
    assert seen[:, 0].max() < SIZE[0] - 29
    assert seen[:, 1].min() > 43
    assert seen[:, 1].max() < SIZE[1] - 29
