"""A refit in steps: what is there after each."""

from pathlib import Path

import pytest
from scene_specimens import box_scene

from sketcher.model.errors import SketchError
from sketcher.model.files.scene_file import scene_text
from sketcher.model.scene import RefitStage
from sketcher.model.stages import TODAY, at_stage, called_after, comes_with, stage_name, stage_numbers, standing_before

SCENE = """\
scene: In two steps
hull: box.yaml
units: mm
stages: {1: this winter, 2: next year}
bulkheads:
  collision: {at: 800, thickness: 12}
  main: {at: 3000, thickness: 12, built: already}
lids:
  tank top: {height: 500, from: collision, to: main, thickness: 9, stage: 2}
openings:
  port: {through: tank top, at: [1500, 0], diameter: 150, cover: tight}
  hand hole: {through: collision, at: [0, 600], diameter: 125, cover: tight, stage: 2}
weights:
  pump: {kg: 8, at: [1500, 0, 100], stage: 2}
"""


@pytest.mark.example
def test_what_is_tied_to_a_later_part_comes_with_it() -> None:
    """A port through a lid of the second stage is cut then, though it says nothing itself."""
    scene = box_scene(SCENE)
    assert stage_numbers(scene) == (1, 2)
    assert {key for key, number in comes_with(scene).items() if number == 2} == {
        ("lids", "tank top"),
        ("openings", "port"),
        ("openings", "hand hole"),
        ("weights", "pump"),
    }


@pytest.mark.example
def test_after_a_stage_only_what_came_by_then_is_there() -> None:
    """After the first stage neither lid, nor its port, nor the pump is aboard; after the last all are."""
    scene = box_scene(SCENE)
    first = at_stage(scene, 1)
    assert (first.lids, first.openings, first.weights) == ((), (), ())
    assert at_stage(scene, 2) == scene


@pytest.mark.example
def test_a_stage_cuts_only_what_is_new() -> None:
    """The second stage finds the bulkhead standing, and saws its hand hole all the same."""
    scene = box_scene(SCENE)
    second = standing_before(scene, 2, at_stage(scene, 2))
    assert [(panel.name, panel.built) for panel in second.panels] == [
        ("collision", "already"),
        ("main", "already"),
        ("tank top", "planned"),
    ]
    assert [opening.built for opening in second.openings] == ["planned", "planned"]


@pytest.mark.example
def test_stages_are_read_and_written(tmp_path: Path) -> None:
    """Their names come back from the file; a stage without one is called by its number."""
    scene = box_scene(SCENE)
    assert scene.stages == (RefitStage(1, "this winter"), RefitStage(2, "next year"))
    assert box_scene(scene_text(scene)) == scene
    assert [stage_name(scene, number) for number in (2, 3)] == ["next year", "stage 3"]


@pytest.mark.example
def test_a_stage_that_is_not_there_is_refused() -> None:
    """The stages that there are get named, and a wrong number or name of one its line."""
    with pytest.raises(SketchError, match="there is no stage 3") as refused:
        at_stage(box_scene(SCENE), 3)
    assert refused.value.remedy == "This layout has 1, 2."
    with pytest.raises(SketchError, match="`spring` is no stage's number"):
        box_scene(SCENE.replace("{1: this winter", "{spring: this winter"))


@pytest.mark.example
def test_today_there_is_what_stands_and_nothing_that_is_planned() -> None:
    """What is to be taken out still stands; a berth is there with the lid it lies on; no weights, nor what is tied to plans."""
    scene = box_scene(TODAY_SCENE)
    now = at_stage(scene, TODAY)
    assert [(panel.name, panel.built) for panel in now.panels] == [
        ("main", "already"),
        ("old bulkhead", "already"),
        ("sole", "already"),
    ]
    assert [opening.name for opening in now.openings] == ["old drain", "hatch"]
    assert [berth.name for berth in now.berths] == ["settee"]
    assert (now.weights, now.stages) == ((), ())
    assert called_after(scene, TODAY) == "In two steps, as she is today"


TODAY_SCENE = SCENE.replace(
    "lids:\n",
    """\
  old bulkhead: {at: 3500, thickness: 12, built: removed, kg: 9}
lids:
  sole: {height: 200, from: main, to: transom, thickness: 12, built: already}
""",
).replace(
    "openings:\n",
    """\
berths:
  settee: {lies_on: sole, from: main, to: transom, cushion: 100}
  pipe cot: {height: 600, from: main, to: transom, cushion: 50}
openings:
  old drain: {through: main, at: [0, 100], diameter: 25}
  new door: {through: main, at: [0, 600], size: [400, 600], built: planned}
  hatch: {through: deck, at: [2000, 0], size: [500, 500]}
""",
)
