"""The other face of a shell: one side's sheet moved square to itself, carried on past its edges and cut to a closed half."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from manifold3d import Manifold, triangulate

from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.shell import grid_triangles, welded
from sketcher.geometry.solid import reserve_ids, surface_of, to_manifold
from sketcher.geometry.tolerances import MITRE, SAME_PLACE

ACROSS, UP, ALONG = 1, 2, 4
"""Kinds of a sheet's edge, as bits: in the plane y = 0, along the top, at an end with area."""

FAR = 0.5
"""[m] How far past the plane y = 0 a half is closed before it is cut there; anything beyond the mitre does."""

PARALLEL = 1e-4
"""[1] Weight that keeps a vertex's shift square to a flat neighbourhood; it costs a ten-thousandth of the shift."""


@dataclass(frozen=True)
class EndPlane:
    """A plane n . p = distance that closes a half at an end; n (3,) a unit vector out of the body."""

    normal: tuple[float, float, float]
    distance: float
    label: int


def offset_half(
    sheet: Floats,
    shift: float,
    rise: float,
    lid: TriMesh,
    ends: list[EndPlane],
    labels: tuple[int, int],
    flat_ends: tuple[bool, bool],
) -> TriMesh:
    """The half body (y >= 0, open on the plane y = 0) under a sheet moved by `shift` [m] square to itself, outward positive.

    sheet: (columns, rows, 3), first row in the plane y = 0, y >= 0. lid: a closed solid that holds what may stay, its top the
    half's upper face, which the moved sheet meets when it is carried on by `rise` [m]. ends: planes that cut the flat ends.
    labels: of the sheet's and of the lid's triangles. flat_ends: whether the first and the last column is an end with area;
    others lie in the plane y = 0. There, and along the first row, the two sides meet, no
    further out than MITRE shifts. Raises GeometryError where nothing is left or the moved sheet does not close.
    """
    vertices, triangles, kinds = _open_sheet(sheet, flat_ends)
    moved = vertices + _shifts(vertices, triangles, shift)
    closed = _carried_on(moved, triangles, kinds, shift, rise, float(lid.vertices[:, 2].max()) + FAR)
    skin_id = reserve_ids(2)
    body = to_manifold(closed, skin_id, what="the moved sheet").trim_by_plane((0.0, 1.0, 0.0), 0.0)
    for end in ends:
        n = end.normal
        body = body.trim_by_plane((-n[0], -n[1], -n[2]), -end.distance)
    body = body ^ to_manifold(lid, skin_id + 1, what="the lid")
    if body.is_empty():
        raise GeometryError("nothing is left of the body")
    return _labelled(body, skin_id, labels, ends)


def _labelled(body: Manifold, skin_id: int, labels: tuple[int, int], ends: list[EndPlane]) -> TriMesh:
    surface = surface_of(body)
    label = np.where(surface.origin == skin_id + 1, labels[1], labels[0])
    for end in ends:
        corners = surface.vertices[surface.triangles]
        flat = (np.abs(corners @ np.array(end.normal) - end.distance) <= SAME_PLACE).all(axis=1)
        label[flat] = end.label
    return TriMesh(surface.vertices.copy(), surface.triangles.copy(), label)


def _open_sheet(sheet: Floats, flat_ends: tuple[bool, bool]) -> tuple[Floats, Ints, Ints]:
    """The sheet's vertices, each place once, its triangles, and for each vertex the kinds of edge it may lie on."""
    columns, rows = sheet.shape[:2]
    kinds = np.zeros((columns, rows), dtype=np.int64)
    kinds[:, 0] |= ACROSS
    kinds[:, -1] |= UP
    kinds[0] |= ALONG if flat_ends[0] else ACROSS
    kinds[-1] |= ALONG if flat_ends[1] else ACROSS
    points = sheet.reshape(-1, 3)
    vertices, number = welded(points)
    triangles = number[grid_triangles(columns, rows)]
    a, b, c = triangles.T
    on_plane = vertices[:, 1] <= SAME_PLACE
    triangles = triangles[(a != b) & (b != c) & (c != a) & ~on_plane[triangles].all(axis=1)]
    joined = np.zeros(len(vertices), dtype=np.int64)
    np.bitwise_or.at(joined, number, kinds.ravel())
    return vertices, triangles, joined


def _unit_normals(vertices: Floats, triangles: Ints) -> Floats:
    a, b, c = vertices[triangles.T]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    unit: Floats = normal / np.where(size > 0.0, size, 1.0)
    return unit


