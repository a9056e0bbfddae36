"""What a sweep costs beside one move: `pytest tests/benchmarks/bench_places.py -s`.

A move is what the page works out once a hand lets go of a part: all figures, and each space holed. Both in turn, so that they
meet the same machine; processes are started and a hull's surfaces made anew within the sweep's time. Where something else runs
beside it only the ratio of processor times, the sweep's shared among the cores, tells what it would be by the clock.
"""

from __future__ import annotations

import os
from statistics import median
from time import perf_counter, process_time

import pytest
from places import SCENES

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.places.rows import Question
from sketcher.analysis.places.sweep import sweep
from sketcher.model.edits.number_range import at_places, number_range
from sketcher.model.files.scene_file import read_scene
from sketcher.web.logic.damage import holed_in_turn

pytestmark = [pytest.mark.example, pytest.mark.slow]
MOST = 30.0


def test_two_hundred_places_of_a_bulkhead_cost_at_most_thirty_moves() -> None:
    """The four-space demo's collision bulkhead, millimetre by millimetre, on all cores."""
    scene = read_scene(SCENES / "marram-forepeak.yaml")
    wanted = number_range(scene, "collision.at=1101:1300:1")
    assert len(wanted.values) == 200
    moves: list[float] = []
    worked: list[float] = []

    def move(value: float) -> None:
        began, work = perf_counter(), process_time()
        holed_in_turn(evaluate(at_places(scene, (wanted,), (value,))))
        moves.append(perf_counter() - began)
        worked.append(process_time() - work)

    move(1.2)
    moves.clear()
    worked.clear()
    for value in wanted.values[:5]:
        move(value)
    began, before = perf_counter(), os.times()
    found = sweep(Question(scene, (wanted,)))
    took, after = perf_counter() - began, os.times()
    for value in wanted.values[5:10]:
        move(value)
    ratio = took / median(moves)
    work = sum(getattr(after, kind) - getattr(before, kind) for kind in ("user", "system", "children_user", "children_system"))
    shared = work / (os.cpu_count() or 1) / median(worked)
    said = f"200 places: {took:.1f} s; one move: {1000 * median(moves):.0f} ms; ratio {ratio:.1f} on {os.cpu_count()} cores"
    print(f"\n{said}, by processor time {shared:.1f}")
    assert found.complete
    assert ratio <= MOST
