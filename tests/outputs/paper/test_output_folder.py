"""Folders of files put in place whole."""

import errno
from collections.abc import Iterator
from pathlib import Path

import pytest

from sketcher.model.errors import SketchError
from sketcher.outputs.paper.output_folder import CONTENTS, check_folder, write_folder

HEAD, OLDER = "Boat; layout code 1234", "Boat; fingerprint 1234"


@pytest.mark.example
def test_a_new_folder_holds_the_files_and_their_list(tmp_path: Path) -> None:
    """Files and folders within are there, with a list that begins with what they are."""
    where = tmp_path / "mon été, to build"
    assert write_folder(str(where), [("a.txt", b"1"), ("lists/b.csv", b"2")], HEAD) == ["a.txt", "lists/b.csv"]
    assert (where / "lists" / "b.csv").read_bytes() == b"2"
    assert (where / CONTENTS).read_text(encoding="utf-8") == f"{HEAD}\n\na.txt\nlists/b.csv\n"
    assert [path.name for path in tmp_path.iterdir()] == [where.name]


@pytest.mark.example
def test_what_belongs_no_longer_goes_and_ones_own_files_stay(tmp_path: Path) -> None:
    """A second writing takes away what only the first wrote, its empty folders too, and leaves a file of the owner's."""
    write_folder(str(tmp_path), [("patterns/old.dxf", b"1"), ("booklet.pdf", b"1")], OLDER)
    (tmp_path / "my notes.txt").write_text("mine", encoding="utf-8")
    write_folder(str(tmp_path), [("booklet.pdf", b"2")], HEAD)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["booklet.pdf", CONTENTS, "my notes.txt"]
    assert (tmp_path / "booklet.pdf").read_bytes() == b"2"


@pytest.mark.example
def test_a_list_that_names_files_elsewhere_removes_none_of_them(tmp_path: Path) -> None:
    """An edited list with a path out of the folder takes nothing outside away."""
    outside = tmp_path / "outside.txt"
    outside.write_text("here", encoding="utf-8")
    folder = tmp_path / "build"
    folder.mkdir()
    (folder / CONTENTS).write_text(f"{HEAD}\n\n../outside.txt\n{outside}\n", encoding="utf-8")
    write_folder(str(folder), [("a", b"")], HEAD)
    assert outside.exists()


@pytest.mark.property
@pytest.mark.parametrize("there", [True, False], ids=["in a folder that is there", "in a new one"])
def test_a_failure_half_way_leaves_everything_as_it_was(tmp_path: Path, there: bool) -> None:
    """The disk full at the second file: no file is changed, and nothing is left beside."""
    folder = tmp_path / "build"
    if there:
        write_folder(str(folder), [("a.txt", b"before")], HEAD)

    def files() -> Iterator[tuple[str, bytes]]:
        yield "a.txt", b"after"
        raise OSError(errno.ENOSPC, "No space left on device")

    with pytest.raises(SketchError, match="cannot be written: No space left on device"):
        write_folder(str(folder), files(), HEAD)
    assert [path.name for path in tmp_path.iterdir()] == (["build"] if there else [])
    if there:
        assert (folder / "a.txt").read_bytes() == b"before"
        assert sorted(path.name for path in folder.iterdir()) == ["a.txt", CONTENTS]


@pytest.mark.example
def test_a_place_that_cannot_be_written_is_said_before_anything_is_done(tmp_path: Path) -> None:
    """A file in the folder's place, a missing parent and a name no system takes are errors with a remedy."""
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(SketchError, match="there is a file of this name"):
        check_folder(str(tmp_path / "file"))
    with pytest.raises(SketchError, match="the folder it should lie in is not there"):
        check_folder(str(tmp_path / "no" / "such"))
    with pytest.raises(SketchError, match="cannot be written"):
        check_folder(str(tmp_path / "a\0b"))


@pytest.mark.example
def test_what_stands_in_a_files_place_undoes_all_of_it(tmp_path: Path) -> None:
    """A folder stands where the last file should go: the earlier files are as they were, and none is new."""
    write_folder(str(tmp_path), [("a.txt", b"before"), ("old/b.txt", b"before")], HEAD)
    (tmp_path / "z.txt").mkdir()
    with pytest.raises(SketchError, match="cannot be written: Is a directory"):
        write_folder(str(tmp_path), [("a.txt", b"after"), ("lists/c.csv", b"after"), ("z.txt", b"after")], HEAD)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.txt", CONTENTS, "old", "z.txt"]
    assert (tmp_path / "a.txt").read_bytes() == (tmp_path / "old" / "b.txt").read_bytes() == b"before"


@pytest.mark.property
@pytest.mark.parametrize(
    "where", ["{}/file/build", "{}/file", "/proc/build", "{}/" + "x" * 300], ids=["file", "is", "proc", "long"]
)
def test_a_place_that_nobody_can_write_is_said_even_to_root(tmp_path: Path, where: str) -> None:
    """Below a file, in a file's place, where the system makes no folders, with too long a name: said, nothing left."""
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    with pytest.raises(SketchError, match=r"cannot be written|is a file, not a folder|a file of this name"):
        write_folder(where.format(tmp_path), [("a.txt", b"1")], HEAD)
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


@pytest.mark.example
def test_a_file_system_that_is_read_only_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a card with its lock on, where the first writing fails: the system's own words, nothing changed."""

    def refused(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(Path, "mkdir", refused)
    with pytest.raises(SketchError, match="cannot be written: Read-only file system"):
        write_folder(str(tmp_path / "build"), [("a.txt", b"1")], HEAD)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.example
def test_what_no_earlier_build_wrote_is_not_written_over(tmp_path: Path) -> None:
    """A file of the owner's under a name that the build needs, or an own list of contents: refused, all left, until told to."""
    (tmp_path / CONTENTS).write_text("Lockers\n\nlayout.yaml\n", encoding="utf-8")
    (tmp_path / "layout.yaml").write_text("scene: mine", encoding="utf-8")
    with pytest.raises(SketchError, match=r"contents\.txt is no file of an earlier build"):
        write_folder(str(tmp_path), [("booklet.pdf", b"1")], HEAD)
    (tmp_path / CONTENTS).unlink()
    (tmp_path / "booklet.pdf").write_bytes(b"mine")
    with pytest.raises(SketchError, match=r"booklet\.pdf is no file of an earlier build"):
        write_folder(str(tmp_path), [("booklet.pdf", b"1")], HEAD)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["booklet.pdf", "layout.yaml"]
    assert (tmp_path / "booklet.pdf").read_bytes() == b"mine"
    for _ in range(2):
        write_folder(str(tmp_path), [("booklet.pdf", b"1")], HEAD, overwrite=True)
    write_folder(str(tmp_path), [("booklet.pdf", b"2")], HEAD)
    assert (tmp_path / "booklet.pdf").read_bytes() == b"2"
    assert (tmp_path / "layout.yaml").exists()
