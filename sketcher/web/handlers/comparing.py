"""Messages about the layout kept as B."""

from __future__ import annotations

from dataclasses import replace

from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace


def _keep(workspace: Workspace, _: MessageFields) -> None:
    """Keep the layout as B, and show it beside A."""
    workspace.comparing.keep()
    settings = workspace.view_settings
    settings.look = replace(settings.look, arrangement="compare", beside=True)


def _keep_file(workspace: Workspace, fields: MessageFields) -> None:
    """Take another scene as B."""
    workspace.dialog = None
    name = fields.text("name")
    workspace.comparing.hold(workspace.session.evaluate(workspace.files.other(name)), f"as {name} is saved")


def _show(workspace: Workspace, _: MessageFields) -> None:
    settings = workspace.view_settings
    settings.look = replace(settings.look, beside=not settings.look.beside)


COMPARING_HANDLERS: dict[str, MessageHandler] = {
    "keep_beside": _keep,
    "keep_file": _keep_file,
    "go_over": lambda workspace, _: workspace.comparing.go_over(),
    "show_beside": _show,
    "put_away": lambda workspace, _: workspace.comparing.put_away(),
}
