"""A layout and its hull in one file, sent and taken out again."""

from __future__ import annotations

import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from scene_specimens import scene_folder

from sketcher.model.edits.actions import MoveBulkhead
from sketcher.model.errors import SketchError
from sketcher.model.files.saving import open_scene, save_scene
from sketcher.model.files.scene_file import read_scene
from sketcher.model.files.sending import packed_boat, take_out
from sketcher.model.packed import as_zip, read_part

pytestmark = pytest.mark.example


@pytest.fixture
def scene(tmp_path: Path) -> Path:
    return scene_folder(tmp_path / "boat")


@pytest.fixture
def sent(scene: Path, tmp_path: Path) -> Path:
    opened = open_scene(scene)
    there = tmp_path / "elsewhere"
    there.mkdir()
    path = there / "my boat.zip"
    path.write_bytes(packed_boat(opened, opened.scene))
    return path


def unplaced(path: Path) -> object:
    """A scene without the places of its files."""
    scene = read_scene(path)
    return replace(scene, file=None, hull_path="", hull=replace(scene.hull, file=None))


def test_what_is_sent_is_the_layout_and_its_hull(scene: Path, sent: Path) -> None:
    """Read in place it is the same layout, to the last digit; only the hull's name changes in the text, comments stay."""
    assert unplaced(sent) == unplaced(scene)
    before, after = scene.read_text().splitlines(), read_part(str(sent), "scene.yaml", 10**6).decode().splitlines()
    assert [new for old, new in zip(before, after, strict=True) if old != new] == ["hull: hull.yaml"]
    assert read_part(str(sent), "hull.yaml", 10**6) == Path(read_scene(scene).hull.file or "").read_bytes()


def test_unsaved_work_is_sent_as_it_stands(scene: Path, tmp_path: Path) -> None:
    """An edit that was not saved is in it, and the file on the disk stays as it was."""
    opened, text = open_scene(scene), scene.read_text()
    path = tmp_path / "sent.zip"
    path.write_bytes(packed_boat(opened, MoveBulkhead("collision", 1.2).apply(opened.scene)))
    assert read_scene(path).bulkheads[0].at == 1.2
    assert scene.read_text() == text


def test_it_is_taken_out_beside_itself_and_nothing_is_lost(sent: Path) -> None:
    """Into a folder of its name; again: the same; once changed, the next beside it."""
    first = take_out(sent)
    assert first == (str(sent.parent / "my boat" / "scene.yaml"), None)
    assert sorted(path.name for path in (sent.parent / "my boat").iterdir()) == ["hull.yaml", "scene.yaml"]
    assert unplaced(Path(first.scene)) == unplaced(sent)
    assert take_out(sent) == first
    opened = open_scene(first.scene)
    saved = save_scene(opened, MoveBulkhead("collision", 1.2).apply(opened.scene))
    again = take_out(sent)
    assert again == (str(sent.parent / "my boat-2" / "scene.yaml"), str(sent.parent / "my boat"))
    assert read_scene(first.scene).bulkheads[0].at == saved.scene.bulkheads[0].at == 1.2


def test_no_file_outside_the_zip_is_read_or_written(scene: Path, sent: Path) -> None:
    """Parts by names that lead out of it are only ever read as the two files; a layout that names another hull is refused."""
    texts = {part: read_part(str(sent), part, 10**6) for part in ("scene.yaml", "hull.yaml")}
    with zipfile.ZipFile(sent, "w") as whole:
        whole.writestr("../../scene.yaml", texts["scene.yaml"])
        whole.writestr("/elsewhere/hull.yaml", texts["hull.yaml"])
        whole.writestr("../escaped.yaml", b"hull: none\n")
    before = sorted(sent.parent.parent.rglob("*"))
    taken = Path(take_out(sent).scene)
    assert sorted(set(sent.parent.parent.rglob("*")) - set(before)) == [taken.parent, taken.with_name("hull.yaml"), taken]
    own = str(scene.parent / read_scene(scene).hull_path).encode()
    sent.write_bytes(as_zip({**texts, "scene.yaml": texts["scene.yaml"].replace(b"hull: hull.yaml", b"hull: " + own)}))
    for read in (read_scene, take_out):
        with pytest.raises(SketchError, match="a packed layout brings its hull") as caught:
            read(sent)
        assert (caught.value.file, caught.value.key) == (f"{sent}/scene.yaml", "hull")
        assert caught.value.line is not None


def test_what_is_no_whole_boat_is_not_taken_out(sent: Path) -> None:
    """A mistake in it is told by part and line, and no folder is left behind."""
    texts = {part: read_part(str(sent), part, 10**6) for part in ("scene.yaml", "hull.yaml")}
    sent.write_bytes(as_zip({**texts, "scene.yaml": texts["scene.yaml"] + b"bulkhaeds:\n  a: {at: 1}\n"}))
    with pytest.raises(SketchError, match="bulkhaeds") as caught:
        take_out(sent)
    assert caught.value.file == f"{sent}/scene.yaml"
    assert caught.value.line == texts["scene.yaml"].count(b"\n") + 1
    assert [path.name for path in sent.parent.iterdir()] == ["my boat.zip"]


def test_a_hull_that_has_changed_since_is_sent_as_the_layout_knows_it(scene: Path, sent: Path, tmp_path: Path) -> None:
    """What is sent belongs together: figures stay those that were seen."""
    opened = open_scene(scene)
    hull = Path(opened.scene.hull.file or "")
    hull.write_text("hull: gone\n")
    path = tmp_path / "sent.zip"
    path.write_bytes(packed_boat(opened, opened.scene))
    assert unplaced(path) == unplaced(sent)
