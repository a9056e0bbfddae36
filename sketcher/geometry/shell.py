"""Closed bodies from one side's grid of points: the other side is its mirror in the plane y = 0."""

from __future__ import annotations

import numpy as np
from manifold3d import triangulate

from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.tolerances import SAME_PLACE


def grid_triangles(columns: int, rows: int) -> Ints:
    """Triangles (2 (columns - 1)(rows - 1), 3) of a grid numbered column by column, in cells row by row.

    The diagonals alternate, so that twisted cells err to both sides in turn. With x growing over the columns and z over the
    rows the triangles look towards +y.
    """
    i, j = (axis.ravel() for axis in np.meshgrid(np.arange(columns - 1), np.arange(rows - 1), indexing="ij"))
    a = i * rows + j
    b, c, d = a + rows, a + 1, a + rows + 1
    rising = ((i + j) % 2 == 0)[:, None]
    first = np.where(rising, np.stack([a, c, b], axis=1), np.stack([a, d, b], axis=1))
    second = np.where(rising, np.stack([b, c, d], axis=1), np.stack([a, c, d], axis=1))
    return np.stack([first, second], axis=1).reshape(-1, 3)


def closed_body(grid: Floats, labels: Ints, end_labels: tuple[int, int]) -> TriMesh:
    """The closed body of a half's outer grid (columns, rows, 3), y >= 0, whose first and last rows lie in the plane y = 0.

    labels: (rows - 1,) of the strips between rows; end_labels: of the flat ends that close the first and last column.
    """
    columns, rows = grid.shape[:2]
    numbers = np.arange(columns * rows).reshape(columns, rows)
    pieces = [(grid_triangles(columns, rows), np.tile(np.repeat(labels, 2), columns - 1))]
    for column, label, turned in ((0, end_labels[0], True), (-1, end_labels[1], False)):
        outline = grid[column, :, 1:]
        if (outline[:, 0] > SAME_PLACE).any():
            end = numbers[column][triangulate([np.ascontiguousarray(outline)])]
            pieces.append((end[:, ::-1] if turned else end, np.full(len(end), label)))
    triangles = np.concatenate([part for part, _ in pieces])
    return mirrored(TriMesh(grid.reshape(-1, 3), triangles, np.concatenate([label for _, label in pieces])))


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


def mirrored(half: TriMesh) -> TriMesh:
    """A half (y >= 0, open in the plane y = 0) and its mirror as one body; what lies flat in the plane falls away."""
    vertices = half.vertices.copy()
    vertices[np.abs(vertices[:, 1]) <= SAME_PLACE, 1] = 0.0
    vertices, number = welded(vertices)
    triangles = number[half.triangles]
    on_plane = vertices[:, 1] == 0.0
    a, b, c = triangles.T
    kept = (a != b) & (b != c) & (c != a) & ~on_plane[triangles].all(axis=1)
    triangles, labels = triangles[kept], half.labels[kept]
    count = len(vertices)
    other = np.where(on_plane, np.arange(count), np.arange(count) + count)
    both = np.concatenate([triangles, other[triangles[:, ::-1]]])
    whole = np.concatenate([vertices, vertices * np.array([1.0, -1.0, 1.0])])
    used = np.zeros(len(whole), dtype=bool)
    used[both] = True
    return TriMesh(whole[used], (np.cumsum(used) - 1)[both], np.concatenate([labels, labels]))


def welded(vertices: Floats) -> tuple[Floats, Ints]:
    """Vertices with each place once, and for each given vertex the number of its place."""
    steps = np.round(vertices / SAME_PLACE).astype(np.int64).view(np.uint64)
    # Odd multipliers that wrap round mix the three coordinates into one key; two places in 10^4 share one once in 10^11.
    mixers = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9], dtype=np.uint64)
    keys = (steps * mixers).sum(axis=1, dtype=np.uint64)
    _, first, number = np.unique(keys, return_index=True, return_inverse=True)
    return vertices[first], number
