"""The pattern beside the boat: it follows what is selected and the hand, and its joints are dragged, typed and taken over."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

import sketcher.web.logic.patterns
from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.evaluate import evaluate
from sketcher.model.cutting import Joints
from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import MoveBulkhead
from sketcher.web.app import desk_for
from sketcher.web.controller import Controller
from sketcher.web.logic.patterns import ShownPatterns
from sketcher.web.state import Boards, ObjectRef

pytestmark = pytest.mark.property

SCENE = demo_folder() / "scenes" / "marram-forepeak.yaml"


@pytest.fixture
def desk(tmp_path: Path) -> Controller:
    """A boat whose collision bulkhead goes below in parts only, its pattern on the page."""
    return opened(copied(tmp_path))


def copied(folder: Path) -> Path:
    """The demo scene with the demo hulls in a folder of its own, since the page keeps unsaved work beside the file."""
    for part in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / part, folder / part, ignore=shutil.ignore_patterns(".*"))
    return folder / "scenes" / SCENE.name


def opened(scene: Path) -> Controller:
    made = desk_for(scene, None)
    made.take({"do": "size", "size": [900, 300], "sheet": [0, 0], "pattern": [640, 440]})
    made.take({"do": "arrange", "arrangement": "pattern"})
    made.take({"do": "select", "part": "bulkhead/collision"})
    made.parts()
    return made


def now(desk: Controller) -> Boards:
    boards = desk.state().boards
    assert boards is not None
    return boards


def stated(desk: Controller) -> Joints | None:
    joints: Joints | None = desk.session.scene.bulkheads[0].joints
    return joints


def on_joint(desk: Controller, number: int = 0) -> list[float]:
    """A spot on a joint's line on the paper [mm, y down]."""
    ends = desk.pattern.drawn[0].ends(now(desk), number)
    assert ends is not None
    return [(ends[0][0] + ends[1][0]) / 2, desk.pattern.size[1] - ends[0][1]]


def drag(desk: Controller, start: list[float], by: tuple[float, float]) -> None:
    desk.take({"do": "press", "where": "pattern", "at": start, "button": "main"})
    desk.take({"do": "move", "where": "pattern", "at": [start[0] + by[0], start[1] + by[1]]})
    desk.before_picture()


def test_the_pattern_is_that_of_the_selected_panel(desk: Controller) -> None:
    """Its drawing and its sizes; of an opening, the panel it is in; after that the last panel stays."""
    assert "collision, 18 mm, after face" in desk.parts()["pattern"]
    assert "1460 × 1306 mm" in desk.parts()["boards"]
    desk.take({"do": "select", "part": "opening/inspection port"})
    assert now(desk).panel.name == "tank top"
    desk.take({"do": "select", "part": "compartment/saloon"})
    assert now(desk).panel.name == "tank top"


@pytest.mark.parametrize(
    ("panel", "way"),
    [("bulkhead/collision", "height"), ("lid/tank top", "aft")],
)
def test_an_arrow_key_moves_a_joint_as_it_points_on_the_paper(desk: Controller, panel: str, way: str) -> None:
    """A step of 5 mm to the right or up on the drawing, 1 mm when fine; an arrow along the joint moves nothing."""
    desk.take({"do": "select", "part": panel})
    desk.take({"do": "joint_in", "value": way})
    desk.parts()
    before = desk.pattern.drawn[0].ends(now(desk), 0)
    assert before is not None
    towards, across, axis = ("right", "up", 0) if before[0][0] == before[1][0] else ("up", "right", 1)
    moved = []
    for fine, arrow in ((False, towards), (True, towards), (False, across)):
        desk.take({"do": "nudge", "towards": arrow, "fine": fine, "where": "pattern", "joint": "0"})
        desk.parts()
        after = desk.pattern.drawn[0].ends(now(desk), 0)
        assert after is not None
        moved.append((after[0][axis] - before[0][axis]) * desk.pattern.drawn[0].placing.scale)
        before = after
    assert moved == pytest.approx([5.0, 1.0, 0.0], abs=0.05)


def test_a_joint_that_is_not_there_is_not_nudged(desk: Controller) -> None:
    """It is refused in words, and nothing changes."""
    before = desk.session.scene
    desk.take({"do": "nudge", "towards": "up", "joint": "7"})
    assert desk.session.scene == before
    assert desk.session.notice is not None
    assert desk.session.notice.refused


