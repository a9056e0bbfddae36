"""A scene and the text it came from: saving changes no more of the file than the owner changed of the scene.

A file that somebody else changed meanwhile is noticed and never overwritten.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sketcher.model.document import Document, compose, fingerprint, read_bytes, read_text
from sketcher.model.errors import SketchError
from sketcher.model.files.recovery import OpenedFile
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.rewriting import rewrite
from sketcher.model.files.scene_file import scene_from, settled
from sketcher.model.scene import Scene


@dataclass(frozen=True, slots=True)
class SceneDocument:
    """A scene as its file holds it. digest: of the file's bytes when they were read or written last."""

    path: str
    document: Document
    scene: Scene
    digest: str

    @property
    def stated(self) -> Scene:
        """What the file says."""
        return self.scene

    def stated_by(self, document: Document) -> Scene:
        """The scene that another text says which is to stand in this file. Raises SketchError."""
        return replace(scene_from(document, hull=self.scene.hull), file=self.scene.file)

    def at_home(self, scene: Scene) -> Scene:
        """The scene as this file would give it back: its lengths settled, with the file's own path to the hull."""
        home = replace(scene, hull=self.scene.hull, hull_path=self.scene.hull_path, file=self.scene.file)
        return settled(home, like=self.scene)

    def document_with(self, scene: Scene) -> Document:
        """The document changed to say what a settled scene says: a change of one number changes one line.

        It is read again before it is given out. Raises SketchError where the scene breaks a limit or its unit differs from
        the file's.
        """
        if scene.units != self.scene.units:
            raise SketchError(
                f"a scene in {scene.units} cannot be saved in a file in {self.scene.units}",
                "A file's unit is fixed: start a new scene in the other unit.",
                file=self.path,
                key="units",
            )
        document = rewrite(self.document, self.scene, scene)
        if replace(scene_from(document, hull=scene.hull), file=None) != replace(scene, file=None):
            raise SketchError("the changes do not fit into this file's layout", "Save under another name.", file=self.path)
        return document


def open_scene(path: str | os.PathLike[str], *, half_entered: bool = False) -> SceneDocument:
    """A scene with its text, ready to be changed and saved. Raises SketchError as `read_scene`.

    half_entered: also with a hull that is none yet, as far as she is entered.
    """
    name = os.fspath(path)
    data = read_bytes(path)
    text, bom = read_text(data, name)
    document = compose(text, name, bom)
    return SceneDocument(name, document, scene_from(document, half_entered=half_entered), fingerprint(data))


def changed_elsewhere(opened: OpenedFile[Any]) -> bool:
    """Whether the file no longer is what was read or written last; one that vanished has not changed."""
    try:
        return fingerprint(read_bytes(opened.path)) != opened.digest
    except SketchError:
        return os.path.exists(opened.path)


def save_scene(opened: SceneDocument, scene: Scene, overwrite: bool = False) -> SceneDocument:
    """Save into the scene's own file; what comes back holds the scene exactly as a fresh reading gives it.

    Raises SketchError where the file was changed elsewhere and `overwrite` is false, or cannot be written.
    """
    if not overwrite and changed_elsewhere(opened):
        raise SketchError(
            "the file was changed elsewhere since it was opened; nothing was saved",
            "Save under another name, or open it again and repeat the change.",
            file=opened.path,
        )
    return _saved(opened, opened.at_home(scene), opened.path)


def save_scene_as(opened: SceneDocument, scene: Scene, path: str | os.PathLike[str], overwrite: bool = False) -> SceneDocument:
    """Save into another file, comments and all; the hull's path is turned to count from its folder.

    Raises SketchError where the file exists and `overwrite` is false, or cannot be written.
    """
    name = os.fspath(path)
    if os.path.exists(name) and not overwrite:
        raise SketchError(
            "there is a file of this name already", "Choose another name, or say that it may be replaced.", file=name
        )
    scene = opened.at_home(scene)
    hull_path = path_between(name, hull_file(opened.path, scene.hull_path), scene.hull_path)
    moved = replace(scene, hull_path=hull_path, hull=replace(scene.hull, file=hull_file(name, hull_path)), file=name)
    return _saved(opened, moved, name)


def hull_file(scene_path: str, hull_path: str) -> str:
    """The hull's file that a scene's `hull:` means."""
    return os.path.normpath(os.path.join(os.path.dirname(scene_path), hull_path))


def path_between(scene_path: str, target: str, written: str = "") -> str:
    """A hull's file as a scene's `hull:` names it; an absolute path that was written stays absolute."""
    if os.path.isabs(written):
        return written
    try:
        return Path(os.path.relpath(target, os.path.dirname(scene_path) or ".")).as_posix()
    except ValueError:
        return os.path.abspath(target)


def _saved(opened: SceneDocument, scene: Scene, path: str) -> SceneDocument:
    document = replace(opened.document_with(scene), file=path)
    data = document.encode(document.text)
    replace_file(path, data)
    return SceneDocument(path, document, scene, fingerprint(data))
