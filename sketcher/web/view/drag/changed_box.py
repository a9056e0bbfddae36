"""Where two drawings of the boat differ: what a moved panel changes is a small part of what it is cut out of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import HalfSpaces
from sketcher.geometry.solid.convex import difference_bounds
from sketcher.outputs.scene3d.shapes import Strokes, Surface

MICRON = 1e-6
"""Places nearer than this [m] are one."""
ALONG, ROUND, EACH = np.array([0.737, 1.0, 0.618]), np.array([0.5, 0.866, 0.414]), 11.0
"""What a point counts for along the boat's axes, by its squares, and by itself: in sums that tell two sets of points apart."""
NO_POINTS: Floats = np.zeros((0, 3))


def moved_box(before: Mapping[str, PanelShape], after: Mapping[str, PanelShape]) -> Floats | None:
    """The box (2, 3) round all that lies in a panel before or after but not both [m]; None where nothing does."""
    boxes: list[Floats] = []
    for name in before.keys() | after.keys():
        old, new = before.get(name), after.get(name)
        if old is None or new is None or len(old.pieces) > 1 or len(new.pieces) > 1:
            if old is None or new is None or old.mesh is not new.mesh:
                boxes += [np.stack(panel.mesh.bounds) for panel in (old, new) if panel is not None]
        elif old.mesh is not new.mesh:
            box = difference_bounds(old.mesh.vertices, _within(old), new.mesh.vertices, _within(new))
            boxes += [] if box is None else [box]
    return np.stack([np.min(boxes, axis=0)[0], np.max(boxes, axis=0)[1]]) if boxes else None


@kept_with_owner(1)
def _within(panel: PanelShape) -> HalfSpaces:
    """The half spaces of a panel of one piece."""
    return HalfSpaces.within([plane for _, plane in panel.faces])


@dataclass(eq=False)
class Differing:
    """Where the shapes of two drawings differ. moved: the box (2, 3) in which panels have moved; None where none has."""

    moved: Floats | None
    _alike: dict[tuple[int, int], tuple[Floats, Floats]] = field(default_factory=dict)
    _whole: list[Floats] = field(default_factory=list)

    def note(self, before: Surface | Strokes | None, after: Surface | Strokes | None) -> None:
        """A shape has come, gone or taken another's place."""
        if before is not None and after is not None and after.cut is not None and before.cut == after.cut:
            # The walls of a space and its corners have the same points.
            self._alike[id(before.points), id(after.points)] = before.points, after.points
        else:
            self._whole += [shape.points for shape in (before, after) if shape is not None]

    def points(self) -> Floats:
        """Points (n, 3) round all that only one of the drawings shows [m]."""
        return np.concatenate([NO_POINTS, *self._whole, points_that_differ(list(self._alike.values()), self.moved)])


def points_that_differ(shapes: Sequence[tuple[Floats, Floats]], box: Floats | None) -> Floats:
    """Of shapes before and after, each by its points (n, 3), those in a box; all points of those that are unlike outside it."""
    sets = [points for pair in shapes for points in pair]
    counts = [len(points) for points in sets]
    if not sum(counts):
        return NO_POINTS
    points = np.concatenate(sets)
    inside = np.zeros(len(points), dtype=bool) if box is None else _inside(points, box)
    # What all of them count for that lie outside, in whatever order: as much before as after where they are the same.
    weights = points @ ALONG + points * points @ ROUND + EACH
    weights[inside] = 0.0
    sums = np.diff(np.concatenate([[0.0], weights.cumsum()])[np.cumsum([0, *counts])])
    unlike = np.abs(sums[0::2] - sums[1::2]) > MICRON
    found: Floats = points[inside | np.repeat(unlike.repeat(2), counts)]
    return found


def _inside(points: Floats, box: Floats) -> np.ndarray:
    """Whether each point (n,) lies in a box."""
    x, y, z = points.T
    (fore, port, bottom), (aft, starboard, top) = box[0] - MICRON, box[1] + MICRON
    inside: np.ndarray = (x >= fore) & (x <= aft) & (y >= port) & (y <= starboard) & (z >= bottom) & (z <= top)
    return inside
