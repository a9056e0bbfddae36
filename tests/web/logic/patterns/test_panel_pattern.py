"""The pattern beside the boat: it follows what is selected and the hand, and its joints are dragged, typed and taken over."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import DrivenSketch, at_pattern, driven

import sketcher.web.logic.patterns.panel_pattern
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.evaluate import evaluate
from sketcher.model.cutting import Joints
from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import MoveBulkhead
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.patterns.panel_pattern import PanelPattern
from sketcher.web.state import Boards

boards_once = cache(sketcher.web.logic.patterns.panel_pattern.panel_boards)


@pytest.fixture
def sketch(boats: Path, monkeypatch: pytest.MonkeyPatch) -> DrivenSketch:
    """A boat whose collision bulkhead goes below in parts only, its pattern on the page.

    What is cut of a panel of one evaluation is worked out once: she opens with the same for all.
    """
    monkeypatch.setattr(sketcher.web.logic.patterns.panel_pattern, "panel_boards", boards_once)
    return at_pattern(boats / "scenes" / "marram-forepeak.yaml")


def now(sketch: DrivenSketch) -> Boards:
    boards = sketch.state().boards
    assert boards is not None
    return boards


def stated(sketch: DrivenSketch) -> Joints | None:
    joints: Joints | None = sketch.scene.bulkheads[0].joints
    return joints


def on_joint(sketch: DrivenSketch, number: int = 0) -> list[float]:
    """A spot on a joint's line on the paper [mm, y down]."""
    ends = sketch.workspace.pattern.paper.drawn[0].ends(now(sketch), number)
    assert ends is not None
    return [(ends[0][0] + ends[1][0]) / 2, sketch.workspace.pattern.paper.size[1] - ends[0][1]]


def drag(sketch: DrivenSketch, start: list[float], by: tuple[float, float]) -> None:
    sketch.ask("press", where="pattern", at=start, button="main")
    sketch.ask("move", where="pattern", at=[start[0] + by[0], start[1] + by[1]])
    sketch.controller.before_picture()


@pytest.mark.example
def test_the_pattern_is_that_of_the_selected_panel(sketch: DrivenSketch) -> None:
    """Its drawing and its sizes; of an opening, the panel it is in; after that the last panel stays."""
    assert "Collision, 18 mm, after face; 1 : " in sketch.parts()["pattern"]
    assert "1460 × 1306 mm" in sketch.parts()["boards"]
    sketch.ask("select", part="opening/inspection port")
    assert now(sketch).panel.name == "tank top"
    sketch.ask("select", part="compartment/saloon")
    assert now(sketch).panel.name == "tank top"


@pytest.mark.property
@pytest.mark.parametrize(
    ("panel", "way"),
    [("bulkhead/collision", "height"), ("lid/tank top", "aft")],
)
@pytest.mark.slow
def test_an_arrow_key_moves_a_joint_as_it_points_on_the_paper(sketch: DrivenSketch, panel: str, way: str) -> None:
    """A step of 5 mm to the right or up on the drawing, 1 mm when fine; an arrow along the joint moves nothing."""
    sketch.ask("select", part=panel)
    sketch.ask("joint_in", value=way)
    sketch.parts()
    before = sketch.workspace.pattern.paper.drawn[0].ends(now(sketch), 0)
    assert before is not None
    towards, across, axis = ("right", "up", 0) if before[0][0] == before[1][0] else ("up", "right", 1)
    moved = []
    for fine, arrow in ((False, towards), (True, towards), (False, across)):
        sketch.ask("nudge", towards=arrow, fine=fine, where="pattern", joint="0")
        sketch.parts()
        after = sketch.workspace.pattern.paper.drawn[0].ends(now(sketch), 0)
        assert after is not None
        moved.append((after[0][axis] - before[0][axis]) * sketch.workspace.pattern.paper.drawn[0].placing.scale)
        before = after
    assert moved == pytest.approx([5.0, 1.0, 0.0], abs=0.05)