def test_keys_move_the_paper_that_has_the_keyboard(desk: Controller) -> None:
    """With nothing selected; the boat is not turned, and the paper ends at its edge."""
    desk.take({"do": "select", "part": ""})
    desk.take({"do": "zoom", "where": "pattern", "at": [0, 0], "factor": 2.0})
    camera, before = desk.looking.camera, desk.pattern.window
    desk.take({"do": "nudge", "towards": "right", "where": "pattern", "at": [0, 0]})
    assert desk.pattern.window[0] > before[0]
    assert desk.pattern.window[1:] == before[1:]
    assert desk.looking.camera == camera
    for _ in range(9):
        desk.take({"do": "nudge", "towards": "right", "where": "pattern", "at": [0, 0]})
    assert desk.pattern.window[0] + desk.pattern.window[2] == pytest.approx(1.0)


def test_a_panel_outside_the_boat_has_no_pattern(desk: Controller) -> None:
    """It stays selected, and the page says why nothing is drawn; no other panel's pattern stands in its place."""
    desk.session.do(MoveBulkhead("collision", -9.0), as_it_is=True)
    parts = desk.parts()
    assert "collision does not stand inside the boat" in parts["boards"]
    assert "polyline" not in parts["pattern"]
    desk.take({"do": "joint_in", "value": "height"})
    assert desk.session.notice is not None
    assert desk.session.notice.refused


def test_the_pattern_follows_the_hand(desk: Controller) -> None:
    """While the bulkhead is dragged its pattern is that of where it is now, to the last bit."""
    before = desk.parts()["pattern"]
    handle = desk.state().handle
    assert handle is not None
    x, y = handle.at[0] / 900, handle.at[1] / 300
    desk.take({"do": "press", "where": "picture", "at": [x, y], "button": "main"})
    desk.take({"do": "move", "where": "picture", "at": [x + 0.05, y - 0.03]})
    desk.before_picture()
    shown = now(desk)
    layout = desk.session.evaluation.layout
    (fresh,) = panel_patterns(layout, desk.session.evaluation.water, ["collision"])
    assert desk.parts()["pattern"] != before
    assert shown.parts is None
    assert shown.wholes[0].outline.equals(fresh.outline)
    assert "Looked at when the hand rests" in desk.parts()["boards"]


def test_a_found_joint_is_taken_over_by_one_action(desk: Controller) -> None:
    """Then it is stated in the scene at whole millimetres, and can be left to the sketch again."""
    assert not now(desk).stated
    found = now(desk).joints
    desk.take({"do": "joints", "whose": "mine"})
    assert stated(desk) == found
    assert desk.session.history.undo_name == "Cut collision at 1004 mm"
    desk.take({"do": "joints", "whose": "found"})
    assert stated(desk) is None


def test_a_found_joint_is_taken_over_by_dragging_it_at_its_ring(desk: Controller) -> None:
    """One named step states the moved joint; undone, it is the found one again."""
    found = now(desk).joints
    ends = desk.pattern.drawn[0].ends(now(desk), 0)
    assert ends is not None
    drag(desk, [ends[0][0], desk.pattern.size[1] - ends[0][1]], (0.0, 5.0))
    desk.take({"do": "release"})
    joints = stated(desk)
    assert joints is not None
    assert found is not None
    assert joints.places[0] < found.places[0] - 0.05
    assert desk.session.history.names == (f"Cut collision at {round(joints.places[0] * 1000)} mm",)
    desk.take({"do": "undo"})
    desk.parts()
    assert stated(desk) is None
    assert now(desk).joints == found


def test_a_joint_is_dragged_on_the_pattern_as_one_named_step(desk: Controller) -> None:
    """In whole 5 mm, its place under the hand, the spaces as they were; Escape puts it back."""
    desk.take({"do": "joints", "whose": "mine"})
    litres = [space.volume for space in desk.session.evaluation.layout.compartments]
    drag(desk, on_joint(desk), (3.0, 5.0))
    joints = stated(desk)
    assert joints is not None
    assert joints.places[0] < 0.95
    assert desk.state().hand[0].label == "joint of collision"
    desk.take({"do": "escape"})
    assert stated(desk) == Joints("height", (1.004,))
    drag(desk, on_joint(desk), (0.0, 5.0))
    desk.take({"do": "release"})
    joints = stated(desk)
    assert joints is not None
    assert desk.session.history.undo_name == f"Move joint of collision 1004 to {round(joints.places[0] * 1000)} mm"
    assert joints.places[0] * 200 == pytest.approx(round(joints.places[0] * 200))
    assert [space.volume for space in desk.session.evaluation.layout.compartments] == litres


def test_a_joint_is_typed_added_and_taken_out(desk: Controller) -> None:
    """In any unit; one more goes into the largest part; with the last one the sketch finds them again."""
    desk.take({"do": "joint", "number": "0", "value": "70 cm"})
    assert stated(desk) == Joints("height", (0.7,))
    desk.take({"do": "joint_in", "value": "height"})
    joints = stated(desk)
    assert joints is not None
    assert len(joints.places) == 2
    desk.take({"do": "joint_out", "number": "1"})
    desk.take({"do": "joint_out", "number": "0"})
    assert stated(desk) is None


