"""A layout and its hull put into one file to send, and taken out of it beside it."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from sketcher.model.document import SIZE_LIMIT, compose, read_bytes, read_text
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_file import hull_from, hull_text
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.saving import SceneDocument
from sketcher.model.files.scene_file import read_scene
from sketcher.model.hull import Hull
from sketcher.model.packed import ENDING, HULL_PART, SCENE_PART, as_zip, read_part
from sketcher.model.scene import Scene

MOST_COPIES = 50
"""Folders that one file is taken out into, each after the one before was changed."""


class TakenOut(NamedTuple):
    """scene: the path of the layout taken out; beside: that of an earlier copy, changed since, None where there is none."""

    scene: str
    beside: str | None


def packed_boat(opened: SceneDocument, scene: Scene) -> bytes:
    """A layout as it stands, saved or not, and its hull, as a zip; both files keep the owner's comments.

    Raises SketchError where the layout breaks a limit.
    """
    home = opened.at_home(scene)
    document = opened.document_with(replace(home, hull_path=HULL_PART))
    return as_zip({SCENE_PART: document.encode(document.text), HULL_PART: _hull_bytes(scene.hull)})


def _hull_bytes(hull: Hull) -> bytes:
    """The hull's file as it is; one that has changed since it was read, or is gone, as the layout knows it."""
    try:
        data = read_bytes(hull.file or "")
        text, bom = read_text(data, hull.file or "")
        if hull_from(compose(text, hull.file or "", bom)) == hull:
            return data
    except SketchError:
        pass
    return hull_text(hull).encode()


def take_out(path: str | os.PathLike[str]) -> TakenOut:
    """Put what a zip holds into a folder of its name beside it, once the whole of it was read and found to be a boat.

    Nothing is written over: a copy that was changed since stays, and the next goes beside it. Raises SketchError.
    """
    name = os.fspath(path)
    read_scene(name)
    parts = {part: read_part(name, part, SIZE_LIMIT) for part in (SCENE_PART, HULL_PART)}
    stem, beside = name[: -len(ENDING)], None
    for number in range(1, MOST_COPIES):
        folder = Path(stem if number == 1 else f"{stem}-{number}")
        if _holds(folder, parts):
            return TakenOut(str(folder / SCENE_PART), beside)
        if not os.path.lexists(folder):
            _write(folder, parts, name)
            return TakenOut(str(folder / SCENE_PART), beside)
        beside = str(folder)
    raise SketchError(f"{MOST_COPIES} copies of it were changed beside it", "Open one of their scene.yaml files.", name)


def _holds(folder: Path, parts: dict[str, bytes]) -> bool:
    try:
        return all((folder / part).read_bytes() == data for part, data in parts.items())
    except OSError:
        return False


def _write(folder: Path, parts: dict[str, bytes], name: str) -> None:
    try:
        folder.mkdir()
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise SketchError(f"it cannot be taken out beside itself: {reason}", "Copy it into a folder of your own.", name) from None
    for part, data in parts.items():
        replace_file(folder / part, data)
