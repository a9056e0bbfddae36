"""Every message that a page may send, by the word that says what to do."""

from __future__ import annotations

from sketcher.web.handlers.along import ALONG_HANDLERS
from sketcher.web.handlers.arrow_keys import ARROW_KEY_HANDLERS
from sketcher.web.handlers.build import BUILD_HANDLERS
from sketcher.web.handlers.comparing import COMPARING_HANDLERS
from sketcher.web.handlers.files import FILE_HANDLERS
from sketcher.web.handlers.history import HISTORY_HANDLERS
from sketcher.web.handlers.hull import HULL_HANDLERS
from sketcher.web.handlers.joints import JOINT_HANDLERS
from sketcher.web.handlers.making import MAKING_HANDLERS
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.handlers.objects import OBJECT_HANDLERS
from sketcher.web.handlers.pointer import POINTER_HANDLERS
from sketcher.web.handlers.view import VIEW_HANDLERS
from sketcher.web.logic.messages import BadMessageError, MessageFields
from sketcher.web.logic.workspace import Workspace

KINDS = (
    POINTER_HANDLERS,
    ARROW_KEY_HANDLERS,
    VIEW_HANDLERS,
    OBJECT_HANDLERS,
    MAKING_HANDLERS,
    JOINT_HANDLERS,
    ALONG_HANDLERS,
    BUILD_HANDLERS,
    HULL_HANDLERS,
    FILE_HANDLERS,
    COMPARING_HANDLERS,
    HISTORY_HANDLERS,
)
BESIDE_A_DRAG = frozenset({*POINTER_HANDLERS, *VIEW_HANDLERS, *BUILD_HANDLERS, "echo", "dismiss", "select", "find", "add"}) - {
    "press"
}
"""What may be asked while something is under the hand; all else lets go of it first, so that figures are of one scene."""
HANDLERS: dict[str, MessageHandler] = {word: handler for kind in KINDS for word, handler in kind.items()}


def handle(workspace: Workspace, do: str, fields: MessageFields) -> None:
    """Do what a message asks. Raises BadMessageError for what no page of ours sends, SketchError for what cannot be done."""
    handler = HANDLERS.get(do)
    if handler is None:
        raise BadMessageError("no such thing to do")
    if do not in BESIDE_A_DRAG:
        workspace.drag.let_go()
        workspace.spoken = ""
    handler(workspace, fields)
    workspace.follow_hull()
    workspace.selection.drop_missing(workspace.session.evaluation)