def test_a_joint_off_the_centreline_takes_the_place_of_level_ones(desk: Controller) -> None:
    """All lines of a panel are parallel; a place to port can be typed as such."""
    desk.take({"do": "joint_in", "value": "off_centre"})
    assert stated(desk) == Joints("off_centre", (0.0,))
    desk.take({"do": "joint", "number": "0", "value": "120 port"})
    assert stated(desk) == Joints("off_centre", (-0.12,))


def test_joints_that_cannot_be_are_refused_in_words(desk: Controller) -> None:
    """No length, no such joint, two in one place, a way that this panel has not: each is said, and nothing changes."""
    desk.take({"do": "joints", "whose": "mine"})
    scene = desk.session.scene
    asked = [
        ({"do": "joint", "number": "0", "value": "abc"}, "is no length"),
        ({"do": "joint_out", "number": "7"}, "no such joint"),
        ({"do": "joint_in", "value": "aft"}, "not cut so"),
        ({"do": "joints", "whose": "mine"}, "no joint to take over"),
    ]
    for message, words in asked:
        desk.take(message)
        assert desk.session.notice is not None
        assert words in desk.session.notice.text
        assert desk.session.scene is scene


def test_a_weak_joint_is_said_beside_the_pattern(desk: Controller) -> None:
    """A joint of the berth's boards through the middle of the inspection port, and where it would be clear of it."""
    desk.take({"do": "select", "part": "lid/tank top"})
    desk.take({"do": "joint_in", "value": "off_centre"})
    assert "at the centreline runs into inspection port" in desk.parts()["boards"]
    assert "At 190 mm to" in desk.parts()["boards"]


def test_a_built_panel_has_a_pattern_but_is_not_cut(desk: Controller) -> None:
    """It is shown and said to be no part of the build; nothing is found for it."""
    desk.take({"do": "select", "part": "bulkhead/main"})
    assert "Built already" in desk.parts()["boards"]
    assert now(desk).joints is None


def test_the_hand_moves_and_magnifies_the_paper(desk: Controller) -> None:
    """Beside a joint a drag moves the paper, a wheel brings it closer; nothing of the boat changes."""
    scene = desk.session.scene
    desk.take({"do": "zoom", "where": "pattern", "factor": 2.0, "at": [80.0, 55.0]})
    window = desk.pattern.window
    drag(desk, [20.0, 20.0], (-8.0, 0.0))
    desk.take({"do": "release"})
    assert window[2] == pytest.approx(0.5)
    assert desk.pattern.window[0] > window[0]
    assert desk.session.scene is scene


def test_a_berth_on_boards_of_its_own_shows_them() -> None:
    """Boards and infill, with no joints to state: they are cut where they must be."""
    desk = desk_for(demo_folder() / "scenes" / "ternholm-forepeak.yaml", None)
    desk.take({"do": "arrange", "arrangement": "pattern"})
    desk.take({"do": "select", "part": "berth/fore berth"})
    assert [whole.kind for whole in now(desk).wholes] == ["berth board", "infill"]
    assert now(desk).joints is None
    assert "Add a joint" not in desk.parts()["boards"]
    desk.take({"do": "joint_in", "value": "aft"})
    assert desk.session.notice is not None
    assert "not cut so" in desk.session.notice.text


def test_boards_that_take_long_do_not_hold_up_the_hand(desk: Controller, monkeypatch: pytest.MonkeyPatch) -> None:
    """Boards that take a tenth of a second stay for another while the hand goes on; once it stops or lets go they are new."""
    clock = [0.0]
    monkeypatch.setattr("sketcher.web.logic.patterns.time.perf_counter", lambda: clock[0])
    made = sketcher.web.logic.patterns._boards

    def slowly(*args: Any, **kwargs: Any) -> Boards:
        clock[0] += 0.1
        return made(*args, **kwargs)

    monkeypatch.setattr("sketcher.web.logic.patterns._boards", slowly)
    start = evaluate(desk.session.scene)
    cutting = ShownPatterns()
    panel = ObjectRef("bulkhead", "collision")

    def boards_at(at: float, *, resting: bool = False, still: bool = False) -> Boards | None:
        moved = MoveBulkhead("collision", at).apply(start.scene)
        return cutting.boards(evaluate(moved), panel, resting=resting, still=still)

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


def test_a_board_that_no_joint_lets_below_is_not_said_to_need_none(tmp_path: Path) -> None:
    """Where everything is to go through a limber hole, the page says that no joints were found that help."""
    path = copied(tmp_path)
    path.write_text(path.read_text("utf-8") + "\ncutting: {through: limber hole}\n", "utf-8")
    desk = opened(path)
    assert now(desk).joints is None
    assert "none found that help" in desk.parts()["boards"]
    assert "none needed" not in desk.parts()["boards"]
