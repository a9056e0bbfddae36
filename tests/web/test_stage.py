"""The picture itself: drawn in part it is the whole picture, and what changes reaches no further than it is drawn."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from sketcher.analysis.evaluate import evaluate
from sketcher.model.demos import demo_scene
from sketcher.model.edits import MoveBulkhead
from sketcher.model.scene_file import read_scene
from sketcher.outputs.picture_gl import require_opengl, use_window_without_display
from sketcher.web.state import Cut, Look, Part
from sketcher.web.view.boat import boat_shapes
from sketcher.web.view.camera import Camera, framed
from sketcher.web.view.shapes import parted_by_kind
from sketcher.web.view.stage import Stage

pytestmark = pytest.mark.property
SIZE = (500, 300)
SAME = 24
"""Bytes: a pixel that differs by more shows something else; less is rounding and what a JPEG makes of it."""
LOOKS = (Look(), Look(see_through=0.0), Look(cut=Cut(kind="port", at=0.0)), Look(hidden=frozenset({Part("lid", "tank top")})))


@pytest.fixture(scope="module")
def stage() -> Stage:
    require_opengl()
    use_window_without_display()
    return Stage((1.0, 1.0, 1.0), SIZE)


def shown(stage: Stage, at: float, camera: Camera, look: Look) -> np.ndarray:
    """The moving picture of a demo with her collision bulkhead at a place [m]."""
    scene = MoveBulkhead("collision", at).apply(read_scene(demo_scene("quillet-forepeak")))
    boat = boat_shapes(evaluate(scene), look, Part("bulkhead", "collision"))
    stage.show(boat.shapes)
    stage.cut(boat.planes)
    stage.look_from(camera)
    return np.asarray(Image.open(io.BytesIO(stage.moving_picture())).convert("RGB")).astype(int)


@settings(max_examples=8, deadline=None)
@given(st.lists(st.floats(0.55, 1.0), min_size=2, max_size=3), st.sampled_from(LOOKS), st.sampled_from(["quarter", "profile"]))
def test_a_picture_drawn_in_part_is_the_whole_picture(stage: Stage, places: list[float], look: Look, view: str) -> None:
    """After some moves of a bulkhead, of which only what changed was drawn, it is the picture that is drawn at once."""
    points = evaluate(read_scene(demo_scene("quillet-forepeak"))).layout.hull.outside.vertices
    camera = framed(view, points, SIZE)  # type: ignore[arg-type]
    for at in places:
        in_part = shown(stage, at, camera, look)
    shown(stage, places[-1], camera.orbited(20.0, 0.0), look)
    whole = shown(stage, places[-1], camera, look)
    assert np.ptp(whole) > 100
    other = (np.abs(in_part - whole).max(axis=2) > SAME).sum()
    assert other <= 0.0002 * whole.shape[0] * whole.shape[1]


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(0, 6), st.integers(0, 3)), min_size=1, max_size=12))
def test_triangles_of_two_kinds_share_no_point(rows: list[tuple[int, int, int, int]]) -> None:
    """Each new point has one kind, and the triangles run through the same points as before."""
    table = np.array(rows)
    triangles, kinds = table[:, :3], table[:, 3]
    point, kind, parted = parted_by_kind(triangles, kinds, 7, 4)
    assert (point[parted] == triangles).all()
    assert (kind[parted] == kinds[:, None]).all()
    assert len(set(zip(point.tolist(), kind.tolist(), strict=True))) == len(point)
