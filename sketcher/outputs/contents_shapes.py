"""What goes into the spaces as shapes to draw: bottles as cylinders, sleepers as figures, chain as its heap, stowage as boxes.

Foam and tanks fill spaces that are drawn already; what shows of them is the tops of foam's lifts, and a tank's surface half full.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sketcher.analysis.fit.bottles import BottleStow
from sketcher.analysis.fit.contents_results import Contents
from sketcher.analysis.fit.lying import LyingPlace, Sleeper
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.packing.box_growth import Box
from sketcher.geometry.packing.heap import between
from sketcher.geometry.rotation import turned_to
from sketcher.model.scene import Fitting
from sketcher.outputs.lying_figure import lying_figure

SIDES = 20
"""Flat sides of a bottle in a picture."""
BODY, HEAD = 0.20, 0.11
"""[m] How high a sleeper is drawn where a plane cuts the berth, about a chest; radius of the disc that marks the head in plan."""

MOST_SHEETS = 30
"""Lifts of one foam that are drawn; of more only every second, third and so on."""

SHEET = 0.006
"""[m] How thick the surface of a liquid or the top of a lift of foam is drawn."""

ShapeKind = Literal["bottles", "sleeper", "chain", "stowage", "foam", "tank"]

KEY_WORDS: dict[ShapeKind, str] = {
    "bottles": "bottles",
    "sleeper": "who sleeps there",
    "chain": "chain",
    "stowage": "a box stowed",
    "foam": "tops of foam lifts",
    "tank": "tank, half full",
}
"""What each kind is called in a key."""


@dataclass(frozen=True, eq=False)
class Shape:
    """A closed mesh with what it is and its own name."""

    kind: ShapeKind
    name: str
    mesh: TriMesh


def shapes_of(contents: Contents) -> Iterator[Shape]:
    """Everything that stands or lies somewhere, each kind of bottle as one mesh."""
    for space in contents.bottles:
        for stow in space.stows:
            if stow.count:
                yield Shape("bottles", stow.name, cylinders(stow))
    for place in contents.lying:
        for sleeper in place.sleepers:
            yield Shape("sleeper", sleeper.name, lying_figure(sleeper, place))
    for chain in contents.chains:
        if len(chain.full.mesh.triangles):
            yield Shape("chain", chain.name, chain.full.mesh)
    for room in contents.rooms:
        if room.shown is not None:
            yield Shape("stowage", room.name, box_mesh(room.shown))
    yield from _surfaces(contents)


def kinds_of(contents: Contents) -> frozenset[ShapeKind]:
    """The kinds of shapes there are, without making any."""
    there: dict[ShapeKind, bool] = {
        "bottles": any(stow.count for space in contents.bottles for stow in space.stows),
        "sleeper": any(place.sleepers for place in contents.lying),
        "chain": bool(contents.chains),
        "stowage": any(room.shown is not None for room in contents.rooms),
        "foam": bool(contents.foams),
        "tank": bool(contents.tanks),
    }
    return frozenset(kind for kind, some in there.items() if some)


def _surfaces(contents: Contents) -> Iterator[Shape]:
    """Flat tops: of every lift of foam, or of foam in blocks, and of every tank when half full."""
    meshes = {space.name: space.mesh for space in contents.spaces}
    levels: list[tuple[ShapeKind, str, str, float]] = [
        ("foam", fill.name, fill.space, level)
        for fill in contents.foams
        for level in ([pour.high for pour in fill.pours[:: len(fill.pours) // MOST_SHEETS + 1]] or [fill.top])
    ]
    levels += [("tank", fill.name, fill.space, fill.level) for fill in contents.tanks]
    for kind, name, space, level in levels:
        sheet = between(meshes[space], level - SHEET, level)
        if len(sheet.triangles):
            yield Shape(kind, name, sheet)


def fitting_mesh(fitting: Fitting) -> TriMesh:
    """A thing in the way as the plain box that it is stated to be."""
    return box_mesh(Box(fitting.at, fitting.size, ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))))


@remembered(64)
def box_mesh(box: Box) -> TriMesh:
    """A box as a closed mesh."""
    axes = np.array(box.axes) * np.array(box.size)[:, None] / 2
    ring = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) @ axes[:2] + np.array(box.middle)
    return _prism(ring - axes[2], ring + axes[2])


@kept_with_owner(1)
def cylinders(stow: BottleStow) -> TriMesh:
    """All bottles of one kind as prisms of many sides about their true cylinders' axes."""
    turn = turned_to(stow.direction)
    angle = 2 * np.pi * np.arange(SIDES) / SIDES
    ring = stow.diameter / 2 * (np.cos(angle)[:, None] * turn[0] + np.sin(angle)[:, None] * turn[1])
    one = _prism(ring, ring + stow.length * turn[2])
    return _repeated(one.vertices, one.triangles, stow.base)


