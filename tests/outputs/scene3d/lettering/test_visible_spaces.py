"""Where in the picture each space is seen, on a coarse grid."""

from __future__ import annotations

import numpy as np
import pytest
from shapes import box

from sketcher.geometry.plane import Plane
from sketcher.outputs.scene3d.camera import Camera, framed
from sketcher.outputs.scene3d.lettering.visible_spaces import CELL, visible_spaces
from sketcher.outputs.scene3d.shapes import Shapes, Surface

pytestmark = pytest.mark.closed_form

SIZE = (600, 300)


def walls(low: tuple[float, float, float], high: tuple[float, float, float]) -> Surface:
    mesh = box(low, high)
    return Surface(
        points=mesh.vertices.astype(float),
        triangles=mesh.triangles,
        colours=np.zeros((1, 3), dtype=np.uint8),
        owner_of=np.array([0]),
    )


SPACES = {
    "space/fore": walls((0, -1, 0), (2, 1, 1)),
    "space/aft": walls((2, -1, 0), (6, 1, 1)),
    "hull": walls((0, -1, 0), (6, 1, 1)),
}


def profile() -> Camera:
    return framed("profile", np.array([[0.0, -1.0, 0.0], [6.0, 1.0, 1.0]]), SIZE)


def test_each_space_is_seen_over_its_own_area() -> None:
    """From the side two boxes of 2 x 1 and 4 x 1 m: their areas in pixels, to a cell along their edges; beside them the paper."""
    camera = profile()
    visible = visible_spaces(Shapes(surfaces=SPACES), camera, SIZE)
    per_metre = SIZE[1] / camera.height
    for name, length in (("fore", 2.0), ("aft", 4.0)):
        cells = (visible.cells == visible.names.index(name)).sum() * CELL**2
        assert cells == pytest.approx(length * per_metre**2, abs=2 * (length + 1.0) * per_metre * CELL)
    assert (visible.cells[0] == -1).all()


def test_shares_of_a_label_on_its_own_space_and_on_another() -> None:
    """In the middle of its own: all and nothing; on the other: nothing and all; on the paper: nothing of either."""
    camera = profile()
    visible = visible_spaces(Shapes(surfaces=SPACES), camera, SIZE)
    middles = camera.project(np.array([[1.0, 0.0, 0.5], [4.0, 0.0, 0.5], [3.0, 0.0, 1.6]]), SIZE)[:, :2]
    own, other = visible.covers("fore", middles, np.array([40.0, 20.0]))
    assert own.tolist() == [1.0, 0.0, 0.0]
    assert other.tolist() == [0.0, 1.0, 0.0]


def test_the_best_place_is_well_within_and_on_the_far_wall() -> None:
    """Of a box seen from the side: its middle, on the wall away from the eye, 1 m to starboard."""
    camera = profile()
    visible = visible_spaces(Shapes(surfaces=SPACES), camera, SIZE)
    spot = visible.best_place("aft", np.array([60.0, 20.0]))
    assert spot is not None
    point = visible.point(spot, camera, SIZE)
    assert point == pytest.approx([4.0, 1.0, 0.5], abs=2 * CELL * camera.height / SIZE[1])


def test_what_a_cut_takes_away_is_not_seen() -> None:
    """With all abaft 2 m taken away only the fore space is seen; what is not seen has no place."""
    visible = visible_spaces(Shapes(surfaces=SPACES), profile(), SIZE, (Plane.of((-1.0, 0.0, 0.0), -1.99),))
    assert visible.seen("fore")
    assert not visible.seen("aft")
    assert visible.best_place("aft", np.array([10.0, 10.0])) is None
