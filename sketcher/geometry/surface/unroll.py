"""A patch of a curved surface laid flat with its lengths kept as well as they can be, and by how much they cannot."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, GeometryError, Ints

_ROUNDS = 40
"""Corrections after which a patch that has not settled is left as it is."""

_SETTLED = 1e-9
"""[m] A flat patch has settled when its next correction moves no point further."""

_FINER = 8
"""Points of a flat edge between two of the grid's."""


@dataclass(frozen=True, eq=False)
class Unrolled:
    """A grid laid flat. flat: (columns, rows, 2) [m], its columns running to the right and its rows up.

    miss [m]: the most by which any of the grid's lines, from edge to edge, is longer or shorter flat than on the surface.
    """

    flat: Floats
    miss: float

    @property
    def outline(self) -> Floats:
        """The flat patch's edge (k, 2), anticlockwise, curved between the grid's points as its neighbours are."""
        sides = (self.flat[:, 0], self.flat[-1], self.flat[::-1, -1], self.flat[0, ::-1])
        return np.concatenate([_through(side)[:-1] for side in sides])


def unrolled(grid: Floats) -> Unrolled:
    """A grid of points (columns, rows, 3) on a smooth surface laid flat: exact, to the grid's fineness, where it is developable.

    Distances between neighbours, across the cells' diagonals too, are kept in the mean of squares. Raises GeometryError where
    the grid has fewer than two columns or rows.
    """
    columns, rows = grid.shape[:2]
    if columns < 2 or rows < 2:
        raise GeometryError("a patch of fewer than two columns or rows cannot be laid flat")
    first, second, lengths = _edges(grid)
    flat = _laid_out(grid).reshape(-1, 2)
    scale, damping = np.maximum(lengths, 1e-6), 1e-6
    error = _misfit(flat, first, second, lengths)
    for _ in range(_ROUNDS):
        slopes = (flat[second] - flat[first]) / scale[:, None]
        step = _correction(slopes, first, second, error, damping, (columns, rows))
        moved = flat + step
        after = _misfit(moved, first, second, lengths)
        if after @ after <= error @ error:
            flat, error, damping = moved, after, max(damping / 10, 1e-12)
            if np.abs(step).max() < _SETTLED:
                break
        else:
            damping *= 10
    placed = _levelled(flat.reshape(columns, rows, 2))
    return Unrolled(placed, _miss(grid, placed))


def _edges(grid: Floats) -> tuple[Ints, Ints, Floats]:
    """Neighbours in the grid (k,) and (k,), and how far [m] they are apart on the surface."""
    number = np.arange(grid.shape[0] * grid.shape[1]).reshape(grid.shape[:2])
    lines = [*_lines(number), *_diagonals(number), *_diagonals(number[:, ::-1])]
    points, normals = grid.reshape(-1, 3), surface_normals(grid).reshape(-1, 3)
    first = np.concatenate([line[:-1] for line in lines])
    second = np.concatenate([line[1:] for line in lines])
    return first, second, np.concatenate([_apart(points[line], normals[line]) for line in lines])


def surface_normals(grid: Floats) -> Floats:
    """The surface's normals at the grid's points; (0, 0, 0) where the grid has no width."""
    square = np.cross(np.gradient(grid, axis=0), np.gradient(grid, axis=1))
    size = np.linalg.norm(square, axis=2, keepdims=True)
    normals: Floats = square / np.where(size > 0.0, size, np.inf)
    return normals


def _lines(number: Ints) -> list[Ints]:
    return [*number, *number.T]


def _diagonals(number: Ints) -> list[Ints]:
    columns, rows = number.shape
    found = [np.diagonal(number, offset) for offset in range(-columns + 1, rows)]
    return [line for line in found if len(line) > 1]


def _apart(points: Floats, normals: Floats) -> Floats:
    """Shortest lines (n - 1,) on the surface between points (n, 3) of a line on it: its bend within the surface is no part."""
    return _arcs(points, np.abs(np.einsum("ij,ij->i", _bends(points), normals)))


