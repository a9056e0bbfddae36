"""What lies under the pointer."""

from __future__ import annotations

import numpy as np
import pytest
from shapes import box

from sketcher.geometry.plane import Plane
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, Surface
from sketcher.web.view.picking import pick

pytestmark = pytest.mark.closed_form

SIZE = (400, 400)
FROM_PORT = Camera(centre=(0.0, 0.0, 0.0), azimuth=90.0, elevation=0.0, height=4.0)


def surface_of(low: tuple[float, float, float], high: tuple[float, float, float], owner: int, culling: str) -> Surface:
    mesh = box(low, high)
    count = len(mesh.triangles)
    colours = np.zeros((count, 3), dtype=np.uint8)
    return Surface(
        points=mesh.vertices,
        triangles=mesh.triangles,
        colours=colours,
        owner_of=np.array([owner]),
        culling=culling,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(("culling", "depth"), [("front", 1.0), ("back", -1.0), ("none", -1.0)])
def test_faces_left_out_of_the_drawing_are_left_out_of_the_picking(culling: str, depth: float) -> None:
    """With the near walls left out the far wall is hit; else the near one."""
    shapes = Shapes(surfaces={"box": surface_of((-1, -1, -1), (1, 1, 1), 3, culling)})
    hit = pick(shapes, FROM_PORT, SIZE, (250.0, 150.0))
    assert hit is not None
    assert hit.owner == 3
    np.testing.assert_allclose(hit.point, (0.5, depth, 0.5), atol=1e-12)


def test_the_nearest_thing_is_hit() -> None:
    """Of two boxes the one nearer to the eye counts."""
    near, far = surface_of((-1, -2, -1), (1, -1.5, 1), 1, "back"), surface_of((-1, 1, -1), (1, 2, 1), 2, "back")
    hit = pick(Shapes(surfaces={"far": far, "near": near}), FROM_PORT, SIZE, (200.0, 200.0))
    assert hit is not None
    assert hit.owner == 1


def test_what_is_cut_away_cannot_be_hit() -> None:
    """Behind a cut the next thing is hit."""
    near, far = surface_of((-1, -2, -1), (1, -1.5, 1), 1, "back"), surface_of((-1, 1, -1), (1, 2, 1), 2, "back")
    plane = Plane.of((0.0, 1.0, 0.0), 0.0)
    hit = pick(Shapes(surfaces={"far": far, "near": near}), FROM_PORT, SIZE, (200.0, 200.0), [plane])
    assert hit is not None
    assert hit.owner == 2


def test_a_line_is_hit_within_reach_and_not_beyond() -> None:
    """A waterline is taken hold of from a few pixels off, not from twenty."""
    line = Strokes(points=np.array([[-1.0, 0, 0], [1, 0, 0]]), segments=np.array([[0, 1]]), colour=(0, 0, 0), owner=5)
    shapes = Shapes(strokes={"line": line})
    assert pick(shapes, FROM_PORT, SIZE, (200.0, 205.0)) is not None
    assert pick(shapes, FROM_PORT, SIZE, (200.0, 220.0)) is None


def test_beside_everything_nothing_is_hit() -> None:
    """Empty water is nothing."""
    shapes = Shapes(surfaces={"box": surface_of((-1, -1, -1), (1, 1, 1), 3, "front")})
    assert pick(shapes, FROM_PORT, SIZE, (5.0, 5.0)) is None


def test_things_without_an_owner_are_looked_through() -> None:
    """The translucent hull does not stop the pointer."""
    hull, behind = surface_of((-1, -2, -1), (1, -1.5, 1), -1, "back"), surface_of((-1, 1, -1), (1, 2, 1), 2, "back")
    hit = pick(Shapes(surfaces={"hull": hull, "behind": behind}), FROM_PORT, SIZE, (200.0, 200.0))
    assert hit is not None
    assert hit.owner == 2
