"""Messages about the scene's objects: selected, found, typed over, named, copied, taken out, holed."""

from __future__ import annotations

from collections.abc import Callable

from sketcher.analysis.mending import edits_for
from sketcher.model.edits.compound_edit import Together
from sketcher.model.errors import SketchError
from sketcher.outputs.scene3d.objects import OBJECT_KINDS, WATERLINE, ObjectRef
from sketcher.outputs.wording.kinds import deed
from sketcher.web.handlers.message_handler import MessageHandler, target
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.scene_objects import exists
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import NAME, Dialog

NOT_ADDED = ("compartment", "waterline")
"""Kinds that are there by themselves: neither added nor deleted."""


def _select(workspace: Workspace, fields: MessageFields) -> None:
    workspace.placing.kind = None
    workspace.selection.select(fields.object_ref())


def _find(workspace: Workspace, fields: MessageFields) -> None:
    """Go to what a finding is about."""
    name = fields.text("object")
    refs = [ObjectRef(kind, name) for kind in OBJECT_KINDS if kind != "waterline"]
    found = next((ref for ref in refs if exists(workspace.session.evaluation, ref)), None)
    # What is about the whole boat is mostly about how she floats: her waterline is where that is stated.
    workspace.placing.kind = None
    workspace.selection.select(found or WATERLINE)


def _mend(workspace: Workspace, fields: MessageFields) -> None:
    """Make the remedy of a finding, as its button says it, in one step."""
    session, words, holes = workspace.session, fields.text("value"), workspace.damage.in_turn(resting=False)
    for finding in (workspace.shown if holes is None else holes.evaluation).findings:
        edits = edits_for(finding, session.scene)
        if edits and deed(edits, session.scene) == words:
            edit, before = Together(edits), session.scene
            if session.do(edit):
                session.notices.tell(edit.describe(before))
            return
    raise SketchError("this remedy no longer fits the boat", "Look at what is said of her now.")


def _set(workspace: Workspace, fields: MessageFields) -> None:
    ref, key, text = target(workspace, fields), fields.text("field"), fields.text("value")
    _typed(workspace, ref, key, lambda: workspace.editor.set(ref, key, text))


def _rename(workspace: Workspace, fields: MessageFields) -> None:
    ref, name = target(workspace, fields), fields.text("value")
    if ref.kind == "waterline":
        raise SketchError("the waterline has no other name")
    if name.strip() != ref.name:
        _typed(workspace, ref, NAME, lambda: _renamed(workspace, ref, name))


def _renamed(workspace: Workspace, ref: ObjectRef, name: str) -> None:
    renamed = workspace.editor.rename(ref, name)
    if renamed is None:
        workspace.selection.select(ref)
    else:
        workspace.selection.select_renamed(ref, renamed)


def _typed(workspace: Workspace, ref: ObjectRef, key: str, take: Callable[[], None]) -> None:
    """Take what was typed in a field; what is wrong with it stands beside the field."""
    notices = workspace.session.notices
    notices.dismiss()
    try:
        take()
    except SketchError as problem:
        notices.refuse(problem)
    notices.beside(ref, key)


def _name_compartment(workspace: Workspace, fields: MessageFields) -> None:
    ref = target(workspace, fields)
    workspace.dialog = None
    named = workspace.editor.name_compartment(ref, fields.text("name"), fields.text("use", "void"))
    workspace.selection.select(named or ref)


def _added(workspace: Workspace, fields: MessageFields, word: str) -> ObjectRef:
    """The object meant. Raises SketchError for one that is there by itself. word: what cannot be done with it."""
    ref = target(workspace, fields)
    if ref.kind in NOT_ADDED:
        raise SketchError(f"the {ref.kind} cannot be {word}")
    return ref


def _duplicate(workspace: Workspace, fields: MessageFields) -> None:
    ref = _added(workspace, fields, "duplicated")
    workspace.selection.select(workspace.editor.duplicate(ref) or ref)


def _delete(workspace: Workspace, fields: MessageFields) -> None:
    """Take an object out; where others are tied to it, ask first."""
    ref = _added(workspace, fields, "deleted")
    problem = workspace.editor.delete(ref, free=fields.word("free") == "yes")
    workspace.dialog = Dialog(name="delete", about=ref.key, problem=problem) if problem else None


def _hole(workspace: Workspace, fields: MessageFields) -> None:
    """Hole a compartment, or close its hole."""
    ref = target(workspace, fields)
    if ref.kind != "compartment":
        raise SketchError(f"a {ref.kind} cannot be flooded", "Select a compartment.")
    workspace.damage.toggle(ref.name)
    # What comes of it stands over the spaces.
    workspace.selection.tab = "spaces"


OBJECT_HANDLERS: dict[str, MessageHandler] = {
    "select": _select,
    "find": _find,
    "mend": _mend,
    "set": _set,
    "rename": _rename,
    "name_space": _name_compartment,
    "duplicate": _duplicate,
    "delete": _delete,
    "hole": _hole,
    "close_holes": lambda workspace, _: workspace.damage.close(),
}
