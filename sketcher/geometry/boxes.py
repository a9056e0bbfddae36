"""The largest box, its sides along the axes, in a closed solid: at all, of given proportions, or within limits of its sides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field

import numpy as np
import shapely
from manifold3d import Manifold
from numpy.typing import NDArray

from sketcher.geometry.climb import Rows, climb
from sketcher.geometry.frozen import dataclass
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.section import frame_z, section
from sketcher.geometry.solid import to_manifold
from sketcher.geometry.tolerances import BOX_STRIDE, CLEAR

_NODES = (30, 24, 16)
"""Points of the grid that is looked through first, along each axis."""

_STAGES, _STAGE = 12, 0.12
"""A box is enlarged in stages of at most so many metres, so that only the triangles about it need be looked at."""

_TIE = 1e-3
"""What room beyond a box's limits is worth beside the box itself: enough to choose among equals only."""

_UNLIMITED = (np.inf, np.inf, np.inf)


@dataclass(frozen=True, slots=True)
class Box:
    """Opposite corners [m]."""

    low: tuple[float, float, float]
    high: tuple[float, float, float]

    @property
    def size(self) -> tuple[float, float, float]:
        return (self.high[0] - self.low[0], self.high[1] - self.low[1], self.high[2] - self.low[2])

    @property
    def volume(self) -> float:
        a, b, c = self.size
        return a * b * c


@dataclass(frozen=True, eq=False)
class Grid:
    """Whether the points of a grid lie in a solid: inside (nx, ny, nz), their places along each axis [m].

    clear: (k, nx, ny) whether all points from one level to another do; first, last: (k,) those levels.
    """

    inside: NDArray[np.bool_]
    x: Floats
    y: Floats
    z: Floats
    clear: NDArray[np.bool_] = field(init=False, repr=False)
    first: Ints = field(init=False, repr=False)
    last: Ints = field(init=False, repr=False)

    def __post_init__(self) -> None:
        first, last = np.triu_indices(self.inside.shape[2])
        clear = np.stack([self.inside[:, :, a : b + 1].all(axis=2) for a, b in zip(first, last, strict=True)])
        for name, value in (("clear", clear), ("first", first), ("last", last)):
            object.__setattr__(self, name, value)


def grid_of(solid: TriMesh) -> Grid:
    """A closed solid sampled half a cell inside its box, for `largest_box`; made once, it serves every question about it."""
    low, high = solid.bounds
    x, y, z = (a + (np.arange(n) + 0.5) * (b - a) / n for a, b, n in zip(low, high, _NODES, strict=True))
    levels = []
    for level in z:
        shape = section(solid, frame_z(float(level)))
        shapely.prepare(shape)
        levels.append(shapely.contains_xy(shape, *np.meshgrid(x, y, indexing="ij")))
    return Grid(np.stack(levels, axis=2), x, y, z)


def largest_box(
    solid: TriMesh,
    grid: Grid | None = None,
    proportions: tuple[float, float, float] | None = None,
    at_most: tuple[float, float, float] = _UNLIMITED,
) -> Box | None:
    """The largest box with sides along the axes, by volume, in a closed solid; None where not even a grid cell is clear.

    proportions: its sides' ratios along the axes, else any. at_most: limits of its sides [m]. Found on a grid, then enlarged
    until the solid stops it; it always lies inside, and no box a little elsewhere is larger.
    """
    sampled = grid_of(solid) if grid is None else grid
    start = _on_grid(sampled, proportions, at_most)
    if start is None:
        return None
    grown = _grown(solid, start, proportions, at_most)
    return _held(solid, grown)


def _on_grid(grid: Grid, proportions: tuple[float, float, float] | None, at_most: tuple[float, float, float]) -> Box | None:
    """The largest box whose grid points all lie inside, half a cell further; of equals the one with most room about it."""
    nx, ny, _ = grid.inside.shape
    step = [float(axis[1] - axis[0]) if len(axis) > 1 else 1.0 for axis in (grid.x, grid.y, grid.z)]
    clear, first, last = grid.clear, grid.first, grid.last
    deep = (last - first + 1) * step[2]
    limits = np.array(at_most)[:, None]
    best, found = 0.0, (0, 0, 0, 0, 0, 0)
    for j in range(ny):
        strip = np.ones((len(clear), nx), dtype=bool)
        for k in range(j, ny):
            strip &= clear[:, :, k]
            run, end = _longest_runs(strip)
            room = np.stack([run * step[0], np.full(len(run), (k - j + 1) * step[1]), deep])
            worth = _worth(np.minimum(room, limits), proportions) + _TIE * _worth(room, proportions)
            top = int(np.argmax(worth))
            if worth[top] > best:
                best = float(worth[top])
                found = (int(end[top] - run[top] + 1), int(end[top]), j, k, int(first[top]), int(last[top]))
    if best <= 0.0:
        return None
    a, b, j, k, c, d = found
    low = np.array([grid.x[a], grid.y[j], grid.z[c]]) - np.array(step) / 2
    high = np.array([grid.x[b], grid.y[k], grid.z[d]]) + np.array(step) / 2
    return _box((low + high) / 2, (high - low) / 2)


