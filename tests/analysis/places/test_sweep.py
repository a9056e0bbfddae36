"""Sweeps: every place as a report of its own would tell it."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

import pytest
from scene_specimens import HULL, demo_scene

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.findings import Finding
from sketcher.analysis.flooding.cases import flooding_cases
from sketcher.analysis.places.place_rows import row_at
from sketcher.analysis.places.rows import Question
from sketcher.analysis.places.sweep import sweep
from sketcher.model.demos import demo_scenes
from sketcher.model.document import compose
from sketcher.model.edits.number_range import at_places, number_range
from sketcher.model.files.hull_file import hull_from
from sketcher.model.files.scene_file import read_scene, scene_from, scene_text
from sketcher.model.scene import Scene
from sketcher.model.stated_limits import StatedLimit
from sketcher.outputs.tables.flooding import case_figures
from sketcher.outputs.tables.json_figures import figures

BOX = hull_from(compose(HULL, "box.yaml"))
TEXT = """scene: x
hull: box.yaml
units: mm
waterline: 300
centre_of_gravity: {height: 400}
bulkheads:
  collision: {at: 1000, thickness: 12}
  main: {at: 2500, thickness: 12}
lids:
  top: {height: 500, from: collision, to: main, thickness: 12}
compartments:
  peak: {at: [500, 0, 300]}
limits:
  large: {figure: litres, of: peak, at_least: 1700}
"""
"""In a box 4 m long, 1.8 m wide and 1 m deep: the peak's litres are 1.8 times the bulkhead's place in millimetres."""


def box() -> Scene:
    return scene_from(compose(TEXT, "x"), hull=BOX)


def at(values: Any, path: str) -> Any:
    """What stands at a path of the JSON figures; names may hold points, so the longest that fits is taken."""
    if not path:
        return values
    if isinstance(values, list):
        named = {" and ".join(each["holed"]) if "holed" in each else each["name"]: each for each in values}
        name = next(name for name in sorted(named, key=len, reverse=True) if path == name or path.startswith(f"{name}."))
        return at(named[name], path[len(name) + 1 :])
    key, _, rest = path.partition(".")
    return at(values[key], rest)


@pytest.mark.slow
@pytest.mark.property
@pytest.mark.parametrize("path", demo_scenes(), ids=lambda path: path.stem)
def test_a_place_is_a_report_of_its_own_to_the_last_bit(path: Any) -> None:
    """Every figure of the row equals that of the JSON report of a file which says so, with the foremost space holed."""
    scene = replace(read_scene(path), bottles=())
    bulkhead = scene.bulkheads[0]
    base = float(bulkhead.at)  # type: ignore[arg-type]
    wanted = number_range(scene, f"{bulkhead.name}.at={base:.3f} m:{base + 0.1:.3f} m:50 mm")
    (value,) = wanted.values[1:2]
    moved = scene_from(compose(scene_text(at_places(scene, (wanted,), (value,))), "x"), hull=scene.hull)
    boat = evaluate(moved)
    holed = (boat.layout.compartments[0].name,)
    printed = figures(boat, [case_figures(case) for case in flooding_cases(boat.layout, boat.water, boat.floating, holed)])
    for question in (Question(scene, (wanted,), (holed,)), Question(scene, (wanted,))):
        row = row_at(question, (value,))
        assert row.error is None
        assert len(row.figures) > 8
        assert {path: at(printed, path) for path in row.figures} == dict(row.figures)


@pytest.mark.closed_form
def test_a_bulkhead_in_a_box_sweeps_litres_along_a_line() -> None:
    """900, 950 and 1000 mm: 1.8 litres for each millimetre; the limit of 1700 litres forbids the first alone."""
    scene = box()
    question = Question(scene, (number_range(scene, "collision.at=900:1000:50"),))
    with ThreadPoolExecutor(2) as threads:
        found = sweep(question, threads)
    assert [1000 * row.values[0] for row in found.rows] == pytest.approx([900.0, 950.0, 1000.0])
    litres = [1000 * row.figures["compartments.peak.volume_m3"] for row in found.rows]  # type: ignore[operator]
    assert litres == pytest.approx([1620.0, 1710.0, 1800.0], rel=1e-9)
    assert [row.missed for row in found.rows] == [("large",), (), ()]
    assert [row.feasible for row in found.rows] == [False, True, True]


@pytest.mark.closed_form
def test_two_numbers_make_every_pair_of_places() -> None:
    """The last number runs quickest, and both move at once."""
    scene = box()
    ranges = tuple(number_range(scene, asked) for asked in ("collision.at=900:950:50", "top.height=400:500:100"))
    with ThreadPoolExecutor(1) as threads:
        found = sweep(Question(scene, ranges), threads)
    assert [row.values for row in found.rows] == [
        pytest.approx(pair) for pair in [(0.9, 0.4), (0.9, 0.5), (0.95, 0.4), (0.95, 0.5)]
    ]


@pytest.mark.example
def test_where_there_is_no_boat_the_row_says_why() -> None:
    """A bulkhead beyond the stem is lost, one abaft the other leaves its lid no room: a gap in the curve, with its reason."""
    scene = box()
    question = Question(scene, (number_range(scene, "collision.at=-500:3000:500"),))
    rows = {round(value, 1): row_at(question, (value,)) for value in (-0.5, 1.0, 3.0)}
    assert isinstance(rows[-0.5].error, Finding)
    assert rows[1.0].error is None
    assert rows[3.0].error is not None
    assert not rows[3.0].figures


@pytest.mark.example
def test_a_space_that_loses_its_name_has_no_figure() -> None:
    """Its point abaft the bulkhead, the peak's name is another space's: no figure, and whether its limit is met is not known."""
    scene = box()
    row = row_at(Question(scene, (number_range(scene, "collision.at=300:400:50"),)), (0.35,))
    assert row.figures["compartments.peak.volume_m3"] is None
    assert [limit.met for limit in row.limits] == [None]
    assert not row.feasible


@pytest.mark.example
def test_a_watch_that_stops_keeps_what_is_done() -> None:
    """After the first taking no more is worked out; the rows that came are in order."""
    scene = box()
    question = Question(scene, (number_range(scene, "collision.at=900:1000:2"),))
    with ThreadPoolExecutor(1) as threads:
        found = sweep(question, threads, lambda done, _: done == 0)
    assert not found.complete
    assert 0 < len(found.rows) < 51
    assert [row.values for row in found.rows] == sorted(row.values for row in found.rows)


@pytest.mark.slow
@pytest.mark.example
def test_processes_give_what_one_thread_gives() -> None:
    """With no executor given there is a process for each core, and the rows are the same."""
    scene = replace(read_scene(demo_scene("quillet-forepeak")), limits=(StatedLimit(name="g", figure="GM", at_least="0"),))
    question = Question(scene, (number_range(scene, "collision.at=700:760:10"),))
    with ThreadPoolExecutor(1) as threads:
        one = sweep(question, threads)
    assert sweep(question).rows == one.rows


@pytest.mark.slow
@pytest.mark.example
def test_the_executor_of_a_cluster_works_unchanged() -> None:
    """A Dask client's executor is given as it is: the rows are those of one thread here."""
    distributed = pytest.importorskip("distributed")
    scene = read_scene(demo_scene("quillet-forepeak"))
    question = Question(scene, (number_range(scene, "collision.at=700:730:10"),))
    with distributed.Client(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as client:
        found = sweep(question, client.get_executor())
    assert found.complete
    assert found.rows == tuple(row_at(question, (value,)) for value in question.ranges[0].values)
