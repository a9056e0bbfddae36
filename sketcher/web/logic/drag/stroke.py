"""A drag, from taking hold to letting go: previewed with every move, one step in the history at the end, or nothing at all."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.edits.actions import Edit
from sketcher.outputs.wording.quantities import length_with_unit, litres
from sketcher.web.logic.drag.grips import Grip
from sketcher.web.state import HandLine

LEAST_VOLUME = 0.0005
"""Half a litre [m3]: a change below this shows as none."""
MOST_LINES = 7
"""Figures under the hand: more would hide what is being dragged."""


@dataclass
class Stroke:
    """grip: the hold; started: figures when the drag began; begun_at: where, in pixels of the picture or metres of a drawing.

    axes: of the drawing it is dragged in; None in the picture. to: where the grip's figures stand now.
    """

    grip: Grip
    started: Evaluation
    begun_at: tuple[float, float]
    axes: str | None = None
    to: tuple[float, ...] = ()
    problem: str = ""

    def __post_init__(self) -> None:
        self.to = self.to or self.grip.values

    @property
    def edit(self) -> Edit | None:
        """The edit so far; None where nothing has moved."""
        return None if self.to == self.grip.values else self.grip.edit(self.to)


def under_hand(stroke: Stroke, now: Evaluation) -> tuple[HandLine, ...]:
    """The figure being moved, then the berth lengths and volumes that have changed, each with its change since the beginning."""
    units = now.scene.units
    names = {"x": "", "y": "", "z": ""} if len(stroke.to) == 1 else {"x": "aft ", "y": "off centre ", "z": "up "}
    value = ", ".join(f"{names[axis]}{length_with_unit(to, units)}" for axis, to in zip(stroke.grip.axes, stroke.to, strict=True))
    if stroke.grip.says is not None:
        value = stroke.grip.says(stroke.to)
    moved = stroke.to[0] - stroke.grip.values[0] if len(stroke.to) == 1 else 0.0
    lead = HandLine(stroke.problem or stroke.grip.what, value, _change(moved, length_with_unit(abs(moved), units), 5e-4))
    return (lead, *_changed_berths(stroke.started, now, units), *_changed_volumes(stroke.started, now))[:MOST_LINES]


def _changed_berths(before: Evaluation, now: Evaluation, units: str) -> list[HandLine]:
    old = {room.name: room.length for room in before.berths}
    lines = []
    for room in now.berths:
        was = old.get(room.name)
        if room.length is not None and was is not None and abs(room.length - was) >= 5e-4:
            moved = room.length - was
            lines.append(
                HandLine(room.name, length_with_unit(room.length, units), _change(moved, length_with_unit(abs(moved), units), 0))
            )
    return lines


def _changed_volumes(before: Evaluation, now: Evaluation) -> list[HandLine]:
    old = {space.name: space.volume for space in before.layout.compartments}
    spaces = now.layout.compartments
    moved = [(space, space.volume - old[space.name]) for space in spaces if space.name in old]
    changed = [(space, by) for space, by in moved if abs(by) >= LEAST_VOLUME and space.bounded]
    changed.sort(key=lambda pair: -abs(pair[1]))
    lines = [HandLine(space.name, f"{litres(space.volume)} L", _change(by, litres(abs(by)), 0)) for space, by in changed]
    names = {space.name for space in spaces}
    lines += [HandLine(space.name, "gone") for space in before.layout.compartments if space.name not in names]
    lines += [HandLine(space.name, f"{litres(space.volume)} L", "new") for space in spaces if space.name not in old]
    return lines


def _change(by: float, words: str, least: float) -> str:
    """A change with its sign; nothing where it is too small to tell."""
    if abs(by) <= least:
        return ""
    return f"{'+' if by > 0 else '−'}{words}"
