"""Closed bodies from one side's grid of points: the other side is its mirror in the plane y = 0."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from manifold3d import triangulate
from numpy.typing import NDArray

from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh, corners_that, edge_keys
from sketcher.geometry.solid.boolean import compact, connected, moments, reserve_ids, surface_of, to_manifold
from sketcher.geometry.tolerances import SAME_PLACE

Key = TypeVar("Key", np.int64, np.uint64)


def grid_triangles(columns: int, rows: int) -> Ints:
    """Triangles (2 (columns - 1)(rows - 1), 3) of a grid numbered column by column, in cells row by row.

    The diagonals alternate, so that twisted cells err to both sides in turn, but start from the first row's corners, which
    would otherwise be cut off where two edges there lie in one plane. With x growing over the columns and z over the rows
    the triangles look towards +y.
    """
    i, j = (axis.ravel() for axis in np.meshgrid(np.arange(columns - 1), np.arange(rows - 1), indexing="ij"))
    a = i * rows + j
    b, c, d = a + rows, a + 1, a + rows + 1
    rising = ((i + j) % 2 == 0)[:, None]
    rising[-rows + 1], rising[0] = True, False
    first = np.where(rising, np.stack([a, c, b], axis=1), np.stack([a, d, b], axis=1))
    second = np.where(rising, np.stack([b, c, d], axis=1), np.stack([a, c, d], axis=1))
    return np.stack([first, second], axis=1).reshape(-1, 3)


def half_body(grid: Floats, labels: Ints, end_labels: tuple[int, int | None]) -> TriMesh:
    """A half (y >= 0, open on the plane y = 0) from its outer grid (columns, rows, 3), first and last rows in that plane.

    labels: (rows - 1,) of the strips between rows; end_labels: of the flat ends that close the first and last column, None
    for a last one that stays open.
    """
    columns, rows = grid.shape[:2]
    numbers = np.arange(columns * rows).reshape(columns, rows)
    pieces = [(grid_triangles(columns, rows), np.tile(np.repeat(labels, 2), columns - 1))]
    for column, label, turned in ((0, end_labels[0], True), (-1, end_labels[1], False)):
        outline = grid[column, :, 1:]
        if label is not None and (outline[:, 0] > SAME_PLACE).any():
            end = numbers[column][triangulate([np.ascontiguousarray(outline)])]
            pieces.append((end[:, ::-1] if turned else end, np.full(len(end), label)))
    vertices, number = welded(grid.reshape(-1, 3))
    triangles = number[np.concatenate([part for part, _ in pieces])]
    return tidy_half(TriMesh(vertices, triangles, np.concatenate([label for _, label in pieces])))


def tidy_half(half: TriMesh) -> TriMesh:
    """A half whose vertices near the plane y = 0 are put on it, and nothing of which lies flat in it."""
    vertices = half.vertices.copy()
    vertices[np.abs(vertices[:, 1]) <= SAME_PLACE, 1] = 0.0
    a, b, c = half.triangles.T
    kept = (a != b) & (b != c) & (c != a) & (corners_that(vertices[:, 1] == 0.0, half.triangles) < 3)
    return TriMesh(vertices, half.triangles[kept], half.labels[kept])


def mirrored(half: TriMesh) -> TriMesh:
    """A tidy half and its mirror in the plane y = 0 as one closed body, every edge between just two triangles."""
    vertices, triangles = half.vertices, half.triangles
    count = len(vertices)
    other = np.where(vertices[:, 1] == 0.0, np.arange(count), np.arange(count) + count)
    both = np.concatenate([triangles, other[triangles[:, ::-1]]])
    whole = np.concatenate([vertices, vertices * np.array([1.0, -1.0, 1.0])])
    used, numbers = compact(both, len(whole))
    body = TriMesh(whole[used], numbers, np.concatenate([half.labels, half.labels]))
    return _unpinched(body) if _is_pinched(half) else body


def _is_pinched(half: TriMesh) -> bool:
    """Whether the half touches the plane y = 0 anywhere but along its open edge, once."""
    on_plane = half.vertices[:, 1] == 0.0
    start, end = half.triangles.ravel(), half.triangles[:, [1, 2, 0]].ravel()
    flat = on_plane[start] & on_plane[end]
    touched = np.zeros(len(on_plane), dtype=bool)
    touched[half.triangles] = True
    leaving = np.bincount(start[flat], minlength=len(on_plane))
    return bool((leaving[touched & on_plane] != 1).any())


def _unpinched(body: TriMesh) -> TriMesh:
    """The body with edges and vertices where it only touches itself made separate."""
    surface = surface_of(to_manifold(body, reserve_ids(1), what="the mirrored body"))
    return TriMesh(surface.vertices.copy(), surface.triangles.copy(), body.labels[surface.face])


def largest_piece(body: TriMesh) -> tuple[TriMesh, float]:
    """The largest piece of a closed body, its cavities filled, and the volume [m3] of what that leaves out and fills."""
    piece = connected(body.triangles, len(body.vertices))
    if not piece.any():
        return body, 0.0
    volumes, _ = moments(body.vertices, body.triangles, piece, int(piece.max()) + 1)
    largest = int(np.argmax(volumes))
    kept = piece == largest
    used, triangles = compact(body.triangles[kept], len(body.vertices))
    return TriMesh(body.vertices[used], triangles, body.labels[kept]), float(np.abs(np.delete(volumes, largest)).sum())


def closed_half(half: TriMesh, label: int) -> TriMesh:
    """A tidy half closed by its own flat side in the plane y = 0, which gets the label."""
    loop, _ = edge_loop(half.triangles)
    back = loop[::-1]
    side = back[triangulate([np.ascontiguousarray(half.vertices[back][:, [0, 2]])])]
    labels = np.concatenate([half.labels, np.full(len(side), label)])
    return TriMesh(half.vertices, np.concatenate([half.triangles, side]), labels)


def block_under(vertices: Floats, sheet: Ints, bottom: float) -> TriMesh:
    """The closed block between an open sheet's triangles and the level `bottom` [m] under it; labels: 0 the sheet's, then 1.

    The sheet's triangles come first, in their order. Raises GeometryError where the sheet's edge is not one loop.
    """
    used, top = compact(sheet, len(vertices))
    loop, _ = edge_loop(top)
    upper, rim = vertices[used], np.arange(len(loop)) + len(used)
    lower = np.column_stack([upper[loop, :2], np.full(len(loop), bottom)])
    after, beyond = np.roll(loop, -1), np.roll(rim, -1)
    sides = [np.stack([after, loop, rim], axis=1), np.stack([after, rim, beyond], axis=1)]
    floor = rim[triangulate([np.ascontiguousarray(lower[:, :2])])][:, ::-1]
    triangles = np.concatenate([top, *sides, floor])
    labels = np.ones(len(triangles), dtype=np.int64)
    labels[: len(top)] = 0
    return TriMesh(np.concatenate([upper, lower]), triangles, labels)


def stitched(parts: list[TriMesh]) -> TriMesh:
    """Parts of a half that share the places along their edges as one tidy half, open only on the plane y = 0.

    Raises GeometryError where they do not fit together.
    """
    half = put_together(parts)
    loop, _ = edge_loop(half.triangles)
    if (half.vertices[loop, 1] != 0.0).any():
        raise GeometryError("the parts of a body do not fit together")
    return half


def put_together(parts: list[TriMesh]) -> TriMesh:
    """Parts of a half that share places as one tidy half, open wherever they leave it so."""
    offsets = np.cumsum([0, *(len(part.vertices) for part in parts)])
    vertices, number = welded(np.concatenate([part.vertices for part in parts]))
    triangles = number[np.concatenate([part.triangles + offset for part, offset in zip(parts, offsets, strict=False)])]
    return tidy_half(TriMesh(vertices, triangles, np.concatenate([part.labels for part in parts])))


def edge_loop(triangles: Ints) -> tuple[Ints, Ints]:
    """The vertices of the one open edge of triangles, in the triangles' sense, and the triangle that owns each step from one.

    Raises GeometryError where the open edge is not one loop.
    """
    start, end = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    lone = _lone_edges(start, end)
    lone = lone[np.argsort(start[lone])]
    leaving = start[lone]
    place = np.minimum(np.searchsorted(leaving, end[lone]), len(lone) - 1)
    ahead = place.tolist()
    steps, at = [0], ahead[0] if ahead else 0
    while 0 < at < len(lone) and len(steps) < len(lone):
        steps.append(at)
        at = ahead[at]
    whole = at == 0 and len(steps) == len(lone) and (leaving[place] == end[lone]).all()
    if not whole or (leaving[1:] == leaving[:-1]).any():
        raise GeometryError("the open edge of a sheet is not one line")
    return leaving[steps], lone[steps] // 3


def _lone_edges(start: Ints, end: Ints) -> Ints:
    """The steps (k,), among all those round triangles, along edges that only one triangle has."""
    count = int(start.max()) + 1
    keys = edge_keys(start, end, count)
    ordered = np.sort(keys)
    if (ordered[2:] == ordered[:-2]).any():
        raise GeometryError("more than two triangles meet at an edge of a sheet")
    changes = np.ones(len(keys) + 1, dtype=bool)
    changes[1:-1] = ordered[1:] != ordered[:-1]
    single = ordered[changes[1:] & changes[:-1]]
    if not len(single):
        return single
    on_rim = np.zeros(count, dtype=bool)
    on_rim[single // count] = on_rim[single % count] = True
    near = np.flatnonzero(on_rim[start] & on_rim[end])
    place = np.minimum(np.searchsorted(single, keys[near]), len(single) - 1)
    lone: Ints = near[single[place] == keys[near]]
    return lone


def grid_solid(upper: Floats, lower: Floats) -> TriMesh:
    """The closed solid between two grids (columns, rows, 3) of one plan, the first above; x grows over columns, y over rows."""
    columns, rows = upper.shape[:2]
    top = grid_triangles(columns, rows)[:, ::-1]
    count = columns * rows
    number = np.arange(count).reshape(columns, rows)
    rim = np.concatenate([number[:-1, 0], number[-1, :-1], number[:0:-1, -1], number[0, :0:-1]])
    after = np.roll(rim, -1)
    sides = [np.stack([after, rim, rim + count], axis=1), np.stack([after, rim + count, after + count], axis=1)]
    triangles = np.concatenate([top, top[:, ::-1] + count, *sides])
    vertices = np.concatenate([upper.reshape(-1, 3), lower.reshape(-1, 3)])
    return TriMesh(vertices, triangles, np.zeros(len(triangles), dtype=np.int64))


def welded(vertices: Floats) -> tuple[Floats, Ints]:
    """Vertices with each place once, and for each given vertex the number of its place."""
    steps = np.round(vertices / SAME_PLACE).astype(np.int64).view(np.uint64)
    # Odd multipliers that wrap round mix the three coordinates into one key; two places in 10^4 share one once in 10^11.
    mixers = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9], dtype=np.uint64)
    keys = (steps * mixers).sum(axis=1, dtype=np.uint64)
    first, number = number_keys(keys)
    return vertices[first], number


def number_keys(keys: NDArray[Key]) -> tuple[Ints, Ints]:
    """Where each different key stands first, in the keys' order, and for each key the number of its like."""
    order = np.argsort(keys, kind="stable")
    fresh = np.ones(len(keys), dtype=bool)
    fresh[1:] = keys[order[1:]] != keys[order[:-1]]
    number = np.empty(len(keys), dtype=np.int64)
    number[order] = np.cumsum(fresh) - 1
    return order[fresh], number
