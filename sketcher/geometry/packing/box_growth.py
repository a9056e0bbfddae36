"""A box in a closed solid enlarged, shifted and turned until the solid stops it, and then proved to lie inside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np
from manifold3d import Manifold
from numpy.typing import NDArray

from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.local_search import Optimum, Outlook, local_searches
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.geometry.tolerances import BOX_STRIDE, CLEAR

_STAGES, _STAGE = 12, 0.12
"""A box is enlarged in stages of at most so many metres, so that only the triangles about it need be looked at."""

_AT_BOUNDS = 1e-4
"""[m] A box that ends no further from a stage's bounds was stopped by them."""

_DRAWN_IN = 0.98
"""A stage begins with the box drawn in by this factor: one that touches all round may only leave a corner when it is let go."""

_TURN_STRIDE = 0.1
"""[rad] How far a box may turn in one step."""

_PROBE = 1e-6
"""[rad] Step of the difference quotients of its axes."""

_PROBES = np.vstack([np.zeros(3), _PROBE * np.eye(3)])

_CORNERS = np.array([[a, b, c] for a in (-1.0, 1.0) for b in (-1.0, 1.0) for c in (-1.0, 1.0)])

Sides = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Asked:
    """What box is asked for. proportions: the ratios of its sides, else any; at_most: limits of its sides [m]."""

    proportions: Sides | None = None
    at_most: Sides = (np.inf, np.inf, np.inf)

    def ways_round(self) -> list[Asked]:
        """The same with its sides named in every order that makes a difference."""
        ways = set()
        for order in permutations(range(3)):
            proportions = None if self.proportions is None else _picked(self.proportions, order)
            ways.add((proportions, _picked(self.at_most, order)))
        return [Asked(*way) for way in sorted(ways, key=str)]

    def worths(self, sides: Floats) -> Floats:
        """What boxes of sides (3, m) are worth: the cube root of their volume, or their scale in the proportions [m]."""
        if self.proportions is None:
            root: Floats = np.cbrt(sides.prod(axis=0))
            return root
        return (sides / np.array(self.proportions)[:, None]).min(axis=0)  # type: ignore[no-any-return]


def _picked(sides: Sides, order: tuple[int, ...]) -> Sides:
    return (sides[order[0]], sides[order[1]], sides[order[2]])


@dataclass(frozen=True, slots=True)
class Box:
    """A box in space: its middle, its three sides [m], and the directions of these, unit vectors square to each other."""

    middle: Sides
    size: Sides
    axes: tuple[Sides, Sides, Sides]

    @staticmethod
    def about(middle: Floats, half: Floats, axes: Floats) -> Box:
        """A box about a place (3,) with half sides (3,) along axes (3, 3), row by row."""

        def three(row: Floats) -> Sides:
            return (float(row[0]), float(row[1]), float(row[2]))

        return Box(three(middle), three(2 * half), (three(axes[0]), three(axes[1]), three(axes[2])))

    @property
    def volume(self) -> float:
        """[m3]"""
        return float(np.prod(self.size))

    @property
    def turn(self) -> float:
        """[deg] By how much it is turned in plan: -45 to 45, x towards y, since a box turned by 90 looks the same."""
        flat = np.array(self.axes)[int(np.argsort(np.abs(np.array(self.axes)[:, 2]))[0])]
        return float((np.degrees(np.arctan2(flat[1], flat[0])) + 45.0) % 90.0 - 45.0)

    @property
    def tilt(self) -> float:
        """[deg] By how much the side that is nearest to plumb leans."""
        return float(np.degrees(np.arccos(min(1.0, float(np.abs(np.array(self.axes)[:, 2]).max())))))


def limited(box: Box, asked: Asked) -> Box:
    """A box about the same middle within its limits and of its proportions."""
    size = np.minimum(box.size, asked.at_most)
    if asked.proportions is not None:
        size = float(asked.worths(size[:, None])[0]) * np.array(asked.proportions)
    return replace(box, size=(float(size[0]), float(size[1]), float(size[2])))


