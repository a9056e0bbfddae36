"""Messages about the build that is worked out beside the page."""

from __future__ import annotations

from sketcher.model.errors import SketchError
from sketcher.outputs.paper.tile_grid import PAPERS
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace


def _make_folder(workspace: Workspace, _: MessageFields) -> None:
    """Make the folder that is carried to the boat; only of what is saved."""
    session = workspace.session
    if session.unsaved:
        raise SketchError("this scene has unsaved work", "Save it first: the papers name the file they are made of.")
    workspace.build.make_folder(session.scene, session.opened.path)


def _paper(workspace: Workspace, fields: MessageFields) -> None:
    workspace.build.choose_paper(fields.choice("value", tuple(PAPERS)))


BUILD_HANDLERS: dict[str, MessageHandler] = {
    "build": lambda workspace, _: workspace.build.begin(workspace.session.scene),
    "build_stop": lambda workspace, _: workspace.build.stop(),
    "build_folder": _make_folder,
    "build_paper": _paper,
}
