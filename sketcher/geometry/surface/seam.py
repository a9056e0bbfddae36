"""Two halves that are no mirror images joined in the plane y = 0 as one closed body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.solid.boolean import compact, reserve_ids, surface_of, to_manifold
from sketcher.geometry.surface.open_edge import with_edge_places
from sketcher.geometry.surface.shell import edge_loop, put_together

SEAM_APART = 0.1
"""[m] Halves whose edges lie further apart are not two sides of one boat."""

SHARP = 0.87
"""[1] Cosine of a turn of 30 degrees: such corners of the two edges belong together where they are near."""

AT_ONCE = 1e-6
"""[m] Places along the seam no further apart are made one."""


@dataclass(frozen=True, eq=False)
class _Edge:
    """A half's open edge, which begins where the deck's run of it does. loop: its vertices; split: where that run ends."""

    half: TriMesh
    loop: Ints
    owners: Ints
    split: int

    @property
    def places(self) -> Floats:
        """Its vertices' places (n, 3)."""
        return self.half.vertices[self.loop]

    def at(self, along: Floats) -> Floats:
        """Places (k, 3) along it, counted in its steps."""
        closed = self.half.vertices[[*self.loop.tolist(), int(self.loop[0])]]
        step = np.minimum(along.astype(np.int64), len(self.loop) - 1)
        places: Floats = closed[step] + (along - step)[:, None] * (closed[step + 1] - closed[step])
        return places

    def moved(self, places: Floats) -> _Edge:
        """The same with its vertices elsewhere."""
        vertices = self.half.vertices.copy()
        vertices[self.loop] = places
        return _Edge(TriMesh(vertices, self.half.triangles, self.half.labels), self.loop, self.owners, self.split)


def joined_sides(starboard: TriMesh, port: TriMesh, deck: int, *, halfway: bool) -> TriMesh:
    """The closed body of two bodies' sides, each its own mirror image: of the one what is to starboard, of the other to port.

    Their edges on y = 0 run through the same places, more or less; each gets the other's places put in. deck: the label whose
    run of the edge belongs to the other's. halfway: where the edges lie apart they meet in the middle, else on starboard's.
    Where folds spoil an edge, or the two lie further apart than `SEAM_APART`, the solid kernel joins them, with a step between.
    """
    try:
        return _sewn(_half_of(starboard), _half_of(port), deck, halfway=halfway)
    except GeometryError:
        return _put_side_by_side(starboard, port)


def _half_of(body: TriMesh) -> TriMesh:
    """The starboard half of a body that is its own mirror image."""
    kept = (body.vertices[:, 1][body.triangles] > 0.0).any(axis=1)
    used, triangles = compact(body.triangles[kept], len(body.vertices))
    return TriMesh(body.vertices[used], triangles, body.labels[kept])


def _sewn(starboard: TriMesh, port: TriMesh, deck: int, *, halfway: bool) -> TriMesh:
    """Both halves, y >= 0 and open on y = 0, joined vertex by vertex. Raises GeometryError where they do not go together."""
    one, other = _edge(starboard, deck), _edge(port, deck)
    if halfway:
        one = one.moved(0.5 * (one.places + other.at(_along(one, other))))
    along = _along(other, one)
    for edge, there in ((other, one.at(along)), (one, other.at(_along(one, other)))):
        apart = float(np.linalg.norm(there - edge.places, axis=1).max())
        if apart > SEAM_APART:
            raise GeometryError(f"the two sides end {1000.0 * apart:.0f} mm apart on the centreline")
    other = other.moved(one.at(along))
    theirs = _between(along, np.arange(len(one.loop)), one.places, len(one.loop))
    mine = _between(np.arange(len(one.loop)), along, other.places, len(one.loop))
    whole, _ = with_edge_places(one.half, one.loop, one.owners, mine)
    image, _ = with_edge_places(other.half, other.loop, other.owners, theirs)
    body = put_together([whole, TriMesh(image.vertices * [1.0, -1.0, 1.0], image.triangles[:, ::-1], image.labels)])
    to_manifold(body, reserve_ids(1), what="the body of both sides")
    return body


