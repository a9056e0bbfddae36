"""Cylinders packed in a closed solid, in layers square to one direction: as many as rows hold, none outside, none overlapping."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.packing.circle_rows import Region, filled, most_in_rows, most_that_fit
from sketcher.geometry.rotation import turned_to
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.geometry.tolerances import CLEAR, LAYER_SKIN, SAME_AREA, SAME_POINT

_MOST_STARTS = 40
"""Layers may begin at quarters of a cylinder's length; at halves or wholes where that would be more places than this."""

_ALIKE = 1e-3
"""[circles] What layers may hold is the same to this: an outline's rounding must not choose between them."""

MIRROR = np.array([1.0, -1.0, 1.0])
"""Of a point, its mirror image in the plane y = 0."""

Watch = Callable[[int], bool]
"""Told the number placed so far, after every layer looked at and every layer filled; answering False stops the packing there."""


@dataclass(frozen=True, slots=True)
class Size:
    """A kind of cylinder: radius, length [m]; at most so many of it."""

    radius: float
    length: float
    most: int = 10_000

    def __post_init__(self) -> None:
        if not (0.0 < self.radius < np.inf and 0.0 < self.length < np.inf):
            raise GeometryError("a cylinder must have a diameter and a length above 0")


@dataclass(frozen=True, eq=False)
class Packing:
    """Cylinders in place, all along `direction`, a unit vector (3,). complete: False where the watch stopped it.

    base: (n, 3) centres of their lower ends [m]; kind: (n,) index into sizes; layer: (n,) from 0, each kind counting its own.
    """

    sizes: tuple[Size, ...]
    direction: Floats
    base: Floats
    kind: np.ndarray[tuple[int], np.dtype[np.int64]]
    layer: np.ndarray[tuple[int], np.dtype[np.int64]]
    complete: bool = True

    @property
    def count(self) -> int:
        return len(self.base)

    @property
    def volume(self) -> float:
        """What the enclosing cylinders take up [m3]; what they displace may be less."""
        each = np.array([np.pi * size.radius**2 * size.length for size in self.sizes])
        return float(each[self.kind].sum())


def pack(solid: TriMesh, sizes: Sequence[Size], direction: Floats, watch: Watch | None = None) -> Packing:
    """Cylinders of several sizes in a closed solid, the largest first, all along `direction` (3,) from low to high.

    Each size lies in layers one cylinder deep; in a layer the circles stand in the part of the solid that is clear over the
    layer's whole depth, beside what is already there. Where layers begin is chosen so that they hold most together.
    A solid and its mirror image in y hold the same: both are packed as the one of the two that leans to +y.
    Raises GeometryError for a solid that is not closed or a direction without length.
    """
    if leaning(solid) >= 0.0:
        return _packed(solid, sizes, direction, watch)
    along = np.asarray(direction) * (1.0 if np.abs(direction[[0, 2]]).max() < SAME_POINT else MIRROR)
    mirrored = _packed(TriMesh(solid.vertices * MIRROR, solid.triangles[:, ::-1], solid.labels), sizes, along, watch)
    turned_back = mirrored.direction * MIRROR
    base = mirrored.base * MIRROR
    if turned_back @ direction < 0.0:
        turned_back = -turned_back
        base = base - turned_back * np.array([size.length for size in sizes])[mirrored.kind, None]
    return replace(mirrored, base=base, direction=turned_back)


def leaning(solid: TriMesh) -> float:
    """Which of a solid and its mirror image in y this is: above 0 or below; 0 for one that is its own image.

    The first that is not 0 of three moments of its surface that change sign with the image: how far its middle lies from that
    of its box, and how it leans along x and z.
    """
    corner = solid.vertices[solid.triangles] - (solid.bounds[0] + solid.bounds[1]) / 2
    area = np.linalg.norm(np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]), axis=1) / 2
    total = corner.sum(axis=1)
    middle = area @ total / 3
    products = area @ ((corner * corner[..., 1:2]).sum(axis=1) + total * total[:, 1:2]) / 12
    span = float(np.ptp(solid.bounds, axis=0).max())
    whole = float(area.sum()) * span
    for moment, most in ((middle[1], whole), (products[0], whole * span), (products[2], whole * span)):
        if abs(moment) > SAME_AREA * most:
            return float(moment)
    return 0.0


def _packed(solid: TriMesh, sizes: Sequence[Size], direction: Floats, watch: Watch | None) -> Packing:
    turn = turned_to(direction)
    local = TriMesh(solid.vertices @ turn.T, solid.triangles, solid.labels)
    body = to_manifold(local, 1)
    state = _Filling(body, local.bounds[0], local.bounds[1], watch)
    for kind in sorted(range(len(sizes)), key=lambda k: -(sizes[k].radius ** 2) * sizes[k].length):
        state.add(kind, sizes[kind])
    rows = np.array(state.rows).reshape(-1, 6)
    return Packing(
        tuple(sizes),
        turn[2],
        rows[:, :3] @ turn,
        rows[:, 4].astype(np.int64),
        rows[:, 5].astype(np.int64),
        not state.stopped,
    )


def best_packing(solid: TriMesh, sizes: Sequence[Size], directions: Sequence[Floats], watch: Watch | None = None) -> Packing:
    """The packing, of those along each direction, whose cylinders take up most; the first of equals.

    With all that there are of every size in place, or stopped by the watch, no further direction is tried.
    """
    best = pack(solid, sizes, directions[0], watch)
    for direction in directions[1:]:
        if not best.complete or best.count == sum(size.most for size in sizes):
            break
        packing = pack(solid, sizes, direction, watch)
        best = packing if packing.volume > best.volume or not packing.complete else best
    return best


