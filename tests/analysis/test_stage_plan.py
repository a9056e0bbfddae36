"""What one stage of a refit cuts, after those before it."""

from __future__ import annotations

from functools import cache

import pytest
from scene_specimens import box_scene

from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.evaluate import evaluate, hull_form
from sketcher.analysis.loading.weights import changes
from sketcher.analysis.results import Layout
from sketcher.analysis.stage_plan import stage_plan
from sketcher.model.errors import SketchError

SCENE = """\
scene: In two steps
hull: box.yaml
units: mm
waterline: 300
centre_of_gravity: {height: 350}
stages: {1: this winter, 2: next year}
partitions:
  post: {off_centre: 0, from: 1000, to: 1200, top: 160, thickness: 9, stage: 2}
compartments:
  hold: {at: [2000, 0, 200], use: chain}
chains:
  rode: {in: hold, length: 20000, size: 8, pipe: [2000, 0, 700], kg_per_m: 1.5}
lids:
  shelf: {height: 400, from: 1000, to: 3188, span: [-400, 400], thickness: 9}
sheets:
  ply 9: {thickness: 9, size: [2440, 1220], material: plywood, kg_per_m2: 5}
"""


@cache
def second() -> BuildPlan:
    scene = box_scene(SCENE)
    return stage_plan(scene, 2, hull_form(scene.hull), evaluate)


def moments(layout: Layout) -> list[float]:
    """The mass of all changes [kg], and its moments about the three axes [kg m]."""
    return [sum(item.kg * factor for item in changes(layout) for factor in [(1.0, *item.at)[k]]) for k in range(4)]


@pytest.mark.closed_form
def test_what_earlier_sheets_leave_serves_the_next_stage() -> None:
    """A shelf 2188 mm long leaves 2440 - 10 - 2188 - 3 = 239 mm of a sheet: the post, 200 mm, comes out of that."""
    (layout,) = second().sheets
    assert [pattern.name for pattern in second().patterns] == ["post"]
    (sheet,) = layout.sheets
    assert sheet is not None
    assert (sheet.name, sheet.have, sheet.size[1]) == ("offcut 1 of this winter", 1, 1.22)
    assert sheet.size[0] == pytest.approx(2.44 - 2.188 - 0.013, abs=0.012)
    assert layout.bought == ()


@pytest.mark.example
def test_earlier_boards_stand_and_weigh() -> None:
    """The shelf is not cut again, and she floats as she does with both boards and the chain, 20 m of 1.5 kg, aboard."""
    plan, whole = second(), evaluate(box_scene(SCENE))
    assert {panel.name: panel.built for panel in plan.evaluation.scene.panels} == {"post": "planned", "shelf": "already"}
    for kept, there in zip(moments(plan.evaluation.layout), moments(whole.layout), strict=True):
        assert kept == pytest.approx(there)
    assert moments(whole.layout)[0] > 8.0 + 20.0 * 1.5


@pytest.mark.example
def test_a_stage_that_is_not_there_is_refused_first() -> None:
    """Before anything is planned."""
    scene = box_scene(SCENE)
    with pytest.raises(SketchError, match="there is no stage 5"):
        stage_plan(scene, 5, hull_form(scene.hull), lambda _: pytest.fail("nothing is evaluated"))
