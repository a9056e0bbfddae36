"""A layout kept as B beside the one that is worked on, A: kept, gone over to, laid side by side with it."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.evaluate import with_all_holes
from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.caching import remembered
from sketcher.model.edits.compound_edit import TakeUp
from sketcher.model.errors import SketchError
from sketcher.outputs.tables.comparison import Comparison, compared
from sketcher.web.logic.objects.differing_parts import differing
from sketcher.web.logic.session import Session
from sketcher.web.state import Ghost, KeptLayout


@dataclass(eq=False, repr=False)
class Comparing:
    """kept: the figures of B, None before any is kept; when: what it is, in words."""

    session: Session
    kept: Evaluation | None = None
    when: str = ""
    _found: tuple[Evaluation, Evaluation, Comparison] | None = None
    _differing: tuple[Evaluation, Evaluation, tuple[Ghost, Ghost]] | None = None

    def keep(self) -> None:
        """Keep the layout as it stands as B."""
        session = self.session
        done = session.history.undo_name
        self.hold(session.evaluation, f"as it was after: {done}" if done else f"as {session.file} was opened")
        session.notices.tell("Kept as B, until the sketcher ends. Save as keeps a layout in a file.")

    def hold(self, evaluation: Evaluation, when: str) -> None:
        """Take any layout as B."""
        self.kept, self.when = evaluation, when

    def put_away(self) -> None:
        """Compare with nothing any more."""
        self.kept = self._found = self._differing = None

    def go_over(self) -> None:
        """Go on with B, as one step; what was A is B then.

        Raises SketchError where nothing is kept, or what is kept belongs to another hull.
        """
        if self.kept is None:
            raise SketchError("nothing is kept as B", "Keep a layout as B first.")
        before, done = self.session.evaluation, self.session.history.undo_name
        edit = TakeUp(self.kept.scene, f"Go over to B, {self.kept.scene.name}")
        if self.session.do(edit, as_it_is=True):
            self.hold(before, f"what A was, after: {done}" if done else "what A was")

    def side_by_side(self, *, resting: bool) -> KeptLayout | None:
        """B, and A laid beside it as it was when the page rested last; None where nothing is kept."""
        if self.kept is None:
            return None
        now, found = self.session.evaluation, self._found
        current = found is not None and found[0] is now and found[1] is self.kept
        if resting and not current:
            found, current = (now, self.kept, laid_side_by_side(now, self.kept)), True
            self._found = found
        return KeptLayout(self.kept, self.when, None if found is None else found[2], current=current)

    def outlines(self, *, resting: bool) -> tuple[Ghost, Ghost] | None:
        """What of A and what of B is not in the same place, once the page rests; None while that is not known."""
        now, known = self.session.evaluation, self._differing
        if self.kept is None:
            return None
        if resting and not (known is not None and known[0] is now and known[1] is self.kept):
            self._differing = known = now, self.kept, differing(now, self.kept)
        return known[2] if known is not None and known[0] is now and known[1] is self.kept else None


def laid_side_by_side(first: Evaluation, second: Evaluation) -> Comparison:
    """Two layouts compared as the command `compare` does, lengths in the first's unit."""
    judged, cases = zip(*(_holed(evaluation) for evaluation in (first, second)), strict=True)
    return compared(judged, first.scene.units, cases)


_holed = remembered(2)(with_all_holes)
