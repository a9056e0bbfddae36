"""The other face of a shell: one side's sheet moved square to itself, carried on past its edges and cut to a closed half."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import Manifold, triangulate

from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh, corners_that
from sketcher.geometry.solid.boolean import reserve_ids, surface_of, to_manifold
from sketcher.geometry.surface.shell import edge_loop, grid_triangles, tidy_half, welded
from sketcher.geometry.tolerances import MITRE, SAME_PLACE

ACROSS, UP, ALONG = 1, 2, 4
"""Kinds of a sheet's edge, as bits: in the plane y = 0, along the top, at an end with area."""

UNFOLDINGS = 4
"""Passes that put together vertices which a move has carried past each other; folds several rows wide need as many."""

FAR = 0.5
"""Share of the sheet's height by which a half is closed past the plane y = 0 and over its lid before it is cut there."""

PARALLEL = 1e-5
"""[1] Weight that keeps a vertex's shift square to a flat neighbourhood."""


@dataclass(frozen=True, eq=False)
class CarriedSheet:
    """An open sheet that goes on past what it will be cut to. rim: its outermost vertices, in the triangles' sense.

    far [m]: how far past the plane y = 0 it may be closed.
    """

    vertices: Floats
    triangles: Ints
    rim: Ints
    far: float


def moved_sheet(sheet: Floats, shift: float, rise: float, top: float, flat_ends: tuple[bool, bool]) -> CarriedSheet:
    """A half's sheet moved by `shift` [m] square to itself, outward positive, and carried on past all its edges.

    sheet: (columns, rows, 3), first row in the plane y = 0, y >= 0. flat_ends: whether the first and the last column is an end
    with area; others lie in the plane y = 0. There, and along the first row, the sheet is carried on past the plane, so that
    the two sides meet, but no further out than MITRE shifts. Above it goes on by `rise` [m], then plumb up to `top`.
    Raises GeometryError where the moved sheet's edge is not one line.
    """
    vertices, triangles, kinds = _open_sheet(sheet, flat_ends)
    moved = vertices + _shifts(vertices, triangles, shift)
    far = FAR * float(np.ptp(vertices[:, 2]))
    try:
        unfolded = _joined(_unfolded(vertices, triangles, moved), triangles, kinds)
        return _carried_on(*unfolded, shift, rise, top + far, far)
    except GeometryError:
        # Putting folds together can pinch the sheet; a fold left in it costs less.
        return _carried_on(moved, triangles, kinds, shift, rise, top + far, far)


def half_within(sheet: CarriedSheet, lid: Manifold, labels: tuple[int, int]) -> TriMesh:
    """The half body (y >= 0, open on the plane y = 0) under a carried sheet and within a lid.

    lid: a solid that holds what may stay, from y = 0 outward, its ends and its top the half's. labels: of the sheet's triangles
    and of the lid's. Raises GeometryError where nothing is left or the sheet does not close.
    """
    skin_id = reserve_ids(1)
    body = to_manifold(_closed(sheet), skin_id, what="the moved sheet") ^ lid
    if body.is_empty():
        raise GeometryError("nothing is left of the body")
    surface = surface_of(body)
    label = np.where(surface.origin == skin_id, labels[0], labels[1])
    return tidy_half(TriMesh(surface.vertices, surface.triangles, label))


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
    triangles = triangles[(a != b) & (b != c) & (c != a) & (corners_that(on_plane, triangles) < 3)]
    joined = np.zeros(len(vertices), dtype=np.int64)
    np.bitwise_or.at(joined, number, kinds.ravel())
    return vertices, triangles, joined


def _unfolded(vertices: Floats, triangles: Ints, moved: Floats) -> Floats:
    """The moved vertices, those of edges that the move turned round put together where the further moved one has come to.

    A corner's mitre on the hollow side passes a neighbour nearer than the mitre is long; the neighbour's place is cut off.
    """
    start, end = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    once = start < end
    start, end = start[once], end[once]
    for _ in range(UNFOLDINGS):
        turned = np.einsum("ej,ej->e", moved[end] - moved[start], vertices[end] - vertices[start]) < 0.0
        if not turned.any():
            break
        a, b = start[turned], end[turned]
        distance = np.linalg.norm(moved - vertices, axis=1)
        further, nearer = np.where(distance[a] >= distance[b], a, b), np.where(distance[a] >= distance[b], b, a)
        moved = moved.copy()
        moved[nearer] = moved[further]
    return moved


def _joined(moved: Floats, triangles: Ints, kinds: Ints) -> tuple[Floats, Ints, Ints]:
    """The sheet with vertices that came together made one, and without the triangles that this closes up."""
    places, number = welded(moved)
    joined = np.zeros(len(places), dtype=np.int64)
    np.bitwise_or.at(joined, number, kinds)
    triangles = number[triangles]
    a, b, c = triangles.T
    return places, triangles[(a != b) & (b != c) & (c != a)], joined


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
    inverse = np.linalg.inv(matrix + weight)
    wanted = shift * right[..., None]
    moved = inverse @ wanted
    # One correction takes the weight's hundred-thousandth out again where normals fix the shift.
    moved = moved + inverse @ (wanted - matrix @ moved)
    solved: Floats = moved[..., 0]
    return solved


def _carried_on(moved: Floats, triangles: Ints, kinds: Ints, shift: float, rise: float, top: float, far: float) -> CarriedSheet:
    """The moved sheet carried on past its edges, across y = 0, up to `top` and along, as far as `far`."""
    loop, owners = edge_loop(triangles)
    beyond: Floats = moved[loop].copy()
    outward = _outward(moved, triangles[owners], loop, kinds[loop])
    size = abs(shift) + SAME_PLACE
    beyond = beyond + outward[ACROSS] * _mitre(moved[loop, 1], -outward[ACROSS][:, 1], shift)[:, None]
    beyond = beyond + outward[UP] * np.minimum(rise / np.maximum(outward[UP][:, 2], 1.0 / MITRE), MITRE * rise)[:, None]
    beyond = beyond + outward[ALONG] * (MITRE * size)
    stretched = beyond + outward[ALONG] * far
    across, up = (kinds[loop] & ACROSS) > 0, (kinds[loop] & UP) > 0
    stretched[across, 1] = np.minimum(beyond[across, 1], 0.0) - far / 2
    stretched[up, 2] = top
    first = len(moved) + np.arange(len(loop))
    second = first + len(loop)
    every = np.concatenate([triangles, _strip(loop, first), _strip(first, second)])
    return CarriedSheet(np.concatenate([moved, beyond, stretched]), every, second, far)


def _closed(sheet: CarriedSheet) -> TriMesh:
    """The sheet closed by walls straight to port from its rim, and a flat side there."""
    flat = sheet.vertices[sheet.rim].copy()
    flat[:, 1] = -sheet.far
    last = len(sheet.vertices) + np.arange(len(flat))
    side = last[::-1][triangulate([np.ascontiguousarray(flat[::-1][:, [0, 2]])])]
    every = np.concatenate([sheet.triangles, _strip(sheet.rim, last), side])
    return TriMesh(np.concatenate([sheet.vertices, flat]), every, np.zeros(len(every), dtype=np.int64))


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


def _outward(moved: Floats, owners: Ints, loop: Ints, kinds: Ints) -> dict[int, Floats]:
    """For each kind of edge, at the vertices of the loop that lie on it, the unit direction in which the sheet goes on there.

    owners: (k, 3) the triangle behind the step from each vertex of the loop to the next.
    """
    after = np.roll(loop, -1)
    step = moved[after] - moved[loop]
    away = np.cross(step, _unit_normals(moved, owners))
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
