"""What a handler of a message is, and the object or the paper that a message is about."""

from __future__ import annotations

from collections.abc import Callable

from sketcher.model.errors import SketchError
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.drag.handles import PartHandle, handles_of
from sketcher.web.logic.messages import MessageFields
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import CutName
from sketcher.web.view.sheet.cut_places import MARKED
from sketcher.web.view.sheet.panes import Pane
from sketcher.web.view.zoomed_paper import Paper

MessageHandler = Callable[[Workspace, MessageFields], None]
"""Does what a message asks. Raises BadMessageError for values that are none, SketchError for what cannot be done."""


def target(workspace: Workspace, fields: MessageFields) -> ObjectRef:
    """The object that a message names, else what is selected. Raises SketchError where neither is."""
    ref = fields.object_ref() or workspace.selection.selected
    if ref is None:
        raise SketchError("nothing is selected", "Click a panel or a compartment first.")
    return workspace.selection.meant(ref, workspace.session.evaluation)


def cut_meant(fields: MessageFields) -> tuple[Kind, CutName] | None:
    """The drawing in which a mark of a cut is held, and which drawing's cut; None: none is."""
    return next(
        ((kind, name) for kind, names in MARKED.items() for name in names if fields.word("cut") == f"{kind}/{name}"), None
    )


def handle_meant(workspace: Workspace, fields: MessageFields) -> tuple[PartHandle, Pane | None] | None:
    """The handle of what is selected that a message is about, if any, and the drawing that it is in; None: the picture."""
    selected, key = workspace.selection.selected, fields.word("grip")
    if selected is None or not key:
        return None
    handles = handles_of(workspace.session.evaluation, selected)
    meant = next((handle for handle in handles if handle.place.key == key), None)
    pane = next((pane for pane in workspace.sheet.panes if pane.kind == fields.word("pane")), None)
    return None if meant is None else (meant, pane)


def paper_meant(workspace: Workspace, fields: MessageFields) -> Paper | None:
    """The paper that a message is about; None: the picture."""
    return {"drawing": workspace.sheet, "pattern": workspace.pattern.paper}.get(fields.word("where"))