def grow_boxes(solid: TriMesh, starts: Sequence[tuple[Box, Asked]], turning: bool, rounds: int = 40) -> list[Box]:
    """The boxes enlarged and shifted, and if they may be turned, until the solid or their limits stop them.

    In stages of so many rounds at most, each among the triangles about it; another follows where it came to the stage's bounds.
    All are asked for proportions, or none. What comes out may still touch the solid by rounding: see `held`.
    """
    boxes, growing = [box for box, _ in starts], list(range(len(starts)))
    for _ in range(_STAGES):
        if not growing:
            break
        stages, further = [_Stage.about(solid, boxes[k], starts[k][1], turning) for k in growing], []
        for k, stage, box in zip(growing, stages, _grown(stages, rounds), strict=True):
            if box.volume - boxes[k].volume >= CLEAR and stage.bounds_reached(box):
                further.append(k)
            boxes[k] = box
        growing = further
    return boxes


@dataclass(frozen=True, eq=False)
class _Facets:
    """The triangles (t, 3) of a solid that have an area, their lowest and highest corners (t, 3), the planes (p, 4) they lie in,
    unit normals and levels, and which plane (t,) each lies in."""

    triangles: Ints
    low: Floats
    high: Floats
    planes: Floats
    plane: Ints


@kept_with_owner(1)
def _facets(solid: TriMesh) -> _Facets:
    a, b, c = solid.vertices[solid.triangles.T]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    kept = size > 1e-14
    a, b, c, normal = a[kept], b[kept], c[kept], normal[kept] / size[kept, None]
    # Triangles in one plane that the box lies behind ask the same of it.
    planes, plane = np.unique(np.round(np.column_stack([normal, (normal * a).sum(axis=1)]), 12), axis=0, return_inverse=True)
    low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    return _Facets(solid.triangles[kept], low, high, planes, plane.ravel())


def _grown(stages: Sequence[_Stage], rounds: int) -> list[Box]:
    """One stage of each: as far as it may grow and turn without meeting triangles that were not looked at."""

    def look(which: Ints, places: Floats, reach: Floats) -> Outlook:
        seen = [stages[k].seen(place, most) for k, place, most in zip(which, places, reach, strict=True)]
        gains, slopes, rooms, slope_rooms = zip(*seen, strict=True)
        whose = np.repeat(np.arange(len(which)), [len(room) for room in rooms])
        return Outlook(places, np.array(gains), np.array(slopes), whose, np.concatenate(rooms), np.concatenate(slope_rooms))

    tops = local_searches(np.array([stage.begin for stage in stages]), stages[0].stride, look, rounds)
    return [stage.box(top) for stage, top in zip(stages, tops, strict=True)]


