"""Messages of the pointer: pressed, moved, released, and what it rests on."""

from __future__ import annotations

from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.handlers.objects import add_waiting
from sketcher.web.logic.drag.hit_testing import Place, object_at
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.objects.new_objects import middle
from sketcher.web.logic.workspace import Workspace


def _press(workspace: Workspace, fields: MessageFields) -> None:
    """The pointer is pressed: what waits to be placed is placed, else something is taken hold of."""
    workspace.session.notices.dismiss()
    pan = fields.word("button") == "pan"
    where = fields.word("where")
    if where == "drawing":
        _press_drawing(workspace, fields.pair("at"), fields.object_ref(), pan=pan)
    elif where == "pattern":
        workspace.drag.press_pattern(workspace.pattern.paper, fields.pair("at"))
    else:
        _press_picture(workspace, fields.pair("at", -1, 2), pan=pan, fine=fields.flag("fine"))


def _press_picture(workspace: Workspace, at: Place, *, pan: bool, fine: bool) -> None:
    selection = workspace.selection
    if selection.kind_to_add is None:
        workspace.drag.press_picture(workspace.drawn_boat(), at, selection.selected, pan=pan, fine=fine)
        return
    found = object_at(workspace.drawn_boat(), workspace.view_settings, at)
    point = found[1].point if found else middle(workspace.session.evaluation)
    add_waiting(workspace, point, found[0] if found else None)


def _press_drawing(workspace: Workspace, at: Place, ref: ObjectRef | None, *, pan: bool) -> None:
    pane, selection = workspace.sheet.pane_at(at), workspace.selection
    if selection.kind_to_add is None or pane is None:
        workspace.drag.press_drawing(None if pan else pane, ref, at, selection.selected)
        return
    seen = dict(zip(pane.placing.axes, workspace.sheet.boat_at(pane, at), strict=True))
    point = dict(zip("xyz", middle(workspace.session.evaluation), strict=True)) | seen
    add_waiting(workspace, (point["x"], point["y"], point["z"]), ref)


def _move(workspace: Workspace, fields: MessageFields) -> None:
    workspace.drag.move(fields.pair("at"), fine=fields.flag("fine"))


def _release(workspace: Workspace, _: MessageFields) -> None:
    moved_or_clicked = workspace.drag.release()
    if moved_or_clicked is not None:
        workspace.selection.select(moved_or_clicked)


def _hover(workspace: Workspace, fields: MessageFields) -> None:
    """What the pointer rests on decides its shape."""
    found = object_at(workspace.drawn_boat(), workspace.view_settings, fields.pair("at", -1, 2))
    workspace.selection.under_pointer = None if found is None else found[0]


def _escape(workspace: Workspace, _: MessageFields) -> None:
    """Let go of what is dragged; then of what waits to be placed; then of the notice; then of the selection."""
    selection, notices = workspace.selection, workspace.session.notices
    if workspace.drag.escape():
        return
    if selection.kind_to_add is not None:
        selection.kind_to_add = None
    elif notices.shown is not None:
        notices.dismiss()
    else:
        selection.selected = None


POINTER_HANDLERS: dict[str, MessageHandler] = {
    "press": _press,
    "move": _move,
    "release": _release,
    "hover": _hover,
    "escape": _escape,
}
