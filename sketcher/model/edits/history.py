"""What was done to a scene, by name, to undo and redo; a drag is one stroke: begin, preview, commit or abort."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.model.edits.actions import Edit
from sketcher.model.scene import Scene

STEPS_KEPT = 1000
"""Steps that can be undone; scenes share what did not change, so that each costs some kilobytes."""


@dataclass(frozen=True, slots=True)
class Step:
    """One named change. Undoing gives `before`, redoing `after`, the very values."""

    name: str
    before: Scene
    after: Scene


class History:
    """A scene with its past. An edit that is refused raises SketchError and leaves everything as it was."""

    def __init__(self, scene: Scene) -> None:
        self._scene = scene
        self._saved = scene
        self._undo: list[Step] = []
        self._redo: list[Step] = []
        self._stroke: tuple[Scene, Edit | None] | None = None

    @property
    def scene(self) -> Scene:
        """The scene as it stands, a stroke under way included."""
        return self._scene

    @property
    def unsaved(self) -> bool:
        """Whether the scene differs from what was saved last; undoing back to it is no difference."""
        return self._scene != self._saved

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

    def do(self, edit: Edit) -> Scene:
        """Make an edit as one step; a stroke under way is committed first. One that changes nothing adds no step."""
        self.commit()
        after = edit.apply(self._scene)
        self._add(edit, self._scene, after)
        return self._scene

    def begin(self) -> None:
        """Begin a stroke; one under way is committed first."""
        self.commit()
        self._stroke = (self._scene, None)

    @property
    def in_stroke(self) -> bool:
        return self._stroke is not None

    def preview(self, edit: Edit) -> Scene:
        """Show an edit made to the scene the stroke began with; the one shown before is forgotten. A refused one is not shown."""
        if self._stroke is None:
            self.begin()
        assert self._stroke is not None
        base = self._stroke[0]
        self._scene = edit.apply(base)
        self._stroke = (base, edit)
        return self._scene

    def commit(self) -> Scene:
        """End the stroke as one step, named by the edit last shown; nothing under way or nothing changed adds no step."""
        if self._stroke is not None:
            base, edit = self._stroke
            self._stroke = None
            if edit is not None:
                self._add(edit, base, self._scene)
        return self._scene

    def abort(self) -> Scene:
        """End the stroke and put everything back."""
        if self._stroke is not None:
            self._scene = self._stroke[0]
            self._stroke = None
        return self._scene

    def undo(self) -> Scene:
        """Take back the last step; a stroke under way is put back instead. Nothing to undo changes nothing."""
        if self._stroke is not None:
            return self.abort()
        if self._undo:
            step = self._undo.pop()
            self._redo.append(step)
            self._scene = step.before
        return self._scene

    def redo(self) -> Scene:
        """Do the step taken back last again."""
        self.abort()
        if self._redo:
            step = self._redo.pop()
            self._undo.append(step)
            self._scene = step.after
        return self._scene

    def go_to(self, done: int) -> Scene:
        """Undo or redo until so many of the steps that are kept are done; beyond the first or last of them, as far as they go."""
        self.abort()
        while len(self._undo) > done and self._undo:
            self.undo()
        while len(self._undo) < done and self._redo:
            self.redo()
        return self._scene

    def mark_saved(self, scene: Scene) -> None:
        """The scene, as it was written, is what the file now holds; saved elsewhere, the whole history goes on from there."""
        if (scene.file, scene.hull_path) != (self._scene.file, self._scene.hull_path):
            self._scene = _in_file_of(self._scene, scene)
            self._undo = [Step(step.name, _in_file_of(step.before, scene), _in_file_of(step.after, scene)) for step in self._undo]
            self._redo = [Step(step.name, _in_file_of(step.before, scene), _in_file_of(step.after, scene)) for step in self._redo]
        self._saved = scene

    def _add(self, edit: Edit, before: Scene, after: Scene) -> None:
        self._scene = after
        if after == before:
            self._scene = before
            return
        self._undo.append(Step(edit.describe(before), before, after))
        del self._undo[:-STEPS_KEPT]
        self._redo.clear()


def _in_file_of(scene: Scene, home: Scene) -> Scene:
    """The scene with another's file and way to the hull."""
    return replace(scene, file=home.file, hull=home.hull, hull_path=home.hull_path)
