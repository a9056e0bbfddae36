"""One object being dragged: previewed with every move, one step in the history at the end, or nothing at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import BerthFigures
from sketcher.model.edits.actions import Edit
from sketcher.outputs.wording.quantities import length_with_unit, litres
from sketcher.web.logic.drag.grips import Grip
from sketcher.web.state import DragFigure

LEAST_VOLUME = 0.0005
"""Half a litre [m3]: a change below this shows as none."""
MOST_LINES = 7
"""Figures that stand in the picture during a drag: more would hide what is being dragged."""


@dataclass
class ObjectDrag:
    """grip: how it moves; started: figures when the drag began; begun_at: where, in pixels of the picture or metres of a drawing.

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


def drag_figures(drag: ObjectDrag, now: Evaluation) -> tuple[DragFigure, ...]:
    """The figure being moved, then the berth lengths and volumes that have changed, each with its change since the beginning."""
    units = now.scene.units
    sense = -1.0 if drag.grip.falls else 1.0
    value = place_words(drag.grip, drag.to, units)
    moved = sense * (drag.to[0] - drag.grip.values[0]) if len(drag.to) == 1 else 0.0
    changed = f"{abs(moved):.1f}°" if drag.grip.arm else length_with_unit(abs(moved), units)
    lead = DragFigure(drag.problem or drag.grip.what, value, _change(moved, changed, 5e-4))
    return (lead, *changed_berths(drag.started.berths, now.berths, units), *_changed_volumes(drag.started, now))[:MOST_LINES]


def place_words(grip: Grip, to: tuple[float, ...], units: str) -> str:
    """The figures of a grip in words."""
    if grip.says is not None:
        return grip.says(to)
    if grip.arm:
        return f"{to[0]:.1f}°"
    if to[0] in grip.ties:
        return f"{length_with_unit(to[0], units)}, {grip.ties[to[0]]}"
    names = {"x": "", "y": "", "z": ""} if len(to) == 1 else {"x": "aft ", "y": "off centre ", "z": "up "}
    sense = -1.0 if grip.falls else 1.0
    return ", ".join(f"{names[axis]}{length_with_unit(sense * each, units)}" for axis, each in zip(grip.axes, to, strict=True))


def changed_berths(before: Sequence[BerthFigures], now: Sequence[BerthFigures], units: str) -> list[DragFigure]:
    """The clear length of each berth that has changed, and by how much."""
    old = {berth.name: berth.length for berth in before}
    lines = []
    for berth in now:
        was = old.get(berth.name)
        if berth.length is not None and was is not None and abs(berth.length - was) >= 5e-4:
            moved = berth.length - was
            lines.append(
                DragFigure(
                    berth.name, length_with_unit(berth.length, units), _change(moved, length_with_unit(abs(moved), units), 0)
                )
            )
    return lines


def _changed_volumes(before: Evaluation, now: Evaluation) -> list[DragFigure]:
    old = {space.name: space.volume for space in before.layout.compartments}
    spaces = now.layout.compartments
    moved = [(space, space.volume - old[space.name]) for space in spaces if space.name in old]
    changed = [(space, by) for space, by in moved if abs(by) >= LEAST_VOLUME and space.bounded]
    changed.sort(key=lambda pair: -abs(pair[1]))
    lines = [DragFigure(space.name, f"{litres(space.volume)} L", _change(by, litres(abs(by)), 0)) for space, by in changed]
    names = {space.name for space in spaces}
    lines += [DragFigure(space.name, "gone") for space in before.layout.compartments if space.name not in names]
    lines += [DragFigure(space.name, f"{litres(space.volume)} L", "new") for space in spaces if space.name not in old]
    return lines


def _change(by: float, words: str, least: float) -> str:
    """A change with its sign; nothing where it is too small to tell."""
    if abs(by) <= least:
        return ""
    return f"{'+' if by > 0 else '−'}{words}"
