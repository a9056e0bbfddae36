"""The best place on the page: looked for beside it, put there as one step, left when it is not wanted."""

from __future__ import annotations

import threading
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import COLLISION, DrivenSketch, driven

from sketcher.analysis.places.rows import LimitRow, PlaceRow, Question
from sketcher.outputs.places.figure_words import figure_name
from sketcher.web.logic.places.best_search import BestSearch
from sketcher.web.logic.places.goals import PlaceGoal, place_goals
from sketcher.web.logic.places.workers import Workers

TOP = 1.234
"""[m] Where the figure of made up rows is greatest."""
PATH = "compartments.forepeak.volume_m3"


def made_up(question: Question, place: tuple[float, ...]) -> PlaceRow:
    """A row whose litres are a parabola over the place, at most 2000; a limit asks for 3000."""
    value = 2.0 - (place[0] - TOP) ** 2
    read = tuple(LimitRow("", limit.figure, PATH, value, 0.0, True, value) for limit in question.more)
    limits = tuple(LimitRow(limit.name, limit.figure, PATH, value, 3.0, False, value - 3.0) for limit in question.scene.limits)
    return PlaceRow(place, {PATH: value}, limits, read)


class Hands(Workers, Executor):
    """Made up rows, once it is told to go on; at once where it is never told to wait."""

    def __init__(self) -> None:
        super().__init__(cores=2)
        self.free = threading.Event()
        self.free.set()
        self.handed = 0

    def executor(self) -> Any:
        return self

    def submit(self, _: Any, question: Question, places: Any) -> Future[Any]:  # type: ignore[override]
        self.handed += len(places)
        done: Future[Any] = Future()

        def work() -> None:
            self.free.wait(20)
            if done.set_running_or_notify_cancel():
                done.set_result([made_up(question, place) for place in places])

        threading.Thread(target=work, daemon=True).start()
        return done


@pytest.fixture
def along(boats: Path) -> DrivenSketch:
    """The smallest demo with its collision bulkhead selected, and hands in place of processes."""
    return selected(boats / "scenes" / "quillet-forepeak.yaml")


def selected(path: Path) -> DrivenSketch:
    sketch = driven(path)
    workspace = sketch.workspace
    workspace.along.workers = workspace.best.workers = Hands()
    sketch.ask("select", part=COLLISION)
    sketch.parts()
    workspace.work_along()
    for working in list(workspace.along.shown.working.values()):  # type: ignore[union-attr]
        if working is not None:
            working.result(20)
    return sketch


@pytest.mark.closed_form
def test_the_best_place_is_found_to_the_millimetre_and_taken_as_one_step(along: DrivenSketch) -> None:
    """The top of a parabola; told in words, undone as one step."""
    workspace = along.workspace
    along.ask("best_along")
    assert workspace.best.looking is not None
    workspace.best.wait(30)
    workspace.follow_pointer()
    assert along.collision_at == pytest.approx(TOP, abs=1e-9)
    assert along.notice is not None
    assert along.notice.text == "Put at 1234 mm: most litres of forepeak, 2000 L"
    along.ask("undo")
    assert along.collision_at == 0.7
    assert along.session.history.names == ()


@pytest.mark.closed_form
def test_where_no_place_keeps_to_the_limits_it_is_said_what_would_let_one(boats: Path) -> None:
    """A parabola of at most 2000 litres where 3000 are asked for: nothing is moved, and the limit would have to give 1000."""
    path = boats / "scenes" / "quillet-forepeak.yaml"
    limits = "limits:\n  huge: {figure: litres, of: forepeak, at_least: 3000}\n"
    path.write_text(path.read_text(encoding="utf-8") + limits, encoding="utf-8")
    sketch = selected(path)
    sketch.ask("best_along")
    sketch.workspace.best.wait(30)
    sketch.workspace.follow_pointer()
    assert sketch.collision_at == 0.7
    strip = sketch.parts()["curves"]
    assert "`huge` alone is met nowhere." in strip
    assert "If `huge` gives 1000 L, to 2000 L, all others are met at collision.at 1234 mm." in strip
    assert "misses huge" in strip


@pytest.mark.example
def test_a_search_waits_for_the_hand_and_can_be_left(along: DrivenSketch) -> None:
    """No place is handed out while something is dragged; what is left changes nothing, and the next begins."""
    workspace, hands = along.workspace, along.workspace.best.workers
    assert isinstance(hands, Hands)
    moving = True
    search = BestSearch(hands, lambda: moving)
    shown, goal = workspace.along.shown, PlaceGoal(True, "litres", "forepeak")
    assert shown is not None
    before = hands.handed
    search.begin(shown, shown.question, goal)
    search.wait(0.2)
    assert hands.handed == before
    hands.free.clear()
    moving = False
    search.wait(0.2)
    assert 0 < hands.handed - before <= 4 * (hands.count + 1)
    search.stop()
    hands.free.set()
    search.wait(20)
    assert search.newly_come() is None
    search.begin(shown, shown.question, goal)
    search.wait(30)
    come = search.newly_come()
    assert come is not None
    assert come.answer is not None


@pytest.mark.example
def test_what_was_found_of_another_layout_is_not_taken(along: DrivenSketch) -> None:
    """An edit to another part while it is looked: the bulkhead stays, and it is said why."""
    along.ask("best_along")
    along.workspace.best.wait(30)
    along.ask("set", part="lid/berth top", field="height", value="480")
    along.workspace.follow_pointer()
    assert along.collision_at == 0.7
    assert along.notice is not None
    assert "was changed while" in along.notice.text


@pytest.mark.example
def test_the_owner_chooses_of_what_there_is_to_be_most(along: DrivenSketch) -> None:
    """First the largest void's litres; every figure that has a word, most and least of it; a holed one only of what is holed."""
    paths = [PATH, "compartments.berth space.volume_m3", "waterline.trim_deg", "flooding.cabin.trim_deg"]
    words = [goal.words for goal in place_goals(along.evaluation, paths, ())]
    assert words[0] == "most litres of berth space"
    assert {"least litres of forepeak", "least trim", "most trim"} <= set(words)
    assert not any("holed" in each for each in words)
    holed = [goal.words for goal in place_goals(along.evaluation, paths, ("cabin",))]
    assert "least trim with cabin holed" in holed
    assert figure_name(paths[-1]).words in "least trim with cabin holed"
    along.ask("goal", value="least litres of forepeak")
    assert along.workspace.goals_along()[0].words == "least litres of forepeak"