@dataclass(frozen=True, eq=False)
class _Stage:
    """A box that is enlarged among the triangles about it.

    Its place (n,): its middle (3), a turn from `axes` as a vector (3) if it may be turned, and its half sides (3), or if it is
    of a shape, its scale. sizes: (3, n) half sides by place. corners (v, 3) of triangles (t, 3); planes: (p, 4) unit normals and
    levels of the planes they lie in, plane: (t,) which one each lies in; bounds: (2, 3) that it keeps within.
    """

    begin: Floats
    stride: Floats
    asked: Asked
    axes: Floats
    sizes: Floats
    turning: bool
    corners: Floats
    triangles: Ints
    planes: Floats
    plane: Ints
    bounds: Floats

    @staticmethod
    def about(solid: TriMesh, start: Box, asked: Asked, turning: bool) -> _Stage:
        middle, half, axes = np.array(start.middle), np.array(start.size) / 2, np.array(start.axes)
        reach = np.abs(axes).T @ half
        bounds = np.array([middle - reach - _STAGE, middle + reach + _STAGE])
        facets = _facets(solid)
        near = ((facets.low < bounds[1]) & (facets.high > bounds[0])).all(axis=1)
        number, triangles = np.unique(facets.triangles[near], return_inverse=True)
        planes, plane = np.unique(facets.plane[near], return_inverse=True)
        sized = 6 if turning else 3
        shape = np.eye(3) if asked.proportions is None else np.array(asked.proportions)[:, None] / 2
        scale = half if asked.proportions is None else np.array([float((half / shape[:, 0]).min())])
        n = sized + len(scale)
        stride = np.full(n, BOX_STRIDE)
        stride[3:sized] = _TURN_STRIDE
        begin = np.concatenate([middle, np.zeros(sized - 3), _DRAWN_IN * scale])
        sizes = np.column_stack([np.zeros((3, sized)), shape])
        return _Stage(
            begin,
            stride,
            asked,
            axes,
            sizes,
            turning,
            solid.vertices[number],
            triangles.reshape(-1, 3),
            facets.planes[planes],
            plane,
            bounds,
        )

    def turned(self, place: Floats) -> tuple[Floats, Floats]:
        """The box's axes (3, 3) at a place, row by row, and their slopes (3, 3, n)."""
        slopes = np.zeros((3, 3, len(place)))
        if not self.turning:
            return self.axes, slopes
        turns = small_turns(place[3:6] + _PROBES) @ self.axes
        slopes[..., 3:6] = np.moveaxis((turns[1:] - turns[0]) / _PROBE, 0, 2)
        return turns[0], slopes

    def box(self, top: Optimum) -> Box:
        half = np.maximum(self.sizes @ top.place - top.missing, 1e-6)
        return Box.about(top.place[:3], half, self.turned(top.place)[0])

    def bounds_reached(self, box: Box) -> bool:
        """Whether a box ends at the bounds, so that it may grow beyond them."""
        middle, reach = np.array(box.middle), np.abs(np.array(box.axes)).T @ np.array(box.size) / 2
        (low, high), low_step = self.bounds, 2 * _STAGE
        rooms = [high - middle - reach, middle - reach - low]
        return bool(min(room.min() for room in (*rooms, *(low_step - room for room in rooms))) < _AT_BOUNDS)

    def seen(self, place: Floats, reach: Floats) -> tuple[float, Floats, Floats, Floats]:
        """The worth of the box at a place, its slopes (n,), and how clear (m,) the box is of all about it, with slopes (m, n)."""
        half, (axes, turning) = self.sizes @ place, self.turned(place)
        worth = float(self.asked.worths(2 * np.maximum(half, 1e-6)[:, None])[0])
        gain = np.eye(len(place))[-1] if self.asked.proportions else worth / 3 * (self.sizes / half[:, None]).sum(axis=0)
        rows = [*self._triangles(place, reach, half, axes, turning), *self._limits(place, half, axes, turning)]
        return worth, gain, np.concatenate([room for room, _ in rows]), np.concatenate([slope for _, slope in rows])

    def _triangles(
        self, place: Floats, reach: Floats, half: Floats, axes: Floats, turning: Floats
    ) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """How clear the box is of every triangle that it can come to within `reach`, with the slopes.

        Of the seven ways to be clear (the triangle beyond one face of the box, or the box wholly on the triangle's inner side)
        the best one is chosen, with a row for each corner that might touch first. Two that pass each other edge by edge count as
        touching, on the safe side.
        """
        centre, moved = place[:3], np.eye(3, len(place))
        normal, level = self.planes[:, :3], self.planes[:, 3]
        inner = (level - normal @ centre - np.abs(normal @ axes.T) @ half)[self.plane]
        off = (self.corners - centre) @ axes.T
        a, b, c = off[self.triangles.T]
        beyond = np.hstack([np.minimum(np.minimum(a, b), c) - half, -np.maximum(np.maximum(a, b), c) - half])
        side = beyond.argmax(axis=1)
        best = beyond[np.arange(len(side)), side]
        shift, turn = reach[:3].sum() + (self.sizes @ reach).sum(), np.sqrt(3.0) * reach[3:6].max() if self.turning else 0.0
        behind = _numbers(self.plane[(inner > best) & (inner < shift + turn * np.linalg.norm(half))], len(level))
        outside = (best >= inner) & (best < shift + turn * (best + 2 * np.linalg.norm(half) + 1.0))
        # Triangles that share a corner ask the same of a face.
        asked = _numbers(6 * self.triangles[outside] + side[outside, None], 6 * len(off))
        past, face, sign = off[asked // 6], asked % 3, np.where(asked % 6 < 3, 1.0, -1.0)
        away = past[np.arange(len(face)), face] * sign - half[face]
        turned = ((past @ axes)[:, None] @ turning[face])[:, 0]
        nearest = _may_be_least(away, np.abs(turned) @ reach, asked % 6)
        face, sign = face[nearest], sign[nearest, None]
        slopes = sign * (turned[nearest] - axes[face] @ moved) - self.sizes[face]
        n = normal[behind]
        rooms = (level[behind] - (centre + _CORNERS * half @ axes) @ n.T).ravel()
        along = np.einsum("pj,ijn->pin", n, turning) * half[:, None] + (axes @ n.T).T[..., None] * self.sizes
        corner = np.einsum("si,pin->spn", _CORNERS, along).reshape(-1, len(place))
        of = np.tile(np.arange(len(n)), len(_CORNERS))
        first = _may_be_least(rooms, np.abs(corner) @ reach, of)
        return (away[nearest], slopes), (rooms[first], -(n @ moved)[of[first]] - corner[first])

    def _limits(
        self, place: Floats, half: Floats, axes: Floats, turning: Floats
    ) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """How far its sides are from their limits, and its box along the axes from the bounds, with the slopes."""
        limits = np.minimum(self.asked.at_most, 1e3) / 2
        reach = np.abs(axes).T @ half
        wider = np.einsum("ij,ijn,i->jn", np.sign(axes), turning, half) + np.abs(axes).T @ self.sizes
        moved = np.eye(3, len(place))
        (low, high), low_step = self.bounds, 2 * _STAGE
        out, back = place[:3] + reach, place[:3] - reach
        rooms = [limits - half, half - BOX_STRIDE / 10, high - out, out - (high - low_step), low + low_step - back, back - low]
        slopes = [-self.sizes, self.sizes, -moved - wider, moved + wider, wider - moved, moved - wider]
        return (np.concatenate(rooms[:2]), np.concatenate(slopes[:2])), (np.concatenate(rooms[2:]), np.concatenate(slopes[2:]))


def _may_be_least(room: Floats, spread: Floats, group: Ints) -> NDArray[np.bool_]:
    """Whether each room may be the least of its group (m,) in a step that changes it by up to `spread` beside the others."""
    least = np.full(int(group.max(initial=-1)) + 1, np.inf)
    np.minimum.at(least, group, room + spread)
    kept: NDArray[np.bool_] = room - spread <= least[group]
    return kept


def _numbers(drawn: Ints, below: int) -> Ints:
    """The numbers drawn, each once, in order; quicker than sorting them."""
    found = np.zeros(below, dtype=bool)
    found[drawn] = True
    return np.flatnonzero(found)


def small_turns(vectors: Floats) -> Floats:
    """Rotations (k, 3, 3) about vectors (k, 3), each by its length [rad]: the new axes row by row, seen in the old ones."""
    angle = np.linalg.norm(vectors, axis=1)[:, None, None]
    x, y, z = vectors.T
    zero = np.zeros_like(x)
    cross = np.stack([zero, z, -y, -z, zero, x, y, -x, zero], axis=1).reshape(-1, 3, 3)
    found: Floats = np.eye(3) + np.sinc(angle / np.pi) * cross + np.sinc(angle / (2 * np.pi)) ** 2 / 2 * (cross @ cross)
    return found


def held(solid: TriMesh, box: Box) -> Box | None:
    """The box, drawn in until nothing of it lies outside the solid; None where that leaves nothing."""
    body = to_manifold(solid, 1)
    middle, axes = np.array(box.middle), np.array(box.axes)
    for draw in (0.0, CLEAR, 1e-5, 1e-4, 1e-3, 1e-2):
        size = np.array(box.size) - 2 * draw
        if not (size > 0.0).all():
            return None
        block = Manifold.cube(tuple(float(side) for side in size), True).transform(np.column_stack([axes.T, middle]))
        if (block - body).volume() <= CLEAR * float(size.prod()):
            return Box.about(middle, size / 2, axes)
    return None
