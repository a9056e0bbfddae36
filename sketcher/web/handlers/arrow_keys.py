"""Messages of the arrow keys: they move what has the keyboard."""

from __future__ import annotations

from sketcher.web.handlers.joints import shown_boards
from sketcher.web.handlers.message_handler import MessageHandler, paper_meant
from sketcher.web.logic.drag.grips import step
from sketcher.web.logic.drag.nudging import nudge
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.patterns.joint_edits import joint_nudged
from sketcher.web.logic.workspace import Workspace


def _nudge(workspace: Workspace, fields: MessageFields) -> None:
    """Moves what waits to be placed, else the joint or object that is held, else the paper with the keyboard, else the boat."""
    towards, fine = fields.choice("towards", ("left", "right", "up", "down")), fields.flag("fine")
    session, selected, paper = workspace.session, workspace.selection.selected, paper_meant(workspace, fields)
    if workspace.placing.kind is not None:
        workspace.placing.nudge(towards, fine=fine)
    elif "joint" in fields.values:
        size = step(session.scene.units, fine=fine)
        edit = joint_nudged(shown_boards(workspace), int(fields.number("joint", 0)), towards, size)
        if edit is not None:
            session.do(edit)
    elif selected is not None and selected.kind != "compartment":
        workspace.spoken = nudge(session, selected, towards, fine=fine)
    elif paper is not None:
        paper.look(towards)
    else:
        workspace.view_settings.nudge(towards)


ARROW_KEY_HANDLERS: dict[str, MessageHandler] = {"nudge": _nudge}
