"""Figures while something moves: what does not depend on it is kept, and only the rest is worked out for each place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.contents import followed
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.model.scene import Scene
from sketcher.web.logic.drag.grips import MOVED_IN
from sketcher.web.state import PANEL_KINDS, ObjectRef

UNTOUCHED_LAYOUT = ("waterline", "berth", "weight", "fitting")
"""Kinds that divide nothing: while one of them moves the panels and compartments stay as they are."""


@dataclass(eq=False, repr=False)
class Quick:
    """The figures of scenes in which one part has moved. whole: the slow way, for what has no quick one."""

    whole: Callable[[Scene], Evaluation]
    _mover: Mover | None = None

    def prepare(self, evaluation: Evaluation, part: ObjectRef) -> None:
        """Get ready for a part to be moved; done beforehand where the pointer rests on it."""
        if part.kind in PANEL_KINDS and not self._ready(evaluation.layout, part):
            self._mover = Mover(evaluation.layout, part.name)

    def _ready(self, layout: Layout, part: ObjectRef) -> bool:
        return self._mover is not None and self._mover.layout is layout and self._mover.panel == part.name

    def figures(self, started: Evaluation, part: ObjectRef, *, divides: bool = True) -> Callable[[Scene], Evaluation]:
        """The way to the figures of a scene that differs from the one a drag began with by the place of a part.

        divides: whether spaces may change with it.
        """
        if part.kind in MOVED_IN:
            # Filling a space takes longer than a hand waits: it is done when the hand lets go.
            return lambda scene: replace(started, scene=scene, layout=replace(started.layout, scene=scene))
        if not divides or part.kind in UNTOUCHED_LAYOUT:
            return _following(started, lambda scene: judged(replace(started.layout, scene=scene)))
        self.prepare(started, part)
        mover = self._mover
        if part.kind in PANEL_KINDS and mover is not None:
            return _following(started, lambda scene: judged(mover.at(scene)))
        return self.whole


def _following(started: Evaluation, figures: Callable[[Scene], Evaluation]) -> Callable[[Scene], Evaluation]:
    """The same figures with what goes into the spaces followed from one place to the next."""
    if started.contents is None:
        return figures
    last = started.contents

    def followed_on(scene: Scene) -> Evaluation:
        nonlocal last
        found = followed(figures(scene), last)
        last = found.contents or last
        return found

    return followed_on
