"""What is selected, moved one step by an arrow key."""

from __future__ import annotations

from sketcher.model.errors import SketchError
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.grips import grip_on, in_whole_steps, step
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


def nudge(session: Session, ref: ObjectRef, towards: str, *, fine: bool) -> str:
    """Move an object one step by an arrow key, where it moves that way; its new figure and what follows, to be read out."""
    try:
        grip = grip_on(session.scene, ref)
    except SketchError as problem:
        session.notices.refuse(problem)
        return ""
    size = step(session.scene.units, fine=fine)
    moved = tuple(steps.get(towards, 0.0) * size for steps in NUDGES[grip.axes])
    before, to = session.evaluation, in_whole_steps(grip, moved, size)
    if not any(moved) or not session.do(grip.edit(to)):
        return ""
    lead, *others = drag_figures(ObjectDrag(grip, before, (0.0, 0.0), to=to), session.evaluation)
    told = [f"{ref.name} {lead.value} {lead.label}", *(f"{figure.label} {figure.value}" for figure in others[:MOST_SPOKEN])]
    return ", ".join(told)
