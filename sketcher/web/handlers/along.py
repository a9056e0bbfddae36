"""Messages of the curves along a range: which number, where it is put, and whether they are shown."""

from __future__ import annotations

from dataclasses import replace

from sketcher.model.errors import SketchError
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.drag.grips import step
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.places.along_range import KnownPlaces
from sketcher.web.logic.workspace import Workspace

MOST_STEPS = 1000.0


def _along(workspace: Workspace, fields: MessageFields) -> None:
    """Another of the part's numbers is moved."""
    workspace.along.choose(int(fields.number("value", 0, 20)))


def _fold(workspace: Workspace, _: MessageFields) -> None:
    settings = workspace.view_settings
    settings.look = replace(settings.look, along=not workspace.curves_opened)


def _put(workspace: Workspace, fields: MessageFields) -> None:
    """The number goes where the curves were clicked: to a whole step of the hand."""
    shown = _shown(workspace)
    values = shown.places
    _move(workspace, shown, values[0] + fields.number("share", 0.0, 1.0) * (values[-1] - values[0]))


def _step(workspace: Workspace, fields: MessageFields) -> None:
    """The number goes on by so many steps of the hand, or with `whole` by so many places of the range."""
    shown = _shown(workspace)
    now = shown.number.now(workspace.session.scene)
    if now is None:
        raise SketchError(f"{shown.number.word} of {shown.number.range.name} is tied to another part", "Type a figure for it.")
    by = shown.number.range.step if fields.flag("whole") else _finest(workspace, shown)
    _move(workspace, shown, now + by * round(fields.number("by", -MOST_STEPS, MOST_STEPS)))


def _finest(workspace: Workspace, shown: KnownPlaces) -> float:
    moved = shown.number.range
    return step(workspace.session.scene.units, fine=False) if moved.is_length else moved.step / 2


def _shown(workspace: Workspace) -> KnownPlaces:
    """What is shown. Raises SketchError where nothing is."""
    workspace.look_along()
    if workspace.along.shown is None:
        raise SketchError("nothing is selected that goes along a range", "Select a bulkhead, a partition or a lid.")
    return workspace.along.shown


def _move(workspace: Workspace, shown: KnownPlaces, to: float) -> None:
    finest, scene = _finest(workspace, shown), workspace.session.scene
    low, high = shown.places[0], shown.places[-1]
    value = round(min(max(round(to / finest) * finest, low), high), 9)
    if value != shown.number.now(scene):
        workspace.session.do(shown.number.edit(scene, value))


def _goal(workspace: Workspace, fields: MessageFields) -> None:
    """Of what there is to be most or least at the best place."""
    workspace.along.goal = fields.text("value")


def _best(workspace: Workspace, _: MessageFields) -> None:
    _shown(workspace)
    workspace.look_for_best()


ALONG_HANDLERS: dict[str, MessageHandler] = {
    "along": _along,
    "fold_curves": _fold,
    "put_along": _put,
    "step_along": _step,
    "goal": _goal,
    "best_along": _best,
    "leave_best": lambda workspace, _: workspace.best.stop(),
}