def _lengths(points: Floats) -> Floats:
    """Lengths (n - 1,) of a curve between its points (n, 3)."""
    return _arcs(points, np.linalg.norm(_bends(points), axis=1))


def _bends(points: Floats) -> Floats:
    """Curvature (n, 3) [1/m] of a curve at its points, that of its neighbour at the ends."""
    if len(points) < 3:
        return np.zeros((len(points), 3))
    steps = np.diff(points, axis=0)
    sizes = np.linalg.norm(steps, axis=1)
    directions = steps / np.where(sizes > 0.0, sizes, np.inf)[:, None]
    reach = sizes[1:] + sizes[:-1]
    inner = 2.0 * np.diff(directions, axis=0) / np.where(reach > 0.0, reach, np.inf)[:, None]
    return np.concatenate([inner[:1], inner, inner[-1:]])


def _arcs(points: Floats, bend: Floats) -> Floats:
    """Chords between points (n, 3), each made as long as an arc so bent (n,) [1/m]."""
    chords = np.linalg.norm(np.diff(points, axis=0), axis=1)
    squares = (bend[:-1] ** 2 + bend[1:] ** 2) / 2
    arcs: Floats = chords * (1.0 + squares * chords**2 / 24.0)
    return arcs


def _laid_out(grid: Floats) -> Floats:
    """A first flat patch: the middle row's neighbours unrolled as a strip of triangles, the other rows laid beside it."""
    columns, rows = grid.shape[:2]
    middle = (rows - 1) // 2
    flat = np.zeros((columns, rows, 2))
    flat[0, middle + 1] = (0.0, np.linalg.norm(grid[0, middle + 1] - grid[0, middle]))
    for i in range(1, columns):
        before = (i - 1, middle), (i - 1, middle + 1)
        flat[i, middle] = _beside(flat, grid, before, (i, middle))
        flat[i, middle + 1] = _beside(flat, grid, ((i, middle), before[1]), (i, middle + 1))
    for j in range(middle + 2, rows):
        flat[:, j] = _next_row(flat, grid, j - 1, j)
    for j in range(middle - 1, -1, -1):
        flat[:, j] = _next_row(flat, grid, j + 1, j)
    return flat


def _beside(flat: Floats, grid: Floats, base: tuple[tuple[int, int], tuple[int, int]], new: tuple[int, int]) -> Floats:
    """The flat corner of a triangle on a base that runs up, to its right, with the lengths it has in space."""
    (a, b), p = (flat[place] for place in base), grid[new]
    to_a, to_b = (float(np.linalg.norm(p - grid[place])) for place in base)
    direction, width = b - a, float(np.linalg.norm(b - a))
    if width < 1e-12:
        beyond: Floats = a + np.array([to_a, 0.0])
        return beyond
    direction = direction / width
    along = (to_a**2 - to_b**2 + width**2) / (2 * width)
    out = np.sqrt(max(to_a**2 - along**2, 0.0))
    placed: Floats = a + direction * along + np.array([direction[1], -direction[0]]) * out
    return placed


def _next_row(flat: Floats, grid: Floats, known: int, new: int) -> Floats:
    """A row beside a known one, square to it, at the distances it has in space."""
    along = np.gradient(flat[:, known], axis=0)
    size = np.linalg.norm(along, axis=1, keepdims=True)
    along = along / np.where(size > 0.0, size, 1.0)
    off = grid[:, new] - grid[:, known]
    tangent = np.gradient(grid[:, known], axis=0)
    tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-12)
    ahead = np.einsum("ij,ij->i", off, tangent)
    aside = np.sqrt(np.maximum(np.einsum("ij,ij->i", off, off) - ahead**2, 0.0)) * (1.0 if new > known else -1.0)
    row: Floats = flat[:, known] + along * ahead[:, None] + np.column_stack([-along[:, 1], along[:, 0]]) * aside[:, None]
    return row


def _misfit(flat: Floats, first: Ints, second: Ints, lengths: Floats) -> Floats:
    """(|d|^2 - L^2) / 2L of each edge: its length's error to first order, smooth where an edge has none."""
    off = flat[second] - flat[first]
    error: Floats = (np.einsum("ij,ij->i", off, off) - lengths**2) / (2 * np.maximum(lengths, 1e-6))
    return error


