"""The places along the range of the selected part: worked out beside the page, kept while nothing else changes."""

from __future__ import annotations

import threading
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import COLLISION, DrivenSketch, copied_boats, driven

from sketcher.analysis.places.place_rows import row_at
from sketcher.analysis.places.rows import PlaceRow
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.places.along_range import AlongRange
from sketcher.web.logic.places.moved_numbers import moved_numbers
from sketcher.web.logic.places.workers import Workers

pytestmark = pytest.mark.example


class Here:
    """Gives made up rows for what it is handed, at once or when it is told to."""

    def __init__(self, *, at_once: bool = True) -> None:
        self.at_once, self.waiting, self.places = at_once, [], []

    def submit(self, _: Any, __: Any, places: Any) -> Future[Any]:
        done: Future[Any] = Future()
        self.places += [place for (place,) in places]
        self.waiting.append((done, places))
        if self.at_once:
            self.go_on()
        return done

    def go_on(self) -> None:
        waiting, self.waiting = self.waiting, []
        for done, places in waiting:
            if done.set_running_or_notify_cancel():
                done.set_result([PlaceRow(place, {"compartments.forepeak.volume_m3": place[0]}) for place in places])


class Hands(Workers):
    """Such work in place of processes."""

    def __init__(self, *, at_once: bool = True) -> None:
        super().__init__(cores=2)
        self.here = Here(at_once=at_once)

    def executor(self) -> Any:
        return self.here


@pytest.fixture(scope="module")
def along(tmp_path_factory: pytest.TempPathFactory) -> DrivenSketch:
    """The smallest demo with its collision bulkhead selected, nothing worked out yet; its range has few places."""
    sketch = driven(copied_boats(tmp_path_factory.mktemp("along")) / "scenes" / "quillet-forepeak.yaml")
    sketch.workspace.along.workers = Hands()
    sketch.ask("size", size=[900, 500], sheet=[900, 400])
    sketch.ask("select", part=COLLISION)
    return sketch


def test_each_kind_of_part_goes_as_far_as_it_is_free(along: DrivenSketch) -> None:
    """A bulkhead from the stem to the next one, a berth with the lid that it lies on, an opening in its lid, a space nowhere."""
    evaluation = along.evaluation
    lines = {
        kind: moved_numbers(evaluation, ObjectRef(kind, name))  # type: ignore[arg-type]
        for kind, name in (
            ("bulkhead", "collision"),
            ("lid", "berth top"),
            ("berth", "vee berth"),
            ("opening", "berth port"),
            ("compartment", "forepeak"),
        )
    }
    place, rake = lines["bulkhead"]
    assert (place.word, rake.word) == ("place", "rake")
    assert place.range.high < 2.7
    assert place.now(evaluation.scene) == 0.7
    assert len(place.range.values) <= 61
    assert lines["berth"] == lines["lid"]
    assert {number.range.key for number in lines["opening"]} == {"at", "size"}
    assert lines["compartment"] == ()


def test_the_nearest_places_come_first_and_stay_while_nothing_else_changes(along: DrivenSketch) -> None:
    """From where it stands outwards; kept where it is put elsewhere, begun anew where another part is changed."""
    workspace = along.workspace
    hands = workspace.along.workers
    assert isinstance(hands, Hands)
    along.parts()
    assert workspace.along.shown is not None
    assert workspace.along.shown.rows == {}
    workspace.work_along()
    shown = workspace.along.shown
    assert shown.complete
    far = [abs(place - 0.7) for place in hands.here.places]
    assert far == sorted(far)
    along.ask("put_along", share=0.5)
    along.parts()
    assert workspace.along.shown is shown
    along.ask("undo")
    along.ask("set", part="lid/berth top", field="height", value="480")
    along.parts()
    assert workspace.along.shown is not shown
    along.ask("undo")
    along.parts()
    assert workspace.along.shown is shown


def test_a_click_puts_it_there_as_a_named_step_and_keys_move_it_on(along: DrivenSketch) -> None:
    """To a whole step of the hand, within its range; undone by the name of what was done."""
    along.ask("put_along", share=0.5)
    values = along.workspace.along.shown.places  # type: ignore[union-attr]
    assert abs(along.collision_at - (values[0] + values[-1]) / 2) <= 0.0025 + 1e-9
    assert along.state().undo == f"Move collision bulkhead 700 to {along.collision_at * 1000:g} mm"
    before = along.collision_at
    along.ask("step_along", by=1)
    assert along.collision_at == pytest.approx(before + 0.005)
    along.ask("step_along", by=-1000, whole=True)
    assert along.collision_at == pytest.approx(values[0])
    for _ in range(3):
        along.ask("undo")
    assert along.collision_at == 0.7


