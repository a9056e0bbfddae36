"""The largest box in a closed solid, turned and tilted: at all, of given proportions, or within limits of its sides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.packing.box_growth import Asked, Box, grow_boxes, held, limited
from sketcher.geometry.solid.boolean import simplified
from sketcher.geometry.solid.section import frame_z, section

_NODES, _COARSE = (30, 24, 16), (16, 16, 8)
"""Points of the grid that is looked through first, along each axis: parallel to the axes, and turned in plan."""

_TURNS = tuple(float(angle) for angle in np.radians([15.0, 30.0, 45.0, 60.0, 75.0]))
"""[rad] Turns in plan that are looked through; from the best of them a box turns and tilts further by itself."""

_STRAIGHT_STARTS, _TURNED_STARTS = 3, 3
"""Boxes on grids, parallel to the axes and turned in plan, that are enlarged."""

_HOPEFUL = 0.85
"""A box found on a turned grid that is smaller than the best by this factor is not enlarged: it gains a cell a side at most."""

_ROUGH = 3e-3
"""[m] Boxes are compared in a solid so much simpler, of few triangles; the best of them is then enlarged in the solid itself."""

_ROUGH_ROUNDS = 6
"""Rounds in which a box that turns comes near enough to its end to be compared."""

_WORTH_TURNING = 1.001
"""A box that lies askew must be larger than one parallel to the axes by this factor in its mean side."""

_TIE = 1e-3
"""What room beyond a box's limits is worth beside the box itself: enough to choose among equals only."""

ANY = Asked()
"""Any box at all."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Whether the points of a grid lie in a solid: inside (nx, ny, nz), their places along each axis [m].

    angle [rad]: by which its axes are turned in plan, x towards y, about the origin. runs: the blocks of points that lie inside.
    """

    inside: NDArray[np.bool_]
    x: Floats
    y: Floats
    z: Floats
    angle: float = 0.0

    @cached_property
    def runs(self) -> _Runs:
        return _runs(self.inside)

    @property
    def axes(self) -> Floats:
        """(3, 3) the directions of its axes, row by row."""
        c, s = np.cos(self.angle), np.sin(self.angle)
        return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def grids_of(solid: TriMesh) -> tuple[Grid, ...]:
    """A closed solid sampled half a cell inside its box, along the axes and turned in plan; made once, for all `largest_box`."""
    coarse = _levels(solid, _COARSE[2])
    return (_grid(solid, 0.0, _NODES, _levels(solid, _NODES[2])), *(_grid(solid, angle, _COARSE, coarse) for angle in _TURNS))


def _middles(low: float, high: float, cells: int) -> Floats:
    """The middles (n,) of so many equal cells."""
    return low + (np.arange(cells) + 0.5) * (high - low) / cells


def _levels(solid: TriMesh, cells: int) -> dict[float, shapely.Geometry]:
    """The solid's sections at so many heights, by height, made ready for many points."""
    low, high = solid.vertices[:, 2].min(), solid.vertices[:, 2].max()
    found = {float(z): section(solid, frame_z(float(z))) for z in _middles(low, high, cells)}
    for shape in found.values():
        shapely.prepare(shape)
    return found


def _grid(solid: TriMesh, angle: float, nodes: tuple[int, int, int], levels: dict[float, shapely.Geometry]) -> Grid:
    axes = Grid(np.zeros((1, 1, 1), dtype=bool), *(np.zeros(1),) * 3, angle).axes
    places = solid.vertices @ axes.T
    low, high = places.min(axis=0), places.max(axis=0)
    x, y = (_middles(low[k], high[k], nodes[k]) for k in (0, 1))
    u, v = np.meshgrid(x, y, indexing="ij")
    at = u * axes[0, 0] + v * axes[1, 0], u * axes[0, 1] + v * axes[1, 1]
    inside = np.stack([shapely.contains_xy(shape, *at) for shape in levels.values()], axis=2)
    return Grid(inside, x, y, np.array(list(levels)), angle)


