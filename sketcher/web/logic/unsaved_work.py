"""Unsaved work kept beside the scene's or the hull's file, so that a crash loses nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from sketcher.model.files.recovery import KeptWork, OpenedFile

T = TypeVar("T")


@dataclass(eq=False, repr=False)
class UnsavedWork(Generic[T]):
    """last: the scene or hull that was kept or saved last, None before the first. One session's: others keep their own."""

    last: T | None = None
    _kept: KeptWork[T] | None = None

    def keep(self, opened: OpenedFile[T], stated: T, *, unsaved: bool) -> None:
        """Keep it beside its file, once for each change; nothing is kept of one that is saved.

        Raises SketchError where nothing can be written there.
        """
        if stated is self.last:
            return
        self.last = stated
        if not unsaved:
            self.drop()
            return
        if self._kept is None:
            self._kept = KeptWork(opened.path)
        self._kept.keep(opened, stated)

    def keeps(self, stated: T) -> bool:
        """Whether it is safe beside its file."""
        return self._kept is not None and self._kept.is_there and stated == self.last

    def drop(self) -> None:
        """Forget what this session kept: it is saved, or the owner left it behind."""
        if self._kept is not None:
            self._kept.drop()
            self._kept = None

    def let_go(self) -> None:
        """Leave what is kept to the next opening, as the end of the program does."""
        if self._kept is not None:
            self._kept.let_go()