def _repeated(one: Floats, triangles: np.ndarray[tuple[int, int], np.dtype[np.int64]], places: Floats) -> TriMesh:
    vertices = (places[:, None] + one).reshape(-1, 3)
    index = (triangles[None] + len(one) * np.arange(len(places))[:, None, None]).reshape(-1, 3)
    return TriMesh(vertices, index, np.zeros(len(index), dtype=np.int64))


@kept_with_owner(2)
def lying(place: LyingPlace, sleeper: Sleeper) -> TriMesh:
    """A sleeper as a slab on the cushion, of the outline that was fitted, to be cut by a drawing's plane."""
    return _slab(sleeper.outline, place.surface, place.surface + BODY)


def head_of(outline: Floats) -> Floats:
    """The middle (2,) of a sleeper's head in plan [m]."""
    end, foot = outline[:2].mean(axis=0), outline[2:].mean(axis=0)
    middle: Floats = end + (foot - end) / np.linalg.norm(foot - end) * (HEAD + 0.03)
    return middle


def _slab(ring: Floats, low: float, high: float) -> TriMesh:
    """A convex outline (n, 2), anticlockwise in plan, carried from one height to another."""
    bottom, top = (np.column_stack([ring, np.full(len(ring), level)]) for level in (low, high))
    return _prism(bottom, top)


def _prism(bottom: Floats, top: Floats) -> TriMesh:
    """What a convex outline (n, 3), anticlockwise seen from the top, sweeps on its way to another."""
    n = len(bottom)
    k = np.arange(n)
    after = (k + 1) % n
    sides = np.vstack([np.column_stack([k, after, after + n]), np.column_stack([k, after + n, k + n])])
    fan = np.column_stack([np.zeros(n - 2, dtype=np.int64), k[1:-1], k[2:]])
    triangles = np.vstack([sides, fan[:, ::-1], fan + n])
    return TriMesh(np.vstack([bottom, top]), triangles, np.zeros(len(triangles), dtype=np.int64))


def cut_outlines(stow: BottleStow, axis: int, at: float) -> list[Floats]:
    """Outlines (k, 3) where the plane across an axis (0, 1, 2) at a place [m] cuts bottles: circles, or rectangles along them.

    Bottles that lie askew to all axes are not cut, and none is drawn.
    """
    along = int(np.argmax(np.abs(stow.direction)))
    if abs(abs(float(stow.direction[along])) - 1.0) > 1e-9:
        return []
    low = np.minimum(stow.base[:, along], stow.base[:, along] + stow.length * stow.direction[along])
    if axis == along:
        held = stow.base[(low <= at) & (at <= low + stow.length)]
        return [_circle(base, along, at, stow.diameter / 2) for base in held]
    off = at - stow.base[:, axis]
    cut = np.flatnonzero(np.abs(off) < stow.diameter / 2)
    across = ({0, 1, 2} - {axis, along}).pop()
    half = np.sqrt(stow.diameter**2 / 4 - off[cut] ** 2)
    return [_rectangle(stow, int(k), (axis, along, across), at, float(low[k]), h) for k, h in zip(cut, half, strict=True)]


def _circle(base: Floats, along: int, at: float, radius: float) -> Floats:
    angle = 2 * np.pi * np.arange(32) / 32
    first, second = sorted({0, 1, 2} - {along})
    ring = np.tile(base, (32, 1))
    ring[:, along] = at
    ring[:, first] += radius * np.cos(angle)
    ring[:, second] += radius * np.sin(angle)
    return ring


def _rectangle(stow: BottleStow, k: int, axes: Sequence[int], at: float, low: float, half: float) -> Floats:
    axis, along, across = axes
    ring = np.tile(stow.base[k], (4, 1))
    ring[:, axis] = at
    ring[:, along] = [low, low, low + stow.length, low + stow.length]
    ring[:, across] += np.array([-half, half, half, -half])
    return ring
