"""Joints in a scene's file: read, refused in words, and saved on the one line they stand on."""

from pathlib import Path

import pytest
from scene_specimens import HULL

from sketcher.model.cutting import Joints
from sketcher.model.edits.actions import SetJoints
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import open_scene, save_scene
from sketcher.model.files.scene_file import read_scene

TEXT = """\
scene: In parts
hull: hull.yaml
units: mm
bulkheads:
  main: {at: 2000, thickness: 12, joints: {height: [1100, 70 cm]}}   # through the fore hatch
lids:
  top: {height: 500, from: stem, to: main, thickness: 9, joints: {off_centre: [300 port]}}
"""


def written(folder: Path, text: str = TEXT) -> Path:
    (folder / "hull.yaml").write_text(HULL, "utf-8")
    path = folder / "scene.yaml"
    path.write_text(text, "utf-8")
    return path


@pytest.mark.example
def test_joints_are_read_in_any_order_and_unit(tmp_path: Path) -> None:
    """Two heights, and a distance to port."""
    scene = read_scene(written(tmp_path))
    assert scene.bulkheads[0].joints == Joints("height", (1.1, 0.7))
    assert scene.lids[0].joints == Joints("off_centre", (-0.3,))


@pytest.mark.example
def test_a_moved_joint_changes_one_line(tmp_path: Path) -> None:
    """The comment beside it stays, and the saved file reads back as the scene."""
    opened = open_scene(written(tmp_path))
    moved = SetJoints("bulkheads", "main", Joints("height", (1.1, 0.75))).apply(opened.scene)
    save_scene(opened, moved)
    after = (tmp_path / "scene.yaml").read_text("utf-8")
    assert [line for line in after.splitlines() if line not in TEXT.splitlines()] == [
        "  main: {at: 2000, thickness: 12, joints: {height: [1100, 750]}}   # through the fore hatch"
    ]
    assert read_scene(tmp_path / "scene.yaml").bulkheads == moved.bulkheads


@pytest.mark.property
@pytest.mark.parametrize(
    ("joints", "said"),
    [
        ("{aft: [700]}", "`aft` does not tell where this panel's joints lie\nWrite joints by off_centre or height"),
        ("{height: [700, 700]}", "every joint has a place of its own"),
        ("{height: []}", "every joint has a place of its own"),
        ("{height: [700], off_centre: [0]}", "all lines of one panel are parallel"),
        ("[700]", r"is not joints by off_centre or height, such as"),
        ("{height: 700}", r"`700` is not a list of places"),
    ],
)
def test_joints_that_cannot_be_are_refused(tmp_path: Path, joints: str, said: str) -> None:
    """A bulkhead has none by the distance aft, none twice, none in two ways."""
    with pytest.raises(SketchError, match=said):
        read_scene(written(tmp_path, TEXT.replace("{height: [1100, 70 cm]}", joints)))
