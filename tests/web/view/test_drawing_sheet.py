"""The sheet of drawings, the names over the picture, and what is taken away from the page."""

from __future__ import annotations

import io
import re
from collections import Counter
from concurrent.futures import Future
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest
import shapely
from driven_sketch import DrivenSketch, driven
from hypothesis import given
from hypothesis import strategies as st
from scene_specimens import demo, demo_scene

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.demos import demo_scenes
from sketcher.outputs import palette
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.drawing.recording import FilledArea, Words
from sketcher.outputs.drawing.svg import as_svg
from sketcher.outputs.drawing.views import BENEATH
from sketcher.outputs.scene3d.boat_shapes import BoatShapes, boat_shapes
from sketcher.outputs.scene3d.camera import Camera, framed
from sketcher.outputs.scene3d.objects import ObjectRef, object_ref
from sketcher.outputs.scene3d.shapes import Shapes
from sketcher.outputs.tables.report import waterline_words
from sketcher.web.app import controller_for
from sketcher.web.logic.damage import damaged_condition
from sketcher.web.page.exported_sheet import exported_sheet
from sketcher.web.state import DRAWN, DragFigure, Handle, Label, Look
from sketcher.web.view import drawing_sheet
from sketcher.web.view.clearance import overlaps_any
from sketcher.web.view.drawing_sheet import DrawingSheet
from sketcher.web.view.handles import clear_corner, lines_of, spot_in_sight
from sketcher.web.view.labels import CHARACTER, LINE, boat_labels, worked_on_spans
from sketcher.web.view.picking import pick
from sketcher.web.view.printed_picture import ENLARGED, printed
from sketcher.web.view.sheet.cut_places import cut_places
from sketcher.web.view.sheet.panes import ABOVE, BESIDE_RIGHT, EDGE, KEY_ACROSS, key_down, panes_on
from sketcher.web.view.zoomed_paper import PIXELS_PER_MM

SCENES = tuple(path.stem for path in demo_scenes())


@pytest.mark.property
@given(st.sampled_from(SCENES), st.floats(60, 600), st.floats(60, 400))
def test_views_are_aligned_to_one_scale_and_apart(scene: str, width: float, height: float) -> None:
    """Station stands over station in profile and plan; the section is level with the profile where it stands beside it."""
    profile, plan, section = panes_on(demo(scene), (width, height))
    assert profile.placing.scale == plan.placing.scale == section.placing.scale
    assert profile.placing.origin[0] == pytest.approx(plan.placing.origin[0])
    assert profile.bottom > plan.top
    if section.left > plan.right:
        assert section.placing.origin[1] == pytest.approx(profile.placing.origin[1])
    else:
        assert section.top < plan.bottom


@pytest.mark.property
@pytest.mark.parametrize("scene", SCENES)
def test_type_is_eleven_pixels_high_on_any_paper(scene: str) -> None:
    """Whatever the window and whichever drawing is shown, unmagnified; and lines are told in pixels."""
    for pixels, drawn in zip(((1500, 980), (390, 130), (390, 340), (980, 420)), DRAWN, strict=True):
        sheet = DrawingSheet()
        sheet.resize(pixels)
        parts = sheet.parts(demo(scene), Look(drawn=drawn), None)
        assert sheet.size == pytest.approx((pixels[0] / PIXELS_PER_MM, pixels[1] / PIXELS_PER_MM))
        sizes = [float(size) for text in parts.values() for size in re.findall(r'font-size="([\d.]+)"', text)]
        assert min(sizes) * PIXELS_PER_MM >= 11.0 - 1e-9
        assert len(sheet.panes) == (3 if drawn == "all" else 1)
        outline = f'stroke="{palette.INK}" stroke-width="{0.35 * PIXELS_PER_MM:g}"'
        assert any(outline in text for text in parts.values())


