"""The picture itself: drawn in part it is the whole picture, and what changes reaches no further than it is drawn."""

from __future__ import annotations

import concurrent.futures.thread
import io
import threading
from concurrent.futures import Future
from queue import Queue

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from scene_specimens import demo, demo_scene

from sketcher.analysis.evaluate import evaluate
from sketcher.geometry.plane import Plane
from sketcher.model.edits.actions import SetValue
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.scene3d.boat_shapes import BoatShapes, boat_shapes
from sketcher.outputs.scene3d.camera import Camera, framed
from sketcher.outputs.scene3d.objects import CutAway, ObjectRef
from sketcher.outputs.scene3d.opengl import require_opengl, use_window_without_display
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, Surface, parted_by_kind
from sketcher.web.render_thread import Painter
from sketcher.web.state import Look
from sketcher.web.view.drag.page_stage import BESIDE, STILL_QUALITY, PageStage
from sketcher.web.view.encoded_picture import Picture

pytestmark = pytest.mark.property
SIZE = (500, 300)
SAME = 24
"""Bytes: a pixel that differs by more shows something else; less is rounding and what a JPEG makes of it."""
LOOKS = (
    Look(),
    Look(see_through=0.0),
    Look(cut=CutAway(kind="port", at=0.0)),
    Look(hidden=frozenset({ObjectRef("lid", "tank top")})),
)


@pytest.fixture(scope="module")
def stage() -> PageStage:
    require_opengl()
    use_window_without_display()
    return PageStage(SIZE)


MOVED = (
    ("quillet-forepeak", ObjectRef("bulkhead", "collision"), "bulkheads", "at", (0.55, 1.0)),
    ("marram-two-tanks", ObjectRef("bulkhead", "collision"), "bulkheads", "at", (0.8, 1.5)),
    ("marram-two-tanks", ObjectRef("bulkhead", "main"), "bulkheads", "rake", (-6.0, 6.0)),
    ("marram-two-tanks", ObjectRef("partition", "centre web"), "partitions", "off_centre", (-0.4, 0.4)),
    ("marram-two-tanks", ObjectRef("lid", "tank top"), "lids", "height", (0.4, 0.9)),
    ("marram-two-tanks", ObjectRef("lid", "chain floor"), "lids", "slope", (-8.0, 8.0)),
    ("pellwick-bows", ObjectRef("bulkhead", "crash"), "bulkheads", "at", (0.6, 1.1)),
)
"""Scenes, with what is moved in them and how far: names of spaces go with it, and spaces come and go."""
Move = tuple[str, ObjectRef, str, str, tuple[float, float]]


def moved_to(move: Move, share: float, look: Look) -> BoatShapes:
    """A demo with something moved by a share of its way."""
    name, part, block, field, (first, last) = move
    value = first + share * (last - first)
    stated = (value, value) if field == "off_centre" else value
    scene = SetValue(block, part.name, field, stated).apply(read_scene(demo_scene(name)))
    return boat_shapes(evaluate(scene), look, part)


def shown(stage: PageStage, boat: BoatShapes, camera: Camera) -> np.ndarray:
    """The moving picture of a boat."""
    return seen(stage, boat.shapes, camera, boat.planes)


def seen(stage: PageStage, shapes: Shapes, camera: Camera, planes: tuple[Plane, ...] = ()) -> np.ndarray:
    stage.show(shapes)
    stage.cut(planes)
    stage.look_from(camera)
    return pixels(stage.moving_picture().whole)


def pixels(jpeg: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(jpeg)).convert("RGB")).astype(int)


@pytest.mark.slow
@settings(max_examples=5, deadline=None)
@given(
    st.sampled_from(MOVED),
    st.lists(st.floats(0.0, 1.0), min_size=2, max_size=3),
    st.sampled_from(LOOKS),
    st.sampled_from(["quarter", "profile"]),
)
def test_a_picture_drawn_in_part_is_the_whole_picture(
    stage: PageStage, move: Move, shares: list[float], look: Look, view: str
) -> None:
    """After moves, only what changed drawn and a fine picture between: it is the picture that is drawn at once."""
    boats = [moved_to(move, share, look) for share in shares]
    camera = framed(view, boats[0].shapes.strokes["sheer/port"].points, SIZE)  # type: ignore[arg-type]
    for boat in boats:
        stage.still_picture()
        in_part = shown(stage, boat, camera)
    shown(stage, boats[-1], camera.orbited(20.0, 0.0))
    whole = shown(stage, boats[-1], camera)
    assert np.ptp(whole) > 100
    other = (np.abs(in_part - whole).max(axis=2) > SAME).sum()
    assert other <= 0.0002 * whole.shape[0] * whole.shape[1]


@settings(max_examples=40, deadline=None)
@given(st.tuples(*2 * [st.integers(0, 90)]), st.tuples(*2 * [st.integers(0, 90)]))
def test_a_part_laid_over_the_picture_before_is_the_next(at: tuple[int, int], size: tuple[int, int]) -> None:
    """As near as a JPEG is, wherever the part lies; what changes keeps the usual distance from its edge."""
    across, down = np.meshgrid(np.arange(100), np.arange(90))
    before = np.stack([across * 2, down * 2, 255 - across], axis=2).astype(np.uint8)
    left, top, right, bottom = at[0], at[1], min(at[0] + size[0], 100), min(at[1] + size[1], 90)
    after = before.copy()
    inner = after[top + BESIDE : max(bottom - BESIDE, 0), left + BESIDE : max(right - BESIDE, 0)]
    inner[:] = 255 - inner
    picture = Picture(after, STILL_QUALITY, (left, top, right, bottom))
    shown = pixels(Picture(before, STILL_QUALITY).whole)
    assert picture.is_new == (left < right and top < bottom)
    assert picture.is_new == bool(picture.part)
    if picture.is_new and picture.at is not None:
        x, y = picture.at
        part = pixels(picture.part)
        shown[y : y + part.shape[0], x : x + part.shape[1]] = part
    assert np.abs(shown - pixels(picture.whole)).max() <= SAME


