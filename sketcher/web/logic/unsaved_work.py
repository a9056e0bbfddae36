"""Unsaved work kept beside the scene's file, so that a crash loses nothing."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.model.files.recovery import KeptWork
from sketcher.model.files.saving import SceneDocument
from sketcher.model.scene import Scene


@dataclass(eq=False, repr=False)
class UnsavedWork:
    """last: the scene that was kept or saved last, None before the first. One session's: others keep their own."""

    last: Scene | None = None
    _kept: KeptWork | None = None

    def keep(self, opened: SceneDocument, scene: Scene, *, unsaved: bool) -> None:
        """Keep a scene beside its file, once for each change; nothing is kept of one that is saved.

        Raises SketchError where nothing can be written there.
        """
        if scene is self.last:
            return
        self.last = scene
        if not unsaved:
            self.drop()
            return
        if self._kept is None:
            self._kept = KeptWork(opened.path)
        self._kept.keep(opened, scene)

    def keeps(self, scene: Scene) -> bool:
        """Whether a scene is safe beside its file."""
        return self._kept is not None and self._kept.is_there and scene == self.last

    def drop(self) -> None:
        """Forget what this session kept: it is saved, or the owner left it behind."""
        if self._kept is not None:
            self._kept.drop()
            self._kept = None

    def let_go(self) -> None:
        """Leave what is kept to the next opening, as the end of the program does."""
        if self._kept is not None:
            self._kept.let_go()
