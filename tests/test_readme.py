"""What the README shows an owner is what the product reads."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from places import ROOT

from sketcher.model.demos import demo_folder
from sketcher.model.fields.scene_fields import BLOCKS, SCENE_FIELDS
from sketcher.model.files.scene_file import read_scene

README = (ROOT / "README.md").read_text(encoding="utf-8")
SCENE = re.search(r"```yaml\n(.*?)```", README, re.DOTALL)[1]  # type: ignore[index]


@pytest.mark.example
def test_every_key_of_a_scene_is_shown() -> None:
    """No block and no key that an owner could use is left to be guessed."""
    keys = [field.key for field in SCENE_FIELDS] + [block.key for block in BLOCKS]
    keys += [field.key for block in BLOCKS for field in block.fields]
    assert [key for key in keys if not re.search(rf"\b{key}:", SCENE)] == []


@pytest.mark.example
def test_the_scene_shown_can_be_read(tmp_path: Path) -> None:
    """As printed, beside the hulls that come with it."""
    shutil.copytree(demo_folder() / "hulls", tmp_path / "hulls")
    path = tmp_path / "scenes" / "all.yaml"
    path.parent.mkdir()
    path.write_text(SCENE, encoding="utf-8")
    scene = read_scene(path)
    assert all(getattr(scene, block.key) for block in BLOCKS)
