"""Laying out and moving panels, as ratios from one run, against the same compartments cut by another library.

Run with `pytest tests/benchmarks/bench_layout.py -s`; each test prints its two times and their ratio, taken in turn so that both
meet the same machine, and hands ours to the benchmark plugin for its table.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from statistics import median
from time import perf_counter

import numpy as np
import pytest
from places import HULLS, ROOT, SCENES
from pytest_benchmark.fixture import BenchmarkFixture
from rivals import cut_by_slices, twelve_compartments

from sketcher.analysis.cut.panel_patterns import panel_patterns
from sketcher.analysis.evaluate import hull_form, judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.analysis.spaces.layout import lay_out
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.scene_file import read_scene
from sketcher.model.scene import Bulkhead, Scene
from sketcher.outputs.drawing.svg import items_as_svg
from sketcher.outputs.paper.pattern_paper import small

pytestmark = [pytest.mark.property, pytest.mark.slow]
SAME = 1e-9
"""Share by which figures after a move may differ from a fresh evaluation."""


def side_by_side(ours: Callable[[], object], theirs: Callable[[], object], rounds: int = 15) -> tuple[float, float]:
    """Median seconds of each, run in turn so that both meet the same machine."""
    times: tuple[list[float], list[float]] = ([], [])
    ours(), theirs()
    for _ in range(rounds):
        for call, took in zip((ours, theirs), times, strict=True):
            start = perf_counter()
            call()
            took.append(perf_counter() - start)
    return median(times[0]), median(times[1])


def quickest(call: Callable[[], object]) -> float:
    """Least seconds of three runs."""
    took = []
    for _ in range(3):
        start = perf_counter()
        call()
        took.append(perf_counter() - start)
    return min(took)


def said(benchmark: BenchmarkFixture, call: Callable[[], object], what: str, ours: float, theirs: float) -> float:
    benchmark.extra_info["ratio"] = theirs / ours
    benchmark.pedantic(call, rounds=5)
    print(f"\n{what}: {1000 * ours:.1f} ms against {1000 * theirs:.1f} ms, {theirs / ours:.2f} times as fast")
    return theirs / ours


def figures(layout: Layout) -> dict[str, tuple[float, ...]]:
    return {c.name: (c.volume, *c.centroid, c.lowest, c.highest) for c in layout.compartments}


def moved(scene: Scene, name: str, by: float) -> Scene:
    return replace(scene, bulkheads=tuple(replace(b, at=b.at + by) if b.name == name else b for b in scene.bulkheads))  # type: ignore[operator]


def untied(scene: Scene) -> Scene:
    """The same panels, those at bulkhead 1 ending at distances inside it and not tied to it."""

    def free(limit: float | str) -> float | str:
        return 4.009 if limit == "bulkhead 1" else limit

    return replace(
        scene,
        lids=tuple(replace(p, start=free(p.start), end=free(p.end)) for p in scene.lids),
        partitions=tuple(replace(p, start=free(p.start), end=free(p.end)) for p in scene.partitions),
    )


def with_two_lids_tied(scene: Scene) -> Scene:
    """Only the two lids beside bulkhead 1 are tied to it, and nothing to those: the webs end at heights inside the lids."""
    inside = {lid.name: lid.height - lid.thickness / 2 for lid in scene.lids}
    return replace(scene, partitions=tuple(replace(p, top=inside[str(p.top)]) for p in untied(scene).partitions))


def test_a_whole_layout_is_faster_than_capped_slices(benchmark: BenchmarkFixture) -> None:
    """Twelve compartments with everything that is told of them, at least 1.5 times as fast as the bare volumes by slices."""
    scene = twelve_compartments()
    form = hull_form(scene.hull)
    layout = lay_out(scene, form)
    assert sorted(c.volume for c in layout.compartments) == pytest.approx(cut_by_slices(form, layout), rel=1e-9)
    ours, theirs = side_by_side(lambda: lay_out(scene, form), lambda: cut_by_slices(form, layout))
    assert said(benchmark, lambda: lay_out(scene, form), "whole layout", ours, theirs) >= 1.5


@pytest.mark.parametrize(("tied", "least"), [(untied, 10.0), (with_two_lids_tied, 5.0)], ids=["alone", "two lids tied"])
def test_a_moved_bulkhead_is_faster_still(benchmark: BenchmarkFixture, tied: Callable[[Scene], Scene], least: float) -> None:
    """A bulkhead under the hand, alone or with two lids tied to it, with the figures of a fresh evaluation."""
    scene = tied(twelve_compartments())
    form = hull_form(scene.hull)
    layout = lay_out(scene, form)
    mover = Mover(layout, "bulkhead 1")
    step = [0]

    def drag() -> Layout:
        step[0] += 1
        return mover.at(moved(scene, "bulkhead 1", 0.001 * (step[0] % 8) - 0.004))

    ours, theirs = side_by_side(drag, lambda: cut_by_slices(form, layout))
    there = moved(scene, "bulkhead 1", 0.003)
    fresh, followed = figures(lay_out(there, form)), figures(mover.at(there))
    assert fresh.keys() == followed.keys()
    for name in fresh:
        np.testing.assert_allclose(followed[name], fresh[name], rtol=SAME, atol=SAME)
    assert said(benchmark, drag, f"{len(mover.moving)} panels moved", ours, theirs) >= least


def test_a_report_from_cold_costs_little_more_than_its_libraries() -> None:
    """A whole report in a fresh process, in multiples of importing numpy, shapely and manifold3d."""

    ordinary = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}

    def run(*command: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, *command], check=True, capture_output=True, cwd=ROOT, env=ordinary)

    ours, theirs = side_by_side(
        run("-m", "sketcher", "report", "scenes/quillet-forepeak.yaml"), run("-c", "import numpy, shapely, manifold3d"), 11
    )
    print(f"\ncold report: {1000 * ours:.0f} ms, {ours / theirs:.2f} times the imports' {1000 * theirs:.0f} ms")
    assert ours / theirs <= 2.5


def test_cost_grows_in_step_with_triangles_and_panels() -> None:
    """Up to 200 000 triangles, and up to 60 panels: near linear, so doubling the one at most 2.6 times the time."""
    hull = read_hull(HULLS / "marram-29.yaml")
    scene = twelve_compartments()
    rows = []
    for resolution in (1.0, 2.0, 4.0, 9.0):
        form = form_hull(hull, resolution)
        rows.append((len(form.inside.triangles), quickest(lambda form=form: lay_out(scene, form))))  # type: ignore[misc]
    form = hull_form(hull)
    for count in (7, 15, 30, 60):
        places = np.linspace(0.6, 8.2, count)
        many = replace(
            scene,
            lids=(),
            partitions=(),
            bulkheads=tuple(Bulkhead(name=f"b {k:02}", at=float(x), thickness=0.012) for k, x in enumerate(places)),
        )
        assert len(lay_out(many, form).compartments) == count + 1
        rows.append((count, quickest(lambda many=many: lay_out(many, form))))  # type: ignore[misc]
    for size, took in rows:
        print(f"\n{size} triangles or panels: {1000 * took:.0f} ms", end="")
    for group in (rows[:4], rows[4:]):
        (small, quick), (large, slow) = group[0], group[-1]
        assert slow / quick <= 1.38 * large / small


def test_the_pattern_of_a_panel_follows_the_hand(benchmark: BenchmarkFixture) -> None:
    """The moved bulkhead's pattern, drawn, takes no longer than the figures of the same step."""
    scene = read_scene(SCENES / "marram-forepeak.yaml")
    mover = Mover(lay_out(scene, hull_form(scene.hull)), "collision")
    step = [0]

    def figures_of_step() -> Evaluation:
        step[0] += 1
        return judged(mover.at(moved(scene, "collision", 0.001 * (step[0] % 8) - 0.004)))

    now = figures_of_step()

    def drawn_pattern() -> str:
        (pattern,) = panel_patterns(now.layout, now.water, ["collision"])
        return items_as_svg(small(pattern, 130.0, 100.0, "mm")[0], 100.0)

    pattern, figures_alone = side_by_side(drawn_pattern, figures_of_step)
    assert said(benchmark, drawn_pattern, "the pattern of a moved panel", pattern, figures_alone) >= 1.0
