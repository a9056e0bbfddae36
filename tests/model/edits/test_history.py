"""Undo, redo and strokes."""

from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from scene_specimens import scene_folder

from sketcher.model.edits.actions import MoveBulkhead, SetValue
from sketcher.model.edits.history import History
from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import read_scene
from sketcher.model.hull import Hull, Station
from sketcher.model.scene import Bulkhead, Scene


@pytest.fixture
def history(tmp_path: Path) -> History:
    return History(read_scene(scene_folder(tmp_path / "boat")))


@pytest.mark.example
def test_a_drag_is_one_step(history: History) -> None:
    """However many places a drag passes, it is one step, named from where it began to where it ended."""
    start = history.now
    history.begin()
    for millimetres in range(1150, 1206):
        history.preview(MoveBulkhead("collision", millimetres / 1000.0))
    history.commit()
    assert history.names == ("Move collision bulkhead 1150 to 1205 mm",)
    assert history.undo() is start


@pytest.mark.example
def test_escape_puts_a_drag_back(history: History) -> None:
    """An aborted stroke leaves the very scene it began with and no step."""
    start = history.now
    history.begin()
    history.preview(MoveBulkhead("collision", 1.2))
    assert history.abort() is start
    assert history.names == ()


@pytest.mark.example
def test_a_drag_back_to_its_start_adds_nothing(history: History) -> None:
    """A stroke that ends where it began is no step, and neither is an edit that changes nothing."""
    history.begin()
    history.preview(MoveBulkhead("collision", 1.2))
    history.preview(MoveBulkhead("collision", 1.15))
    history.commit()
    history.do(SetValue("bulkheads", "collision", "at", 1.15))
    assert history.names == ()
    assert not history.unsaved


@pytest.mark.example
def test_a_refused_place_keeps_the_last_good_one(history: History) -> None:
    """A preview that cannot be leaves the last one shown, and the stroke goes on."""
    history.begin()
    history.preview(SetValue("bulkheads", "collision", "thickness", 0.02))
    with pytest.raises(SketchError, match="not a length above 0"):
        history.preview(SetValue("bulkheads", "collision", "thickness", -0.02))
    history.commit()
    assert history.now.bulkheads[0].thickness == 0.02
    assert history.undo_name == "Set collision bulkhead's thickness from 18 to 20 mm"


@pytest.mark.example
def test_undo_and_redo_are_named_and_exact(history: History) -> None:
    """Undo gives the scene before, redo the scene after, each by its name; a new edit ends the way forward."""
    first = history.do(MoveBulkhead("collision", 1.2))
    second = history.do(MoveBulkhead("main", 3.0))
    assert history.undo() is first
    assert history.redo_name == "Move main bulkhead 3250 to 3000 mm"
    assert history.redo() is second
    history.undo()
    history.do(MoveBulkhead("collision", 1.3))
    assert history.redo_name is None


@pytest.mark.example
def test_undoing_to_the_saved_scene_is_nothing_unsaved(history: History) -> None:
    """The mark for unsaved work goes when the scene is again what the file holds."""
    history.do(MoveBulkhead("collision", 1.2))
    assert history.unsaved
    history.undo()
    assert not history.unsaved


def plain_scene() -> Scene:
    """A scene with two bulkheads, without a file."""
    stations = tuple(Station(at=x, points=((0.0, 0.0), (0.9, 0.0), (0.9, 1.0))) for x in (0.0, 4.0))
    bulkheads = tuple(Bulkhead(name=name, at=at, thickness=0.012) for name, at in (("a", 1.0), ("b", 2.0)))
    return Scene(
        name="x", units="mm", hull=Hull(name="h", units="mm", stations=stations), hull_path="h.yaml", bulkheads=bulkheads
    )


class AnyHistory(RuleBasedStateMachine):
    """Any order of edits, strokes, undo and redo against a plain list of scenes."""

    @initialize()
    def start(self) -> None:
        self.history = History(plain_scene())
        self.past = [self.history.now]
        self.place = 0
        self.stroke = False

    @rule(name=st.sampled_from("ab"), at=st.integers(0, 5))
    def do(self, name: str, at: int) -> None:
        self._end()
        self._add(self.history.do(MoveBulkhead(name, float(at))))

    @rule(name=st.sampled_from("ab"), at=st.integers(0, 5))
    def preview(self, name: str, at: int) -> None:
        self.history.preview(MoveBulkhead(name, float(at)))
        self.stroke = True

    @rule()
    def commit(self) -> None:
        self._end()

    @rule()
    def abort(self) -> None:
        self.history.abort()
        self.stroke = False

    @rule()
    def undo(self) -> None:
        self.history.undo()
        if not self.stroke:
            self.place = max(0, self.place - 1)
        self.stroke = False

    @rule(done=st.integers(-1, 6))
    def go_to(self, done: int) -> None:
        self.history.go_to(done)
        self.place = min(max(done, 0), len(self.past) - 1)
        self.stroke = False

    @rule()
    def redo(self) -> None:
        self.history.redo()
        self.place = min(len(self.past) - 1, self.place + 1)
        self.stroke = False

    def _end(self) -> None:
        scene = self.history.commit()
        if self.stroke:
            self._add(scene)
        self.stroke = False

    def _add(self, scene: Scene) -> None:
        if scene != self.past[self.place]:
            self.past[self.place + 1 :] = [scene]
            self.place += 1

    @invariant()
    def agrees(self) -> None:
        if hasattr(self, "history") and not self.stroke:
            assert self.history.now == self.past[self.place]
            assert (self.history.undo_name is None) == (self.place == 0)
            assert (self.history.redo_name is None) == (self.place == len(self.past) - 1)


AnyHistory.TestCase.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
TestAnyHistory = pytest.mark.property(AnyHistory.TestCase)
