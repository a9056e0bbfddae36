"""The outline of what waits to be placed, as it would be: cut by the hull and by the panels that run through it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.fit.berths import berth_figures
from sketcher.analysis.results import BerthFigures, PanelShape
from sketcher.analysis.spaces.boolean_cuts import hull_solid, panel_solids, with_trim
from sketcher.analysis.spaces.leaks.hollow_stringers import core_points
from sketcher.analysis.spaces.leaks.opening_paths import opening_rims
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.analysis.spaces.panel_solids import place_panels
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.model.scene import Bulkhead, Fitting, Lid, Opening, Partition, Scene, Stringer, Weight
from sketcher.outputs.scene3d.loose_things import BOX_EDGES, CORNERS, WEIGHT_ARM
from sketcher.web.state import Ghost

SIDES = {"port": (-1,), "starboard": (1,), "both": (-1, 1)}


def panel_as_placed(scene: Scene, evaluation: Evaluation, name: str) -> PanelShape | None:
    """A panel of a scene in the hull that an evaluation knows; None where nothing of it is left. Raises SketchError."""
    form = evaluation.layout.hull
    shapes = with_trim(hull_solid(form), panel_solids(place_panels(scene, form).shapes))
    return next((shape for shape in shapes if shape.name == name and shape.reaches_in), None)


def berth_as_placed(scene: Scene, evaluation: Evaluation, name: str) -> BerthFigures:
    """The figures of a berth of a scene, among the panels that an evaluation knows. Raises SketchError."""
    alone = replace(scene, berths=tuple(berth for berth in scene.berths if berth.name == name))
    return berth_figures(replace(evaluation.layout, scene=alone))[0][0]


def ghost_of(scene: Scene, evaluation: Evaluation, item: Any) -> Ghost:
    """The outline of an object of a scene that is not yet in an evaluation's; of a berth see `cushion`. Raises SketchError."""
    match item:
        case Bulkhead() | Partition() | Lid():
            shape = panel_as_placed(scene, evaluation, item.name)
            return Ghost() if shape is None else panel_outline(shape)
        case Stringer():
            form = evaluation.layout.hull
            faces = faces_by_name(scene, form)
            runs = (np.array(core_points(faces, form, item, side)) for side in SIDES[item.side])
            return Ghost(lines=tuple(run for run in runs if len(run)))
        case Opening():
            return Ghost(faces=tuple((ring,) for ring in opening_rims(evaluation.layout, item)))
        case Weight():
            return Ghost(lines=_cross(item.at))
        case Fitting():
            return Ghost(lines=tuple((np.array(item.at) + CORNERS * np.array(item.size))[BOX_EDGES]))
    return _home(evaluation, item)


def panel_outline(shape: PanelShape) -> Ghost:
    """The outline of a panel in place."""
    return Ghost(faces=tuple(_faces(shape.trimmed, shape.pieces)))


def _faces(mesh: TriMesh, pieces: tuple[tuple[int, ...], ...]) -> Iterator[tuple[Floats, ...]]:
    """The rings round the front and the back of each piece of a panel."""
    for numbers in pieces:
        for number in numbers[:2]:
            rings = rings_round(mesh, number)
            if rings:
                yield rings


def rings_round(mesh: TriMesh, label: int) -> tuple[Floats, ...]:
    """The rings (k, 3) [m] that bound the triangles of one label of a mesh."""
    triangles = mesh.triangles[mesh.labels == label].tolist()
    steps = {step for a, b, c in triangles for step in ((a, b), (b, c), (c, a))}
    ahead: dict[int, list[int]] = {}
    for start, end in steps:
        if (end, start) not in steps:
            ahead.setdefault(start, []).append(end)
    rings = []
    while ahead:
        ring = [next(iter(ahead))]
        while ring[-1] in ahead:
            after = ahead[ring[-1]]
            ring.append(after.pop())
            if not after:
                del ahead[ring[-2]]
        rings.append(mesh.vertices[ring[:-1] if ring[0] == ring[-1] else ring])
    return tuple(rings)


def cushion(berth: BerthFigures) -> Ghost:
    """The outline of a berth's cushion; nothing where there is no room for one."""
    rings = [ring for ring in (berth.outline, *berth.holes) if len(ring)]
    return Ghost(faces=(tuple(np.column_stack([ring, np.full(len(ring), berth.surface)]) for ring in rings),))


def _cross(at: tuple[float, float, float]) -> tuple[Floats, ...]:
    return tuple(np.array([at + arm, at - arm]) for arm in WEIGHT_ARM * np.eye(3))


def _home(evaluation: Evaluation, item: Any) -> Ghost:
    """The berth that a person lies in, or the space that something goes into, and where its pipe ends."""
    berth = next((berth for berth in evaluation.berths if berth.name == getattr(item, "berth", None)), None)
    if berth is not None:
        return cushion(berth)
    space = next((space for space in evaluation.layout.compartments if space.name == getattr(item, "space", None)), None)
    if space is None:
        return Ghost()
    rings = [ring for label in np.unique(space.mesh.labels).tolist() for ring in rings_round(space.mesh, label)]
    closed = tuple(np.concatenate([ring, ring[:1]]) for ring in rings)
    return Ghost(lines=closed + (_cross(item.pipe) if hasattr(item, "pipe") else ()))
