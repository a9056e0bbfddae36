"""Which space is seen where in the picture, on a coarse grid: so that a name stands on its own space and on no other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.shapes import Shapes, Surface

CELL = 6.0
"""Pixels across a cell of the grid."""
AT_ONCE = 400_000
"""Places in triangles looked at together: some 30 MB."""
DEEP = 2.0 * CELL * np.ones(2), 6.0 * CELL * np.ones(2)
"""Boxes that a place well within a space holds, whatever is to stand there [pixels]."""
SPACE = "space/"


@dataclass(frozen=True, eq=False)
class VisibleSpaces:
    """names: of the spaces; cells: (rows, columns) the number of the one seen at each cell's middle, -1 the paper.

    nearness: (rows, columns) [m] to the eye of what is seen there.
    """

    names: tuple[str, ...]
    cells: Ints
    nearness: Floats

    @cached_property
    def _sums(self) -> dict[str, Floats]:
        """For each space the running sums of its cells over rows and columns, with a row and a column of zeros before them."""
        found = {}
        for number, name in enumerate(self.names):
            sums = np.zeros(np.array(self.cells.shape) + 1)
            sums[1:, 1:] = (self.cells == number).cumsum(axis=0).cumsum(axis=1)
            found[name] = sums
        return found

    def seen(self, name: str) -> bool:
        """Whether anything of a space is seen."""
        return name in self._sums and bool(self._sums[name][-1, -1])

    def covers(self, name: str, middles: Floats, box: Floats) -> tuple[Floats, Floats]:
        """Shares (n,) of boxes of one size (2,) about middles (n, 2) [pixels] that lie on a space, and on any other."""
        low = np.floor((middles - box / 2) / CELL).astype(np.int64)
        high = np.ceil((middles + box / 2) / CELL).astype(np.int64)
        rows, columns = self.cells.shape
        x0, x1 = (np.clip(side[:, 0], 0, columns) for side in (low, high))
        y0, y1 = (np.clip(side[:, 1], 0, rows) for side in (low, high))
        area = np.maximum((x1 - x0) * (y1 - y0), 1)
        on = {each: sums[y1, x1] - sums[y0, x1] - sums[y1, x0] + sums[y0, x0] for each, sums in self._sums.items()}
        nothing = np.zeros(len(middles))
        return on.get(name, nothing) / area, sum((count for each, count in on.items() if each != name), nothing) / area

    def best_place(self, name: str, box: Floats) -> Floats | None:
        """The middle (2,) [pixels] of the place deepest within a space for a box of a size (2,), else as much of it as can be.

        None where nothing of the space is seen.
        """
        if not self.seen(name):
            return None
        here = np.argwhere(self.cells == self.names.index(name))[:, ::-1]
        middles: Floats = np.asarray((here + 0.5) * CELL, dtype=np.float64)
        deep = np.zeros(len(middles))
        for size in (box, 1.5 * box, 2.5 * box, *DEEP):
            deep += self.covers(name, middles, size)[0]
        away = np.hypot(*(middles - middles.mean(axis=0)).T)
        return np.asarray(middles[np.argmax(deep - away / (away.max() + 1.0) * 0.5)])

    def point(self, spot: Floats, camera: Camera, size: tuple[int, int]) -> Floats:
        """The point (3,) [m] of the boat that is seen at a spot (2,) on a space [pixels]."""
        column, row = np.floor(spot / CELL).astype(np.int64)
        right, up, eye = camera.axes()
        scale = camera.height / size[1]
        across, upward = (spot[0] - size[0] / 2) * scale, (size[1] / 2 - spot[1]) * scale
        return np.asarray(np.array(camera.centre) + across * right + upward * up + self.nearness[row, column] * eye)


def visible_spaces(shapes: Shapes, camera: Camera, size: tuple[int, int], planes: Iterable[Plane] = ()) -> VisibleSpaces:
    """What is seen of each space, by the faces that are drawn, as the cut leaves them."""
    keys = [key for key in shapes.surfaces if key.startswith(SPACE)]
    rows, columns = int(np.ceil(size[1] / CELL)), int(np.ceil(size[0] / CELL))
    nearness, cells = np.full(rows * columns, -np.inf), np.full(rows * columns, -1)
    for number, key in enumerate(keys):
        for at, depth in _seen_cells(shapes.surfaces[key], camera, size, tuple(planes), columns, rows):
            best = np.full(rows * columns, -np.inf)
            np.maximum.at(best, at, depth)
            nearer = best > nearness
            nearness[nearer], cells[nearer] = best[nearer], number
    names = tuple(key.removeprefix(SPACE) for key in keys)
    return VisibleSpaces(names, cells.reshape(rows, columns), nearness.reshape(rows, columns))


def _seen_cells(
    surface: Surface, camera: Camera, size: tuple[int, int], planes: tuple[Plane, ...], columns: int, rows: int
) -> Iterable[tuple[Ints, Floats]]:
    """Cells (k,) whose middles lie in triangles of a surface that are drawn, each with the nearness there [m], in portions."""
    seen = camera.project(surface.points, size)
    flat, depth = seen[:, :2] / CELL - 0.5, seen[:, 2]
    over = [plane.over(surface.points) for plane in planes]
    corners = flat[surface.triangles]
    a, b, c = corners.transpose(1, 0, 2)
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    turned = {"front": area > 0, "back": area < 0, "none": area != 0}[surface.culling]
    low = np.maximum(np.ceil(corners.min(axis=1)).astype(np.int64), 0)
    high = np.minimum(np.floor(corners.max(axis=1)).astype(np.int64), np.array([columns, rows]) - 1)
    wide, tall = (high - low + 1).T
    kept = np.flatnonzero(turned & (wide > 0) & (tall > 0))
    for part in _portions(kept, wide * tall):
        count = (wide * tall)[part]
        which = np.repeat(part, count)
        place = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
        x, y = low[which, 0] + place % wide[which], low[which, 1] + place // wide[which]
        weights = _weights(corners[which], x, y, area[which])
        inside = (weights >= 0.0).all(axis=1)
        of = surface.triangles[which]
        for height in over:
            inside &= np.einsum("ij,ij->i", weights, height[of]) >= 0.0
        yield (y * columns + x)[inside], np.einsum("ij,ij->i", weights, depth[of])[inside]


def _weights(corners: Floats, x: Ints, y: Ints, area: Floats) -> Floats:
    """Shares (n, 3) of the corners (n, 3, 2) of triangles at places in their planes; negative outside."""
    out = [
        (corners[:, k, 0] - x) * (corners[:, (k + 1) % 3, 1] - y) - (corners[:, k, 1] - y) * (corners[:, (k + 1) % 3, 0] - x)
        for k in (1, 2, 0)
    ]
    return np.stack(out, axis=1) / area[:, None]


def _portions(triangles: Ints, cost: Ints) -> list[Ints]:
    """Triangles in portions of about so many places."""
    if not len(triangles):
        return []
    ends = np.flatnonzero(np.diff(np.cumsum(cost[triangles]) // AT_ONCE)) + 1
    return list(np.split(triangles, ends))
