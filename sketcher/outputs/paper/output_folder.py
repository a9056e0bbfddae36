"""A folder of files put in place together: none half-written, none left over from an earlier time."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable
from pathlib import Path, PurePosixPath

from sketcher.model.errors import SketchError

CONTENTS = "contents.txt"
"""The file that lists what was written, so that a later writing removes what no longer belongs."""
MARKS = ("; layout code ", "; fingerprint ")
"""In the list's first lines, the second in older ones: an owner's own file of that name has no such words."""


def check_folder(folder: str) -> None:
    """Raises SketchError where a folder of this name could not be written, before anything is worked out."""
    target = Path(folder)
    try:
        if target.exists() and not target.is_dir():
            raise SketchError("there is a file of this name", "Give a folder's name.", file=folder)
        parent = target if target.exists() else target.resolve().parent
        if parent.is_file():
            raise SketchError("what it should lie in is a file, not a folder", "Name another place.", file=folder)
        if not parent.is_dir():
            raise SketchError("the folder it should lie in is not there", "Make that folder first, or name another.", file=folder)
        if not os.access(parent, os.W_OK | os.X_OK):
            raise SketchError("the folder cannot be written: Permission denied", "Choose a folder you may write to.", file=folder)
    except (OSError, ValueError) as problem:
        raise SketchError(f"the folder cannot be written: {_reason(problem)}", "Choose another place.", file=folder) from None


def write_folder(
    folder: str,
    files: Iterable[tuple[str, bytes]],
    head: str,
    *,
    overwrite: bool = False,
) -> list[str]:
    """Write files, by their paths inside the folder, and their list; returns the paths in order.

    All are written beside first, and put in place only when all are there; what an earlier list names and this one does not is
    removed, other files are left alone. head: the list's first lines, the first of `MARKS` in them. Raises SketchError where it
    cannot be written, or where a file stands in the way that no earlier list names and `overwrite` is false; then the folder is
    as it was.
    """
    check_folder(folder)
    target = Path(folder).resolve()
    beside = (target if target.exists() else target.parent) / f".{target.name}.{os.getpid()}.new"
    try:
        names = _stage(beside, files, head)
        if target.exists():
            if not overwrite:
                _refuse_loss(target, names)
            _replace(target, beside, names)
        else:
            os.replace(beside, target)
    except OSError as problem:
        raise SketchError(f"the folder cannot be written: {_reason(problem)}", "Choose another place.", file=folder) from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return names


def _refuse_loss(target: Path, names: list[str]) -> None:
    """Raises SketchError where a file would be written over that no earlier list of this folder names."""
    earlier = _listed(target / CONTENTS)
    known = set() if earlier is None else {*earlier, CONTENTS}
    lost = [name for name in [*names, CONTENTS] if name not in known and (target / name).is_file()]
    if lost:
        raise SketchError(
            f"{lost[0]} is no file of an earlier build; the folder was left as it is",
            "Give another folder, or add --overwrite if files of these names may be lost.",
            file=str(target / lost[0]),
        )


def _stage(beside: Path, files: Iterable[tuple[str, bytes]], head: str) -> list[str]:
    beside.mkdir()
    names = []
    for name, data in files:
        path = beside / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        names.append(name)
    (beside / CONTENTS).write_text(f"{head}\n\n" + "".join(f"{name}\n" for name in names), encoding="utf-8")
    return names


def _replace(target: Path, beside: Path, names: list[str]) -> None:
    """Move staged files to their places and remove files that only the earlier list names; all of it, or nothing."""
    gone = (_listed(target / CONTENTS) or set()) - set(names)
    aside = beside / ".before"
    undo: list[tuple[Path, Path]] = []
    try:
        for name in [*names, CONTENTS, *gone]:
            if (target / name).is_file():
                _move(target / name, aside / name, undo)
            if name not in gone:
                _move(beside / name, target / name, undo)
    except OSError:
        for source, place in reversed(undo):
            os.replace(place, source)
        raise
    finally:
        _without_empty(target, {*names, *gone})


def _move(source: Path, place: Path, undo: list[tuple[Path, Path]]) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    os.replace(source, place)
    undo.append((source, place))


def _without_empty(target: Path, names: set[str]) -> None:
    """Folders that only held files that are gone are gone too."""
    for folder in {(target / name).parent for name in names} - {target}:
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()


def _listed(contents: Path) -> set[str] | None:
    """The files an earlier list names, nothing outside its folder; None where there is no such list of ours."""
    try:
        head, names = contents.read_text(encoding="utf-8").split("\n\n", 1)
    except (OSError, ValueError):
        return None
    if not any(mark in head for mark in MARKS):
        return None
    inside = (PurePosixPath(line) for line in names.splitlines() if line)
    return {str(path) for path in inside if not path.is_absolute() and ".." not in path.parts}


def _reason(problem: Exception) -> str:
    return getattr(problem, "strerror", None) or str(problem)
