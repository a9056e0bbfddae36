"""Messages about the scene's file, and the questions over the page."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sketcher.model.edits.actions import SetSceneValue
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.files.boat_begun import BOAT_FIELDS
from sketcher.web.logic.files.scene_files import next_name
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import Dialog

FIRST_BOAT = ("My boat", "round bilge", "mm", *("",) * (len(BOAT_FIELDS) - 3))
"""What the fields of a boat that is begun hold before anything is typed."""


def _dialog(workspace: Workspace, fields: MessageFields) -> None:
    """Open a dialog by its name, filled in; for a name that is none, nothing."""
    name = fields.text("name")
    session, files, selected = workspace.session, workspace.files, workspace.selection.selected
    dialog = None
    match name:
        case "keys":
            dialog = Dialog(name=name)
        case "title":
            dialog = Dialog(name=name, about=session.scene.name)
        case "steps":
            history = session.hull.history if workspace.at_hull else session.history
            dialog = Dialog(name=name, about=str(len(history.names)), options=(*history.names, *history.names_ahead))
        case "open" | "beside":
            dialog = Dialog(name=name, options=tuple(files.folders.scenes()))
        case "new boat":
            dialog = Dialog(name=name, options=FIRST_BOAT)
        case "new":
            dialog = Dialog(name=name, options=files.hulls(session), about="first-layout.yaml")
        case "save as":
            dialog = Dialog(name=name, about=next_name(Path(session.opened.path)))
        case "name space" if selected is not None and selected.kind == "compartment":
            dialog = Dialog(name=name, about=selected.name)
    workspace.dialog = dialog


def _close(workspace: Workspace, _: MessageFields) -> None:
    """Put the question away; what was begun with it is left."""
    workspace.dialog = None
    workspace.files.fitting.leave()


def _retitle(workspace: Workspace, fields: MessageFields) -> None:
    """Give the layout another title; one that will not do is asked for again."""
    title = " ".join(fields.text("title").split())
    if title:
        workspace.dialog = None
        workspace.session.do(SetSceneValue("scene", title))
    else:
        workspace.dialog = Dialog(name="title", problem="A layout needs a title. Write one, or leave it as it is.")


def _save(workspace: Workspace, _: MessageFields) -> None:
    workspace.dialog = workspace.files.save(workspace.session)


def _save_as(workspace: Workspace, fields: MessageFields) -> None:
    replace = fields.word("replace") == "yes"
    workspace.dialog = workspace.files.save_as(workspace.session, fields.text("file"), replace=replace)


def _open(workspace: Workspace, fields: MessageFields) -> None:
    sure = fields.word("sure") == "yes"
    workspace.open_other(workspace.files.open(workspace.session, fields.text("name"), sure=sure))


def _new(workspace: Workspace, fields: MessageFields) -> None:
    hull, name, file = fields.text("hull"), fields.text("name"), fields.text("file")
    workspace.open_other(workspace.files.new(workspace.session, hull, name, file, fields.word("layout")))


def _new_boat(workspace: Workspace, fields: MessageFields) -> None:
    """Begin a boat from her dimensions; what is measured of her is typed next."""
    typed = tuple(fields.text(key, "") for key in BOAT_FIELDS)
    workspace.open_other(workspace.files.new_boat(workspace.session, typed))
    if workspace.dialog is None:
        settings = workspace.view_settings
        settings.look = replace(settings.look, arrangement="hull")


def _reload(workspace: Workspace, _: MessageFields) -> None:
    workspace.files.reload(workspace.session)
    workspace.open_other(None)


def _recover(workspace: Workspace, fields: MessageFields) -> None:
    take = fields.word("take") == "yes"
    workspace.dialog = workspace.files.recover(workspace.session, fields.text("work"), take=take)


FILE_HANDLERS: dict[str, MessageHandler] = {
    "dialog": _dialog,
    "close": _close,
    "retitle": _retitle,
    "save": _save,
    "save_as": _save_as,
    "open": _open,
    "new": _new,
    "new_boat": _new_boat,
    "reload": _reload,
    "recover": _recover,
}
