"""New objects with sensible first values, where the owner points."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.solid.rays import pierced
from sketcher.model.errors import SketchError
from sketcher.model.lookup import bulkhead_at, fresh_name
from sketcher.model.scene import Berth, Bulkhead, Fitting, Lid, Opening, Partition, Scene, Stringer, Weight
from sketcher.outputs.scene3d.objects import ObjectKind, ObjectRef
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
DECK_HATCH, LID_HATCH, HATCH_CORNER = (0.450, 0.450), (0.400, 0.300), 0.040
"""[m] A hatch that a person goes through, one that stores go through, and the radius of their corners."""
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


def new_object(evaluation: Evaluation, kind: ObjectKind, at: Point, on: ObjectRef | None, *, fine: bool = False) -> Any:
    """A new object of a kind at a point [m], in whole steps. on: what is pointed to or selected; fine: small steps.

    Raises SketchError where there is nothing it could go in or under.
    """
    scene = evaluation.scene
    size = step(scene.units, fine=fine)
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
            return _opening(evaluation, on, (x, y, z))
        case "weight":
            return Weight(name=name, kg=FIRST_WEIGHT, at=(x, y, z))
        case "fitting":
            return Fitting(name=name, at=(x, y, z), size=(FIRST_BOX, FIRST_BOX, FIRST_BOX))
    if kind in CONTENT_KINDS:
        return new_content(evaluation, kind, name, (x, y, z), None if on is None else on.name)
    raise SketchError(f"there is no `{kind}` to add", f"Known: {', '.join(BLOCK_OF)}.")


def _opening(evaluation: Evaluation, on: ObjectRef | None, at: Point) -> Opening:
    """A port, which screws down tight, through the upright panel pointed to; else a hatch, of which nobody knows yet that it is
    tight, through the lid pointed to, or the nearest of the deck and the lids over and under the point.
    """
    x, y, z = at
    scene = evaluation.scene
    if on is not None and on.kind in ("bulkhead", "partition"):
        place = (y, z) if on.kind == "bulkhead" else (x, z)
        name = fresh_name(scene, "openings", "port")
        return Opening(name=name, through=on.name, at=place, diameter=USUAL_PORT, cover="tight")
    lid = on.name if on is not None and on.kind == "lid" else _nearest_level(evaluation, at)
    return Opening(
        name=fresh_name(scene, "openings", "hatch"),
        through=lid or "deck",
        at=(x, y),
        size=LID_HATCH if lid else DECK_HATCH,
        radius=HATCH_CORNER,
        cover="loose",
    )


def _nearest_level(evaluation: Evaluation, at: Point) -> str | None:
    """The lid plumb over or under a point that is nearest to it; None where the deck is nearer, or no lid is there."""
    point = np.array(at)
    levels: list[tuple[float, str | None]] = []
    for shape in evaluation.layout.panels:
        if shape.kind == "lid":
            _, heights = pierced(shape.trimmed.vertices, shape.trimmed.triangles, point, 2)
            levels += [(abs(float(height) - at[2]), shape.name) for height in heights]
    inside = evaluation.layout.hull.inside
    _, heights = pierced(inside.vertices, inside.triangles, point, 2)
    if len(heights):
        levels.append((abs(float(heights.max()) - at[2]), None))
    return min(levels, key=lambda level: level[0])[1] if levels else None


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
