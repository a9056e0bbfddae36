"""Where the drawings cut the boat: as chosen, else through what is selected, else where most is to be seen."""

from __future__ import annotations

from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import Compartment
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.views import plan_height
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.state import Look

Point = tuple[float, float, float]
ASIDE = 0.01
"""[m]: a compartment that reaches this far over the centreline is seen in the profile on it."""
PLAN_FOLLOWS = ("compartment", "lid", "berth", "fitting", "weight")
PROFILE_FOLLOWS = ("compartment", "partition", "fitting", "weight")


def cut_places(evaluation: Evaluation, look: Look, selected: ObjectRef | None) -> dict[Kind, float]:
    """Profile: distance off the centreline; plan: height; section: distance aft [m]."""
    places: dict[Kind, float] = {"profile": 0.0, "plan": plan_height(evaluation), "section": _between_bulkheads(evaluation)}
    middle = middle_of(evaluation, selected)
    if selected is not None and middle is not None:
        places["section"] = middle[0]
        if selected.kind in PLAN_FOLLOWS:
            places["plan"] = middle[2]
        if selected.kind in PROFILE_FOLLOWS and not _on_centreline(_space(evaluation, selected)):
            places["profile"] = middle[1]
    if look.plan_height is not None:
        places["plan"] = look.plan_height
    if look.section_at is not None:
        places["section"] = look.section_at
    return places


def middle_of(evaluation: Evaluation, selected: ObjectRef | None) -> Point | None:
    """The middle of a selected thing [m]; None for what has no place of its own."""
    if selected is None:
        return None
    space = _space(evaluation, selected)
    if space is not None:
        return space.centroid
    for shape in evaluation.layout.panels:
        if selected == ObjectRef(shape.kind, shape.name):
            return _box_middle(shape.mesh.bounds)
    for room in evaluation.berths:
        if selected == ObjectRef("berth", room.name) and len(room.outline):
            return float(room.outline[:, 0].mean()), 0.0, room.surface
    return _placed(evaluation, selected)


def _placed(evaluation: Evaluation, selected: ObjectRef) -> Point | None:
    scene = evaluation.scene
    if selected.kind == "weight":
        return next((weight.at for weight in scene.weights if weight.name == selected.name), None)
    if selected.kind == "fitting":
        return next((fitting.at for fitting in scene.fittings if fitting.name == selected.name), None)
    return None


def _space(evaluation: Evaluation, selected: ObjectRef) -> Compartment | None:
    spaces = evaluation.layout.compartments
    return next((space for space in spaces if selected == ObjectRef("compartment", space.name)), None)


def _on_centreline(space: Compartment | None) -> bool:
    if space is None:
        return False
    low, high = space.mesh.bounds
    return bool(low[1] < -ASIDE and high[1] > ASIDE)


def _between_bulkheads(evaluation: Evaluation) -> float:
    """Halfway between the two foremost bulkheads, else a third of the boat aft."""
    form = evaluation.layout.hull
    at = sorted(_box_middle(shape.mesh.bounds)[0] for shape in evaluation.layout.panels if shape.kind == "bulkhead")
    return (at[0] + at[1]) / 2 if len(at) > 1 else form.x_forward + (form.x_after - form.x_forward) / 3


def _box_middle(bounds: tuple[Any, Any]) -> Point:
    x, y, z = ((bounds[0] + bounds[1]) / 2).tolist()
    return x, y, z
