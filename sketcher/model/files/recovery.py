"""Work not saved yet, kept beside its file so that a crash or a closed laptop loses nothing."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from sketcher.model.document import compose, read_bytes, read_text
from sketcher.model.errors import SketchError
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.saving import SceneDocument
from sketcher.model.files.scene_file import scene_from
from sketcher.model.scene import Scene

RECOVERY_SUFFIX = ".sketch-recovery"
_RECOVERY_HEAD = "# kept from work not saved; the file then was "


@dataclass(frozen=True, slots=True)
class Recovery:
    """Work that was not saved. scene: as it was; stale: whether the scene's file was changed after the work began."""

    path: str
    scene: Scene
    stale: bool


def recovery_path(path: str | os.PathLike[str]) -> Path:
    """Where work on a scene is kept until it is saved: a hidden file beside it."""
    target = Path(path)
    return target.with_name(f".{target.name}{RECOVERY_SUFFIX}")


def keep_recovery(opened: SceneDocument, scene: Scene) -> None:
    """Keep unsaved work beside the file. Raises SketchError where nothing can be written there."""
    document = opened.document_with(opened.at_home(scene))
    replace_file(recovery_path(opened.path), f"{_RECOVERY_HEAD}{opened.digest}\n{document.text}".encode())


def find_recovery(opened: SceneDocument) -> Recovery | None:
    """Work kept beside a scene that differs from it, or None; what cannot be read any more is no work."""
    path = recovery_path(opened.path)
    try:
        text, _ = read_text(read_bytes(path), str(path))
        head, _, body = text.partition("\n")
        scene = replace(scene_from(compose(body, opened.path)), file=opened.scene.file)
    except SketchError:
        return None
    if not head.startswith(_RECOVERY_HEAD) or scene == opened.scene:
        return None
    return Recovery(str(path), scene, head.removeprefix(_RECOVERY_HEAD).strip() != opened.digest)


def drop_recovery(path: str | os.PathLike[str]) -> None:
    """Forget the work kept beside a scene."""
    with suppress(OSError):
        recovery_path(path).unlink(missing_ok=True)
