"""Messages of the bar from which things are added: what is chosen waits, is shown where it is pointed to, and is placed."""

from __future__ import annotations

from dataclasses import replace

from sketcher.outputs.scene3d.objects import OBJECT_KINDS
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.handlers.objects import NOT_ADDED
from sketcher.web.logic.drag.hit_testing import object_at
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace
from sketcher.web.view.sheet.cut_places import cut_places


def _choose(workspace: Workspace, fields: MessageFields) -> None:
    """Choose what to add, or with what was chosen before: do not add it after all."""
    wanted, placing, settings = fields.text("value", ""), workspace.placing, workspace.view_settings
    kind = next((kind for kind in OBJECT_KINDS if kind == wanted and kind not in NOT_ADDED), None)
    placing.begin(None if kind == placing.kind else kind, workspace.selection.selected)
    workspace.measuring.begin(on=False)
    if placing.kind is not None and settings.look.arrangement in ("hull", "build"):
        settings.look = replace(settings.look, arrangement="both")


def place(workspace: Workspace) -> None:
    """Set the point that is measured from or to; else add what waits to be placed, and select it."""
    if workspace.measuring.on:
        workspace.measuring.set()
        return
    placed = workspace.placing.place()
    if placed is not None:
        workspace.selection.select(placed)


def point_at(workspace: Workspace, fields: MessageFields) -> None:
    """What waits to be placed goes where the pointer is: in a drawing to where that cuts the boat; beside the boat it stays."""
    placing, fine = workspace.placing, fields.flag("fine")
    if fields.word("where") == "drawing":
        at = fields.pair("at")
        pane = workspace.sheet.pane_at(at)
        if pane is not None:
            settings, selected = workspace.view_settings, workspace.selection.selected
            cut = cut_places(workspace.shown, settings.look, selected)[pane.kind]
            seen = dict(zip(pane.placing.axes, workspace.sheet.boat_at(pane, at), strict=True))
            placing.point((seen.get("x", cut), seen.get("y", cut), seen.get("z", cut)), fields.object_ref(), fine=fine)
    elif fields.word("where") == "picture":
        found = object_at(workspace.drawn_boat(), workspace.view_settings, fields.pair("at", -1, 2))
        if found is not None:
            placing.point(found[1].point, found[0], fine=fine)


def _measure(workspace: Workspace, _: MessageFields) -> None:
    """Take up the measure, or put it away; it is used in the drawings."""
    settings, measuring = workspace.view_settings, workspace.measuring
    measuring.begin(on=not measuring.on)
    workspace.placing.begin(None, None)
    if measuring.on and settings.look.arrangement not in ("both", "drawings"):
        settings.look = replace(settings.look, arrangement="both")


MAKING_HANDLERS: dict[str, MessageHandler] = {
    "add": _choose,
    "measure": _measure,
    "place": lambda workspace, _: place(workspace),
}
