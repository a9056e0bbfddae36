"""New objects with sensible first values, where the owner points."""

from __future__ import annotations

from collections import Counter
from typing import Any

from sketcher.analysis.evaluation import Evaluation
from sketcher.model.errors import SketchError
from sketcher.model.lookup import bulkhead_at, fresh_name
from sketcher.model.scene import Berth, Bulkhead, Fitting, Lid, Opening, Partition, Scene, Stringer, Weight
from sketcher.outputs.scene3d.objects import PANEL_KINDS, ObjectKind, ObjectRef
from sketcher.web.logic.drag.grips import step
from sketcher.web.logic.objects.new_contents import CONTENT_KINDS, new_content
from sketcher.web.logic.scene_objects import BLOCK_OF

Point = tuple[float, float, float]
USUAL_THICKNESS = 0.012
"""Plywood of 12 mm [m]: taken where the scene has no panel to go by."""
USUAL_BEARER = (0.030, 0.045)
"""Width and depth [m] of a bearer sawn from common planking."""
USUAL_PORT = 0.150
"""Diameter [m] of an inspection port that an arm goes through."""
USUAL_CUSHION = 0.100
"""Thickness [m] of a berth's foam, before anyone lies on it."""
FIRST_WEIGHT = 10.0
"""[kg]: to be typed over; enough to see what it does."""
FIRST_BOX = 0.100
"""Side [m] of a fitting in the way, before its size is typed."""


def middle(evaluation: Evaluation) -> Point:
    """Where something goes that was not pointed to: a third of her length aft, amidships, at the water."""
    low, high = evaluation.layout.hull.inside.bounds
    x = float(low[0] + (high[0] - low[0]) / 3)
    z = evaluation.water.height(x) if evaluation.water is not None else float(low[2] + high[2]) / 2
    return x, 0.0, z


def new_object(evaluation: Evaluation, kind: ObjectKind, at: Point, on: ObjectRef | None) -> Any:
    """A new object of a kind at a point [m]. on: the panel pointed to or selected, where one is.

    Raises SketchError where there is nothing it could go in or under.
    """
    scene = evaluation.scene
    size = step(scene.units, fine=False)
    x, y, z = (round(value / size) * size for value in at)
    name = fresh_name(scene, BLOCK_OF[kind])
    start, end = _between(scene, x)
    match kind:
        case "bulkhead":
            return Bulkhead(name=name, at=x, thickness=_thickness(scene))
        case "partition":
            return Partition(name=name, off_centre=(y, y), start=start, end=end, thickness=_thickness(scene))
        case "lid":
            return Lid(name=name, height=z, start=start, end=end, thickness=_thickness(scene))
        case "berth":
            lid = _lid_under(scene, on, x, z)
            height = z if lid is None else None
            ends = (start, end) if lid is None else (lid.start, lid.end)
            return Berth(
                name=name, height=height, start=ends[0], end=ends[1], cushion=USUAL_CUSHION, lies_on=lid.name if lid else None
            )
        case "stringer":
            lid = _lid_under(scene, on, x, z)
            if lid is None:
                raise SketchError(
                    "a stringer carries a lid, and there is none here", "Add the lid first, or select the one it goes under."
                )
            width, depth = USUAL_BEARER
            return Stringer(name=name, under=lid.name, side="both", start=lid.start, end=lid.end, width=width, depth=depth)
        case "opening":
            return _opening(name, on, (x, y, z))
        case "weight":
            return Weight(name=name, kg=FIRST_WEIGHT, at=(x, y, z))
        case "fitting":
            return Fitting(name=name, at=(x, y, z), size=(FIRST_BOX, FIRST_BOX, FIRST_BOX))
    if kind in CONTENT_KINDS:
        return new_content(evaluation, kind, name, (x, y, z), None if on is None else on.name)
    raise SketchError(f"there is no `{kind}` to add", f"Known: {', '.join(BLOCK_OF)}.")


def _opening(name: str, on: ObjectRef | None, at: Point) -> Opening:
    """A tight port through the panel pointed to, else through the deck."""
    x, y, z = at
    through, place = "deck", (x, y)
    if on is not None and on.kind in PANEL_KINDS:
        through = on.name
        place = {"bulkhead": (y, z), "partition": (x, z), "lid": (x, y)}[on.kind]
    return Opening(name=name, through=through, at=place, diameter=USUAL_PORT, cover="tight")


def _thickness(scene: Scene) -> float:
    """The most common thickness of the scene's panels [m]."""
    known = Counter(panel.thickness for panel in scene.panels)
    return known.most_common(1)[0][0] if known else USUAL_THICKNESS


def _between(scene: Scene, x: float) -> tuple[str, str]:
    """The nearest bulkheads forward and aft of a place, or the ends of the boat."""
    places = {bulkhead.name: bulkhead_at(scene, bulkhead.name) for bulkhead in scene.bulkheads}
    forward = [name for name, at in places.items() if at < x]
    aft = [name for name, at in places.items() if at >= x]
    return (
        max(forward, key=lambda name: places[name], default="stem"),
        min(aft, key=lambda name: places[name], default="transom"),
    )


def _lid_under(scene: Scene, on: ObjectRef | None, x: float, z: float) -> Lid | None:
    """The lid pointed to, else the one nearest in height between the same bulkheads."""
    if on is not None and on.kind == "lid":
        return next((lid for lid in scene.lids if lid.name == on.name), None)
    between = [lid for lid in scene.lids if (lid.start, lid.end) == _between(scene, x)]
    return min(between, key=lambda lid: abs(lid.height - z), default=None)