@pytest.mark.example
@pytest.mark.slow
def test_a_joint_that_is_not_there_is_not_nudged(sketch: DrivenSketch) -> None:
    """It is refused in words, and nothing changes."""
    before = sketch.scene
    sketch.ask("nudge", towards="up", joint="7")
    assert sketch.scene == before
    assert sketch.notice is not None
    assert sketch.notice.refused


@pytest.mark.example
def test_keys_move_the_paper_that_has_the_keyboard(sketch: DrivenSketch) -> None:
    """With nothing selected; the boat is not turned, and the paper ends at its edge."""
    sketch.ask("select", part="")
    sketch.ask("zoom", where="pattern", at=[0, 0], factor=2.0)
    camera, before = sketch.workspace.view_settings.camera, sketch.workspace.pattern.paper.window
    sketch.ask("nudge", towards="right", where="pattern", at=[0, 0])
    assert sketch.workspace.pattern.paper.window[0] > before[0]
    assert sketch.workspace.pattern.paper.window[1:] == before[1:]
    assert sketch.workspace.view_settings.camera == camera
    for _ in range(9):
        sketch.ask("nudge", towards="right", where="pattern", at=[0, 0])
    assert sketch.workspace.pattern.paper.window[0] + sketch.workspace.pattern.paper.window[2] == pytest.approx(1.0)


@pytest.mark.example
@pytest.mark.slow
def test_a_panel_outside_the_boat_has_no_pattern(sketch: DrivenSketch) -> None:
    """It stays selected, and the page says why nothing is drawn; no other panel's pattern stands in its place."""
    sketch.session.do(MoveBulkhead("collision", -9.0), as_it_is=True)
    parts = sketch.parts()
    assert "collision does not stand inside the boat" in parts["boards"]
    assert "polyline" not in parts["pattern"]
    sketch.ask("joint_in", value="height")
    assert sketch.notice is not None
    assert sketch.notice.refused


@pytest.mark.example
def test_the_pattern_follows_the_hand(sketch: DrivenSketch) -> None:
    """While the bulkhead is dragged its pattern is that of where it is now, to the last bit."""
    before = sketch.parts()["pattern"]
    handle = sketch.state().handle
    assert handle is not None
    x, y = handle.at[0] / 900, handle.at[1] / 300
    sketch.ask("press", where="picture", at=[x, y], button="main")
    sketch.ask("move", where="picture", at=[x + 0.05, y - 0.03])
    sketch.controller.before_picture()
    shown = now(sketch)
    layout = sketch.evaluation.layout
    (fresh,) = panel_patterns(layout, sketch.evaluation.water, ["collision"], layout.hull)
    assert sketch.parts()["pattern"] != before
    assert shown.parts is None
    assert shown.wholes[0].outline.equals(fresh.outline)
    assert "Looked at when the hand rests" in sketch.parts()["boards"]


@pytest.mark.example
def test_a_found_joint_is_taken_over_by_one_action(sketch: DrivenSketch) -> None:
    """Then it is stated in the scene at whole millimetres, and can be left to the sketch again."""
    assert not now(sketch).stated
    found = now(sketch).joints
    sketch.ask("joints", whose="mine")
    assert stated(sketch) == found
    assert sketch.session.history.undo_name == "Cut collision at 1004 mm"
    sketch.ask("joints", whose="found")
    assert stated(sketch) is None


