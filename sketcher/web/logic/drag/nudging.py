"""What is selected, moved one step by an arrow key."""

from __future__ import annotations

from sketcher.model.errors import SketchError
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.grips import grip_on, in_whole_steps, step
from sketcher.web.logic.session import Session

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


def nudge(session: Session, ref: ObjectRef, towards: str, *, fine: bool) -> None:
    """Move an object one step by an arrow key, where it moves that way."""
    try:
        grip = grip_on(session.scene, ref)
    except SketchError as problem:
        session.notices.refuse(problem)
        return
    size = step(session.scene.units, fine=fine)
    moved = tuple(steps.get(towards, 0.0) * size for steps in NUDGES[grip.axes])
    if any(moved):
        session.do(grip.edit(in_whole_steps(grip, moved, size)))
