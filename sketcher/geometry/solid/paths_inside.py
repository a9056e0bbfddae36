"""How far it is through a closed solid from one point to others, in straight lines and round corners, never through walls."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.tolerances import REACH_SKIN
from sketcher.geometry.vectors import cross

_SAMPLE = 0.08
"""[m] Corners are turned at points so far apart along an edge."""

_MOST_TURNS = 160
"""Turning points looked at at most; a solid with more is sampled more coarsely."""

_SHARP = np.radians(5.0)
"""Edges that stick into the solid by less are a curved skin's facets; a path bends along them by less than a tape shows."""


_EDGE = 1e-7
"""[share of a triangle's side] A line passing an edge this close is stopped: none slips between two triangles."""


@dataclass(frozen=True, eq=False)
class Walls:
    """A solid's triangles for visibility: corner a, sides ab and ac, outward normal, (t, 3) each, and turning points (k, 3)."""

    a: Floats
    ab: Floats
    ac: Floats
    normal: Floats
    turns: Floats


def walls_of(solid: TriMesh) -> Walls:
    """The walls of a closed solid for `path_lengths`, made once."""
    a, b, c = solid.vertices[solid.triangles.T]
    normal = cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    kept = size > 1e-14
    unit = normal[kept] / size[kept, None]
    return Walls(a[kept], (b - a)[kept], (c - a)[kept], unit, _turns(solid.vertices, solid.triangles[kept], unit))


def path_lengths(walls: Walls, source: Floats, targets: Floats) -> Floats:
    """Lengths (n,) [m] of the shortest paths within a solid from `source` (3,) to targets (n, 3); infinite where there is none.

    A path is straight, or bends at the edges that stick into the solid; bends are looked for every 80 mm along such an edge, so
    a path round it is at most a little too long, never too short. Targets may lie on the solid's surface.
    """
    points = np.vstack([walls.turns, targets])
    count = len(walls.turns)
    best = np.full(len(points), np.inf)
    done = np.zeros(count, dtype=bool)
    _relax(walls, source, 0.0, points, best)
    for _ in range(count):
        waiting = np.flatnonzero(~done & np.isfinite(best[:count]))
        if not len(waiting):
            break
        here = int(waiting[np.argmin(best[waiting])])
        done[here] = True
        _relax(walls, points[here], float(best[here]), points, best)
    return best[count:]


def _relax(walls: Walls, here: Floats, gone: float, points: Floats, best: Floats) -> None:
    """Shorten the paths to all points that are seen from `here`, which lies `gone` metres from the source."""
    length = gone + np.linalg.norm(points - here, axis=1)
    shorter = np.flatnonzero(length < best - 1e-9)
    seen = shorter[visible(walls, here, points[shorter])]
    best[seen] = length[seen]


def visible(walls: Walls, here: Floats, points: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether each point (n, 3) is seen from `here` (3,): the straight line to it leaves the solid nowhere.

    A line that leaves the solid has to come back through a triangle whose outer side faces `here`: only those are tried, the
    one that a point lies on included.
    """
    facing = np.einsum("ij,ij->i", walls.normal, here - walls.a) > REACH_SKIN / 10
    a, ab, ac = here - walls.a[facing], walls.ab[facing], walls.ac[facing]
    seen = np.ones(len(points), dtype=bool)
    if not len(a):
        return seen
    # Moeller and Trumbore's test, with the parts that do not depend on the line's direction taken out of the loop.
    q = cross(a, ab)
    over = np.einsum("ij,ij->i", q, ac)
    aside = cross(ac, a)
    normal = cross(ab, ac)
    step = max(1, 200_000 // len(a))
    for first in range(0, len(points), step):
        line = points[first : first + step] - here
        length = np.linalg.norm(line, axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            scale = -1.0 / (line @ normal.T)
            u, v, t = (line @ aside.T) * scale, (line @ q.T) * scale, over * scale
            end = 1.0 + REACH_SKIN / np.maximum(length, REACH_SKIN)
            hits = (u >= -_EDGE) & (v >= -_EDGE) & (u + v <= 1.0 + _EDGE) & (t > 0.0) & (t < end[:, None])
        seen[first : first + step] = ~hits.any(axis=1)
    return seen


def _turns(vertices: Floats, triangles: Ints, normal: Floats) -> Floats:
    """Points just off the edges that stick into the solid (k, 3), where a path may bend."""
    p, q, left, right = _shared(triangles, len(vertices))
    other = _opposite(triangles[right], p, q)
    out = np.einsum("ij,ij->i", vertices[other] - vertices[p], normal[left])
    bend = np.arccos(np.clip(np.einsum("ij,ij->i", normal[left], normal[right]), -1.0, 1.0))
    sharp = (out > 0.0) & (bend > _SHARP)
    p, q, left, right = p[sharp], q[sharp], left[sharp], right[sharp]
    if not len(p):
        return np.zeros((0, 3))
    inward = -(normal[left] + normal[right])
    inward /= np.maximum(np.linalg.norm(inward, axis=1), 1e-9)[:, None]
    length = np.linalg.norm(vertices[q] - vertices[p], axis=1)
    apart = max(_SAMPLE, float(length.sum()) / _MOST_TURNS)
    counts = np.maximum(np.ceil(length / apart).astype(int), 1)
    index = np.repeat(np.arange(len(p)), counts)
    share = (np.arange(len(index)) - np.repeat(np.cumsum(counts) - counts, counts) + 0.5) / counts[index]
    points = vertices[p[index]] + share[:, None] * (vertices[q[index]] - vertices[p[index]]) + REACH_SKIN * inward[index]
    thinned: Floats = points[:: max(1, len(points) // _MOST_TURNS)]
    return thinned


def _shared(triangles: Ints, count: int) -> tuple[Ints, Ints, Ints, Ints]:
    """Edges p, q with the triangle that runs along them and the one that runs back, each (e,)."""
    start, end = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    owner = np.repeat(np.arange(len(triangles)), 3)
    there, back = start * count + end, end * count + start
    order = np.argsort(there)
    place = np.searchsorted(there[order], back)
    place = np.minimum(place, len(order) - 1)
    matched = (there[order[place]] == back) & (start < end)
    return start[matched], end[matched], owner[matched], owner[order[place]][matched]


def _opposite(triangles: Ints, p: Ints, q: Ints) -> Ints:
    """The corner of each triangle (e, 3) that is neither p nor q."""
    rest: Ints = triangles.sum(axis=1) - p - q
    return rest
