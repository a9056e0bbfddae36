"""Figures that follow what is dragged: never waited for, always of the newest place, and told of when they have come."""

from __future__ import annotations

import queue
import threading
from collections.abc import Iterator
from dataclasses import replace

import pytest
from driven_sketch import DrivenSketch

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.scene import Scene
from sketcher.web.logic.drag.drag_evaluation import DragEvaluation
from sketcher.web.logic.drag.following_figures import FollowingFigures

pytestmark = pytest.mark.example
SOON = 20.0
"""Seconds that another thread may take on a busy machine."""


class Slow:
    """Figures that are ready only when they are let go on."""

    def __init__(self, start: Evaluation) -> None:
        self.begun: queue.Queue[Scene] = queue.Queue()
        self.go_on: queue.Queue[None] = queue.Queue()
        self.told: queue.Queue[None] = queue.Queue()
        at_once = DragEvaluation(self.whole, lambda scene, last: replace(last, scene=scene, findings=()))
        self.figures = FollowingFigures(at_once, start, lambda: self.told.put(None))

    def whole(self, scene: Scene, last: Evaluation) -> Evaluation:
        self.begun.put(scene)
        self.go_on.get(timeout=SOON)
        return replace(last, scene=scene)


@pytest.fixture
def slow(sketch: DrivenSketch) -> Iterator[Slow]:
    """Figures of a boat, that follow."""
    made = Slow(sketch.evaluation)
    yield made
    made.figures.stop()
    made.go_on.put(None)


def test_what_is_watched_is_there_before_the_rest(slow: Slow, sketch: DrivenSketch) -> None:
    """While they are worked out they are behind; then they are told of once, and no longer."""
    scene = replace(sketch.scene, name="moved")
    assert slow.figures.evaluate(scene).findings == ()
    slow.begun.get(timeout=SOON)
    assert slow.figures.behind
    assert slow.figures.newly_come() is None
    slow.go_on.put(None)
    slow.told.get(timeout=SOON)
    assert not slow.figures.behind
    come = slow.figures.newly_come()
    assert come is not None
    assert (come.scene, come.findings) == (scene, sketch.evaluation.findings)
    assert slow.figures.newly_come() is None


def test_only_the_newest_place_is_worked_out(slow: Slow, sketch: DrivenSketch) -> None:
    """What the hand has left meanwhile is passed over; a hand that rests is not kept waiting."""
    scenes = [replace(sketch.scene, name=f"{step}") for step in range(4)]
    slow.figures.evaluate(scenes[0])
    assert slow.begun.get(timeout=SOON) is scenes[0]
    for scene in scenes[1:]:
        slow.figures.evaluate(scene)
    slow.go_on.put(None)
    slow.told.get(timeout=SOON)
    slow.figures.hurry()
    assert slow.begun.get(timeout=SOON) is scenes[-1]


def test_what_is_let_go_is_followed_no_longer(slow: Slow, sketch: DrivenSketch) -> None:
    """The thread ends, and nobody is told of what it was at."""
    slow.figures.evaluate(replace(sketch.scene, name="moved"))
    slow.begun.get(timeout=SOON)
    slow.figures.stop()
    slow.go_on.put(None)
    for thread in threading.enumerate():
        if thread.name == "figures":
            thread.join(SOON)
    assert slow.told.empty()
