"""What is selected, or held by a handle, moved one step by an arrow key."""

from __future__ import annotations

from sketcher.model.errors import SketchError
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.grips import Grip, grip_on, step, step_of, stepped
from sketcher.web.logic.drag.object_drag import ObjectDrag, drag_figures
from sketcher.web.logic.session import Session

MOST_SPOKEN = 2
"""Figures that follow the one that is moved when it is read out: at the next press nobody has heard more."""
ACROSS, ALONG, UP = (
    {"left": -1.0, "right": 1.0, "down": -1.0, "up": 1.0},
    {"left": -1.0, "right": 1.0},
    {"down": -1.0, "up": 1.0},
)
NUDGES: dict[str, tuple[dict[str, float], ...]] = {
    "x": (ALONG,),
    "y": (ACROSS,),
    "z": (UP,),
    "xy": (ALONG, UP),
    "xz": (ALONG, UP),
    "yz": (ALONG, UP),
    "xyz": (ALONG, {}, UP),
}
"""What an arrow key does along each of a grip's axes: as in profile and plan, the bow to the left and starboard up."""
EITHER = {"left": -1.0, "down": -1.0, "right": 1.0, "up": 1.0}
"""Of a handle that moves one way only: less and more, by whichever pair of keys is at hand."""


def nudge(session: Session, ref: ObjectRef, towards: str, *, fine: bool) -> str:
    """Move an object one step by an arrow key, where it moves that way; its new figure and what follows, to be read out."""
    try:
        grip = grip_on(session.scene, ref)
    except SketchError as problem:
        session.notices.refuse(problem)
        return ""
    size = step(session.scene.units, fine=fine)
    return _moved(session, grip, tuple(steps.get(towards, 0.0) * size for steps in NUDGES[grip.axes]), size)


def nudge_handle(session: Session, grip: Grip, towards: str, axes: str | None, *, fine: bool) -> str:
    """The same of what is held by a handle. axes: of the drawing that it is in, across and up; None: the picture."""
    if grip.next_to is not None:
        to = grip.next_to(-1 if EITHER[towards] < 0 else 1)
        return _done(session, grip, to)
    size = step_of(grip, session.scene.units, fine=fine)
    if len(grip.axes) == 1:
        return _moved(session, grip, (EITHER[towards] * size,), size)
    if axes is None:
        changes = [steps.get(towards, 0.0) for steps in NUDGES[grip.axes]]
    else:
        along = dict(zip(axes, (ALONG, UP), strict=True))
        changes = [along.get(axis, {}).get(towards, 0.0) for axis in grip.axes]
    return _moved(session, grip, tuple(change * size for change in changes), size)


def _moved(session: Session, grip: Grip, changes: tuple[float, ...], size: float) -> str:
    return _done(session, grip, stepped(grip, changes, size)) if any(changes) else ""


def _done(session: Session, grip: Grip, to: tuple[float, ...]) -> str:
    """Move what a grip holds to other figures; what is read out then."""
    before = session.evaluation
    if not session.do(grip.edit(to)):
        return ""
    lead, *others = drag_figures(ObjectDrag(grip, before, (0.0, 0.0), to=to), session.evaluation)
    told = [f"{grip.ref.name} {lead.value} {lead.label}", *(f"{figure.label} {figure.value}" for figure in others[:MOST_SPOKEN])]
    return ", ".join(told)
