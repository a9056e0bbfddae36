"""A refit in steps: how she is after each, and what an earlier step spoils for a later one."""

import pytest
from scene_specimens import box_scene

from sketcher.analysis.evaluate import evaluate, hull_form
from sketcher.analysis.findings import Finding
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.staging import regrets, scene_after, scenes_by_stage
from sketcher.model.scene import Scene
from sketcher.outputs.wording.sentences import message

SCENE = """\
scene: In two steps
hull: box.yaml
units: mm
waterline: 300
centre_of_gravity: {height: 350}
stages: {1: this winter}
bulkheads:
  collision: {at: 800, thickness: 12}
  main: {at: 3000, thickness: 12}
partitions:
  web: {off_centre: 0, from: collision, to: main, top: tank top, thickness: 9, stage: 2}
lids:
  tank top: {height: 500, from: collision, to: main, thickness: 9}
openings:
  port: {through: tank top, at: [1500, -300], diameter: 150, cover: tight, stage: 2}
  doorway: {through: main, at: [0, 750], size: [400, 400]}
  hatch: {through: deck, at: [2000, 0], size: [500, 500], cover: loose}
compartments:
  port void: {at: [1500, -300, 200]}
  starboard void: {at: [1500, 300, 200]}
  cabin: {at: [1500, 0, 800], use: accommodation}
"""


def laid_out(scene: Scene) -> Layout:
    return lay_out(scene, hull_form(scene.hull))


def found(text: str) -> list[Finding]:
    return list(regrets(laid_out(box_scene(text))))


@pytest.mark.example
def test_later_work_in_a_space_that_is_shut_before_is_told() -> None:
    """The web is built next year in a void whose lid has no opening until then; a port cut this winter ends it."""
    (told,) = [each for each in found(SCENE) if each.code == "stage-shuts-in"]
    assert (told.object, told.values["space"], told.severity) == ("web", "port void", "warn")
    assert message(told, "mm").startswith("web comes with stage 2, but after this winter no opening leads into port void")
    cut_before = SCENE.replace("diameter: 150, cover: tight, stage: 2", "diameter: 150, cover: tight")
    assert not [each for each in found(cut_before) if each.code == "stage-shuts-in"]


@pytest.mark.example
def test_a_space_not_there_yet_names_the_board_that_is_missing() -> None:
    """Until the web stands there is no starboard void: a temporary board would make it. The port void is there, larger."""
    told = {each.object: each.values["panels"] for each in found(SCENE) if each.code == "stage-leaves-open"}
    assert told == {"starboard void": ("web",)}


@pytest.mark.closed_form
def test_litres_after_each_stage_are_the_boxs_own() -> None:
    """The void is 2.188 x 1.8 x 0.491 m before the web parts it, and less the web's 9 mm after."""
    whole, parted = 2.188 * 1.8 * 0.491, 2.188 * (1.8 - 0.009) * 0.491
    scene = box_scene(SCENE)
    layouts = [laid_out(each) for each in scenes_by_stage(scene, hull_form(scene.hull))[1:]]
    voids = [[space.volume for space in layout.compartments if space.name.endswith("void")] for layout in layouts]
    assert voids[0] == pytest.approx([whole])
    assert sum(voids[1]) == pytest.approx(parted)


@pytest.mark.example
def test_spaces_still_one_are_no_mistake_before_they_are_parted() -> None:
    """Of two names for what is one space until the last stage the first stays; afterwards both are there."""
    scene = box_scene(SCENE)
    form = hull_form(scene.hull)
    assert [space.name for space in scene_after(scene, 1, form).compartments] == ["port void", "cabin"]
    assert scene_after(scene, 2, form) == scene


@pytest.mark.example
def test_regrets_are_told_wherever_the_whole_layout_is_judged() -> None:
    """They are among its findings; not after the first stage alone, where all comes at once, or where figures alone are asked."""
    scene = box_scene(SCENE)
    first = scene_after(scene, 1, hull_form(scene.hull))
    plain = box_scene(SCENE.replace(", stage: 2", "").replace("stages: {1: this winter}\n", ""))
    asked = (evaluate(scene), evaluate(first), evaluate(plain), evaluate(scene, figures_only=True))
    told = [{each.code for each in evaluation.findings if each.code.startswith("stage-")} for evaluation in asked]
    assert told == [{"stage-bars-board", "stage-shuts-in", "stage-leaves-open"}, set(), set(), set()]


ROUTED = """\
scene: Aft first
hull: box.yaml
units: mm
waterline: 300
bulkheads:
  main: {at: 2000, thickness: 12}
  fore: {at: 900, thickness: 12, stage: 2}
openings:
  doorway: {through: main, at: [0, 700], size: [SIDE, SIDE]}
  hatch: {through: deck, at: [3000, 0], size: [1200, 700], cover: loose}
compartments:
  cabin: {at: [1500, 0, 800], use: accommodation}
"""


@pytest.mark.example
def test_boards_that_what_stands_before_keeps_out_are_told() -> None:
    """Through a doorway of 120 mm in what this year builds, next year's bulkhead does not go in eight parts; through 400 it does.

    It is told with the whole layout, as it is with that stage's own boards, and not where the bulkhead that bars it comes later.
    """
    told = [each for each in found(ROUTED.replace("SIDE", "120")) if each.code == "stage-bars-board"]
    assert [(each.object, each.values["opening"], each.severity) for each in told] == [("fore", "doorway", "warn")]
    assert told[0].values["room"].metres == pytest.approx(0.120 * 2**0.5 - 0.012 - 0.005, abs=0.003)
    assert "stage 2" in message(told[0], "mm")
    fits = (ROUTED.replace("SIDE", "400"), ROUTED.replace("SIDE", "120").replace("thickness: 12}", "thickness: 12, stage: 2}"))
    assert not [each for text in fits for each in found(text) if each.code == "stage-bars-board"]


@pytest.mark.closed_form
def test_as_she_is_today_she_is_what_stands() -> None:
    """Nothing stands in the box: 4 x 1.8 x 1 m in one space, called by the name that is lived in; a hose between two is gone."""
    hose = "openings:\n  hose: {joins: [port void, cabin]}\n"
    scene = box_scene(SCENE.replace("openings:\n", hose))
    today, *_ = scenes_by_stage(scene, hull_form(scene.hull))
    (space,) = laid_out(today).compartments
    assert (space.name, space.volume) == ("cabin", pytest.approx(4.0 * 1.8 * 1.0))
    assert [opening.name for opening in today.openings] == ["hatch"]
    assert today.name == "In two steps, as she is today"
