"""No file outside the chosen folders is read or written through the page."""

from __future__ import annotations

from pathlib import Path

import pytest

from sketcher.model.errors import SketchError
from sketcher.web.logic.files.allowed_folders import AllowedFolders


@pytest.fixture
def chosen(tmp_path: Path) -> AllowedFolders:
    """A chosen folder with a scene, a hull and a table, and a secret beside it."""
    folder = tmp_path / "boats"
    folder.mkdir()
    (folder / "one.yaml").write_text("# a comment\nscene: One\n")
    (folder / "hull.yaml").write_text("hull: A hull\n")
    (folder / "tape.csv").write_text("station,half_breadth,height\n")
    (folder / ".hidden.yaml").write_text("scene: Hidden\n")
    (tmp_path / "secret.yaml").write_text("scene: Secret\n")
    (folder / "link.yaml").symlink_to(tmp_path / "secret.yaml")
    return AllowedFolders.about(folder / "one.yaml", folder)


@pytest.mark.example
def test_scenes_and_hulls_are_offered_by_what_they_are(chosen: AllowedFolders) -> None:
    """A scene is told from a hull by its first key; hidden files and links to elsewhere are not offered."""
    assert list(chosen.scenes()) == ["boats/one.yaml"]
    assert list(chosen.hulls()) == ["boats/hull.yaml", "boats/tape.csv"]


@pytest.mark.example
def test_of_two_files_of_one_name_the_nearer_is_meant(tmp_path: Path) -> None:
    """A hull beside the scene goes before one of the same name in a folder chosen after it."""
    near, far = tmp_path / "mine" / "hulls", tmp_path / "shipped" / "hulls"
    for folder in (near, far):
        folder.mkdir(parents=True)
        (folder / "one.yaml").write_text("hull: One\n")
    assert AllowedFolders.about(near, far).hulls() == {"hulls/one.yaml": near / "one.yaml"}


@pytest.mark.property
@pytest.mark.parametrize(
    "name", ["../secret.yaml", "/etc/passwd", "", " ", ".x.yaml", "a/b.yaml", "a\\b", "link.yaml", "c:x", "a\0b", "..", "a\nb"]
)
def test_no_name_leads_out_of_the_folder(chosen: AllowedFolders, name: str) -> None:
    """Only a plain name in the scene's own folder can be written."""
    with pytest.raises(SketchError, match="no plain file name"):
        chosen.new_file(chosen.chosen[0] / "one.yaml", name)


@pytest.mark.property
@pytest.mark.parametrize(("name", "file"), [("two", "two.yaml"), ("Zweite Möglichkeit.yaml", "Zweite Möglichkeit.yaml")])
def test_a_plain_name_is_kept_beside_the_scene(chosen: AllowedFolders, name: str, file: str) -> None:
    """An ending is given where none was written."""
    assert chosen.new_file(chosen.chosen[0] / "one.yaml", name) == chosen.chosen[0] / file
