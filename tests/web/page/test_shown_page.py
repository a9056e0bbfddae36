"""What of the page follows at once while something is dragged, and what at leisure."""

from __future__ import annotations

import json
import re
import threading

import pytest
from driven_sketch import COLLISION, DrivenSketch

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.spaces.drag.dragged_layout import Mover

pytestmark = pytest.mark.example


def test_all_drawings_follow_when_the_hand_rests(sketch: DrivenSketch) -> None:
    """While she moves the drawings' lines wait, their figures do not; in a pause the lines show where the bulkhead stands."""

    def lines() -> list[str]:
        parts = sketch.parts()
        return [re.sub(r"<text.*?</text>", "", parts[f"sheet-{view}"]) for view in ("profile", "plan", "section")]

    sketch.ask("select", part=COLLISION)
    before = lines()
    x, y = sketch.handle()
    sketch.drag("picture", (x, y), (x + 0.04, y - 0.02), drop=False)
    sketch.controller.picture(False)
    assert lines() == before
    sketch.controller.picture(True)
    assert lines() != before


def test_what_is_read_follows_a_moving_hand_at_leisure(sketch: DrivenSketch, monkeypatch: pytest.MonkeyPatch) -> None:
    """While she moves litres follow at every step, sentences and lists a few times a second, and at the latest in a pause."""
    clock = [1e9]
    monkeypatch.setattr("sketcher.web.page.shown_page.time.monotonic", lambda: clock[0])
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()

    def moved(to: float) -> dict[str, str]:
        sketch.ask("move", where="picture", at=[x + to, y - to / 2])
        sketch.controller.before_picture()
        sketch.controller.picture(False)
        return sketch.parts()

    sketch.drag("picture", (x, y), (x + 0.01, y - 0.005), drop=False)
    sketch.controller.picture(False)
    first = sketch.parts()
    soon = moved(0.03)
    assert soon["spaces-together"] != first["spaces-together"]
    assert soon["noticed"] == first["noticed"]
    clock[0] += 1.0
    later = moved(0.06)
    assert later["noticed"] != soon["noticed"]
    last = moved(0.09)
    assert last["parts"] == later["parts"]
    sketch.controller.picture(True)
    assert sketch.parts()["parts"] != later["parts"]


def test_what_takes_longer_is_faint_until_it_follows(sketch: DrivenSketch, monkeypatch: pytest.MonkeyPatch) -> None:
    """Litres follow at every step; findings and the drawings that wait are marked, and stay until all figures have come."""
    come, go_on, whole = threading.Event(), threading.Event(), Mover.at
    monkeypatch.setattr(Mover, "at", lambda mover, scene: whole(mover, scene) if go_on.wait(60.0) else None)
    sketch.workspace.drag.changed = come.set
    sketch.ask("select", part=COLLISION)
    x, y = sketch.handle()
    before = sketch.parts()
    sketch.drag("picture", (x, y), (x + 0.08, y - 0.04), drop=False)
    sketch.controller.picture(False)
    moving = sketch.parts()
    assert moving["spaces-together"] != before["spaces-together"]
    assert moving["noticed"] == before["noticed"]
    assert {"noticed", "afloat", "sheet-plan"} <= set(json.loads(moving["page"])["behind"].split())
    go_on.set()
    assert come.wait(60.0)
    sketch.controller.before_picture()
    sketch.controller.picture(True)
    assert json.loads(sketch.parts()["page"])["behind"] == ""
    assert sketch.parts()["noticed"] != before["noticed"]
    assert sketch.evaluation.floating == evaluate(sketch.scene).floating
