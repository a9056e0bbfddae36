"""Bottles are placed beside the server: what is typed meanwhile is taken at once, and they come when they are placed."""

from __future__ import annotations

import json
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import COLLISION, DrivenSketch, driven

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.fit import bottles
from sketcher.web.logic.later_bottles import LaterBottles

pytestmark = pytest.mark.example
BOTTLES = "bottles:\n  small: {in: forepeak, diameter: 90, length: 300, litres: 1.5, direction: fore and aft, at_most: 5}\n"
SOON = 60.0
"""Seconds that another thread may take on a busy machine."""


@pytest.fixture
def bottled(boats: Path) -> DrivenSketch:
    """A forepeak with five bottles in it."""
    path = boats / "scenes" / "quillet-forepeak.yaml"
    path.write_text(path.read_text() + BOTTLES)
    return driven(path)


def test_a_number_typed_while_bottles_are_placed_is_taken_at_once(bottled: DrivenSketch, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two numbers, one after the other, before any bottle stands; then those of the last scene come, and nothing is faint."""
    placing, go_on, come = threading.Event(), threading.Event(), threading.Event()
    pack = bottles.best_packing

    def slowly(*stated: Any) -> Any:
        placing.set()
        assert go_on.wait(SOON)
        return pack(*stated)

    monkeypatch.setattr(bottles, "best_packing", slowly)
    session = bottled.session
    session.bottles = LaterBottles(evaluate, come.set, SOON)
    bottled.ask("set", part=COLLISION, field="at", value="720")
    assert placing.wait(SOON)
    bottled.ask("set", part=COLLISION, field="at", value="740")
    assert bottled.collision_at == pytest.approx(0.74)
    fresh = {space.name: space.volume for space in evaluate_without_bottles(bottled).layout.compartments}
    assert {space.name: space.volume for space in bottled.evaluation.layout.compartments} == fresh
    assert session.filling
    assert {"contents", "noticed"} <= set(json.loads(bottled.parts()["page"])["behind"].split())
    go_on.set()
    assert come.wait(SOON)
    bottled.controller.before_picture()
    assert not session.filling
    assert json.loads(bottled.parts()["page"])["behind"] == ""
    assert bottled.evaluation.contents is not None
    assert bottled.evaluation.contents.bottles[0].stows[0].count == 5
    assert bottled.evaluation.findings == evaluate(bottled.scene).findings


def evaluate_without_bottles(sketch: DrivenSketch) -> Any:
    """The figures of the scene as it stands, but for its bottles."""
    return evaluate(replace(sketch.scene, bottles=()))


def test_what_is_taken_away_has_its_bottles(bottled: DrivenSketch) -> None:
    """A drawing asked for while they are placed waits for them."""
    session = bottled.session
    session.bottles = LaterBottles(evaluate, lambda: None, SOON)
    bottled.ask("set", part=COLLISION, field="at", value="720")
    session.finish()
    assert not session.filling
    assert bottled.evaluation.contents is not None
    assert bottled.evaluation.contents.bottles[0].stows[0].count == 5
