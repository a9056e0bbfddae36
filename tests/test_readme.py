"""What the README shows an owner is what the product reads."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from places import ROOT

from sketcher.analysis.hull.form import form_hull
from sketcher.analysis.survey.findings import check_hull
from sketcher.model.demos import demo_folder
from sketcher.model.fields.scene_fields import BLOCKS, SCENE_FIELDS
from sketcher.model.files.hull_file import HULL_FIELDS, PART_FIELDS, STATION_FIELDS, read_hull
from sketcher.model.files.scene_file import read_scene

README = (ROOT / "README.md").read_text(encoding="utf-8")
SCENE, HULL = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)


@pytest.mark.example
def test_every_key_of_a_scene_is_shown() -> None:
    """No block and no key that an owner could use is left to be guessed."""
    keys = [field.key for field in SCENE_FIELDS] + [block.key for block in BLOCKS]
    keys += [field.key for block in BLOCKS for field in block.fields]
    assert [key for key in keys if not re.search(rf"\b{key}:", SCENE)] == []


@pytest.mark.example
def test_every_key_of_a_hull_is_told() -> None:
    """In the hull that is shown, or beside it; those of the block `boat` are in the demo hull that has one."""
    keys = [field.key for field in (*HULL_FIELDS, *STATION_FIELDS)]
    keys += [field.key for part, fields in PART_FIELDS.items() if part != "boat" for field in fields]
    assert [key for key in keys if not re.search(rf"\b{key}\b", README[README.index(HULL) :])] == []


@pytest.mark.example
def test_the_hull_shown_makes_a_surface(tmp_path: Path) -> None:
    """As printed; its marks, girth and diagonal agree with its points, so that nothing but the guess is warned of."""
    path = tmp_path / "all.yaml"
    path.write_text(HULL, encoding="utf-8")
    hull = read_hull(path)
    assert hull.checks
    assert hull.level
    found = [*check_hull(hull), *form_hull(hull, 0.1).findings]
    assert [each.code for each in found if each.severity != "note"] == ["points-guessed"]


@pytest.mark.example
def test_the_scene_shown_can_be_read(tmp_path: Path) -> None:
    """As printed, beside the hulls that come with it."""
    shutil.copytree(demo_folder() / "hulls", tmp_path / "hulls")
    path = tmp_path / "scenes" / "all.yaml"
    path.parent.mkdir()
    path.write_text(SCENE, encoding="utf-8")
    scene = read_scene(path)
    assert all(getattr(scene, block.key) for block in BLOCKS)
