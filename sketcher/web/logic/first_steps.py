"""The first steps in a scene that was opened bare, each ticked once it is done."""

from __future__ import annotations

from sketcher.outputs.scene3d.objects import WATERLINE, ObjectRef
from sketcher.web.logic.workspace import Workspace
from sketcher.web.state import FirstStep


def first_steps(workspace: Workspace) -> tuple[FirstStep, ...]:
    """All of them while one is left; none in a scene that had panels when it was opened, or once the list was put away."""
    session, damage = workspace.session, workspace.damage
    if not session.opened_bare:
        return ()
    scene, named = session.scene, {space.name for space in session.scene.compartments}
    spaces = sorted(session.evaluation.layout.compartments, key=lambda space: -(space.volume or 0.0))
    unnamed = next((space.name for space in spaces if space.name not in named), "")
    holed = next((space.name for space in spaces if space.name in named), unnamed)
    steps = (
        FirstStep("State the waterline she floats at", scene.waterline is not None, "select", part=WATERLINE),
        FirstStep("Place a bulkhead", bool(scene.bulkheads), "add", value="bulkhead"),
        FirstStep("Close a space off from above by a lid", bool(scene.lids), "add", value="lid"),
        FirstStep("Add a berth", bool(scene.berths), "add", value="berth"),
        FirstStep("Name a space, and say what it is for", bool(named), "select", part=ObjectRef("compartment", unnamed)),
        FirstStep("Hole a space: where does the water stop?", damage.tried, "hole", part=ObjectRef("compartment", holed)),
        FirstStep("Save", bool(scene.panels) and not session.unsaved, "save"),
    )
    return () if all(step.done for step in steps) else steps
