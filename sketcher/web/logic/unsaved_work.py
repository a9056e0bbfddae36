"""Unsaved work kept beside the scene's file, so that a crash loses nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from sketcher.model.files.recovery import drop_recovery, keep_recovery
from sketcher.model.files.saving import SceneDocument
from sketcher.model.scene import Scene


@dataclass(frozen=True, slots=True)
class RestoreWork:
    """The edit that brings back work kept from an earlier run."""

    kept: Scene

    def apply(self, scene: Scene) -> Scene:
        return replace(self.kept, hull=scene.hull, file=scene.file)

    def describe(self, _: Scene) -> str:
        return "Take up unsaved work again"


@dataclass(eq=False, repr=False)
class UnsavedWork:
    """last: the scene that was kept or saved last, None before the first; allowed: whether work may be kept now."""

    last: Scene | None = None
    allowed: Callable[[], bool] = lambda: True

    def keep(self, opened: SceneDocument, scene: Scene, *, unsaved: bool) -> None:
        """Keep a scene beside its file, once for each change; nothing is kept of one that is saved.

        Raises SketchError where nothing can be written there.
        """
        if scene is self.last or not self.allowed():
            return
        self.last = scene
        if unsaved:
            keep_recovery(opened, scene)
        else:
            drop_recovery(opened.path)
