"""How sure the figures on the page are: worked out beside it, left where the layout changes, kept for who goes back."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

import pytest
from box_boat import box_boat

from sketcher.analysis.evaluate import evaluate
from sketcher.web.logic.places.workers import Workers
from sketcher.web.logic.sure.known_figures import KnownFigures

pytestmark = pytest.mark.example


class Threads(Workers):
    """Threads in place of processes: they begin at once."""

    def __init__(self) -> None:
        super().__init__(cores=2)
        self.pool = ThreadPoolExecutor(1)

    def executor(self) -> Any:
        return self.pool


def test_bands_come_and_stay_with_their_layout() -> None:
    """Told once they are there; another layout has none, and what is known is not worked out again."""
    told = threading.Event()
    known = KnownFigures(Threads(), changed=told.set)
    boat = evaluate(box_boat())
    assert known.of(boat.scene) is None
    known.ahead(boat)
    known.wait(60.0)
    sure = known.of(box_boat())
    assert told.is_set()
    assert sure is not None
    assert sure.certainty.either_way("compartments.peak.volume_m3", 1.8, "mm") == "±29"
    assert [each.name for each in sure.again] == ["litres of peak", "bow freeboard"]
    assert known.of(replace(boat.scene, name="other")) is None
    told.clear()
    known.ahead(boat)
    known.wait(60.0)
    assert not told.is_set()
    known.forget()
    assert known.of(boat.scene) is None


def test_nothing_is_worked_out_while_a_hand_moves_nor_for_a_layout_that_is_gone() -> None:
    """It waits as long as it is to, and ends when it is not wanted any more."""
    told = threading.Event()
    known = KnownFigures(Threads(), waiting=lambda: True, changed=told.set)
    boat = evaluate(box_boat())
    known.ahead(boat)
    known.wait(0.3)
    assert not told.is_set()
    known.stop()
    known.wait(10.0)
    assert known.of(boat.scene) is None
    assert not told.is_set()