@pytest.mark.example
@pytest.mark.slow
def test_a_found_joint_is_taken_over_by_dragging_it_at_its_ring(sketch: DrivenSketch) -> None:
    """One named step states the moved joint; undone, it is the found one again."""
    found = now(sketch).joints
    ends = sketch.workspace.pattern.paper.drawn[0].ends(now(sketch), 0)
    assert ends is not None
    drag(sketch, [ends[0][0], sketch.workspace.pattern.paper.size[1] - ends[0][1]], (0.0, 5.0))
    sketch.ask("release")
    joints = stated(sketch)
    assert joints is not None
    assert found is not None
    assert joints.places[0] < found.places[0] - 0.05
    assert sketch.session.history.names == (f"Cut collision at {round(joints.places[0] * 1000)} mm",)
    sketch.ask("undo")
    sketch.parts()
    assert stated(sketch) is None
    assert now(sketch).joints == found


@pytest.mark.example
def test_a_joint_is_dragged_on_the_pattern_as_one_named_step(sketch: DrivenSketch) -> None:
    """In whole 5 mm, its place under the hand, the spaces as they were; Escape puts it back."""
    sketch.ask("joints", whose="mine")
    litres = [space.volume for space in sketch.evaluation.layout.compartments]
    drag(sketch, on_joint(sketch), (3.0, 5.0))
    joints = stated(sketch)
    assert joints is not None
    assert joints.places[0] < 0.95
    assert sketch.state().drag_figures[0].label == "joint of collision"
    sketch.ask("escape")
    assert stated(sketch) == Joints("height", (1.004,))
    drag(sketch, on_joint(sketch), (0.0, 5.0))
    sketch.ask("release")
    joints = stated(sketch)
    assert joints is not None
    assert sketch.session.history.undo_name == f"Move joint of collision 1004 to {round(joints.places[0] * 1000)} mm"
    assert joints.places[0] * 200 == pytest.approx(round(joints.places[0] * 200))
    assert [space.volume for space in sketch.evaluation.layout.compartments] == litres


@pytest.mark.example
@pytest.mark.slow
def test_a_joint_is_typed_added_and_taken_out(sketch: DrivenSketch) -> None:
    """In any unit; one more goes into the largest part; with the last one the sketch finds them again."""
    sketch.ask("joint", number="0", value="70 cm")
    assert stated(sketch) == Joints("height", (0.7,))
    sketch.ask("joint_in", value="height")
    joints = stated(sketch)
    assert joints is not None
    assert len(joints.places) == 2
    sketch.ask("joint_out", number="1")
    sketch.ask("joint_out", number="0")
    assert stated(sketch) is None


@pytest.mark.example
@pytest.mark.slow
def test_a_joint_off_the_centreline_takes_the_place_of_level_ones(sketch: DrivenSketch) -> None:
    """All lines of a panel are parallel; a place to port can be typed as such."""
    sketch.ask("joint_in", value="off_centre")
    assert stated(sketch) == Joints("off_centre", (0.0,))
    sketch.ask("joint", number="0", value="120 port")
    assert stated(sketch) == Joints("off_centre", (-0.12,))


@pytest.mark.example
def test_joints_that_cannot_be_are_refused_in_words(sketch: DrivenSketch) -> None:
    """No length, no such joint, two in one place, a way that this panel has not: each is said, and nothing changes."""
    sketch.ask("joints", whose="mine")
    scene = sketch.scene
    asked = [
        ({"do": "joint", "number": "0", "value": "abc"}, "is no length"),
        ({"do": "joint_out", "number": "7"}, "no such joint"),
        ({"do": "joint_in", "value": "aft"}, "not cut so"),
        ({"do": "joints", "whose": "mine"}, "no joint to take over"),
    ]
    for message, words in asked:
        sketch.controller.take(message)
        assert sketch.notice is not None
        assert words in sketch.notice.text
        assert sketch.scene is scene


@pytest.mark.example
@pytest.mark.slow
def test_a_weak_joint_is_said_beside_the_pattern(sketch: DrivenSketch) -> None:
    """A joint of the berth's boards through the middle of the inspection port, and where it would be clear of it."""
    sketch.ask("select", part="lid/tank top")
    sketch.ask("joint_in", value="off_centre")
    assert "at the centreline runs into inspection port" in sketch.parts()["boards"]
    assert "At 190 mm to" in sketch.parts()["boards"]


