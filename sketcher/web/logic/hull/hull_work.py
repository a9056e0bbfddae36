"""The hull being worked on: its file, its history, and what was typed that it could not take."""

from __future__ import annotations

import os
from dataclasses import dataclass, field

from sketcher.model.edits.history import History
from sketcher.model.edits.hull_edits import HullEdit
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_saving import HullDocument, save_hull
from sketcher.model.files.recovery import Recovery, drop_recovery, find_recoveries
from sketcher.model.hull import Hull
from sketcher.web.logic.notices import Notices
from sketcher.web.logic.unsaved_work import UnsavedWork
from sketcher.web.typed_state import RefusedText


@dataclass(frozen=True, slots=True)
class TakeUpHull:
    """Go on with measurements that an earlier run could not save."""

    kept: Hull

    def apply(self, _: Hull) -> Hull:
        return self.kept

    def describe(self, _: Hull) -> str:
        return "Take up unsaved measurements again"


@dataclass(eq=False, repr=False)
class HullWork:
    """opened: the file; history: what was done since; refused: what was typed and could not be taken, by the field's key."""

    opened: HullDocument
    notices: Notices
    unsaved_work: UnsavedWork[Hull] = field(default_factory=UnsavedWork)
    history: History[Hull] = field(init=False)
    refused: dict[str, RefusedText] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.history = History(self.opened.stated)
        self.unsaved_work.last = self.opened.stated

    @property
    def hull(self) -> Hull:
        return self.history.now

    @property
    def unsaved(self) -> bool:
        return self.history.unsaved

    @property
    def file(self) -> str:
        return os.path.basename(self.opened.path)

    def do(self, edit: HullEdit, key: str = "", text: str = "") -> bool:
        """Make an edit as one step, safe beside the file at once; False where it cannot be, and said why beside the field of
        the key, where the text that was typed stays.
        """
        self.refused.pop(key, None)
        try:
            self.history.do(edit)
        except SketchError as problem:
            self.refuse(problem, key, text)
            return False
        self.notices.dismiss()
        self.keep()
        return True

    def refuse(self, problem: SketchError, key: str, text: str) -> None:
        """Say why something typed could not be taken, and let it stand."""
        if key:
            self.refused[key] = RefusedText(text, f"{problem.message.rstrip('.')}. {problem.remedy}".strip())
        else:
            self.notices.refuse(problem)

    def undo(self) -> None:
        """Take back the last step."""
        self._step(self.history.undo_name, "Undone", redo=False)

    def redo(self) -> None:
        """Do again what was taken back last."""
        self._step(self.history.redo_name, "Done again", redo=True)

    def _step(self, name: str | None, word: str, *, redo: bool) -> None:
        if name is None:
            return
        self.history.redo() if redo else self.history.undo()
        self._moved(f"{word}: {name}")

    def go_to(self, done: int) -> None:
        """Back or forward to where so many of the steps that are kept are done."""
        self.history.go_to(done)
        self._moved("")

    def _moved(self, words: str) -> None:
        self.refused.clear()
        self.keep()
        if words:
            self.notices.tell(words)

    def save(self) -> bool:
        """Save into the hull's own file; False where it was changed elsewhere or cannot be written, and said why."""
        try:
            self.opened = save_hull(self.opened, self.hull)
        except SketchError as problem:
            self.notices.refuse(problem)
            return False
        self.unsaved_work.drop()
        self.unsaved_work.last = self.hull
        self.history.mark_saved(self.hull)
        return True

    def keep(self) -> None:
        """Keep unsaved measurements beside the file; nothing is kept of what is saved."""
        try:
            self.unsaved_work.keep(self.opened, self.hull, unsaved=self.unsaved)
        except SketchError as problem:
            self.notices.warn("Unsaved measurements cannot be kept beside the hull.", f"{problem.message} Save soon.")

    def found_work(self) -> list[Recovery[Hull]]:
        """Measurements that earlier runs could not save, the newest first."""
        return find_recoveries(self.opened)

    def take_up(self, found: Recovery[Hull]) -> None:
        """Go on with measurements that an earlier run could not save, as one step that can be undone."""
        if self.do(TakeUpHull(found.stated)) and self.unsaved_work.keeps(self.hull):
            drop_recovery(found)