@pytest.mark.property
@pytest.mark.parametrize("pixels", [(390, 150), (800, 500)])
def test_type_of_a_pattern_is_eleven_pixels_high(pixels: tuple[int, int]) -> None:
    """What has no room so large is left out; the board's name stands over it."""
    sketch = driven(demo_scene("quillet-forepeak"))
    sketch.ask("select", part="bulkhead/collision")
    sketch.ask("arrange", arrangement="pattern")
    sketch.ask("size", size=[900, 300], sheet=[0, 0], pattern=list(pixels))
    pattern = sketch.parts()["pattern"]
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', pattern)) * PIXELS_PER_MM >= 11.0 - 1e-9
    assert "Collision" in pattern


@pytest.mark.property
@given(st.sampled_from(SCENES), st.floats(70, 600), st.floats(26, 400), st.sampled_from(["profile", "plan", "section"]))
def test_a_drawing_alone_fills_its_paper(scene: str, width: float, height: float, kind: str) -> None:
    """No larger would fit one way or the other but for the key, and all three together are never larger."""
    evaluation, size = demo(scene), (width, height)
    (pane,) = panes_on(evaluation, size, kinds=(kind,))  # type: ignore[arg-type]
    assert pane.left >= 0
    assert pane.bottom >= 0
    across, up = pane.right - pane.left, pane.top - pane.bottom
    least = panes_on(evaluation, size)[("profile", "plan", "section").index(kind)]
    assert across >= (least.right - least.left) * (1 - KEY_ACROSS / width) - 1e-6
    down = key_down(evaluation, size)
    used = (across + pane.left + BESIDE_RIGHT[pane.kind] + EDGE) / width, (up + ABOVE + BENEATH + down + 2 * EDGE) / height
    assert max((across + KEY_ACROSS + pane.left) / width, *used) > 0.9


@pytest.mark.example
def test_a_zoomed_drawing_has_a_way_home() -> None:
    """Magnified and moved, Fit or another choice of drawing shows all of the paper; the button says whether there is need."""
    sketch = driven(demo_scene("quillet-forepeak"))
    for home in ({"do": "fit", "where": "drawing"}, {"do": "fit"}, {"do": "drawn", "drawn": "plan"}):
        whole = sketch.parts()
        sketch.ask("zoom", where="drawing", at=[100, 40], factor=3.0)
        near = sketch.parts()
        assert near["sheet"] != whole["sheet"]
        assert ('aria-disabled="true"' in whole["cuts"], 'aria-disabled="true"' in near["cuts"]) == (True, False)
        sketch.ask(**home)
        assert sketch.sheet.window == (0.0, 0.0, 1.0, 1.0)


@pytest.mark.property
@given(st.sampled_from(SCENES), st.floats(0, 1), st.floats(0, 1))
def test_a_spot_on_the_sheet_is_a_place_of_the_boat(scene: str, across: float, up: float) -> None:
    """What the hand points at in a view is where it is drawn there."""
    sheet = DrawingSheet(size=(230.0, 95.0))
    sheet.panes = panes_on(demo(scene), sheet.size)
    for pane in sheet.panes:
        x = pane.left + across * (pane.right - pane.left)
        y = pane.bottom + up * (pane.top - pane.bottom)
        assert sheet.pane_at((x, sheet.size[1] - y)) == pane
        u, v = sheet.boat_at(pane, (x, sheet.size[1] - y))
        assert pane.placing.spot(u, v) == pytest.approx((x, y))


@pytest.mark.property
@given(st.floats(0.2, 5), st.tuples(st.floats(0, 230), st.floats(0, 95)), st.tuples(st.floats(-99, 99), st.floats(-99, 99)))
def test_the_sheet_is_never_lost_by_zooming_and_moving(factor: float, at: tuple[float, float], by: tuple[float, float]) -> None:
    """What is seen is always part of the sheet, in its own shape."""
    sheet = DrawingSheet(size=(230.0, 95.0))
    sheet.zoom(3.0, (100.0, 40.0))
    sheet.zoom(factor, at)
    sheet.pan(by)
    left, top, width, height = sheet.window
    assert width == pytest.approx(height)
    assert min(left, top) >= 0.0
    assert max(left + width, top + height) <= 1.0 + 1e-9