def largest_box(
    solid: TriMesh, grids: tuple[Grid, ...] | None = None, asked: Asked = ANY, any_way_round: bool = False
) -> Box | None:
    """The largest box, by volume, in a closed solid, at any turn and tilt; None where not even a grid cell is clear.

    What is asked of its sides is asked along the axes, or along what a turn in plan and a tilt make of them; any_way_round: of
    its sides in any order. Found on grids, then enlarged and turned until the solid stops it: it always lies inside, none a
    little elsewhere is larger, and it lies askew only where that gains a thousandth. Tilts are reached from turns in plan
    alone, so a larger box that lies steeply aslant may be missed.
    """
    straight, *turned = grids_of(solid) if grids is None else grids
    ways = asked.ways_round() if any_way_round else [asked]
    starts = _best(_on_grid(straight, ways))
    if not starts:
        return None
    rough = simplified(solid, _ROUGH)
    along = max(_grown(rough, starts[:_STRAIGHT_STARTS], turning=False), key=Start.worth)
    askew = _best([start for grid in turned for start in _on_grid(grid, ways)])[:_TURNED_STARTS]
    hopeful = [along, *(start for start in askew if start.worth() >= _HOPEFUL * along.worth())]
    (best,) = _grown(solid, [along], turning=False)
    further = max(_grown(rough, hopeful, turning=True, rounds=_ROUGH_ROUNDS), key=Start.worth)
    if further.worth() > _WORTH_TURNING * along.worth():
        best = max(best, *_grown(solid, [further], turning=True), key=Start.worth)
    return held(solid, best.box)


@dataclass(frozen=True, slots=True)
class Start:
    """A box to begin from, and what is asked of it."""

    box: Box
    asked: Asked

    def worth(self) -> float:
        """See `Asked.worths`; boxes of other proportions are compared by what these make of them."""
        return float(self.asked.worths(np.array(self.box.size)[:, None])[0])


def _grown(solid: TriMesh, starts: Sequence[Start], turning: bool, rounds: int = 40) -> list[Start]:
    boxes = grow_boxes(solid, [(start.box, start.asked) for start in starts], turning, rounds)
    return [Start(box, start.asked) for box, start in zip(boxes, starts, strict=True)]


def _best(starts: list[Start]) -> list[Start]:
    """The same, the most promising first."""
    return sorted(starts, key=Start.worth, reverse=True)


def _on_grid(grid: Grid, ways: Sequence[Asked]) -> list[Start]:
    """For each way the largest box whose grid points all lie inside, half a cell further; of equals the one with most room."""
    step = [float(axis[1] - axis[0]) if len(axis) > 1 else 1.0 for axis in (grid.x, grid.y, grid.z)]
    runs = grid.runs
    room = np.stack([runs.count * step[0], runs.wide * step[1], runs.deep * step[2]])
    starts = []
    for asked in ways:
        worth = asked.worths(np.minimum(room, np.array(asked.at_most)[:, None])) + _TIE * asked.worths(room)
        top = int(np.argmax(worth))
        if worth[top] > 0.0:
            a, j, c = runs.first[:, top]
            b, k, d = runs.first[:, top] + [runs.count[top] - 1, runs.wide[top] - 1, runs.deep[top] - 1]
            low = np.array([grid.x[a], grid.y[j], grid.z[c]]) - np.array(step) / 2
            high = np.array([grid.x[b], grid.y[k], grid.z[d]]) + np.array(step) / 2
            box = Box.about(((low + high) / 2) @ grid.axes, (high - low) / 2, grid.axes)
            starts.append(Start(limited(box, asked), asked))
    return starts


@dataclass(frozen=True, eq=False)
class _Runs:
    """Blocks (m,) of a grid's points that all lie inside: for all columns from one to another, all levels from one to another.

    first: (3, m) the lowest index of each along x, y, z; count, wide, deep: (m,) points along each, the longest along x.
    """

    first: Ints
    count: Ints
    wide: Ints
    deep: Ints


def _runs(inside: NDArray[np.bool_]) -> _Runs:
    """The blocks of a grid (nx, ny, nz) whose points lie inside."""
    _, ny, nz = inside.shape
    low, high = np.triu_indices(nz)
    clear = np.stack([inside[:, :, a : b + 1].all(axis=2).T for a, b in zip(low, high, strict=True)], axis=1)
    strip, blocks = clear, []
    for wide in range(1, ny + 1):
        strip = strip[: ny - wide + 1] & clear[wide - 1 :]
        count, last = _longest_runs(strip)
        j, level = np.nonzero(count)
        found = count[j, level]
        first = np.stack([last[j, level] - found + 1, j, low[level]])
        blocks.append((first, found, np.full(len(j), wide), (high - low + 1)[level]))
    first, count, wides, deep = (np.concatenate(each, axis=-1) for each in zip(*blocks, strict=True))
    return _Runs(first, count, wides, deep)


def _longest_runs(strip: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """Length and last index (...) of the longest run of True in each row (..., n)."""
    n = strip.shape[-1]
    place = np.arange(n, dtype=np.int16)
    lengths = place - np.maximum.accumulate(np.where(strip, np.int16(-1), place), axis=-1)
    last = lengths.argmax(axis=-1)
    return np.take_along_axis(lengths, last[..., None], axis=-1)[..., 0].astype(np.int64), last
