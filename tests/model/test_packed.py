"""Zips that someone sends: read by the names of their two parts alone, and never trusted."""

from __future__ import annotations

import os
import zipfile
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sketcher.model.errors import SketchError
from sketcher.model.packed import HULL_PART, SCENE_PART, as_zip, is_packed, read_part, zip_of

PARTS = {SCENE_PART: b"scene: A\n", HULL_PART: b"hull: B\n"}


@pytest.fixture
def packed(tmp_path: Path) -> Path:
    path = tmp_path / "boat.zip"
    path.write_bytes(as_zip(PARTS))
    return path


@pytest.mark.example
def test_what_was_packed_is_read_back(packed: Path) -> None:
    """Both parts, by any zip program too; the same bytes each time; a path into it is known for one."""
    assert {part: read_part(str(packed), part, 100) for part in PARTS} == PARTS
    with zipfile.ZipFile(packed) as whole:
        assert whole.testzip() is None
        assert whole.namelist() == [SCENE_PART, HULL_PART]
    assert as_zip(PARTS) == packed.read_bytes()
    assert is_packed(packed)
    assert zip_of(packed / SCENE_PART) == str(packed)
    assert zip_of(packed) is None


def write(path: Path, parts: list[tuple[str, bytes]], kind: int = zipfile.ZIP_DEFLATED) -> None:
    with zipfile.ZipFile(path, "w", kind) as whole:
        for name, data in parts:
            whole.writestr(zipfile.ZipInfo(name), data, kind)


@pytest.mark.property
@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ([], "no `scene.yaml` in this zip; it holds nothing"),
        ([("readme.txt", b"")], "it holds readme.txt"),
        ([("a/scene.yaml", b"1"), ("b/scene.yaml", b"2")], "more than one `scene.yaml`"),
        ([("scene.yaml/", b"")], "no `scene.yaml`"),
        ([(SCENE_PART, b"x" * 5_000_000)], "scene.yaml in it is larger than 2 MB"),
        ([(f"{k}.txt", b"") for k in range(201)], "holds 201 files"),
    ],
)
def test_what_is_no_boats_zip_is_refused_with_what_to_do(parts: list[tuple[str, bytes]], words: str, tmp_path: Path) -> None:
    """The file, what is wrong with it, and that it must be packed again; a zip that unpacks to far more is not unpacked."""
    path = tmp_path / "boat.zip"
    write(path, parts)
    with pytest.raises(SketchError, match=words) as caught:
        read_part(str(path), SCENE_PART, 2_000_000)
    assert caught.value.file == str(path)
    assert "sketcher pack" in caught.value.remedy


@pytest.mark.example
def test_an_unusual_packing_and_a_huge_zip_are_refused(tmp_path: Path) -> None:
    """Only what every zip program writes; and nothing is read of a file that is far too large."""
    path = tmp_path / "boat.zip"
    write(path, [(SCENE_PART, b"scene: A\n")], zipfile.ZIP_LZMA)
    with pytest.raises(SketchError, match="unusual way"):
        read_part(str(path), SCENE_PART, 100)
    with path.open("wb") as handle:
        os.truncate(handle.fileno(), 9_000_000)
    with pytest.raises(SketchError, match="the zip has 9 MB"):
        read_part(str(path), SCENE_PART, 100)


@pytest.mark.example
def test_a_zip_packed_again_from_its_folder_is_read(tmp_path: Path) -> None:
    """As some systems do it: in a folder, with files of their own beside."""
    path = tmp_path / "boat.zip"
    write(path, [("boat/", b""), ("boat/scene.yaml", b"scene: A\n"), ("boat/hull.yaml", b"hull: B\n"), ("boat/.DS_Store", b"x")])
    assert read_part(str(path), SCENE_PART, 100) == b"scene: A\n"


@pytest.mark.property
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(place=st.integers(0, 400), byte=st.integers(0, 255), cut=st.integers(0, 400))
def test_a_damaged_zip_is_read_right_or_refused(place: int, byte: int, cut: int, tmp_path: Path) -> None:
    """Any byte changed, any tail lost: the part as it was packed, or an error in words; nothing else is raised."""
    data = bytearray(as_zip(PARTS))
    data[place % len(data)] = byte
    path = tmp_path / "boat.zip"
    path.write_bytes(bytes(data[: len(data) - cut % 40]))
    with suppress(SketchError):
        assert read_part(str(path), SCENE_PART, 100) == PARTS[SCENE_PART]