@pytest.mark.example
def test_a_small_move_draws_a_small_part(stage: PageStage, monkeypatch: pytest.MonkeyPatch) -> None:
    """9 mm of a bulkhead in profile are drawn in a tenth of the picture; the spaces beside it take up half of it."""
    drawn: list[tuple[int, int, int, int]] = []
    draw_part = PageStage._draw_part
    monkeypatch.setattr(PageStage, "_draw_part", lambda self, pixels, part: drawn.append(part) or draw_part(self, pixels, part))
    boats = [moved_to(MOVED[0], share, Look()) for share in (0.5, 0.52)]
    camera = framed("profile", boats[0].shapes.strokes["sheer/port"].points, SIZE)
    for boat in boats:
        shown(stage, boat, camera)
    left, top, right, bottom = drawn[-1]
    assert 0 < (right - left) * (bottom - top) < 0.1 * SIZE[0] * SIZE[1]


def plate(shade: int) -> Surface:
    """A square of 1 m."""
    return Surface(
        points=np.array([[-0.5, -0.5, 0.0], [0.5, -0.5, 0.0], [0.5, 0.5, 0.0], [-0.5, 0.5, 0.0]]),
        triangles=np.array([[0, 1, 2], [0, 2, 3]]),
        colours=np.full((1, 3), shade, dtype=np.uint8),
        owner_of=np.array([-1]),
        culling="none",
        source=shade,
    )


@settings(max_examples=30, deadline=None)
@given(st.integers(-4, 32), st.sampled_from([1.0, 2.0, 2.6]), st.sampled_from([0.0, 0.017]))
def test_a_line_beside_what_changes_keeps_its_width(stage: PageStage, quarters: int, width: float, slope: float) -> None:
    """A plate changes its shade; so many quarters of a pixel outside each of its sides runs a line that does not change."""
    camera = Camera(centre=(0.0, 0.0, 0.0), azimuth=90.0, elevation=90.0, height=SIZE[1] / 100.0)
    out = 0.5 + quarters / 400.0
    ends = [(u, side * (out + slope * u)) for side in (-1, 1) for u in (-1.2, 1.2)]
    points = np.array([(u, v, 0.1) for u, v in ends] + [(v, u, 0.1) for u, v in ends])
    segments = np.arange(8).reshape(-1, 2)
    lines = Strokes(points=points, segments=segments, colour=(0, 0, 0), width=width, source=(quarters, width, slope))
    dark, light = (Shapes(surfaces={"plate": plate(shade)}, strokes={"lines": lines}) for shade in (100, 200))
    seen(stage, dark, camera)
    in_part = seen(stage, light, camera)
    seen(stage, light, camera.orbited(20.0, 0.0))
    whole = seen(stage, light, camera)
    assert (np.abs(in_part - whole).max(axis=2) > SAME).sum() <= 4


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(0, 6), st.integers(0, 3)), min_size=1, max_size=12))
def test_triangles_of_two_kinds_share_no_point(rows: list[tuple[int, int, int, int]]) -> None:
    """Each new point has one kind, and the triangles run through the same points as before."""
    table = np.array(rows)
    triangles, kinds = table[:, :3], table[:, 3]
    point, kind, parted = parted_by_kind(triangles, kinds, 7)
    assert (point[parted] == triangles).all()
    assert (kind[parted] == kinds[:, None]).all()


@pytest.mark.example
def test_a_painter_nobody_holds_closes_its_window_in_its_own_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the thread is about that lets go of it: also while it begins other work, and holds the lock for that."""
    require_opengl()
    boat = boat_shapes(demo("quillet-forepeak"), Look(), None)
    camera = framed("quarter", boat.shapes.strokes["sheer/port"].points, SIZE)
    able: Future[str] = Future()
    able.set_result("")
    painters = [Painter(able)]
    closed: Queue[int] = Queue()
    monkeypatch.setattr(PageStage, "close", lambda _: closed.put(threading.get_ident()))
    assert painters[0].begin(boat, camera, SIZE, False).result()
    own = painters[0].thread.submit(threading.get_ident).result()
    lock = threading.Lock()
    monkeypatch.setattr(concurrent.futures.thread, "_global_shutdown_lock", lock)
    with lock:
        letting_go = threading.Thread(target=painters.clear)
        letting_go.start()
        letting_go.join(2.0)
        stuck = letting_go.is_alive()
    letting_go.join()
    assert not stuck
    assert closed.get(timeout=60.0) == own
    assert closed.empty()


@pytest.mark.example
def test_a_painter_that_is_busy_keeps_nobody_waiting() -> None:
    """What asks for a picture goes on, and gets it when it is drawn."""
    require_opengl()
    boat = boat_shapes(demo("quillet-forepeak"), Look(), None)
    camera = framed("quarter", boat.shapes.strokes["sheer/port"].points, SIZE)
    able: Future[str] = Future()
    able.set_result("")
    painter, go_on = Painter(able), threading.Event()
    painter.thread.submit(go_on.wait)
    drawing = painter.begin(boat, camera, SIZE, False)
    assert not drawing.done()
    go_on.set()
    assert drawing.result() is not None
