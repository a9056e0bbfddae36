"""Messages about what was done: undone, done again, its notice put away, and whether all of it is on the page."""

from __future__ import annotations

from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.hull.hull_work import HullWork
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.session import Session
from sketcher.web.logic.workspace import Workspace


def _echo(workspace: Workspace, fields: MessageFields) -> None:
    """A page wants to know when all it asked before this has been done and shown."""
    workspace.follow_pointer()
    workspace.echo = int(fields.number("number", 0))


def _steps(workspace: Workspace) -> Session | HullWork:
    """Whose steps are gone through: in the hull's place hers, else the layout's."""
    return workspace.session.hull if workspace.at_hull else workspace.session


def _go_to(workspace: Workspace, fields: MessageFields) -> None:
    workspace.dialog = None
    _steps(workspace).go_to(int(fields.number("number", 0)))


HISTORY_HANDLERS: dict[str, MessageHandler] = {
    "undo": lambda workspace, _: _steps(workspace).undo(),
    "redo": lambda workspace, _: _steps(workspace).redo(),
    "go_to": _go_to,
    "dismiss": lambda workspace, _: workspace.session.notices.dismiss(),
    "echo": _echo,
}
