"""A layout a moment on: panels and spaces where they now are, what joins them carried along."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.results import Compartment, FlowPath, Layout, PanelShape
from sketcher.analysis.spaces.leaks.opening_paths import opening_rims
from sketcher.geometry.mesh import Floats
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Scene

AXES = {"bulkhead": 0, "partition": 1, "lid": 2}
"""Along which axis a panel is placed."""


def carried(
    last: Layout, scene: Scene, shapes: Sequence[PanelShape], spaces: Sequence[Compartment], moving: Collection[str]
) -> Layout:
    """The layout of a scene by panels and spaces as they are, and what joins these as it was in `last`.

    Openings and gaps of panels that moved, names in `moving`, go along; those of one that turned are left out.
    """
    then = {shape.name: shape for shape in last.panels}
    by = {shape.name: _moved_by(then[shape.name], shape) for shape in shapes if shape.name in moving and shape.name in then}
    was = {space.name: space for space in last.compartments}
    return replace(
        last,
        scene=scene,
        panels=tuple(shapes),
        compartments=tuple(_joined_as(space, was.get(space.name)) for space in spaces),
        flow_paths=tuple(_carried_paths(last.flow_paths, by)),
        closed=tuple(_carried_paths(last.closed, by)),
    )


def with_opening(last: Layout, scene: Scene, name: str) -> Layout:
    """The layout of a scene in which one opening has changed: its rims where it now is, what it joins as it was in `last`.

    What of it goes past its panel's edge is still in them. One that is not in the deck or a panel, or misses it, stays.
    """
    opening = next(opening for opening in scene.openings if opening.name == name)
    outlines = opening_rims(last, opening)

    def moved(paths: Sequence[FlowPath]) -> tuple[FlowPath, ...]:
        mine = [path for path in paths if path.name == name]
        if not mine or not outlines:
            return tuple(paths)
        now = [_with_outline(mine[0], outline) for outline in outlines]
        return (*(path for path in paths if path.name != name), *now)

    return replace(last, scene=scene, flow_paths=moved(last.flow_paths), closed=moved(last.closed))


def _with_outline(path: FlowPath, outline: Floats) -> FlowPath:
    at = triple(outline[np.argmin(outline[:, 2])])
    return replace(path, outline=outline, lowest=at[2], lowest_at=at)


def _joined_as(space: Compartment, was: Compartment | None) -> Compartment:
    return space if was is None else replace(space, open_to=was.open_to, watertight=was.watertight, permeability=was.permeability)


def _moved_by(before: PanelShape, after: PanelShape) -> Floats | None:
    """How far (3,) [m] a panel went along the axis it is placed on; None where it turned too."""
    axis = AXES[after.kind]
    if len(before.pieces) != len(after.pieces) or (before.front.normal != after.front.normal).any():
        return None
    by: Floats = np.eye(3)[axis] * (after.front.distance - before.front.distance) / after.front.normal[axis]
    return by


def _carried_paths(paths: Sequence[FlowPath], by: Mapping[str, Floats | None]) -> list[FlowPath]:
    kept: list[FlowPath] = []
    for path in paths:
        moved = by.get(path.through or "", np.zeros(3))
        if moved is not None and moved.any():
            at = triple(np.array(path.lowest_at) + moved)
            kept.append(replace(path, outline=path.outline + moved, lowest=at[2], lowest_at=at))
        elif moved is not None:
            kept.append(path)
    return kept
