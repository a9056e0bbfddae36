"""What asks for more than can be worked out while somebody waits is refused with file, line, thing and remedy."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

import pytest

from sketcher.analysis.cut.plan import build_plan
from sketcher.analysis.evaluate import evaluate
from sketcher.model.demos import demo_folder
from sketcher.model.edits.actions import Add
from sketcher.model.errors import SketchError
from sketcher.model.files.line_lookup import located
from sketcher.model.files.scene_file import read_scene
from sketcher.model.limits import MOST_OBJECTS
from sketcher.model.scene import Berth

HEAD = """\
scene: Too much of it
hull: ../hulls/quillet-21.yaml
units: mm
bulkheads:
  main: {at: 2700, thickness: 12}
"""
OBJECTS = {
    "partitions": "{off_centre: 10, from: stem, to: main, thickness: 9}",
    "lids": "{height: 300, from: stem, to: main, thickness: 9}",
    "stringers": "{under: top, side: both, from: stem, to: main, width: 9, depth: 9}",
    "berths": "{height: 300, from: stem, to: main}",
    "openings": "{through: main, at: [0, 500], diameter: 9}",
    "compartments": "{at: [900, 0, 300]}",
    "weights": "{kg: 1, at: [900, 0, 300]}",
    "fittings": "{at: [900, 0, 300], size: [9, 9, 9]}",
    "people": "{berth: bunk, stature: 1780}",
    "stowage": "{in: cabin}",
    "bottles": "{in: cabin, diameter: 90, length: 300}",
    "chains": "{in: cabin, length: 20 m, size: 8, pipe: [900, 0, 900]}",
    "foams": "{in: cabin}",
    "tanks": "{in: cabin}",
    "parts": "{kg: 9, made_of: steel}",
    "sheets": "{thickness: 9, size: [2440, 1220]}",
}


@pytest.fixture
def boats(tmp_path: Path) -> Path:
    for part in ("scenes", "hulls"):
        copytree(demo_folder() / part, tmp_path / part)
    return tmp_path


def said_of(path: Path) -> str:
    """Why a scene cannot be read; nothing where it can."""
    try:
        read_scene(path)
    except SketchError as problem:
        return problem.message
    return ""


@pytest.mark.property
@pytest.mark.parametrize("block", OBJECTS)
def test_a_block_of_more_objects_than_can_be_worked_out_is_refused(block: str, boats: Path) -> None:
    """At the line of the first that is too many; with one less the count is no reason."""
    most = MOST_OBJECTS[block]
    path = boats / "scenes" / "full.yaml"
    objects = [f"  n{number}: {OBJECTS[block]}\n" for number in range(most + 1)]
    path.write_text(f"{HEAD}{block}:\n{''.join(objects)}", encoding="utf-8")
    with pytest.raises(SketchError, match=f"{most + 1} {block}: at most {most} can be worked out\nLeave out") as refusal:
        read_scene(path)
    assert refusal.value.file == str(path)
    assert refusal.value.line == HEAD.count("\n") + 1 + most + 1
    path.write_text(f"{HEAD}{block}:\n{''.join(objects[:-1])}", encoding="utf-8")
    assert "can be worked out" not in said_of(path)


@pytest.mark.example
def test_an_edit_cannot_make_a_scene_that_is_refused_when_read() -> None:
    """As many berths as a file may hold, and one more is not added."""
    scene = read_scene(demo_folder() / "scenes" / "quillet-forepeak.yaml")
    while len(scene.berths) < MOST_OBJECTS["berths"]:
        scene = Add(Berth(name=f"b{len(scene.berths)}", height=0.4, start="collision", end="main")).apply(scene)
    with pytest.raises(SketchError, match="berths: at most"):
        Add(Berth(name="last", height=0.4, start="collision", end="main")).apply(scene)


@pytest.mark.property
@pytest.mark.parametrize(("size", "more"), [("diameter: 1, length: 1", ""), ("diameter: 2, length: 9", ", at_most: 99999")])
def test_bottles_without_number_are_refused(size: str, more: str, boats: Path) -> None:
    """Grains in place of bottles, where nobody says how many there are; a number of them stands within the limit."""
    path = boats / "scenes" / "grains.yaml"
    named = "compartments:\n  peak: {at: [900, 0, 500]}\nbottles:\n  "
    path.write_text(f"{HEAD}{named}grains: {{in: peak, {size}}}\n", encoding="utf-8")
    with pytest.raises(SketchError, match=r"00 bottles of this size would fit into peak; at most 100 000 are placed") as refusal:
        evaluate(read_scene(path))
    assert located(refusal.value).line == HEAD.count("\n") + 4
    if more:
        path.write_text(f"{HEAD}{named}grains: {{in: peak, {size}{more}}}\n", encoding="utf-8")
        stopped = evaluate(read_scene(path), lambda _: False)
        assert stopped.contents is not None


@pytest.mark.example
def test_a_hull_longer_than_any_that_is_built_by_hand_has_no_boards(boats: Path) -> None:
    """A hull whose millimetres were meant as centimetres: the figures are told, the boards refused at the hull's unit."""
    hull = boats / "hulls" / "quillet-21.yaml"
    hull.write_text(hull.read_text("utf-8").replace("units: mm", "units: cm"), encoding="utf-8")
    path = boats / "scenes" / "long.yaml"
    path.write_text(HEAD.replace("2700", "27000"), encoding="utf-8")
    evaluation = evaluate(read_scene(path))
    with pytest.raises(SketchError, match=r"the hull is 6\d m long; boards are worked out for hulls up to 60 m") as refusal:
        build_plan(evaluation)
    assert refusal.value.file == str(hull)
    assert located(refusal.value).line == hull.read_text("utf-8").splitlines().index("units: cm") + 1
