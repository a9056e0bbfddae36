"""The boat as surfaces and strokes to draw and to point at: plain arrays, no graphics library.

Each compartment is drawn as the far walls one would see from outside looking in: skin, deck and the faces of panels that
bound it. Faces turned towards the eye are left out, by the drawing and by the picking alike.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.results import PanelShape
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Flags, Floats, Ints, TriMesh
from sketcher.geometry.plane import Plane

Colour = tuple[int, int, int]
Culling = Literal["front", "back", "none"]
FIRST_PANEL = 10
"""Labels of a compartment's mesh from here on are faces of panels: 10 + i is the i-th panel of the layout."""


@dataclass(frozen=True, slots=True)
class WaterMarks:
    """How the water shows on a surface: below the plane, in lines so far apart [m], or with a pitch of 0 in its own colour."""

    plane: Plane
    pitch: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Surface:
    """Triangles of one actor. kinds: (m,) place of each triangle's owner in `owner_of`, None: all the first.

    colours: (k, 3) of each kind; without kinds one for all (1, 3), or one for each triangle (m, 3). owner_of: (k,) indices
    into `parts`, -1 for what cannot be pointed at. source: what it was made from; a surface with an equal source needs no new
    upload. cut: how it looks but for its points, of what only panels cut: where none of them moved these are the same; else None.
    water: how the water shows on it. lift [m]: so far towards the camera it is drawn, to lie before or behind
    another; one that is lifted shows no water. lit: whether it is lighter where it is turned to the camera. whole: it is drawn
    also where the boat is cut away.
    """

    points: Floats
    triangles: Ints
    colours: NDArray[np.uint8]
    owner_of: Ints
    kinds: Ints | None = None
    culling: Culling = "front"
    opacity: float = 1.0
    water: WaterMarks | None = None
    lift: float = 0.0
    lit: bool = True
    whole: bool = False
    source: object = None
    cut: object = None

    @property
    def owners(self) -> Ints:
        """Index into `parts` for each triangle (m,)."""
        if self.kinds is None:
            return np.full(len(self.triangles), self.owner_of[0])
        return self.owner_of[self.kinds]

    def owned_by(self, owner: int) -> Flags:
        """Which triangles (m,) belong to an owner."""
        places = np.flatnonzero(self.owner_of == owner)
        if self.kinds is None or not len(places):
            return np.full(len(self.triangles), len(places) > 0)
        return np.isin(self.kinds, places) if len(places) > 1 else self.kinds == places[0]


@dataclass(frozen=True, eq=False, kw_only=True)
class Strokes:
    """Line segments of one colour. segments: (k, 2) indices into points (n, 3); width in pixels; owner and cut as in Surface.

    lift [m]: so far towards the camera they are drawn, to lie before the surface they are on. whole: as in Surface.
    """

    points: Floats
    segments: Ints
    colour: Colour
    width: float = 1.0
    lift: float = 0.006
    opacity: float = 1.0
    owner: int = -1
    whole: bool = False
    source: object = None
    cut: object = None


@dataclass(frozen=True, eq=False, kw_only=True)
class Shapes:
    """All that is drawn, by a key that stays the same from frame to frame, and the panels that walls are cut by."""

    surfaces: dict[str, Surface] = field(default_factory=dict)
    strokes: dict[str, Strokes] = field(default_factory=dict)
    panels: dict[str, PanelShape] = field(default_factory=dict)


def parted_by_kind(triangles: Ints, kinds: Ints, points: int) -> tuple[Ints, Ints, Ints]:
    """Triangles (m, 3) over `points` points so renumbered that those of two kinds (m,) share none of them.

    Gives the point and the kind (n,) of each new point, and the triangles (m, 3). Those of kind 0, mostly nearly all, keep
    their numbers; the others get points of their own.
    """
    other = np.flatnonzero(kinds)
    parted = triangles.copy()
    parted[other] = points + np.arange(3 * len(other)).reshape(-1, 3)
    point = np.concatenate([np.arange(points), triangles[other].ravel()])
    kind = np.concatenate([np.zeros(points, dtype=np.int64), np.repeat(kinds[other], 3)])
    return point, kind, parted


@kept_with_owner(1)
def label_edges(mesh: TriMesh) -> Ints:
    """Edges (k, 2) of a closed mesh where two different labels meet: the corners of a space, drawn as ink lines.

    One of the two is never the skin (label 0), which has by far the most triangles: only the others' edges are looked at.
    """
    other = mesh.labels != 0
    triangles, labels = mesh.triangles[other], np.tile(mesh.labels[other], 3)
    ends = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    low, high = ends.min(axis=1), ends.max(axis=1)
    order = np.argsort(low * (len(mesh.vertices) + 1) + high, kind="stable")
    low, high, labels = low[order], high[order], labels[order]
    same = np.zeros(len(order) + 1, dtype=bool)
    same[1:-1] = (low[1:] == low[:-1]) & (high[1:] == high[:-1])
    first = ~same[:-1]
    alone = first & ~same[1:]
    differs = np.zeros(len(order), dtype=bool)
    differs[:-1] = same[1:-1] & (labels[1:] != labels[:-1])
    at = np.nonzero(alone | differs)[0]
    return np.stack([low[at], high[at]], axis=1)


CREASE = 0.8
"""Cosine of the least angle between two faces that meet in an edge of a body: 37 degrees."""


@kept_with_owner(1)
def creases(mesh: TriMesh) -> Ints:
    """Edges (k, 2) of a closed mesh at which its surface turns sharply."""
    a, b, c = mesh.vertices[mesh.triangles.T]
    normals = np.cross(b - a, c - a)
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-18)
    ends = np.concatenate([mesh.triangles[:, [0, 1]], mesh.triangles[:, [1, 2]], mesh.triangles[:, [2, 0]]])
    low, high = ends.min(axis=1), ends.max(axis=1)
    order = np.argsort(low * (len(mesh.vertices) + 1) + high, kind="stable")
    first, second = order[::2], order[1::2]
    normals = np.tile(normals, (3, 1))
    sharp = np.einsum("ij,ij->i", normals[first], normals[second]) < CREASE
    return np.stack([low[first][sharp], high[first][sharp]], axis=1)


def polyline(points: Floats, *, closed: bool = False) -> Ints:
    """Segments (k, 2) that join points (n, 3) in order."""
    return _in_order(len(points), closed)


@cache
def _in_order(count: int, closed: bool) -> Ints:
    ends = np.arange(count)
    joined = np.stack([ends[:-1], ends[1:]], axis=1)
    return np.concatenate([joined, [[count - 1, 0]]]) if closed else joined