@pytest.mark.property
@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("view", ["quarter", "profile", "plan", "ahead"])
def test_names_over_the_picture_do_not_touch(scene: str, view: str) -> None:
    """Each compartment is named once, in the picture, and no name lies on another."""
    evaluation, size = demo(scene), (900, 420)
    camera = framed(view, evaluation.layout.hull.outside.vertices, size)  # type: ignore[arg-type]
    labels = boat_labels(evaluation, Look(), camera, size, {})
    assert {label.part.name for label in labels} == {space.name for space in evaluation.layout.compartments}
    boxes = [_box(label) for label in labels]
    for number, a in enumerate(boxes):
        assert a[0] >= 0
        assert a[2] <= size[0]
        for b in boxes[number + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def space_under(boat: BoatShapes, camera: Camera, size: tuple[int, int], at: tuple[float, float]) -> str | None:
    """The name of the space whose wall is drawn at a pixel, by pointing at each space's walls alone."""
    hits = {
        key: hit
        for key, surface in boat.shapes.surfaces.items()
        if key.startswith("space/") and (hit := pick(Shapes(surfaces={key: surface}), camera, size, at, boat.planes))
    }
    return max(hits, key=lambda key: hits[key].nearness).removeprefix("space/") if hits else None


QUICK = {("marram-forepeak", "quarter"), ("ternholm-forepeak", "ahead")}


@pytest.mark.property
@pytest.mark.parametrize(
    ("scene", "view"),
    [
        pytest.param(scene, view, marks=[] if (scene, view) in QUICK else [pytest.mark.slow])
        for scene in SCENES
        for view in ("quarter", "ahead")
    ],
)
def test_a_name_stands_on_its_own_space_or_on_the_paper(scene: str, view: str) -> None:
    """In every demo, at rest: each name points at its own space, and none lies on another's, looked at every few pixels."""
    sketch = driven(demo_scene(scene))
    sketch.ask("view", view=view)
    sketch.rest()
    labels, workspace = sketch.state().labels, sketch.workspace
    boat, settings = workspace.drawn_boat(), workspace.view_settings
    assert len(labels) >= 3
    for label in labels:
        assert space_under(boat, settings.camera, settings.size, label.anchor) == label.part.name
        left, top, right, foot = _box(label)
        spots = [(x, y) for x in np.linspace(left + 1, right - 1, 9) for y in np.linspace(top + 1, foot - 1, 3)]
        under = {space_under(boat, settings.camera, settings.size, spot) for spot in spots}
        assert under <= {label.part.name, None}, label.part.name


@pytest.mark.property
@pytest.mark.parametrize("scene", SCENES)
def test_names_keep_off_the_panel_that_is_worked_on(scene: str) -> None:
    """With the foremost bulkhead selected no name lies on it or its handle; the name of the space ahead of it stays in sight."""
    evaluation, size = demo(scene), (924, 379)
    panel = next(shape for shape in evaluation.layout.panels if shape.kind == "bulkhead")
    selected = ObjectRef("bulkhead", panel.name)
    camera = framed("quarter", evaluation.layout.hull.outside.vertices, size)
    boat = boat_shapes(evaluation, Look(), selected)
    spot = spot_in_sight(boat, selected, camera, size)
    assert spot is not None
    x, y, _ = camera.project(spot[None], size)[0].tolist()
    handle = Handle(at=(x, y), arrow=(0.0, 0.0))
    spans = worked_on_spans(boat, selected, [handle], camera, size)
    labels = boat_labels(evaluation, Look(), camera, size, {}, selected, spans)
    drawn = boat.parts.index(selected)
    faces = [surface.points[surface.triangles[surface.owners == drawn]] for surface in boat.shapes.surfaces.values()]
    outline = shapely.MultiPoint(camera.project(np.concatenate(faces).reshape(-1, 3), size)[:, :2]).convex_hull
    for label in labels:
        name = shapely.box(*_box(label))
        assert not name.intersects(outline), label.part.name
        assert name.distance(shapely.Point(handle.at)) > 20
        assert label.leader is None or np.hypot(*np.subtract(label.leader, label.anchor)) <= 150
    foremost = min(evaluation.layout.compartments, key=lambda space: space.centroid[0])
    assert foremost.name in {label.part.name for label in labels}


@pytest.mark.property
@pytest.mark.parametrize("view", ["quarter", "profile", "plan"])
@pytest.mark.parametrize("scene", SCENES)
def test_figures_under_the_hand_stand_clear_of_what_is_dragged(scene: str, view: str) -> None:
    """Whichever bulkhead is dragged, from wherever it is seen, a corner of the picture is clear of it, and of the hand on it."""
    evaluation, size = demo(scene), (924, 379)
    camera = framed(view, evaluation.layout.hull.outside.vertices, size)  # type: ignore[arg-type]
    for shape in (shape for shape in evaluation.layout.panels if shape.kind == "bulkhead"):
        held = ObjectRef("bulkhead", shape.name)
        boat = boat_shapes(evaluation, Look(), held)
        spans = worked_on_spans(boat, held, (), camera, size)
        corner, figures = clear_corner(size, 7, spans, "right")
        assert spans
        assert not overlaps_any(figures[:, None], spans)[0], shape.name
        assert clear_corner(size, 7, spans, corner)[0] == corner


@pytest.mark.example
def test_a_long_name_under_the_hand_takes_the_lines_it_runs_over() -> None:
    """As it stands on the page: two or three of them, and one where it is short."""
    names = ("fore berth", "fore to mid, over void lid", "fore to mid, to port of aslant web, under void lid", "")
    assert [lines_of([DragFigure(name, "5137 L")]) for name in names] == [1, 2, 3, 1]


@pytest.mark.example
def test_names_do_not_jump_to_and_fro_as_the_boat_turns() -> None:
    """Turned a degree to and fro each name keeps its place; turned right round one name moves aside a few times at most."""
    evaluation, size = demo("quillet-forepeak"), (924, 379)
    camera = framed("quarter", evaluation.layout.hull.outside.vertices, size)
    labels: tuple[Label, ...] = ()
    for by in (0, 1, -1, 1, -1, 1):
        camera = camera.orbited(by, 0)
        last, labels = labels, boat_labels(evaluation, Look(), camera, size, {}, last=labels)
        assert labels
        assert not last or [label.place for label in last] == [label.place for label in labels]
    moved: Counter[str] = Counter()
    for _ in range(360):
        camera = camera.orbited(1, 0)
        places = {label.part: label.place for label in labels}
        labels = boat_labels(evaluation, Look(), camera, size, {}, last=labels)
        moved.update(label.part.name for label in labels if places.get(label.part) != label.place)
    assert max(moved.values()) <= 12


@pytest.mark.example
def test_names_that_can_all_stay_are_where_each_would_stay_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    """While she turns, and no name comes to those there are."""
    evaluation, size = demo("marram-two-tanks"), (924, 379)
    camera = framed("quarter", evaluation.layout.hull.outside.vertices, size)
    labels = boat_labels(evaluation, Look(), camera, size, {})
    at_once = 0
    for _ in range(60):
        camera = camera.orbited(0.5, 0)
        together = boat_labels(evaluation, Look(), camera, size, {}, last=labels, moving=True)
        with monkeypatch.context() as patch:
            patch.setattr("sketcher.web.view.labels._all_can_stay", lambda *_: False)
            one_by_one = boat_labels(evaluation, Look(), camera, size, {}, last=labels, moving=True)
        assert together == one_by_one
        assert {label.part for label in together} <= {label.part for label in labels}
        at_once += [label.place for label in together] == [label.place for label in labels]
        labels = together
    assert at_once > 40


def _box(label: Label) -> tuple[float, float, float, float]:
    x, y = label.at[0], label.at[1] - LINE * 0.8
    return x, y, x + max(map(len, label.lines)) * CHARACTER, y + len(label.lines) * LINE


@pytest.mark.example
def test_the_exported_sheet_is_to_a_rulers_scale_with_its_title() -> None:
    """On paper the scale is a usual one, and the title block says which, with boat, waterline and date."""
    evaluation = demo("marram-forepeak")
    drawing = exported_sheet(evaluation, Look(), None, date(2026, 11, 25))
    words = [item.text for item in drawing.items if hasattr(item, "text")]
    assert any(word.startswith(("1 : 30;", "1 : 40;")) for word in words)
    assert evaluation.scene.name in words
    assert any("2026-11-25" in word for word in words)
    assert as_svg(drawing).startswith("<svg")
    assert as_pdf([drawing], "a name").startswith(b"%PDF")


@pytest.mark.example
def test_the_exported_sheet_of_a_holed_boat_shows_her_as_she_then_lies() -> None:
    """With the water where it then stands, the old waterline beside it, and the hole in the title block."""
    evaluation = demo("marram-forepeak")
    damaged = damaged_condition(evaluation, ("forward void",))
    assert damaged is not None
    whole, holed = (exported_sheet(evaluation, Look(), None, date(2026, 11, 25), damaged=case) for case in (None, damaged))
    words = [item.text for item in holed.items if isinstance(item, Words)]
    assert any(word.startswith("With a hole in forward void: floats") for word in words)
    assert any("flooded, " in word for word in words)
    assert not any("flooded, " in item.text for item in whole.items if isinstance(item, Words))
    stated = waterline_words(evaluation.water, "mm")
    assert stated not in " ".join(words)
    assert stated in " ".join(item.text for item in whole.items if isinstance(item, Words))


@pytest.mark.property
@pytest.mark.parametrize("part", ["bulkhead/collision", "compartment/saloon"])
def test_what_is_selected_is_marked_on_the_page_and_not_on_paper(part: str) -> None:
    """Cut in the same places, paper is the same whatever is selected: it has no word for that mark."""
    evaluation, look = demo("marram-forepeak"), Look(plan_height=0.8, section_at=2.5)
    chosen = object_ref(part)
    page = [DrawingSheet(size=(400.0, 280.0)).drawing(evaluation, look, selected).items for selected in (None, chosen)]
    paper = [exported_sheet(evaluation, look, selected).items for selected in (None, chosen)]
    assert page[0] != page[1]
    assert paper[0] == paper[1]


@pytest.mark.example
def test_the_printed_picture_is_twice_the_size_with_a_strip() -> None:
    """The strip is added under the picture; nothing of the picture is lost."""
    from PIL import Image

    evaluation = demo("quillet-forepeak")
    size = (600, 300)
    camera = framed("quarter", evaluation.layout.hull.outside.vertices, size)
    pixels = np.full((size[1] * ENLARGED, size[0] * ENLARGED, 3), 200, dtype=np.uint8)
    picture = Image.open(io.BytesIO(printed(pixels, evaluation, camera, (), (), date(2026, 11, 25))))
    assert picture.width == 1200
    assert picture.height > 600
    assert picture.getpixel((600, 20)) == (200, 200, 200)


@pytest.mark.example
def test_a_machine_that_cannot_draw_still_shows_drawings_and_figures() -> None:
    """Without OpenGL the page says what to install, and everything else is there."""
    trial: Future[str] = Future()
    trial.set_result("there is no OpenGL: apt-get install libegl1 libgl1-mesa-dri")
    sketch = DrivenSketch(controller_for(demo_scene("quillet-forepeak"), trial))
    assert sketch.controller.picture(False).result() is None
    parts = sketch.parts()
    assert "apt-get install libegl1" in parts["controls"]
    assert "<svg" in parts["sheet"]
    assert sketch.controller.download("picture.png") is None


def shown(sheet: DrawingSheet, evaluation: Evaluation, selected: ObjectRef | None = None) -> str:
    """All of a sheet's markup."""
    return "\n".join(sheet.parts(evaluation, Look(), selected).values())


@pytest.mark.property
@pytest.mark.parametrize("part", ["bulkhead/collision", "lid/tank top", "compartment/forward void", "berth/vee berth"])
def test_drawings_follow_what_is_selected(part: str) -> None:
    """The drawings cut through what is selected; a panel or compartment is picked out in the accent colour, a berth is not."""
    evaluation = demo("marram-forepeak")
    kind, name = part.split("/")
    plain = shown(DrawingSheet(), evaluation)
    chosen = shown(DrawingSheet(), evaluation, ObjectRef(kind, name))  # type: ignore[arg-type]
    assert chosen != plain
    marked = [line for line in chosen.splitlines() if f'data-part="{part}"' in line and palette.ACCENT in line]
    assert bool(marked) == (kind != "berth")


@pytest.mark.example
def test_the_profile_shows_the_space_beside_a_partition_on_the_centreline() -> None:
    """Cut through its thickness the drawing would be all board."""
    boat = demo("marram-two-tanks")
    assert 'data-part="compartment/port void"' in DrawingSheet().parts(boat, Look(drawn="profile"), None)["sheet-profile"]
    assert cut_places(demo("marram-forepeak"), Look(), None)["profile"] == 0.0


@pytest.mark.example
def test_a_view_that_fails_leaves_the_others(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> None:
    """One view cannot be drawn: the others are, the reader is told in its place, and it is written down once."""
    whole = drawing_sheet.view_items

    def without_plan(evaluation: Evaluation, kind: str, *rest: Any, **more: Any) -> Any:
        if kind == "plan":
            raise ValueError("no plan")
        return whole(evaluation, kind, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(drawing_sheet, "view_items", without_plan)
    sheet = DrawingSheet(size=(230.0, 95.0))
    for width in (230.0, 240.0):
        sheet.size = (width, 95.0)
        drawn = shown(sheet, demo(SCENES[0]))
    assert "The plan cannot be drawn here" in drawn
    assert "Profile" in drawn
    assert "Section" in drawn
    assert [record.message for record in caplog.records] == ["the plan could not be drawn"]


@pytest.mark.example
def test_a_view_that_fails_is_shown_as_it_was_drawn_last(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sheet stands as it stood when a view that could be drawn no longer can."""
    sheet = DrawingSheet(size=(230.0, 95.0))
    before = sheet.parts(demo(SCENES[0]), Look(), None)

    def fails(*_: Any, **__: Any) -> Any:
        raise ValueError("nothing can be drawn")

    monkeypatch.setattr(drawing_sheet, "view_items", fails)
    after = sheet.parts(demo(SCENES[0]), Look(section_at=2.0), None)
    assert {name for name in after if after[name] != before[name]} == {"sheet-marks"}


@pytest.mark.property
@pytest.mark.parametrize("scene", SCENES)
def test_the_sheet_says_what_each_tint_on_it_means(scene: str) -> None:
    """On paper every tint of a space by the water has its row in the key, and so has the ruling."""
    drawing = exported_sheet(demo(scene), Look(tinted_by="water"), None)
    tints = {item.fill for item in drawing.items if isinstance(item, FilledArea) and item.layer == "compartments"}
    keyed = {item.fill for item in drawing.items if isinstance(item, FilledArea) and item.layer == "names"}
    assert tints <= keyed
    assert any(isinstance(item, Words) and item.text.startswith("lined") for item in drawing.items)
    assert keyed - {None} == tints
    rows = [item.text for item in drawing.items if isinstance(item, Words) and item.text in palette.RELATION_WORDS.values()]
    assert len(rows) == len(set(rows)) == len(keyed - {None})


@pytest.mark.example
def test_the_key_names_only_what_is_drawn() -> None:
    """With the water far beneath her nothing is ruled, and the key says nothing of ruling."""
    boat = demo(SCENES[0])
    assert boat.water is not None
    low = replace(boat, water=replace(boat.water, forward=-5.0, after=-5.0))
    drawing = exported_sheet(low, Look(), None)
    assert not any(isinstance(item, Words) and item.text.startswith("lined") for item in drawing.items)


@pytest.mark.example
def test_the_key_is_up_to_date_while_views_wait() -> None:
    """A view that waits for the end of a drag does not keep its old words in the key."""
    sheet = DrawingSheet(size=(150.0, 75.0))
    evaluation = demo(SCENES[0])
    shown(sheet, evaluation)
    sheet.water_in = {space.name: 0.123 for space in evaluation.layout.compartments}
    sheet.parts(evaluation, Look(), None, now=())
    assert sheet.key.numbers
    assert all("flooded, 123 L of water" in amount for _, _, amount, _ in sheet.key.numbers)
