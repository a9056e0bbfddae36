"""What goes into a space or lies in a berth, under the hand: dragged into another one, it goes there as a whole."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from sketcher.analysis.blocks import home_of
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import BerthRoom, Compartment
from sketcher.geometry.mesh import Floats
from sketcher.model.edits import SetValue
from sketcher.model.errors import SketchError
from sketcher.model.lookup import find
from sketcher.web.logic.grips import AXES, BLOCK_OF, Grip
from sketcher.web.state import Part

Point = tuple[float, float, float]
Pointed = Callable[[Floats], str | None]
"""Which place a point (3,) is in; None: in none."""
NEAR_BERTH = 0.4
"""[m] A hand this far over or under a berth still points to it."""
MOVED = 1e-9
"""[m] A coordinate that changed by less was not moved."""


def grip_into(evaluation: Evaluation, part: Part, start: Point) -> Grip:
    """The hold on one of `MOVED_IN`, taken at a point [m]. Its figures are the middle of what it is in, so that nothing changes
    before the hand is over another.

    Raises SketchError where what it is in is not there.
    """
    key, homes, pointed = _homes(evaluation, part, start)
    block = BLOCK_OF[part.kind]
    item = find(evaluation.scene, block, part.name)
    now = item.berth if part.kind == "person" else item.space
    if now not in homes:
        raise SketchError(f"{part.name} is in {now}, which is not there", "Select it and choose where it goes.")
    names: dict[tuple[float, ...], str] = {at: name for name, at in homes.items()}

    def lands(moved: tuple[float, ...]) -> tuple[float, ...]:
        return homes.get(pointed(np.add(start, moved)) or now, homes[now])

    return Grip(
        part=part,
        axes=AXES,
        values=homes[now],
        edit=lambda to: SetValue(block, part.name, key, names[to]),
        what=f"{part.name} in",
        lands=lands,
        says=lambda to: names[to],
    )


def _homes(evaluation: Evaluation, part: Part, start: Point) -> tuple[str, dict[str, Point], Pointed]:
    """The key that says where a part is, the middle of each place it may be in, and which of them a point is in."""
    if part.kind == "person":
        berths = [room for room in evaluation.berths if len(room.outline)]
        return "berth", {room.name: _middle(room) for room in berths}, lambda at: _berth_at(berths, np.array(start), at)
    spaces = [space for space in evaluation.layout.compartments if space.bounded]
    return "in", {space.name: space.centroid for space in spaces}, lambda at: _space_at(spaces, at)


def _space_at(spaces: Sequence[Compartment], at: Floats) -> str | None:
    home = home_of(at, [space.mesh for space in spaces])
    return spaces[home].name if home >= 0 else None


def _middle(room: BerthRoom) -> Point:
    x, y = room.outline.mean(axis=0).tolist()
    return x, y, room.surface


def _berth_at(
    berths: Sequence[BerthRoom],
    start: Floats,
    at: Floats,
) -> str | None:
    """The berth over which the hand is, by the coordinates that it has moved; of several, the one nearest by the others."""
    moved = np.abs(at - start) > MOVED
    found: list[tuple[float, str]] = []
    for room in berths:
        low = np.array([*room.outline.min(axis=0), room.surface - NEAR_BERTH])
        high = np.array([*room.outline.max(axis=0), room.surface + NEAR_BERTH])
        beside = np.maximum(np.maximum(low - at, at - high), 0.0)
        if not beside[moved].any():
            found.append((float(beside.sum()) + 1e-3 * abs(room.surface - float(at[2])), room.name))
    return min(found)[1] if found else None
