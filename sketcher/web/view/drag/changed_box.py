"""Where two drawings of the boat differ: what a moved panel changes is a small part of what it is cut out of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import HalfSpaces
from sketcher.geometry.solid.convex import difference_bounds
from sketcher.outputs.scene3d.shapes import Strokes, Surface

MICRON = 1e-6
"""Places nearer than this [m] are one."""
MOST_SEGMENTS = 60
"""Of more segments that differ it is not looked which of them are only shorter or longer than before."""


def moved_box(before: Mapping[str, PanelShape], after: Mapping[str, PanelShape]) -> Floats | None:
    """The box (2, 3) round all that lies in a panel before or after but not both [m]; None where nothing does."""
    boxes: list[Floats] = []
    for name in before.keys() | after.keys():
        old, new = before.get(name), after.get(name)
        if old is None or new is None or len(old.pieces) > 1 or len(new.pieces) > 1:
            if old is None or new is None or old.mesh is not new.mesh:
                boxes += [np.stack(panel.mesh.bounds) for panel in (old, new) if panel is not None]
        elif old.mesh is not new.mesh:
            spaces = [HalfSpaces.within([plane for _, plane in panel.faces]) for panel in (old, new)]
            box = difference_bounds(old.mesh.vertices, spaces[0], new.mesh.vertices, spaces[1])
            boxes += [] if box is None else [box]
    return np.stack([np.min(boxes, axis=0)[0], np.max(boxes, axis=0)[1]]) if boxes else None


@dataclass
class Differing:
    """Where the shapes of two drawings differ. moved: the box (2, 3) in which panels have moved; None where none has."""

    moved: Floats | None
    _found: dict[tuple[int, int], Floats | None] = field(default_factory=dict)

    def boxes(self, before: Surface | Strokes, after: Surface | Strokes) -> Floats | None:
        """Boxes (k, 2, 3) round where two shapes differ [m]; None where all of both may."""
        if after.cut is not None and before.cut == after.cut:
            # The walls of a space and its corners have the same points.
            which = (id(before.points), id(after.points))
            if which not in self._found:
                self._found[which] = points_in_box(before.points, after.points, self.moved)
            return self._found[which]
        if isinstance(before, Strokes) and isinstance(after, Strokes):
            looks = [(strokes.colour, strokes.width, strokes.opacity) for strokes in (before, after)]
            return segments_that_differ(before, after) if looks[0] == looks[1] else None
        return None


def points_in_box(before: Floats, after: Floats, box: Floats | None) -> Floats | None:
    """The box (2, 3) round the points (n, 3) of two shapes that lie in a box; None where the shapes are unlike outside it too.

    As (1, 2, 3), or (0, 2, 3) where there are none.
    """
    within, beyond = [], []
    for points in (before, after):
        inside = _inside(points, box)
        within.append(points[inside])
        beyond.append((len(points) - np.count_nonzero(inside), _sum(points) - _sum(within[-1])))
    if beyond[0][0] != beyond[1][0] or np.abs(beyond[0][1] - beyond[1][1]).max() > MICRON:
        return None
    found = np.concatenate(within)
    return np.stack([found.min(axis=0), found.max(axis=0)])[None] if len(found) else np.zeros((0, 2, 3))


def _sum(points: Floats) -> Floats:
    """The sum (3,) of points (n, 3); many times quicker than over an axis of three."""
    return np.ones(len(points)) @ points


def _inside(points: Floats, box: Floats | None) -> np.ndarray:
    inside = np.full(len(points), box is not None)
    if box is not None:
        for column, low, high in zip(points.T, box[0] - MICRON, box[1] + MICRON, strict=True):
            inside &= (column >= low) & (column <= high)
    return inside


def segments_that_differ(before: Strokes, after: Strokes) -> Floats:
    """Boxes (k, 2, 3) round the parts of straight segments that only one of two has."""
    old, new = (_ends(strokes.points, strokes.segments) for strokes in (before, after))
    old_keys, new_keys = _keys(old), _keys(new)
    had, has = set(old_keys), set(new_keys)
    lost = old[[number for number, key in enumerate(old_keys) if key not in has]]
    come = new[[number for number, key in enumerate(new_keys) if key not in had]]
    parts = np.concatenate([lost, come])
    if len(lost) and len(come) and len(parts) <= MOST_SEGMENTS:
        parts = _stretched(lost, come)
    return np.stack([parts.min(axis=1), parts.max(axis=1)], axis=1)


def _ends(points: Floats, segments: Ints) -> Floats:
    """Both ends (k, 2, 3) of each segment, the lower in x, then y, then z first."""
    ends = points[segments]
    first, second = np.round(ends[:, 0] / MICRON), np.round(ends[:, 1] / MICRON)
    turned = np.zeros(len(ends), dtype=bool)
    for axis in (2, 1, 0):
        turned = np.where(first[:, axis] == second[:, axis], turned, first[:, axis] > second[:, axis])
    return np.where(turned[:, None, None], ends[:, ::-1], ends)


def _keys(ends: Floats) -> list[bytes]:
    """A key of each segment, in order."""
    rows = np.ascontiguousarray(np.round(ends.reshape(-1, 6) / MICRON) + 0.0)
    keys: list[bytes] = rows.view("V48").ravel().tolist()
    return keys


def _stretched(lost: Floats, come: Floats) -> Floats:
    """Of a segment that keeps one end and its direction only what is between its other ends; the rest whole."""
    near = np.abs(lost[:, None, :, None] - come[None, :, None, :]).max(axis=-1) < MICRON
    parts: list[Floats] = []
    whole = [set(range(len(lost))), set(range(len(come)))]
    for one, other, end, end_of_other in np.argwhere(near).tolist():
        kept, free, moved = lost[one, end], lost[one, 1 - end], come[other, 1 - end_of_other]
        a, b = free - kept, moved - kept
        if one in whole[0] and other in whole[1] and a @ b > 0 and np.abs(b - (a @ b) / (a @ a) * a).max() < MICRON:
            parts.append(np.stack([free, moved]))
            whole[0].discard(one)
            whole[1].discard(other)
    return np.concatenate([lost[sorted(whole[0])], come[sorted(whole[1])], np.reshape(parts, (-1, 2, 3))])
