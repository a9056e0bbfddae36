"""One scene being worked on: its file, its history, and the last good figures.

Everything a page does to a scene goes through here as a named edit, or is refused in words and leaves all as it was.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.spaces.drag.name_tracking import names_following, under_their_names
from sketcher.geometry.caching import kept_with_owner
from sketcher.model.edits.actions import Edit
from sketcher.model.edits.compound_edit import Following, TakeUp
from sketcher.model.edits.history import History, in_file_of
from sketcher.model.errors import SketchError
from sketcher.model.files.hull_saving import open_hull
from sketcher.model.files.recovery import Recovery, drop_recovery, find_recoveries
from sketcher.model.files.saving import SceneDocument, changed_elsewhere, save_scene, save_scene_as
from sketcher.model.scene import Scene
from sketcher.outputs.wording.sentences import capitalized, message
from sketcher.web.logic.hull.hull_work import HullWork
from sketcher.web.logic.later_bottles import LaterBottles
from sketcher.web.logic.notices import Notices
from sketcher.web.logic.unsaved_work import UnsavedWork

Evaluate = Callable[[Scene], Evaluation]
"""A scene to its figures."""

LOST = ("panel-outside-hull", "panel-nothing-left")
"""Codes of findings that nothing of a panel is in the hull: such an edit is refused, and the last good figures stay."""


@dataclass(eq=False, repr=False)
class Session:
    """opened: the file; history: what was done since; evaluation: the figures of the scene as it stands, always good ones.

    hull: her own file and what was done to her; in_saved_hull: the figures when she was opened or saved last. opened_bare:
    whether there was no panel in the scene when it was opened. bottles: places them later; None: at once.
    """

    opened: SceneDocument
    evaluate: Evaluate
    bottles: LaterBottles | None = None
    notices: Notices = field(default_factory=Notices)
    unsaved_work: UnsavedWork[Scene] = field(default_factory=UnsavedWork)
    history: History[Scene] = field(init=False)
    hull: HullWork = field(init=False)
    evaluation: Evaluation = field(init=False)
    opened_bare: bool = field(init=False)
    in_saved_hull: Evaluation = field(init=False)
    _previewed: tuple[Evaluation, Edit] | None = None

    def __post_init__(self) -> None:
        self.hull = self._hull_of(self.opened)
        self.open(self.opened)

    def _hull_of(self, opened: SceneDocument) -> HullWork:
        return HullWork(open_hull(opened.scene.hull.file or ""), self.notices)

    @property
    def scene(self) -> Scene:
        return self.history.now

    @property
    def unsaved(self) -> bool:
        return self.history.unsaved or self.hull.unsaved

    @property
    def file(self) -> str:
        return os.path.basename(self.opened.path)

    def open(self, opened: SceneDocument) -> None:
        """Go on with another file; what was not saved of this one is left behind.

        Raises SketchError, and stays with this one, where its boat cannot be.
        """
        self.evaluation = self.evaluate(opened.scene)
        hull = self._hull_of(opened)
        self.unsaved_work.drop()
        self.hull.unsaved_work.drop()
        self.hull = hull
        self.opened, self.history, self.unsaved_work.last = opened, History(opened.scene), opened.scene
        self.in_saved_hull = self.evaluation
        self.opened_bare = not opened.scene.panels
        self._previewed = None

    def do(self, edit: Edit, *, as_it_is: bool = False) -> bool:
        """Make an edit as one step, names staying with their spaces; False, and said why, where it cannot be.

        as_it_is: also one that leaves nothing of a panel.
        """
        try:
            wanted = edit.apply(self.scene)
            # Figures may take seconds: what was asked for is safe before they are worked out.
            self._keep(wanted, unsaved=True)
            evaluation = self.figures(wanted)
            if not as_it_is:
                refuse_lost(self.evaluation, evaluation, edit)
            moved = names_following(self.evaluation.layout, evaluation.layout)
            if moved:
                edit = Following(edit, moved)
                evaluation = self.figures(edit.apply(self.scene))
        except SketchError as problem:
            self.keep()
            self.notices.refuse(problem)
            return False
        self.history.do(edit)
        self.evaluation = evaluation
        self.notices.dismiss()
        return True

    def preview(self, edit: Edit, last: Edit | None, evaluate: Evaluate | None = None) -> str:
        """Show an edit made to the scene that a drag began with; what is wrong with it in words, or nothing.

        last: the edit shown before, which stays where this one cannot be. evaluate: a quicker way to the same figures.
        """
        before = self.scene
        begun = self.evaluation if self._previewed is None else self._previewed[0]
        try:
            shown = (evaluate or self.evaluate)(self.history.preview(edit))
            refuse_lost(begun, shown, edit)
            self._previewed = begun, edit
            self.evaluation = self.renamed(shown)
        except SketchError as problem:
            if last is not None and self.scene is not before:
                self.history.preview(last)
            elif last is None:
                self.history.abort()
            return capitalized(problem.message)
        return ""

    def show(self, shown: Evaluation) -> None:
        """Show all figures of where something is dragged to, once they have followed it; of another place they are not shown."""
        if shown.scene is self.evaluation.scene:
            self.evaluation = self.renamed(shown)

    def renamed(self, shown: Evaluation) -> Evaluation:
        """An evaluation of what is shown while something is dragged, names with their spaces."""
        return shown if self._previewed is None else _renamed(shown, self._previewed[0])

    def figures(self, scene: Scene) -> Evaluation:
        """The figures of a scene, bottles only if nothing can wait for them."""
        return self.evaluate(scene) if self.bottles is None else self.bottles.evaluate(scene, self.evaluation)

    @property
    def filling(self) -> bool:
        """Whether bottles are still to be placed, and what they change is of a moment before."""
        return self.bottles is not None and self.bottles.behind

    def take_hull(self, evaluation: Evaluation) -> None:
        """Go on with the layout in the hull that these are the figures of, in all its steps: they change panels, not the hull."""
        if replace(self.scene, hull=evaluation.scene.hull) != evaluation.scene:
            return

        def in_hull(scene: Scene) -> Scene:
            return replace(scene, hull=evaluation.scene.hull)

        self.history.change_all(in_hull)
        self.opened = replace(self.opened, scene=in_hull(self.opened.scene))
        self.evaluation = evaluation

    def take_bottles(self) -> None:
        """Show the bottles once they are placed."""
        come = None if self.bottles is None else self.bottles.newly_come()
        if come is not None:
            self.show(come)

    def finish(self) -> None:
        """Wait for the bottles: for what is taken away whole."""
        if self.bottles is not None and self.bottles.behind:
            self.bottles.drop()
            self.show(self.evaluate(self.evaluation.scene))

    def commit(self) -> None:
        """End a drag as one step, its figures worked out afresh and names kept with their spaces."""
        previewed, self._previewed = self._previewed, None
        self.keep()
        evaluation = self.figures(self.scene)
        if previewed is not None and self.history.in_stroke:
            begun, edit = previewed
            moved = names_following(begun.layout, evaluation.layout)
            if moved:
                evaluation = self.figures(self.history.preview(Following(edit, moved)))
        self.history.commit()
        self.evaluation = evaluation

    def abort(self, before: Evaluation) -> None:
        """End a drag and put everything back, the figures included."""
        self.history.abort()
        self._previewed = None
        self.evaluation = before if before.scene == self.scene else self.figures(self.scene)

    def undo(self) -> None:
        """Take back the last step."""
        self._step(self.history.undo_name, self.history.undo, "Undone")

    def redo(self) -> None:
        """Do again what was taken back last."""
        self._step(self.history.redo_name, self.history.redo, "Done again")

    def go_to(self, done: int) -> None:
        """Back or forward to where so many of the steps that are kept are done."""
        before = len(self.history.names)
        self.history.go_to(done)
        names, ahead = self.history.names, self.history.names_ahead
        if len(names) == before:
            return
        self._worked_out_anew()
        many = abs(len(names) - before)
        steps = "one step" if many == 1 else f"{many} steps"
        back = len(names) < before
        to = f"before: {ahead[0]}" if back else f"after: {names[-1]}"
        self.notices.tell(capitalized(f"{steps} {'back' if back else 'forward'}, to {to}"))

    def _worked_out_anew(self) -> None:
        self.keep()
        self.evaluation = self.figures(self.scene)

    def _step(self, name: str | None, step: Callable[[], object], word: str) -> None:
        if name is None:
            return
        step()
        self._worked_out_anew()
        self.notices.tell(f"{word}: {name}")

    def save(self) -> bool:
        """Save the scene's file and the hull's; False where one was changed elsewhere or cannot be written."""
        measured = self.hull.unsaved
        if changed_elsewhere(self.opened) or (measured and not self.hull.save()):
            return False
        try:
            self._saved(save_scene(self.opened, self.scene))
        except SketchError as problem:
            self.notices.refuse(problem)
            return False
        if measured:
            self.in_saved_hull = self.evaluation
            self.notices.tell(f"Saved {self.file} and the hull's {self.hull.file}")
        return True

    def save_as(self, path: str, *, replace: bool = False) -> None:
        """Save under another name and go on in that file; replace: also over a file that is there. Raises SketchError."""
        self._saved(save_scene_as(self.opened, self.scene, path, overwrite=replace))

    def _saved(self, opened: SceneDocument) -> None:
        self.unsaved_work.drop()
        self.opened, self.unsaved_work.last = opened, self.scene
        if (opened.scene.file, opened.scene.hull_path) != (self.scene.file, self.scene.hull_path):
            self.history.change_all(lambda scene: in_file_of(scene, opened.scene))
        self.history.mark_saved(opened.scene)
        self.notices.tell(f"Saved {self.file}")

    def keep(self) -> None:
        """Keep unsaved work beside the file; nothing is kept of what is saved."""
        self._keep(self.scene, unsaved=self.history.unsaved)
        self.hull.keep()

    def _keep(self, scene: Scene, *, unsaved: bool) -> None:
        try:
            self.unsaved_work.keep(self.opened, scene, unsaved=unsaved)
        except SketchError as problem:
            self.notices.warn("Unsaved work cannot be kept beside the file.", f"{problem.message} Save soon.")

    def found_work(self) -> list[Recovery[Scene]]:
        """Work that earlier runs could not save, the newest first."""
        return find_recoveries(self.opened)

    def take_up(self, found: Recovery[Scene]) -> None:
        """Go on with work that an earlier run could not save, as one step that can be undone."""
        if self.do(TakeUp(found.stated, "Take up unsaved work again"), as_it_is=True):
            self.keep()
            if self.unsaved_work.keeps(self.scene):
                drop_recovery(found)


@kept_with_owner(1)
def _renamed(shown: Evaluation, begun: Evaluation) -> Evaluation:
    return replace(shown, layout=under_their_names(begun.layout, shown.layout))


def refuse_lost(before: Evaluation, after: Evaluation, edit: Edit) -> None:
    """Raises SketchError where an edit leaves more panels of which nothing is in the hull than there were, saying of one why."""
    was, lost = ([finding for finding in found.findings if finding.code in LOST] for found in (before, after))
    if len(lost) > len(was):
        known, edited = {finding.object for finding in was}, edit.describe(before.scene)
        worst = min(lost, key=lambda finding: (finding.object in known, finding.object not in edited))
        raise SketchError(message(worst, before.scene.units))