def _correction(slopes: Floats, first: Ints, second: Ints, error: Floats, damping: float, shape: tuple[int, int]) -> Floats:
    """How far (n, 2) the points should move to undo the edges' errors (k,), in the mean of squares (Levenberg and Marquardt).

    slopes (k, 2): how an edge's error grows as its second point moves. An edge joins points of one column or of two that are
    neighbours, so the equations are solved column by column.
    """
    columns, rows = shape
    own, shared = np.zeros((2, columns, rows, rows, 2, 2))
    pull = np.zeros((columns, rows, 2))
    (a, i), (b, j) = np.divmod(first, rows), np.divmod(second, rows)
    squares = slopes[:, :, None] * slopes[:, None, :]
    for column, row, sign in ((a, i, 1.0), (b, j, -1.0)):
        np.add.at(own, (column, row, row), squares)
        np.add.at(pull, (column, row), sign * slopes * error[:, None])
    within = a == b
    for one, other in ((i, j), (j, i)):
        np.add.at(own, (a[within], one[within], other[within]), -squares[within])
    np.add.at(shared, (a[~within], i[~within], j[~within]), -squares[~within])
    size = 2 * rows
    own, shared = (each.swapaxes(2, 3).reshape(-1, size, size) for each in (own, shared))
    return _by_columns(own, shared, pull.reshape(-1, size), damping).reshape(-1, 2)


def _by_columns(own: Floats, shared: Floats, right: Floats, damping: float) -> Floats:
    """Solve equations whose columns (c, m) are joined to themselves by own (c, m, m) and to the next by shared (c, m, m)."""
    each = np.arange(own.shape[1])
    own[:, each, each] += damping * (own[:, each, each] + 1e-12)
    for k in range(1, len(own)):
        taken = np.linalg.solve(own[k - 1], shared[k - 1]).T
        own[k] -= taken @ shared[k - 1]
        right[k] -= taken @ right[k - 1]
    for k in range(len(own) - 1, -1, -1):
        beyond = shared[k] @ right[k + 1] if k + 1 < len(own) else 0.0
        right[k] = np.linalg.solve(own[k], right[k] - beyond)
    return right


def _levelled(flat: Floats) -> Floats:
    """Turned so that the lower edge's ends lie level, the lowest and the leftmost point at 0."""
    direction = flat[-1, 0] - flat[0, 0]
    direction = direction / np.linalg.norm(direction)
    turned = flat @ np.array([[direction[0], -direction[1]], [direction[1], direction[0]]])
    placed: Floats = turned - turned.reshape(-1, 2).min(axis=0)
    return placed


def _miss(grid: Floats, flat: Floats) -> float:
    """The most by which a whole row or column of the grid differs in length."""
    number = np.arange(flat.shape[0] * flat.shape[1]).reshape(flat.shape[:2])
    points, laid = grid.reshape(-1, 3), flat.reshape(-1, 2)
    return max(abs(float(_lengths(points[line]).sum() - _lengths(_in_space(laid[line])).sum())) for line in _lines(number))


def _in_space(flat: Floats) -> Floats:
    return np.column_stack([flat, np.zeros(len(flat))])


def _through(points: Floats) -> Floats:
    """A curve (k, 2) through points (n, 2), its slope at each that of its neighbours' chord."""
    if len(points) < 3:
        return points
    slopes = np.gradient(points, axis=0, edge_order=2)
    t = np.linspace(0.0, 1.0, _FINER, endpoint=False)[None, :, None]
    a, b, p, q = points[:-1, None], points[1:, None], slopes[:-1, None], slopes[1:, None]
    curve = a * (1 + 2 * t) * (1 - t) ** 2 + p * t * (1 - t) ** 2 + b * t**2 * (3 - 2 * t) + q * t**2 * (t - 1)
    return np.concatenate([curve.reshape(-1, 2), points[-1:]])
