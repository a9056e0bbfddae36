"""What was done to a scene or a hull, by name, to undo and redo; a drag is one stroke: begin, preview, commit or abort."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Generic, Protocol, TypeVar

from sketcher.model.scene import Scene

T = TypeVar("T")

STEPS_KEPT = 1000
"""Steps that can be undone; scenes share what did not change, so that each costs some kilobytes."""


class NamedEdit(Protocol[T]):
    """A change to what is worked on. `apply` raises SketchError where it cannot be; `describe` is given what was before."""

    def apply(self, stated: T, /) -> T: ...

    def describe(self, stated: T, /) -> str: ...


@dataclass(frozen=True, slots=True)
class Step(Generic[T]):
    """One named change. Undoing gives `before`, redoing `after`, the very values."""

    name: str
    before: T
    after: T


class History(Generic[T]):
    """A scene or a hull with its past. An edit that is refused raises SketchError and leaves everything as it was."""

    def __init__(self, stated: T) -> None:
        self._now = stated
        self._saved = stated
        self._undo: list[Step[T]] = []
        self._redo: list[Step[T]] = []
        self._stroke: tuple[T, NamedEdit[T] | None] | None = None

    @property
    def now(self) -> T:
        """What is worked on as it stands, a stroke under way included."""
        return self._now

    @property
    def unsaved(self) -> bool:
        """Whether it differs from what was saved last; undoing back to it is no difference."""
        return self._now != self._saved

    @property
    def undo_name(self) -> str | None:
        """What `undo` would take back."""
        return self._undo[-1].name if self._undo else None

    @property
    def redo_name(self) -> str | None:
        """What `redo` would do again."""
        return self._redo[-1].name if self._redo else None

    @property
    def names(self) -> tuple[str, ...]:
        """The steps that can be undone, the oldest first."""
        return tuple(step.name for step in self._undo)

    @property
    def names_ahead(self) -> tuple[str, ...]:
        """The steps that were taken back, the next to do again first."""
        return tuple(step.name for step in reversed(self._redo))

    def do(self, edit: NamedEdit[T]) -> T:
        """Make an edit as one step; a stroke under way is committed first. One that changes nothing adds no step."""
        self.commit()
        after = edit.apply(self._now)
        self._add(edit, self._now, after)
        return self._now

    def begin(self) -> None:
        """Begin a stroke; one under way is committed first."""
        self.commit()
        self._stroke = (self._now, None)

    @property
    def in_stroke(self) -> bool:
        return self._stroke is not None

    def preview(self, edit: NamedEdit[T]) -> T:
        """Show an edit made to the scene the stroke began with; the one shown before is forgotten. A refused one is not shown."""
        if self._stroke is None:
            self.begin()
        assert self._stroke is not None
        base = self._stroke[0]
        self._now = edit.apply(base)
        self._stroke = (base, edit)
        return self._now

    def commit(self) -> T:
        """End the stroke as one step, named by the edit last shown; nothing under way or nothing changed adds no step."""
        if self._stroke is not None:
            base, edit = self._stroke
            self._stroke = None
            if edit is not None:
                self._add(edit, base, self._now)
        return self._now

    def abort(self) -> T:
        """End the stroke and put everything back."""
        if self._stroke is not None:
            self._now = self._stroke[0]
            self._stroke = None
        return self._now

    def undo(self) -> T:
        """Take back the last step; a stroke under way is put back instead. Nothing to undo changes nothing."""
        if self._stroke is not None:
            return self.abort()
        if self._undo:
            step = self._undo.pop()
            self._redo.append(step)
            self._now = step.before
        return self._now

    def redo(self) -> T:
        """Do the step taken back last again."""
        self.abort()
        if self._redo:
            step = self._redo.pop()
            self._undo.append(step)
            self._now = step.after
        return self._now

    def go_to(self, done: int) -> T:
        """Undo or redo until so many of the steps that are kept are done; beyond the first or last of them, as far as they go."""
        self.abort()
        while len(self._undo) > done and self._undo:
            self.undo()
        while len(self._undo) < done and self._redo:
            self.redo()
        return self._now

    def mark_saved(self, stated: T) -> None:
        """This, as it was written, is what the file now holds."""
        self._saved = stated

    def change_all(self, change: Callable[[T], T]) -> None:
        """Change what is worked on, what was saved and every step alike: where it belongs, not what is done in it."""
        self.abort()
        self._undo = [Step(step.name, change(step.before), change(step.after)) for step in self._undo]
        self._redo = [Step(step.name, change(step.before), change(step.after)) for step in self._redo]
        self._now, self._saved = change(self._now), change(self._saved)

    def _add(self, edit: NamedEdit[T], before: T, after: T) -> None:
        self._now = after
        if after == before:
            self._now = before
            return
        self._undo.append(Step(edit.describe(before), before, after))
        del self._undo[:-STEPS_KEPT]
        self._redo.clear()


def in_file_of(scene: Scene, home: Scene) -> Scene:
    """The scene with another's file and way to the hull."""
    return replace(scene, file=home.file, hull=home.hull, hull_path=home.hull_path)
