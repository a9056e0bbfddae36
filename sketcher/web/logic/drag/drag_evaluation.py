"""Figures while something moves: what does not depend on it is kept, and only the rest is worked out for each place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from sketcher.analysis.afloat.immersion import immersion
from sketcher.analysis.afloat.waterplane import water_plane
from sketcher.analysis.evaluate import judged
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.fit.contents import followed, still_standing
from sketcher.analysis.fit.lying_findings import stated_followed
from sketcher.analysis.limits.judging import with_limits
from sketcher.analysis.results import BerthFigures, Layout
from sketcher.analysis.spaces.drag.carried_layout import with_opening
from sketcher.analysis.spaces.drag.dragged_layout import Mover
from sketcher.analysis.spaces.drag.lazy_sequence import LazySequence
from sketcher.geometry.caching import remembered
from sketcher.model.scene import Scene
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectRef
from sketcher.web.logic.drag.grips import MOVED_IN
from sketcher.web.logic.session import Evaluate

UNTOUCHED_LAYOUT = ("waterline", "berth", "weight", "fitting")
"""Kinds that divide nothing: while one of them moves the panels and compartments stay as they are."""
JOINS = ("opening", "stringer", "chain")
"""Kinds that may join compartments: panels and spaces stay as they are, and what joins what is worked out anew."""
NO_PANEL = ""
"""What a mover moves while panels stay: its spaces are cut once."""

Follow = Callable[[Scene, Evaluation], Evaluation]
"""A scene to its figures, by those of a moment before."""


@dataclass(frozen=True, slots=True)
class DragEvaluation:
    """whole: all figures of a scene; at_once: those that are watched, the rest of a moment before; None: all are quick."""

    whole: Follow
    at_once: Follow | None = None


def prepare_drag(started: Evaluation, ref: ObjectRef) -> None:
    """Get ready for an object to be moved: done beforehand where the pointer rests on it."""
    if ref.kind in PANEL_KINDS:
        _mover(started.layout, ref.name)


def drag_evaluation(started: Evaluation, ref: ObjectRef, whole: Evaluate, *, divides: bool = True) -> DragEvaluation:
    """What evaluates scenes that differ from the one a drag began with by the place of one object.

    whole: evaluates from scratch, for what cannot be had quicker. divides: whether compartments may change with it.
    """
    if ref.kind in MOVED_IN:
        # Filling a compartment takes too long for a drag: it is done when the object is dropped.
        return DragEvaluation(lambda scene, _: replace(started, scene=scene, layout=replace(started.layout, scene=scene)))
    if not divides or ref.kind in UNTOUCHED_LAYOUT:
        return DragEvaluation(
            lambda scene, last: _whole(judged(replace(started.layout, scene=scene)), last),
            lambda scene, last: seen_at_once(replace(last.layout, scene=scene), last),
        )
    if ref.kind in PANEL_KINDS:
        mover = _mover(started.layout, ref.name)
        return DragEvaluation(
            lambda scene, last: _whole(judged(mover.at(scene)), last),
            lambda scene, last: seen_at_once(mover.seen_at(scene, last.layout), last),
        )
    if ref.kind in JOINS:
        still, chains = _mover(started.layout, NO_PANEL), ref.kind == "chain"
        carry = with_opening if ref.kind == "opening" else lambda layout, scene, _: replace(layout, scene=scene)
        return DragEvaluation(
            lambda scene, last: _whole(judged(still.at(scene)), last, chains=chains),
            lambda scene, last: seen_at_once(carry(last.layout, scene, ref.name), last),
        )
    return DragEvaluation(lambda scene, _: whole(scene))


@remembered(1)
def _mover(layout: Layout, panel: str) -> Mover:
    return Mover(layout, panel)


def _whole(evaluation: Evaluation, last: Evaluation, *, chains: bool = False) -> Evaluation:
    """The evaluation with what goes into the compartments followed from where it was a moment before; chains: they move."""
    if last.lying_as_stated:
        evaluation = stated_followed(evaluation, last.lying_as_stated)
    evaluation = followed(evaluation, last.contents, chains=chains)
    return with_limits(evaluation, last.limits) if evaluation.scene.limits else evaluation


def seen_at_once(layout: Layout, last: Evaluation) -> Evaluation:
    """What is watched of a layout: its water, spaces and berths; all else as it was a moment before, `last`."""
    if layout.findings is not last.layout.findings:
        return _whole(judged(layout), last)
    water = water_plane(layout.scene, layout.hull)
    water = last.water if water == last.water else water
    was = {berth.name: berth for berth in last.berths}
    return replace(
        last,
        scene=layout.scene,
        layout=layout,
        water=water,
        # For figures alone, so while the picture is drawn.
        immersion=LazySequence(lambda: immersion(layout.compartments, water)),
        berths=tuple(_judged_as(berth, was.get(berth.name, berth)) for berth in berth_figures(layout, outlines_only=True)[0]),
        contents=None if last.contents is None else still_standing(last.contents, layout.compartments),
    )


def _judged_as(berth: BerthFigures, was: BerthFigures) -> BerthFigures:
    """A berth's outline and length as they now are, with the other figures and the verdict of a moment before."""
    return replace(
        berth,
        shoulder_width=was.shoulder_width,
        foot_width=was.foot_width,
        headroom=was.headroom,
        stature=was.stature,
        fits=was.fits,
        short_by=was.short_by,
        who=was.who,
        sitting_headroom=was.sitting_headroom,
        air=was.air,
    )
