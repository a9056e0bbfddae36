"""Panels that divide a space from wall to wall, taken out of it between their two faces alone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.panels import BEYOND
from sketcher.analysis.results import PanelShape
from sketcher.geometry.mesh import Floats
from sketcher.geometry.slab import Face, beyond
from sketcher.geometry.solid import Surface, joined

_RANK = {"bulkhead": 0, "partition": 1, "lid": 2}


def in_order(shapes: Sequence[tuple[PanelShape, int]]) -> tuple[tuple[PanelShape, int], ...]:
    """Panels, each with its id in the kernel, so that what a panel is tied to comes before it."""
    waiting = sorted(shapes, key=lambda item: (_RANK[item[0].kind], item[0].name))
    placed: list[tuple[PanelShape, int]] = []
    while waiting:
        names = {shape.name for shape, _ in waiting}
        ready = next((item for item in waiting if not names & set(item[0].depends_on)), waiting[0])
        waiting.remove(ready)
        placed.append(ready)
    return tuple(placed)


def without_panels(surface: Surface, shapes: Sequence[tuple[PanelShape, int]]) -> Surface | None:
    """A surface less the panels, in the order given, each with its id in the kernel.

    None where any of them ends within a space or is bent, so that its two faces alone do not tell what it takes out.
    """
    parts = [surface]
    for shape, origin in shapes:
        left: list[Surface] = []
        for part in parts:
            found = _without(part, shape, origin)
            if found is None:
                return None
            left += found
        parts = left
    return joined(parts)


def _without(surface: Surface, shape: PanelShape, origin: int) -> list[Surface] | None:
    if len(shape.pieces) > 1:
        return None
    front, back, *limits = (number for number in shape.pieces[0] if shape.faces[number][0] != BEYOND)
    corners = np.ascontiguousarray(surface.vertices.T)

    def heights(number: int) -> Floats:
        plane = shape.faces[number][1]
        found: Floats = np.array(plane.normal) @ corners - plane.distance
        return found

    over = {number: heights(number) for number in (front, back, *limits)}
    if any(height.min() >= 0 for height in over.values()):
        return [surface]
    if any(over[number].max() >= 0 for number in limits):
        return None
    faces = [Face(np.array(shape.faces[number][1].normal), origin, number, over[number]) for number in (front, back)]
    return [part for part in (beyond(surface, face) for face in faces) if len(part.triangles)]
