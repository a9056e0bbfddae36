"""Messages about the joints of the panel whose pattern is looked at, and about the gaps read round its boards."""

from __future__ import annotations

from sketcher.model.edits.typed_input import typed_length, typed_offset
from sketcher.model.errors import SketchError
from sketcher.web.handlers.message_handler import MessageHandler
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.patterns.gap_readings import gap_read, hull_by_gaps
from sketcher.web.logic.patterns.joint_edits import (
    joint_added,
    joint_moved,
    joint_taken_out,
    joints_found_again,
    joints_taken_over,
)
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import Boards


def shown_boards(workspace: Workspace) -> Boards:
    """The boards that are looked at. Raises SketchError where there are none."""
    boards = workspace.boards()
    if boards is None:
        raise SketchError("there is no panel to cut", "Add one first.")
    return boards


def _move(workspace: Workspace, fields: MessageFields) -> None:
    """A joint's place, typed."""
    at = typed_offset(fields.text("value"), workspace.session.scene.units)
    workspace.session.do(joint_moved(shown_boards(workspace), int(fields.number("number", 0)), at))


def _take_out(workspace: Workspace, fields: MessageFields) -> None:
    workspace.session.do(joint_taken_out(shown_boards(workspace), int(fields.number("number", 0))))


def _add(workspace: Workspace, fields: MessageFields) -> None:
    if fields.text("value"):
        workspace.session.do(joint_added(shown_boards(workspace), fields.text("value")))


def _take_over(workspace: Workspace, fields: MessageFields) -> None:
    """Take the joints over that were found, or leave it to the sketch to find them."""
    whose = fields.choice("whose", ("mine", "found"))
    workspace.session.do((joints_taken_over if whose == "mine" else joints_found_again)(shown_boards(workspace)))


def _gap(workspace: Workspace, fields: MessageFields) -> None:
    """A gap that was read, typed beside its number; nothing typed takes it out."""
    session, text = workspace.session, fields.text("value").strip()
    gap = typed_length(text, session.scene.units) if text else None
    session.do(gap_read(shown_boards(workspace), session.scene, fields.text("board"), int(fields.number("number", 0)), gap))


def _hull_by_gaps(workspace: Workspace, fields: MessageFields) -> None:
    """The hull's points moved to the gaps read of a board, which is then planned by her."""
    session = workspace.session
    moved, taken = hull_by_gaps(session.evaluation, shown_boards(workspace), fields.text("board"))
    said = moved.describe(session.hull.hull)
    if session.hull.do(moved) and session.do(taken):
        session.notices.tell(f"{said.replace('Move', 'Moved', 1)}. They are in the hull now; undo there takes it back.")


JOINT_HANDLERS: dict[str, MessageHandler] = {
    "joint": _move,
    "joint_in": _add,
    "joint_out": _take_out,
    "joints": _take_over,
    "gap": _gap,
    "hull_by_gaps": _hull_by_gaps,
}
