"""Figures while something moves: what does not depend on it is kept, and only the rest is worked out for each place."""

from __future__ import annotations

from dataclasses import replace

from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.contents import followed
from sketcher.analysis.fit.lying_findings import stated_followed
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.geometry.caching import remembered
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef
from sketcher.web.logic.drag.grips import MOVED_IN
from sketcher.web.logic.session import Evaluate

UNTOUCHED_LAYOUT = ("waterline", "berth", "weight", "fitting")
"""Kinds that divide nothing: while one of them moves the panels and compartments stay as they are."""


def prepare_drag(started: Evaluation, ref: ObjectRef) -> None:
    """Get ready for an object to be moved: done beforehand where the pointer rests on it."""
    if ref.kind in PANEL_KINDS:
        _mover(started.layout, ref.name)


def drag_evaluation(started: Evaluation, ref: ObjectRef, whole: Evaluate, *, divides: bool = True) -> Evaluate:
    """What evaluates scenes that differ from the one a drag began with by the place of one object.

    whole: evaluates from scratch, for what cannot be had quicker. divides: whether compartments may change with it.
    """
    if ref.kind in MOVED_IN:
        # Filling a compartment takes too long for a drag: it is done when the object is dropped.
        return lambda scene: replace(started, scene=scene, layout=replace(started.layout, scene=scene))
    if not divides or ref.kind in UNTOUCHED_LAYOUT:
        return _following(started, lambda scene: judged(replace(started.layout, scene=scene)))
    if ref.kind in PANEL_KINDS:
        mover = _mover(started.layout, ref.name)
        return _following(started, lambda scene: judged(mover.at(scene)))
    return whole


@remembered(1)
def _mover(layout: Layout, panel: str) -> Mover:
    return Mover(layout, panel)


def _following(started: Evaluation, evaluate: Evaluate) -> Evaluate:
    """The same, with what goes into the compartments followed from one place to the next."""
    if started.contents is None and not started.lying_as_stated:
        return evaluate
    last, lying = started.contents, started.lying_as_stated

    def followed_on(scene: Scene) -> Evaluation:
        nonlocal last, lying
        evaluation = followed(stated_followed(evaluate(scene), lying), last)
        last, lying = evaluation.contents or last, evaluation.lying_as_stated or lying
        return evaluation

    return followed_on