@pytest.mark.example
@pytest.mark.slow
def test_a_built_panel_has_a_pattern_but_is_not_cut(sketch: DrivenSketch) -> None:
    """It is shown and said to be no part of the build; nothing is found for it."""
    sketch.ask("select", part="bulkhead/main")
    assert "Built already" in sketch.parts()["boards"]
    assert now(sketch).joints is None


@pytest.mark.example
@pytest.mark.slow
def test_the_hand_moves_and_magnifies_the_paper(sketch: DrivenSketch) -> None:
    """Beside a joint a drag moves the paper, a wheel brings it closer; nothing of the boat changes."""
    scene = sketch.scene
    sketch.ask("zoom", where="pattern", factor=2.0, at=[80.0, 55.0])
    window = sketch.workspace.pattern.paper.window
    drag(sketch, [20.0, 20.0], (-8.0, 0.0))
    sketch.ask("release")
    assert window[2] == pytest.approx(0.5)
    assert sketch.workspace.pattern.paper.window[0] > window[0]
    assert sketch.scene is scene


@pytest.mark.example
@pytest.mark.slow
def test_a_berth_on_boards_of_its_own_shows_them() -> None:
    """Boards and infill, with no joints to state: they are cut where they must be."""
    sketch = driven(demo_folder() / "scenes" / "ternholm-forepeak.yaml")
    sketch.ask("arrange", arrangement="pattern")
    sketch.ask("select", part="berth/fore berth")
    assert [whole.kind for whole in now(sketch).wholes] == ["berth board", "infill"]
    assert now(sketch).joints is None
    assert "Add a joint" not in sketch.parts()["boards"]
    sketch.ask("joint_in", value="aft")
    assert sketch.notice is not None
    assert "not cut so" in sketch.notice.text


@pytest.mark.example
@pytest.mark.slow
def test_boards_that_take_long_do_not_hold_up_the_hand(sketch: DrivenSketch, monkeypatch: pytest.MonkeyPatch) -> None:
    """Boards that take a tenth of a second stay for another while the hand goes on; once it stops or lets go they are new."""
    clock = [0.0]
    monkeypatch.setattr("sketcher.web.logic.patterns.panel_pattern.time.perf_counter", lambda: clock[0])
    made = sketcher.web.logic.patterns.panel_pattern.panel_boards

    def slowly(*args: Any, **kwargs: Any) -> Boards:
        clock[0] += 0.1
        return made(*args, **kwargs)

    monkeypatch.setattr("sketcher.web.logic.patterns.panel_pattern.panel_boards", slowly)
    start = evaluate(sketch.scene)
    pattern = PanelPattern()
    panel = ObjectRef("bulkhead", "collision")

    def boards_at(at: float, *, resting: bool = False, still: bool = False) -> Boards | None:
        moved = MoveBulkhead("collision", at).apply(start.scene)
        return pattern.boards(evaluate(moved), panel, resting=resting, still=still)

    first = boards_at(1.19)
    clock[0] += 0.05
    assert boards_at(1.20) is first
    clock[0] += 0.06
    second = boards_at(1.21)
    assert second is not first
    third = boards_at(1.22, still=True)
    assert third is not second
    assert boards_at(1.23) is third
    assert boards_at(1.23, resting=True) is not third


@pytest.mark.example
def test_a_board_that_no_joint_lets_below_is_not_said_to_need_none(boats: Path) -> None:
    """Where everything is to go through a limber hole, the page says that no joints were found that help."""
    path = boats / "scenes" / "marram-forepeak.yaml"
    path.write_text(path.read_text("utf-8") + "\ncutting: {through: limber hole}\n", "utf-8")
    sketch = at_pattern(path)
    assert now(sketch).joints is None
    assert "none found that help" in sketch.parts()["boards"]
    assert "none needed" not in sketch.parts()["boards"]