def _shifts(vertices: Floats, triangles: Ints, shift: float) -> Floats:
    """For each vertex the least-squares v with n . v = shift for the normals n of its triangles: it mitres corners."""
    normal = _unit_normals(vertices, triangles)
    outer = np.einsum("ti,tj->tij", normal, normal).reshape(-1, 9)
    count = len(vertices)
    corner = triangles.ravel()
    matrix = np.stack([np.bincount(corner, np.repeat(outer[:, k], 3), count) for k in range(9)], axis=1).reshape(-1, 3, 3)
    right = np.stack([np.bincount(corner, np.repeat(normal[:, k], 3), count) for k in range(3)], axis=1)
    trace = np.trace(matrix, axis1=1, axis2=2)
    weight = (PARALLEL * np.where(trace > 0.0, trace, 1.0))[:, None, None] * np.eye(3)
    solved: Floats = np.linalg.solve(matrix + weight, shift * right[..., None])[..., 0]
    return solved


def _carried_on(moved: Floats, triangles: Ints, kinds: Ints, shift: float, rise: float, top: float) -> TriMesh:
    """The moved sheet carried on past its edges, across y = 0, up to `top` and along, and closed there."""
    loop = _edge_loop(triangles)
    beyond: Floats = moved[loop].copy()
    outward = _outward(moved, triangles, loop, kinds[loop])
    size = abs(shift) + SAME_PLACE
    beyond = beyond + outward[ACROSS] * _mitre(moved[loop, 1], -outward[ACROSS][:, 1], shift)[:, None]
    beyond = beyond + outward[UP] * np.minimum(rise / np.maximum(outward[UP][:, 2], 1.0 / MITRE), MITRE * rise)[:, None]
    beyond = beyond + outward[ALONG] * (MITRE * size)
    stretched = beyond + outward[ALONG] * FAR
    across, up = (kinds[loop] & ACROSS) > 0, (kinds[loop] & UP) > 0
    stretched[across, 1] = np.minimum(beyond[across, 1], 0.0) - FAR / 2
    stretched[up, 2] = top
    flat = stretched.copy()
    flat[:, 1] = -FAR
    rings = [loop, *(len(moved) + len(loop) * k + np.arange(len(loop)) for k in range(3))]
    strips = [_strip(inner, outer) for inner, outer in pairwise(rings)]
    back = rings[3][::-1]
    cap = back[triangulate([np.ascontiguousarray(flat[::-1][:, [0, 2]])])]
    every = np.concatenate([triangles, *strips, cap])
    return TriMesh(np.concatenate([moved, beyond, stretched, flat]), every, np.zeros(len(every), dtype=np.int64))


def _mitre(offside: Floats, slant: Floats, shift: float) -> Floats:
    """How far each edge vertex, `offside` from the plane y = 0, goes on along a direction that nears it by `slant`."""
    slant = np.clip(slant, 1.0 / (10.0 * MITRE), 1.0)
    needed = np.maximum(offside, 0.0) / slant + 0.1 * abs(shift) + SAME_PLACE
    furthest = (MITRE - slant) * abs(shift) / np.sqrt(1.0 - np.minimum(slant, 0.99) ** 2)
    return np.minimum(needed, furthest + SAME_PLACE)


def _strip(inner: Ints, outer: Ints) -> Ints:
    """Triangles from a ring of vertices, in the sense of the triangles it bounds, to the next ring out."""
    after, beyond = np.roll(inner, -1), np.roll(outer, -1)
    return np.concatenate([np.stack([after, inner, outer], axis=1), np.stack([after, outer, beyond], axis=1)])


def _edge_loop(triangles: Ints) -> Ints:
    """The vertices of the one open edge of triangles, in the triangles' sense. Raises GeometryError where it is not one loop."""
    start = triangles.ravel()
    end = triangles[:, [1, 2, 0]].ravel()
    count = int(triangles.max()) + 1
    free = ~np.isin(start * count + end, end * count + start)
    following = dict(zip(start[free].tolist(), end[free].tolist(), strict=True))
    at = first = int(start[free][0])
    loop = []
    for _ in range(len(following)):
        loop.append(at)
        at = following.get(at, -1)
        if at == first:
            break
    if len(loop) != int(free.sum()) or at != first:
        raise GeometryError("the sheet's edge is not one line")
    return np.array(loop)


def _outward(moved: Floats, triangles: Ints, loop: Ints, kinds: Ints) -> dict[int, Floats]:
    """For each kind of edge, at the vertices of the loop that lie on it, the unit direction in which the sheet goes on there."""
    after = np.roll(loop, -1)
    count = len(moved)
    start, end = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    order = np.argsort(start * count + end)
    owner = order[np.searchsorted((start * count + end)[order], loop * count + after)] // 3
    step = moved[after] - moved[loop]
    away = np.cross(step, _unit_normals(moved, triangles)[owner])
    away /= np.linalg.norm(away, axis=1, keepdims=True)
    shared = kinds & np.roll(kinds, -1)
    edge_kind = np.where(shared & ACROSS, ACROSS, np.where(shared & UP, UP, ALONG))
    directions = {}
    for kind in (ACROSS, UP, ALONG):
        ahead = away * (edge_kind == kind)[:, None]
        both = ahead + np.roll(ahead, 1, axis=0)
        size = np.linalg.norm(both, axis=1, keepdims=True)
        directions[kind] = both / np.where(size > 0.0, size, 1.0)
    return directions
