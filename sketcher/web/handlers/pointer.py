"""Messages of the pointer: pressed, moved, released, and what it rests on."""

from __future__ import annotations

from sketcher.web.handlers.making import place, point_at
from sketcher.web.handlers.message_handler import MessageHandler, cut_meant, handle_meant
from sketcher.web.logic.drag.handles import PartHandle
from sketcher.web.logic.drag.hit_testing import object_at, objects_at
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace
from sketcher.web.view.sheet.panes import Pane


def _press(workspace: Workspace, fields: MessageFields) -> None:
    """The pointer is pressed: what waits to be placed is held there, else something is taken hold of."""
    workspace.session.notices.dismiss()
    pan = fields.word("button") == "pan"
    where, selected = fields.word("where"), workspace.selection.selected
    cut, handle = cut_meant(fields), handle_meant(workspace, fields)
    if workspace.measuring.on and where == "drawing" and not pan:
        workspace.measuring.point(fields.pair("at"))
        workspace.measuring.set()
    elif workspace.placing.kind is not None and not pan and where != "pattern":
        workspace.placing.pressed = True
        point_at(workspace, fields)
    elif handle is not None and not pan:
        _press_handle(workspace, fields, *handle)
    elif where == "drawing":
        at = fields.pair("at")
        held = next((pane for pane in workspace.sheet.panes if cut is not None and pane.kind == cut[0]), None)
        if cut is not None and held is not None and not pan:
            workspace.drag.press_cut(held, cut[1], at)
            return
        workspace.drag.press_drawing(None if pan else workspace.sheet.pane_at(at), fields.object_ref(), at, selected)
        workspace.drag.beneath = fields.object_refs("beneath")
    elif where == "pattern":
        workspace.drag.press_pattern(workspace.pattern.paper, fields.pair("at"))
    else:
        at = fields.pair("at", -1, 2)
        workspace.drag.press_picture(workspace.drawn_boat(), at, selected, pan=pan, fine=fields.flag("fine"))


def _press_handle(workspace: Workspace, fields: MessageFields, handle: PartHandle, pane: Pane | None) -> None:
    at = fields.pair("at")
    beneath = objects_at(workspace.drawn_boat(), workspace.view_settings, at) if pane is None else fields.object_refs("beneath")
    workspace.drag.press_handle(handle, at, pane, beneath)
    workspace.drag.beneath = beneath


def _move(workspace: Workspace, fields: MessageFields) -> None:
    if workspace.placing.pressed:
        point_at(workspace, fields)
    elif workspace.measuring.on and workspace.drag.mode == "none":
        workspace.measuring.point(fields.pair("at"))
    else:
        workspace.drag.move(fields.pair("at"), fine=fields.flag("fine"))


def _release(workspace: Workspace, _: MessageFields) -> None:
    """What waits is placed; what was dragged is selected, or what was clicked: clicked again, what is under that."""
    placing, drag, selection = workspace.placing, workspace.drag, workspace.selection
    if placing.kind is not None and drag.mode == "none":
        if placing.pressed:
            placing.pressed = False
            place(workspace)
        return
    if drag.mode == "none":
        return
    drag.apply()
    moved = drag.object_drag is not None and drag.object_drag.edit is not None
    found = drag.release()
    if found is None:
        return
    if not moved and drag.on_paper:
        found = selection.clicked(found, ("paper", drag.pressed_at), drag.beneath)
    elif not moved:
        beneath = objects_at(workspace.drawn_boat(), workspace.view_settings, drag.pressed_at)
        found = selection.clicked(found, ("picture", drag.pressed_at), beneath)
    selection.select(found)


def _hover(workspace: Workspace, fields: MessageFields) -> None:
    """What the pointer rests on decides its shape; what waits to be placed goes with it, and the measure."""
    if workspace.measuring.on and fields.word("where") == "drawing":
        workspace.measuring.point(fields.pair("at"))
        return
    if workspace.placing.kind is not None:
        point_at(workspace, fields)
        return
    found = object_at(workspace.drawn_boat(), workspace.view_settings, fields.pair("at", -1, 2))
    workspace.selection.under_pointer = None if found is None else found[0]


def _escape(workspace: Workspace, _: MessageFields) -> None:
    """Let go of what is held or dragged; then of what is measured or waits to be placed; then of notice, then of selection."""
    selection, placing, notices = workspace.selection, workspace.placing, workspace.session.notices
    if workspace.drag.escape():
        return
    if placing.pressed:
        placing.pressed = False
    elif workspace.measuring.on:
        workspace.measuring.escape()
    elif placing.kind is not None:
        placing.begin(None, None)
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
