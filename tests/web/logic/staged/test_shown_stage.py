"""The boat shown as she is after a stage of her refit: picture, drawings and lists follow, edits go into the whole layout."""

from __future__ import annotations

import threading

import pytest
from driven_sketch import COLLISION, DrivenSketch, copied_boats, driven

from sketcher.analysis.evaluate import evaluate, hull_form
from sketcher.analysis.staging import scene_after
from sketcher.web.logic.staged.shown_stage import ShownStage, staged_words
from sketcher.web.newest_asked import NewestAsked

pytestmark = pytest.mark.example

STAGED = "stages: {1: this winter, 2: next year}\n"


@pytest.fixture(scope="module")
def staged(tmp_path_factory: pytest.TempPathFactory) -> DrivenSketch:
    """The smallest demo whose lid and berth come next year."""
    path = copied_boats(tmp_path_factory.mktemp("staged")) / "scenes" / "quillet-forepeak.yaml"
    text = path.read_text(encoding="utf-8").replace("to: main, thickness: 9}", "to: main, thickness: 9, stage: 2}")
    path.write_text(text + STAGED, encoding="utf-8")
    return driven(path)


def shown_after(sketch: DrivenSketch, number: int) -> None:
    sketch.ask("stage", value=number)
    sketch.parts()
    sketch.workspace.stage.wait()


def test_what_is_shown_follows_the_stage_and_says_so(staged: DrivenSketch) -> None:
    """After this winter: no lid in drawings, lists and picture, figures of the staged report; the title and the margin say it."""
    assert staged.state().stages == ("this winter", "next year")
    assert "berth top" in staged.parts()["parts"]
    assert "berth top" in " ".join(staged.workspace.drawn_boat().shapes.surfaces)
    shown_after(staged, 1)
    parts, state = staged.parts(), staged.state()
    assert "berth top" not in parts["parts"]
    assert "lid/berth top" not in parts["sheet-profile"]
    assert "berth top" not in " ".join(staged.workspace.drawn_boat().shapes.surfaces)
    assert ", after this winter" in parts["bar"]
    assert "She is shown as after this winter." in parts["stages"]
    alone = evaluate(scene_after(staged.scene, 1, hull_form(staged.scene.hull)))
    litres = [(space.name, space.volume) for space in state.evaluation.layout.compartments]
    assert litres == [(space.name, space.volume) for space in alone.layout.compartments]
    drawings = staged.controller.download("drawings.svg")
    assert drawings is not None
    assert b"after this winter" in drawings[0]
    shown_after(staged, 0)
    assert "berth top" in staged.parts()["parts"]
    assert "shown as" not in staged.parts()["stages"]


def test_an_edit_goes_into_the_whole_layout_and_is_then_seen(staged: DrivenSketch) -> None:
    """Moved while she is shown after stage 1: the file's scene keeps its lid, and what is shown follows."""
    shown_after(staged, 1)
    staged.ask("set", part=COLLISION, field="at", value="760")
    staged.parts()
    staged.workspace.stage.wait()
    assert not staged.state().stage_behind
    assert [lid.name for lid in staged.scene.lids] == ["berth top"]
    shown = staged.state().evaluation.scene
    assert (shown.bulkheads[0].at, shown.lids) == (0.76, ())
    staged.ask("undo")
    staged.ask("select", part="lid/berth top")
    staged.parts()
    staged.workspace.stage.wait()
    assert "berth top comes later" in staged.parts()["stages"]
    shown_after(staged, 0)


def test_what_is_dragged_is_seen_in_the_whole_layout(staged: DrivenSketch) -> None:
    """From the hand's first step to its release; then the stage again."""
    shown_after(staged, 1)
    staged.ask("select", part=COLLISION)
    staged.parts()
    start = staged.handle()
    staged.drag("picture", start, (start[0] + 0.05, start[1]), drop=False, grip="whole")
    assert staged.workspace.shown is staged.evaluation
    staged.ask("escape")
    staged.parts()
    staged.workspace.stage.wait()
    assert staged.workspace.shown.scene.lids == ()
    shown_after(staged, 0)


def test_a_stage_that_cannot_be_worked_out_says_why(staged: DrivenSketch) -> None:
    """The whole layout is shown then; a number that is none is the whole as well."""
    from sketcher.model.errors import SketchError

    def refuse(_: object) -> object:
        raise SketchError("nothing holds her up")

    stage = ShownStage(refuse)  # type: ignore[arg-type]
    stage.choose(1)
    assert stage.of(staged.evaluation) is staged.evaluation
    stage.wait()
    assert stage.problem == "nothing holds her up"
    stage.choose(7)
    assert stage.of(staged.evaluation) is staged.evaluation
    assert staged_words(staged.scene) == ((1, "this winter"), (None, "next year"))


@pytest.mark.example
def test_what_was_asked_meanwhile_is_dropped_for_the_newest(caplog: pytest.LogCaptureFixture) -> None:
    """What fails is told in the log, and does not stop what comes after it."""
    begun, go_on, done = threading.Event(), threading.Event(), []

    def work(asked: str) -> None:
        begun.set()
        assert go_on.wait(10)
        if asked == "first":
            raise ValueError("of no use")
        done.append(asked)

    newest = NewestAsked(work, "test's work")
    newest.ask("first")
    assert begun.wait(10)
    assert newest.behind
    newest.ask("second")
    newest.ask("third")
    go_on.set()
    newest.wait()
    assert (done, newest.behind) == (["third"], False)
    assert "the test's work could not be worked out" in caplog.text
