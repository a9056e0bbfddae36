"""Messages of the arrow keys: they move what has the keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.web.handlers.joints import shown_boards
from sketcher.web.handlers.message_handler import MessageHandler, cut_meant, handle_meant, paper_meant
from sketcher.web.logic.drag.grips import step
from sketcher.web.logic.drag.nudging import nudge, nudge_handle
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.patterns.joint_edits import joint_nudged
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import DragFigure
from sketcher.web.view.sheet.cut_places import cut_places


def spoken(figures: Sequence[DragFigure]) -> str:
    """Figures as they are read out."""
    return ", ".join(f"{figure.label} {figure.value}".strip() for figure in figures)


def _nudge(workspace: Workspace, fields: MessageFields) -> None:
    """Moves the measure or what waits to be placed, else what is held: joint, cut, handle or object, else paper or boat."""
    towards, fine = fields.choice("towards", ("left", "right", "up", "down")), fields.flag("fine")
    session, selected, paper = workspace.session, workspace.selection.selected, paper_meant(workspace, fields)
    cut, handle = cut_meant(fields), handle_meant(workspace, fields)
    if workspace.measuring.on:
        workspace.measuring.nudge(towards, step(session.scene.units, fine=False) if fine else None)
        workspace.spoken = spoken(workspace.measuring.figures(session.scene.units))
    elif workspace.placing.kind is not None:
        workspace.placing.nudge(towards, fine=fine)
    elif cut is not None:
        name, sign = cut[1], 1 if towards in ("right", "up") else -1
        size = step(session.scene.units, fine=fine)
        now = cut_places(workspace.shown, workspace.view_settings.look, selected)[name]
        workspace.view_settings.draw_at(name, now + sign * size, size)
    elif "joint" in fields.values:
        size = step(session.scene.units, fine=fine)
        edit = joint_nudged(shown_boards(workspace), int(fields.number("joint", 0)), towards, size)
        if edit is not None:
            session.do(edit)
    elif handle is not None:
        held, pane = handle
        workspace.spoken = nudge_handle(session, held.grip, towards, None if pane is None else pane.placing.axes, fine=fine)
    elif selected is not None and selected.kind != "compartment":
        workspace.spoken = nudge(session, selected, towards, fine=fine)
    elif paper is not None:
        paper.look(towards)
    else:
        workspace.view_settings.nudge(towards)


ARROW_KEY_HANDLERS: dict[str, MessageHandler] = {"nudge": _nudge}