def clear_through(body: Manifold, low: float, high: float, box: tuple[Floats, Floats]) -> shapely.Geometry:
    """The part of the level plane over which a solid is clear from height `low` to `high`: where nothing else casts a shadow.

    box: lowest and highest corner of the solid, (3,) each.
    """
    margin = 0.1
    size = box[1] - box[0] + 2 * margin
    block = Manifold.cube((float(size[0]), float(size[1]), high - low))
    block = block.translate((float(box[0][0] - margin), float(box[0][1] - margin), low))
    rings = [np.asarray(ring) for ring in (block - body).project().to_polygons()]
    # A shadow's outline may touch itself by rounding, and no region can be made of it as it is.
    shapes = [shapely.make_valid(shapely.Polygon(ring)) for ring in rings if len(ring) >= 3]
    around = shapely.box(*(box[0][:2] - margin), *(box[1][:2] + margin))
    # Rings are nested, so leaving out what lies in an odd number of them undoes the shadow.
    clear = around
    for shape in sorted(shapes, key=lambda shape: -shape.area):
        clear = shapely.symmetric_difference(clear, shape)
    parts = [part for part in shapely.get_parts(clear) if isinstance(part, shapely.Polygon) and part.area > CLEAR]
    return shapely.MultiPolygon(parts)


class _Filling:
    """What is placed so far: rows of x, y, z of the lower end, radius, kind, layer, and how deep each goes."""

    def __init__(self, body: Manifold, low: Floats, high: Floats, watch: Watch | None) -> None:
        self.body, self.box, self.watch = body, (low, high), watch
        self.rows: list[tuple[float, float, float, float, int, int]] = []
        self.tops: list[float] = []
        self.stopped = False

    def add(self, kind: int, size: Size) -> None:
        """Place one size in the layers that hold most of it, lowest layer first."""
        left = size.most
        for number, (start, region, centres) in enumerate(self._layers(size)):
            if self.stopped or left <= 0:
                return
            more = Region(region.shape, np.vstack([region.circles, _circles(centres, size.radius)]))
            extra = filled(more, size.radius, left - len(centres))
            self._place(np.vstack([centres, extra])[:left], start, kind, number, size)
            left -= len(centres) + len(extra)
            self._told_to_stop()

    def _told_to_stop(self) -> bool:
        self.stopped = self.stopped or (self.watch is not None and not self.watch(len(self.rows)))
        return self.stopped

    def _place(self, centres: Floats, start: float, kind: int, layer: int, size: Size) -> None:
        self.rows += [(float(x), float(y), start, size.radius, kind, layer) for x, y in centres]
        self.tops += [start + size.length] * len(centres)

    def _layers(self, size: Size) -> list[tuple[float, Region, Floats]]:
        """The layers one above the other that hold most: start, region, circles in rows."""
        low, high = float(self.box[0][2]), float(self.box[1][2])
        if high - low - size.length < -CLEAR:
            return []
        tried = []
        for start in _starts(low, high, size.length):
            region = self._region(start, size)
            tried.append((start, region, most_that_fit(region, size.radius)))
            if self._told_to_stop():
                return []
        return [(start, region, most_in_rows(region, size.radius)) for start, region, _ in _stacked(tried, size.length)]

    def _region(self, start: float, size: Size) -> Region:
        """The area clear over a layer's whole depth, with the cylinders that already stand there."""
        shape = clear_through(self.body, start + LAYER_SKIN, start + size.length - LAYER_SKIN, self.box)
        held = np.array(self.rows).reshape(-1, 6)
        beside = (held[:, 2] < start + size.length - CLEAR) & (np.array(self.tops) > start + CLEAR)
        return Region(shape, held[beside][:, [0, 1, 3]])


def _circles(centres: Floats, radius: float) -> Floats:
    return np.column_stack([centres, np.full(len(centres), radius)])


def _starts(low: float, high: float, length: float) -> list[float]:
    """Where layers may begin, so that they can stand on the floor, hang from the top, or lie where a space is widest."""
    room = max(high - low - length, 0.0)
    parts = next((parts for parts in (4, 2, 1) if room / length * parts <= _MOST_STARTS), 1)
    from_floor = low + np.arange(int(room / length * parts + CLEAR) + 1) * length / parts
    from_top = low + room - np.arange(int(room / length + CLEAR) + 1) * length
    starts = np.sort(np.concatenate([from_floor, from_top]))
    return [float(start) for start in starts[np.append(True, np.diff(starts) > CLEAR)]]


def _stacked(tried: list[tuple[float, Region, float]], length: float) -> list[tuple[float, Region, float]]:
    """The layers that hold most together without overlap, of those that may begin at each place with what each may hold."""
    starts = np.array([layer[0] for layer in tried])
    following = np.searchsorted(starts, starts + length - CLEAR)
    best = [0.0] * (len(tried) + 1)
    for k in reversed(range(len(tried))):
        best[k] = max(best[k + 1], tried[k][2] + best[following[k]])
    chosen, k = [], 0
    while k < len(tried):
        if best[k] > best[k + 1] + _ALIKE:
            chosen.append(tried[k])
            k = int(following[k])
        else:
            k += 1
    return chosen