def _put_side_by_side(starboard: TriMesh, port: TriMesh) -> TriMesh:
    """Both sides cut off at y = 0 and joined there by the solid kernel; what shows of the cuts has the label 0."""
    first = reserve_ids(2)
    one = to_manifold(starboard, first, what="the starboard side").trim_by_plane((0.0, 1.0, 0.0), 0.0)
    other = to_manifold(port, first + 1, what="the port side").trim_by_plane((0.0, -1.0, 0.0), 0.0)
    surface = surface_of(one + other)
    labels = np.zeros(len(surface.triangles), dtype=np.int64)
    for body, origin in ((starboard, first), (port, first + 1)):
        mine = surface.origin == origin
        labels[mine] = body.labels[surface.face[mine]]
    return TriMesh(surface.vertices, surface.triangles, labels)


def _edge(half: TriMesh, deck: int) -> _Edge:
    loop, owners = edge_loop(half.triangles)
    on_deck = half.labels[owners] == deck
    begins = np.flatnonzero(on_deck & ~np.roll(on_deck, 1))
    if len(begins) != 1:
        raise GeometryError("the deck does not run from end to end on the centreline")
    first = int(begins[0])
    return _Edge(half, np.roll(loop, -first), np.roll(owners, -first), int(on_deck.sum()))


def _along(edge: _Edge, other: _Edge) -> Floats:
    """How far along another edge, counted in its steps, each vertex (n,) of an edge belongs; runs end where the other's do."""
    far = len(other.loop)
    closed = np.append(np.arange(len(edge.loop)), 0)
    runs = ((0, edge.split, 0, other.split), (edge.split, len(edge.loop), other.split, far))
    found = [_nearest(edge.places[closed[a : b + 1]], other.at(np.arange(c, d + 1.0))) + c for a, b, c, d in runs]
    return np.concatenate([found[0], found[1][1:-1]])


def _nearest(places: Floats, line: Floats) -> Floats:
    """How far along a line (m, 3), in its steps, places (k, 3) lie nearest, never backwards, from its one end to its other."""
    start, step = line[:-1], np.diff(line, axis=0)
    size = np.maximum((step * step).sum(axis=1), 1e-30)
    share = np.clip(((places[:, None] - start) * step).sum(axis=2) / size, 0.0, 1.0)
    off = np.linalg.norm(start + share[..., None] * step - places[:, None], axis=2)
    nearest = off.argmin(axis=1)
    rows = np.arange(len(places))
    share = share[rows, nearest]
    length = np.sqrt(size)[nearest]
    share = np.where(share * length < AT_ONCE, 0.0, np.where((1.0 - share) * length < AT_ONCE, 1.0, share))
    along = nearest + share
    theirs = _corners(line)
    for corner in _corners(places) if len(theirs) else []:
        far = np.linalg.norm(line[theirs] - places[corner], axis=1)
        if far.min() < SEAM_APART:
            along[corner] = theirs[int(far.argmin())]
    along = np.maximum.accumulate(along)
    along[0], along[-1] = 0.0, float(len(step))
    return along


def _corners(line: Floats) -> Ints:
    """The places at which a line (n, 3) turns sharply."""
    step = np.diff(line, axis=0)
    step = step / np.maximum(np.linalg.norm(step, axis=1, keepdims=True), AT_ONCE)
    return np.flatnonzero((step[1:] * step[:-1]).sum(axis=1) < SHARP) + 1


def _between(mine: Floats | Ints, theirs: Floats | Ints, places: Floats, end: int) -> list[Floats]:
    """For each step between positions `mine` the places of theirs that lie inside it."""
    closed = np.append(mine, end)
    first, last = np.searchsorted(theirs, closed[:-1], "right"), np.searchsorted(theirs, closed[1:], "left")
    return [places[a : max(a, b)] for a, b in zip(first.tolist(), last.tolist(), strict=True)]
