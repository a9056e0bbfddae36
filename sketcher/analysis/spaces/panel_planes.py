"""Where each panel's two faces lie, before anything cuts it short."""

from __future__ import annotations

from math import radians, tan

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.caching import remembered
from sketcher.geometry.plane import Plane
from sketcher.model.errors import SketchError
from sketcher.model.scene import Bulkhead, FromPanel, Lid, Limit, Panel, Partition, Scene
from sketcher.model.units import format_length

FRONT = {"bulkhead": "forward", "partition": "port", "lid": "top"}
BACK = {"bulkhead": "after", "partition": "starboard", "lid": "under"}
FACE_NAMES = frozenset({"forward", "after", "port", "starboard", "top", "under"})
"""The names of the two faces of any panel; every other face is an edge."""

Pair = tuple[Plane, Plane]
Faces = dict[int, Pair]
"""Front and back face by side: 0 everywhere, or -1 to port and 1 to starboard where the panel has a knuckle on the centreline."""


def opposite(plane: Plane, apart: float) -> Plane:
    """The plane of the other face of a board `apart` thick, its normal pointing out of the board the other way."""
    return plane.flipped.moved(apart)


def place_of(scene: Scene, name: str, trail: tuple[str, ...] = ()) -> float:
    """x [m] of a bulkhead's forward face at its `at_height`. Raises SketchError on a name that is none, or on a ring."""
    bulkhead = next((b for b in scene.bulkheads if b.name == name), None)
    if bulkhead is None:
        raise SketchError(
            f"{trail[-1]!r} is placed from {name!r}, which is no bulkhead",
            f"write one of: {', '.join(b.name for b in scene.bulkheads)}, or a distance",
            scene.file,
            key=f"bulkheads.{trail[-1]}.at",
        )
    if not isinstance(bulkhead.at, FromPanel):
        return bulkhead.at
    if name in trail:
        ring = " from ".join((*trail[trail.index(name) :], name))
        raise SketchError(
            f"bulkheads are placed in a ring: {ring}", "give one of them a distance", scene.file, key=f"bulkheads.{name}.at"
        )
    return place_of(scene, bulkhead.at.panel, (*trail, name)) + bulkhead.at.distance


@remembered(4)
def faces_by_name(scene: Scene, form: HullForm) -> dict[str, Faces]:
    """The faces of every panel of the scene, removed ones too. Raises SketchError on a thickness or place that cannot be."""
    bulkheads = {b.name: _bulkhead(scene, b) for b in scene.bulkheads}
    places = {b.name: _stands_at(scene, b) for b in scene.bulkheads}
    faces = {name: {0: pair} for name, pair in bulkheads.items()}
    for partition in scene.partitions:
        faces[partition.name] = {0: _partition(scene, partition, places, form)}
    for lid in scene.lids:
        faces[lid.name] = _lid(scene, lid, bulkheads, form)
    for panel in scene.panels:
        _check(scene, panel, faces[panel.name])
    return faces


def _check(scene: Scene, panel: Panel, faces: Faces) -> None:
    if not panel.thickness > 0:
        thickness = f"{format_length(panel.thickness, scene.units)} {scene.units}"
        raise SketchError(f"{panel.name!r} is {thickness} thick", "write a thickness greater than nothing", scene.file)
    if not np.isfinite([value for pair in faces.values() for plane in pair for value in (*plane.normal, plane.distance)]).all():
        raise SketchError(
            f"{panel.name!r} has a place or an angle that is not a number", "write a plain number for each", scene.file
        )


def _bulkhead(scene: Scene, bulkhead: Bulkhead) -> Pair:
    forward = Plane.through(
        (place_of(scene, bulkhead.name), 0.0, bulkhead.at_height),
        (-1.0, tan(radians(bulkhead.angle)), tan(radians(bulkhead.rake))),
    )
    return forward, opposite(forward, bulkhead.thickness)


def _stands_at(scene: Scene, bulkhead: Bulkhead) -> tuple[float, float]:
    """x [m] of its forward and after face on the centreline at its `at_height`."""
    _, after = _bulkhead(scene, bulkhead)
    return place_of(scene, bulkhead.name), after.coordinate(0, (0.0, 0.0, bulkhead.at_height))


def _partition(scene: Scene, partition: Partition, places: dict[str, tuple[float, float]], form: HullForm) -> Pair:
    low, high = form.inside.bounds
    fore, aft = partition.off_centre

    def end(limit: Limit, face: int, key: str) -> float:
        if not isinstance(limit, str):
            return limit
        if limit in ("stem", "transom"):
            return float(low[0] if limit == "stem" else high[0])
        if limit not in places:
            raise not_a(scene, partition, key, limit, "bulkhead")
        return places[limit][face]

    start, stop = end(partition.start, 1, "from"), end(partition.end, 0, "to")
    run = (aft - fore) / (stop - start) if stop != start else 0.0
    outboard = -1.0 if fore + aft < 0 else 1.0
    middle = Plane.through((start, fore, 0.0), (-run, 1.0, -outboard * tan(radians(partition.lean))))
    starboard = middle.moved(partition.thickness / 2)
    return opposite(starboard, partition.thickness), starboard


def _lid(scene: Scene, lid: Lid, bulkheads: dict[str, Pair], form: HullForm) -> Faces:
    start = lid_start(scene, lid, bulkheads, form) if lid.slope else 0.0
    up, out = tan(radians(lid.slope)), tan(radians(lid.slope_across))
    sides = (-1, 1) if lid.slope_across else (0,)
    faces: Faces = {}
    for side in sides:
        top = Plane.through((start, 0.0, lid.height), (-up, -side * out, 1.0))
        faces[side] = top, opposite(top, lid.thickness)
    return faces


def lid_start(scene: Scene, lid: Lid, bulkheads: dict[str, Pair], form: HullForm) -> float:
    """x [m] where a lid's `height` is measured: on the centreline at its `from` end. bulkheads: their faces by name."""
    low, high = form.inside.bounds
    if not isinstance(lid.start, str):
        return lid.start
    if lid.start == "stem":
        at_stem = form.stem_at(lid.height)
        return float(low[0]) if at_stem is None else at_stem
    if lid.start == "transom":
        return float(high[0])
    if lid.start not in bulkheads:
        raise not_a(scene, lid, "from", lid.start, "bulkhead")
    after = bulkheads[lid.start][1]
    return after.coordinate(0, (0.0, 0.0, lid.height))


def not_a(scene: Scene, panel: Panel, key: str, value: str, wanted: str) -> SketchError:
    """The error for a tie to a name that is none, or to a panel of another kind."""
    kind = "bulkhead" if isinstance(panel, Bulkhead) else "partition" if isinstance(panel, Partition) else "lid"
    of_kind: dict[str, tuple[Panel, ...]] = {"bulkhead": scene.bulkheads, "partition": scene.partitions, "lid": scene.lids}
    choice = of_kind[wanted]
    known = ", ".join(other.name for other in choice) or f"(there is no {wanted})"
    there = "is no bulkhead, partition or lid here" if value not in {p.name for p in scene.panels} else f"is no {wanted}"
    return SketchError(
        f"{panel.name!r} is tied to {value!r}, which {there}",
        f"write a number or the name of a {wanted}: {known}",
        scene.file,
        key=f"{kind}s.{panel.name}.{key}",
    )