def test_the_strip_shows_curves_and_where_it_stands(along: DrivenSketch) -> None:
    """A field for each kind of figure with its curves; folded away nothing is shown, and nothing where no drawings are."""
    along.workspace.work_along()
    parts = along.parts()
    assert "litres" in parts["curves"]
    assert "forepeak" in parts["curves"]
    assert "polyline" in parts["curves"]
    along.ask("fold_curves")
    assert "polyline" not in along.parts()["curves"]
    along.ask("fold_curves")
    assert along.parts()["curves"] == parts["curves"]
    for arrangement in ("boat", "pattern", "hull", "compare"):
        along.ask("arrange", arrangement=arrangement)
        assert along.parts()["curves"] == ""
        assert '"curves": ""' in along.parts()["page"]
    along.ask("arrange", arrangement="both")
    assert along.parts()["curves"] == parts["curves"]


def test_nothing_is_begun_under_the_hand_and_rows_that_come_then_are_kept(along: DrivenSketch) -> None:
    """While a part is dragged no place is handed out; the curves' markup is the one that was sent."""
    evaluation, held = along.evaluation, True
    hands = Hands(at_once=False)
    places = AlongRange(lambda: held, workers=hands)
    places.look(evaluation, ObjectRef("bulkhead", "collision"))
    places.work()
    assert hands.here.places == []
    held = False
    places.work()
    assert len(hands.here.places) == hands.count + 1
    held = True
    hands.here.go_on()
    assert len(hands.here.places) == hands.count + 1
    assert len(places.shown.rows) == hands.count + 1  # type: ignore[union-attr]
    before = along.parts()["curves"]
    along.ask("press", where="drawing", at=[1, 1], button="main")
    assert along.parts()["curves"] == before
    along.ask("release")


def test_what_waits_for_a_part_that_is_left_is_not_worked_out(along: DrivenSketch) -> None:
    """Places that are handed out and not begun are taken back when another part is selected."""
    hands = Hands(at_once=False)
    places = AlongRange(workers=hands)
    places.look(along.evaluation, ObjectRef("bulkhead", "collision"))
    places.work()
    left = [done for done, _ in hands.here.waiting]
    places.look(along.evaluation, ObjectRef("lid", "berth top"))
    assert all(done.cancelled() for done in left)
    places.work()
    assert places.shown is not None
    assert set(hands.here.places[len(left) :]) <= set(places.shown.places)


@pytest.mark.slow
def test_processes_end_with_the_page_whatever_they_are_at(boats: Path) -> None:
    """Begun by the first place that is wanted; their rows are those of a sweep; gone at the end, also while they work."""
    sketch = driven(boats / "scenes" / "quillet-forepeak.yaml")
    sketch.ask("select", part=COLLISION)
    sketch.parts()
    along = sketch.workspace.along
    assert along.workers.running == ()
    come = threading.Event()
    along.changed = come.set
    along.work()
    running = along.workers.running
    assert len(running) >= 1
    assert come.wait(60)
    shown = along.shown
    assert shown is not None
    place, row = next(iter(shown.rows.items()))
    assert row == row_at(shown.question, (place,))
    along.end()
    assert not any(process.is_alive() for process in running)


def test_the_water_has_curves_and_no_best_place(along: DrivenSketch) -> None:
    """Selected, it is moved as a whole or by a mark; she floats where she does, so no goal is offered for it."""
    along.ask("select", part="waterline/waterline")
    along.parts()
    shown = along.workspace.along.shown
    assert shown is not None
    assert shown.number.range.object == "waterline.level"
    along.workspace.work_along()
    assert along.workspace.goals_along() == ()
    along.ask("select", part=COLLISION)
    along.parts()
    assert along.workspace.goals_along()


def test_an_opening_is_looked_at_with_each_space_holed_that_it_joins(along: DrivenSketch) -> None:
    """A way through joins two spaces; a port that is tight none, and nothing of flooding hangs on it."""
    for name, holed in (("way through", {("cabin",), ("saloon",)}), ("berth port", set())):
        along.ask("select", part=f"opening/{name}")
        along.parts()
        shown = along.workspace.along.shown
        assert shown is not None
        assert set(shown.question.holed) == holed
