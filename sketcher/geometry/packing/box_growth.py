"""A box in a closed solid enlarged, shifted and turned until the solid stops it, and then proved to lie inside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np
from manifold3d import Manifold

from sketcher.geometry.local_search import Rows, local_search
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.boolean import to_manifold
from sketcher.geometry.tolerances import BOX_STRIDE, CLEAR

_STAGES, _STAGE = 12, 0.12
"""A box is enlarged in stages of at most so many metres, so that only the triangles about it need be looked at."""

_TURN_STRIDE = 0.1
"""[rad] How far a box may turn in one step."""

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


def grow_box(solid: TriMesh, start: Box, asked: Asked, turning: bool) -> Box:
    """The box enlarged and shifted, and if it may be turned, until the solid or its limits stop it.

    In stages, each among the triangles about it. What comes out may still touch the solid by rounding: see `held`.
    """
    box = start
    for _ in range(_STAGES):
        further = _grown(solid, box, asked, turning)
        gain = further.volume - box.volume
        box = further
        if gain < CLEAR:
            break
    return box


def _grown(solid: TriMesh, start: Box, asked: Asked, turning: bool) -> Box:
    """One stage: as far as the box may grow and turn without meeting triangles that were not looked at."""
    middle, half, axes = np.array(start.middle), np.array(start.size) / 2, np.array(start.axes)
    reach = np.abs(axes).T @ half
    low, high = middle - reach, middle + reach
    corner = solid.vertices[solid.triangles]
    near = ((corner.min(axis=1) < high + _STAGE) & (corner.max(axis=1) > low - _STAGE)).all(axis=1)
    corner = corner[near]
    shape = None if asked.proportions is None else np.array(asked.proportions)
    limits = np.minimum(asked.at_most, 1e3) / 2
    sized = 6 if turning else 3

    def halves(places: Floats) -> Floats:
        return places[:, sized:] if shape is None else places[:, sized:] * shape / 2

    def turned(places: Floats) -> Floats:
        return small_turns(places[:, 3:6]) @ axes if turning else np.broadcast_to(axes, (len(places), 3, 3))

    def rows_at(place: Floats) -> Rows:
        ways = clear_of_triangles(place[:3], halves(place[None])[0], turned(place[None])[0], corner)

        def rows(places: Floats) -> Floats:
            half, along = halves(places), turned(places)
            reach = np.einsum("kij,ki->kj", np.abs(along), half)
            out, back = places[:, :3] + reach, places[:, :3] - reach
            moved = [high + _STAGE - out, out - high + _STAGE, low + _STAGE - back, back - low + _STAGE]
            return np.column_stack([ways(places[:, :3], half, along), limits - half, half - BOX_STRIDE / 10, *moved])

        return rows

    scale = half if shape is None else np.array([float((2 * half / shape).min())])
    top = local_search(
        np.concatenate([middle, np.zeros(sized - 3), scale]),
        np.concatenate([np.full(3, BOX_STRIDE), np.full(sized - 3, _TURN_STRIDE), np.full(len(scale), BOX_STRIDE)]),
        lambda places: asked.worths(2 * np.maximum(halves(places).T, 1e-6)),
        rows_at,
    )
    size = np.maximum(halves(top.place[None])[0] - top.missing, 1e-6)
    return Box.about(top.place[:3], size, turned(top.place[None])[0])


def small_turns(vectors: Floats) -> Floats:
    """Rotations (k, 3, 3) about vectors (k, 3), each by its length [rad]: the new axes row by row, seen in the old ones."""
    angle = np.linalg.norm(vectors, axis=1)[:, None, None]
    x, y, z = vectors.T
    zero = np.zeros_like(x)
    cross = np.stack([zero, z, -y, -z, zero, x, y, -x, zero], axis=1).reshape(-1, 3, 3)
    found: Floats = np.eye(3) + np.sinc(angle / np.pi) * cross + np.sinc(angle / (2 * np.pi)) ** 2 / 2 * (cross @ cross)
    return found


def clear_of_triangles(centre: Floats, half: Floats, axes: Floats, corner: Floats) -> Callable[[Floats, Floats, Floats], Floats]:
    """How clear a box is of every triangle (t, 3, 3): a function of centres (k, 3), half sides (k, 3) and axes (k, 3, 3).

    It gives (k, m) [m], smooth in all three. Of the seven ways to be clear (the triangle beyond one face of the box, or the box
    wholly on the triangle's inner side) the best one at `centre`, `half`, `axes` is chosen, with a row for each corner that
    might touch. Two that pass each other edge by edge count as touching, on the safe side.
    """
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    size = np.linalg.norm(normal, axis=1)
    kept = size > 1e-14
    corner, normal = corner[kept], normal[kept] / size[kept, None]
    level = np.einsum("ij,ij->i", normal, corner[:, 0])
    off = (corner - centre) @ axes.T
    beyond = np.concatenate([off - half, -off - half], axis=2).min(axis=1)
    side, inner = beyond.argmax(axis=1), level - normal @ centre - np.abs(normal @ axes.T) @ half
    outside = beyond.max(axis=1) >= inner
    face, sign = side[outside] % 3, np.where(side[outside] < 3, 1.0, -1.0)[:, None]
    past = corner[outside]
    # Triangles in one plane that the box lies behind ask the same of it.
    planes = np.unique(np.round(np.column_stack([normal, level])[~outside], 12), axis=0)

    def rows(centres: Floats, halves: Floats, along: Floats) -> Floats:
        away = np.einsum("ktcj,ktj->ktc", past - centres[:, None, None], along[:, face]) * sign - halves[:, face, None]
        corners = centres[:, None] + np.einsum("sj,kj,kji->ksi", _CORNERS, halves, along)
        behind = planes[:, 3] - corners @ planes[:, :3].T
        return np.concatenate([away.reshape(len(centres), -1), behind.reshape(len(centres), -1)], axis=1)

    return rows


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