def _longest_runs(strip: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """Length and last index (m,) of the longest run of True in each row (m, n)."""
    n = strip.shape[1]
    gap = np.maximum.accumulate(np.where(strip, -1, np.arange(n)), axis=1)
    lengths = np.arange(n) - gap
    end = lengths.argmax(axis=1)
    return np.take_along_axis(lengths, end[:, None], axis=1)[:, 0], end


def _worth(sides: Floats, proportions: tuple[float, float, float] | None) -> Floats:
    """What a box of sides (3, m) is worth: the cube root of its volume, or its scale in given proportions [m]."""
    if proportions is None:
        root: Floats = np.cbrt(sides.prod(axis=0))
        return root
    return (sides / np.array(proportions)[:, None]).min(axis=0)  # type: ignore[no-any-return]


def _grown(
    solid: TriMesh, start: Box, proportions: tuple[float, float, float] | None, at_most: tuple[float, float, float]
) -> Box:
    """The box enlarged and shifted until the solid, or its limits, stop it: in stages, each among the triangles about it."""
    box = _limited(start, proportions, at_most)
    for _ in range(_STAGES):
        grown = _climbed(solid, box, proportions, at_most)
        gain = grown.volume - box.volume
        box = grown
        if gain < CLEAR:
            break
    return box


def _limited(box: Box, proportions: tuple[float, float, float] | None, at_most: tuple[float, float, float]) -> Box:
    """A box about the same middle within its limits and of its proportions."""
    low, high = np.array(box.low), np.array(box.high)
    size = np.minimum(high - low, np.array(at_most))
    if proportions is not None:
        size = float((size / np.array(proportions)).min()) * np.array(proportions)
    return _box((low + high) / 2, size / 2)


def _box(middle: Floats, half: Floats) -> Box:
    a, b = middle - half, middle + half
    return Box((float(a[0]), float(a[1]), float(a[2])), (float(b[0]), float(b[1]), float(b[2])))


def _climbed(
    solid: TriMesh, start: Box, proportions: tuple[float, float, float] | None, at_most: tuple[float, float, float]
) -> Box:
    """One stage: as far as the box's faces may move without meeting triangles that were not looked at."""
    low, high = np.array(start.low), np.array(start.high)
    corner = solid.vertices[solid.triangles]
    near = ((corner.min(axis=1) < high + _STAGE) & (corner.max(axis=1) > low - _STAGE)).all(axis=1)
    corner = corner[near]
    shape = None if proportions is None else np.array(proportions)
    limits = np.where(np.isfinite(at_most), at_most, 1e3) / 2

    def halves(places: Floats) -> Floats:
        return places[:, 3:] if shape is None else places[:, 3:4] * shape / 2

    def rows_at(place: Floats) -> Rows:
        ways = clear_of_triangles(place[:3], halves(place[None])[0], corner)

        def rows(places: Floats) -> Floats:
            half = halves(places)
            out, back = places[:, :3] + half, places[:, :3] - half
            moved = [high + _STAGE - out, out - high + _STAGE, low + _STAGE - back, back - low + _STAGE]
            return np.column_stack([ways(places[:, :3], half), limits - half, half - BOX_STRIDE / 10, *moved])

        return rows

    half = (high - low) / 2
    scale = half if shape is None else np.array([float((2 * half / shape).min())])
    top = climb(
        np.concatenate([(low + high) / 2, scale]),
        np.full(3 + len(scale), BOX_STRIDE),
        lambda places: _worth(2 * np.maximum(halves(places).T, 1e-6), proportions),
        rows_at,
    )
    return _box(top.place[:3], halves(top.place[None])[0] - top.missing)


def clear_of_triangles(centre: Floats, half: Floats, corner: Floats) -> Callable[[Floats, Floats], Floats]:
    """How clear a box is of every triangle (t, 3, 3): a function of centres (k, 3) and half sides (k, 3), giving (k, 3 t) [m].

    Of the seven ways to be clear (the triangle beyond one face of the box, or the box wholly on the triangle's inner side) the
    best one at `centre`, `half` is chosen. Two that pass each other edge by edge count as touching, on the safe side.
    """
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    size = np.linalg.norm(normal, axis=1)
    kept = size > 1e-14
    corner, normal = corner[kept], normal[kept] / size[kept, None]
    level = np.einsum("ij,ij->i", normal, corner[:, 0])

    def ways(centres: Floats, halves: Floats) -> Floats:
        off = corner[None] - centres[:, None, None]
        beyond = np.concatenate([off - halves[:, None, None], -off - halves[:, None, None]], axis=3)
        inner = level - centres @ normal.T - halves @ np.abs(normal).T
        return np.concatenate([beyond, np.repeat(inner[:, :, None, None], 3, axis=2)], axis=3)

    best = ways(centre[None], half[None])[0].min(axis=1).argmax(axis=1)

    def rows(centres: Floats, halves: Floats) -> Floats:
        chosen = np.take_along_axis(ways(centres, halves), best[None, :, None, None], axis=3)
        return chosen.reshape(len(centres), -1)

    return rows


def _held(solid: TriMesh, box: Box) -> Box | None:
    """The box, drawn in until nothing of it lies outside the solid; None where that leaves nothing."""
    body = to_manifold(solid, 1)
    low, high = np.array(box.low), np.array(box.high)
    for draw in (0.0, CLEAR, 1e-5, 1e-4, 1e-3, 1e-2):
        a, b = low + draw, high - draw
        if not (b > a).all():
            return None
        block = Manifold.cube(tuple(float(side) for side in b - a)).translate(tuple(float(place) for place in a))
        if (block - body).volume() <= CLEAR * float((b - a).prod()):
            return _box((a + b) / 2, (b - a) / 2)
    return None
