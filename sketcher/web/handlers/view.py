"""Messages about how the boat is looked at: the camera, the cut, what is shown, and how large."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from sketcher.model.edits.typed_input import typed_length
from sketcher.outputs.scene3d.camera import ViewName
from sketcher.outputs.scene3d.objects import CUT_KINDS
from sketcher.outputs.scene3d.pulled_apart import extent_apart
from sketcher.outputs.tinting import TINTED_BY
from sketcher.web.handlers.message_handler import MessageHandler, paper_meant, target
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.staged.shown_stage import staged_words
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import ARRANGEMENTS, CUT_NAMES, DRAWN, MARGIN_TABS

VIEWS: tuple[ViewName, ...] = get_args(ViewName)
MOST_ZOOM = 5.0
"""A message magnifies by so much at most, or makes as much smaller."""
MOST_PIXELS = 10_000
"""The longest side of a page that is believed."""


def _view(workspace: Workspace, fields: MessageFields) -> None:
    workspace.view_settings.view(fields.choice("view", VIEWS))


def _see_through(workspace: Workspace, fields: MessageFields) -> None:
    settings = workspace.view_settings
    settings.look = replace(settings.look, see_through=fields.number("value", 0.0, 1.0))


def _tinted_by(workspace: Workspace, fields: MessageFields) -> None:
    settings = workspace.view_settings
    settings.look = replace(settings.look, tinted_by=fields.choice("value", TINTED_BY))


def _apart(workspace: Workspace, fields: MessageFields) -> None:
    share = fields.number("value", 0.0, 1.0)
    workspace.view_settings.pull_apart(share, extent_apart(workspace.shown, share))


def _cut(workspace: Workspace, fields: MessageFields) -> None:
    workspace.view_settings.cut(fields.choice("value", CUT_KINDS))


def _cut_at(workspace: Workspace, fields: MessageFields) -> None:
    workspace.view_settings.cut_at(fields.number("value"))


def _arrange(workspace: Workspace, fields: MessageFields) -> None:
    settings = workspace.view_settings
    settings.look = replace(settings.look, arrangement=fields.choice("arrangement", ARRANGEMENTS))


def _tab(workspace: Workspace, fields: MessageFields) -> None:
    """A tab of the margin comes to the front."""
    workspace.selection.tab = fields.choice("tab", MARGIN_TABS)


def _put_steps_away(workspace: Workspace, _: MessageFields) -> None:
    """The first steps are not shown any more."""
    workspace.session.opened_bare = False


def _names(workspace: Workspace, _: MessageFields) -> None:
    settings = workspace.view_settings
    settings.look = replace(settings.look, names=not settings.look.names)


def _toggle(workspace: Workspace, fields: MessageFields) -> None:
    workspace.view_settings.toggle(target(workspace, fields))


def _drawn_at(workspace: Workspace, fields: MessageFields) -> None:
    """Where a drawing cuts, typed; nothing typed: it follows what is selected."""
    which, text = fields.choice("which", CUT_NAMES), fields.text("value").strip()
    at = typed_length(text, workspace.session.scene.units) if text else None
    settings = workspace.view_settings
    settings.look = settings.look.drawn_at(which, at)


def _drawn(workspace: Workspace, fields: MessageFields) -> None:
    """Which of the drawings are shown; another is seen whole."""
    settings = workspace.view_settings
    settings.look = replace(settings.look, drawn=fields.choice("drawn", DRAWN))
    workspace.sheet.show_all()


def _fit(workspace: Workspace, fields: MessageFields) -> None:
    """All of the paper that is meant is seen again; where none is, of the one that is shown."""
    shown = workspace.pattern.paper if workspace.view_settings.look.arrangement == "pattern" else workspace.sheet
    (paper_meant(workspace, fields) or shown).show_all()


def _zoom(workspace: Workspace, fields: MessageFields) -> None:
    factor = fields.number("factor", 1 / MOST_ZOOM, MOST_ZOOM)
    paper = paper_meant(workspace, fields)
    if paper is not None:
        paper.zoom(factor, fields.pair("at"))
    else:
        workspace.view_settings.zoom(factor, fields.pair("at", -1, 2))


def _pinch(workspace: Workspace, fields: MessageFields) -> None:
    """Two fingers on the picture magnify and move it at once."""
    start, end = fields.pair("from", -2, 3), fields.pair("to", -2, 3)
    workspace.view_settings.zoom(fields.number("factor", 1 / MOST_ZOOM, MOST_ZOOM), start)
    workspace.view_settings.pan((end[0] - start[0], end[1] - start[1]))


def _size(workspace: Workspace, fields: MessageFields) -> None:
    """How large the picture and the papers are on the page [pixels]."""
    workspace.view_settings.resize(fields.pair("size", 0, MOST_PIXELS))
    workspace.sheet.resize(fields.pair("sheet", 0, MOST_PIXELS))
    if "pattern" in fields.values:
        workspace.pattern.paper.resize(fields.pair("pattern", 0, MOST_PIXELS))
    if "board" in fields.values:
        workspace.board = fields.pair("board", 0, MOST_PIXELS)


def _stage(workspace: Workspace, fields: MessageFields) -> None:
    """After which stage of her refit she is shown, as the page counts them; 0: all of her."""
    choices, at = staged_words(workspace.session.scene), int(fields.number("value", 0, 99))
    workspace.stage.choose(choices[at - 1][0] if 0 < at <= len(choices) else None)


VIEW_HANDLERS: dict[str, MessageHandler] = {
    "view": _view,
    "see_through": _see_through,
    "tinted_by": _tinted_by,
    "apart": _apart,
    "cut": _cut,
    "cut_at": _cut_at,
    "arrange": _arrange,
    "tab": _tab,
    "put_steps_away": _put_steps_away,
    "names": _names,
    "toggle": _toggle,
    "drawn_at": _drawn_at,
    "drawn": _drawn,
    "fit": _fit,
    "zoom": _zoom,
    "pinch": _pinch,
    "size": _size,
    "stage": _stage,
}
