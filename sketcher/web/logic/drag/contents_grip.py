"""The grip on what goes into a compartment or lies in a berth: dragged into another one, it goes there as a whole."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import BerthFigures, Compartment
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.rays import home_of
from sketcher.model.edits.actions import SetValue
from sketcher.model.errors import SketchError
from sketcher.model.lookup import find
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.grips import AXES, Grip
from sketcher.web.logic.scene_objects import BLOCK_OF

Point = tuple[float, float, float]
Pointed = Callable[[Floats, Floats], str | None]
"""Which place a line of sight ends in, by the point (3,) [m] and the direction (3,) to the eye; None: in none."""
LEVEL = 1e-9
"""A line that goes so little along an axis never gets anywhere along it."""
NEAR_BERTH = 0.4
"""[m] A pointer this far over or under a berth still points to it."""


def grip_into(evaluation: Evaluation, ref: ObjectRef) -> Grip:
    """The grip on an object of a kind in `MOVED_IN`.

    Its figures are the middle of what it is in, so that nothing changes before the pointer is over another.

    Raises SketchError where what it is in is not there.
    """
    key, homes, pointed = _homes(evaluation, ref)
    block = BLOCK_OF[ref.kind]
    item = find(evaluation.scene, block, ref.name)
    now = item.berth if ref.kind == "person" else item.space
    if now not in homes:
        raise SketchError(f"{ref.name} is in {now}, which is not there", "Select it and choose where it goes.")
    names: dict[tuple[float, ...], str] = {at: name for name, at in homes.items()}
    aftward = sorted(homes, key=lambda name: homes[name])

    def lands(point: Floats, eye: Floats) -> tuple[float, ...]:
        return homes.get(pointed(point, eye) or now, homes[now])

    return Grip(
        ref=ref,
        axes=AXES,
        values=homes[now],
        edit=lambda to: SetValue(block, ref.name, key, names[to]),
        what=f"{ref.name} in",
        lands=lands,
        says=lambda to: names[to],
        next_to=lambda by: homes[aftward[(aftward.index(now) + by) % len(aftward)]],
    )


def _homes(evaluation: Evaluation, ref: ObjectRef) -> tuple[str, dict[str, Point], Pointed]:
    """The key that says where an object is, the middle of each place it may be in, and which of them is pointed to."""
    if ref.kind == "person":
        berths = [berth for berth in evaluation.berths if len(berth.outline)]
        return "berth", {berth.name: _middle(berth) for berth in berths}, lambda point, eye: _berth_at(berths, point, eye)
    spaces = [space for space in evaluation.layout.compartments if space.bounded]
    return "in", {space.name: space.centroid for space in spaces}, lambda point, _: _space_at(spaces, point)


def _space_at(spaces: Sequence[Compartment], point: Floats) -> str | None:
    home = home_of(point, [space.mesh for space in spaces])
    return spaces[home].name if home >= 0 else None


def _middle(berth: BerthFigures) -> Point:
    x, y = berth.outline.mean(axis=0).tolist()
    return x, y, berth.surface


def _berth_at(berths: Sequence[BerthFigures], point: Floats, eye: Floats) -> str | None:
    """The berth that a line of sight goes through; of several, the one whose middle it passes nearest."""
    found: list[tuple[float, str]] = []
    for berth in berths:
        low = np.array([*berth.outline.min(axis=0), berth.surface - NEAR_BERTH])
        high = np.array([*berth.outline.max(axis=0), berth.surface + NEAR_BERTH])
        if _meets_box(point, eye, low, high):
            found.append((float(np.linalg.norm(np.cross(np.array(_middle(berth)) - point, eye))), berth.name))
    return min(found)[1] if found else None


def _meets_box(point: Floats, eye: Floats, low: Floats, high: Floats) -> bool:
    """Whether a line through a point meets a box between two corners; each (3,)."""
    level = np.abs(eye) < LEVEL
    if ((point < low) | (point > high))[level].any():
        return False
    ends = np.stack([low - point, high - point])[:, ~level] / eye[~level]
    return bool(ends.min(axis=0).max() <= ends.max(axis=0).min())
