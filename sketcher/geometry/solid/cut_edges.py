"""Where a plane cuts a mesh, piece by piece, with the direction in which the surface really faces there."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians

import numpy as np

from sketcher.geometry.crossing import crossed_at, met, shares
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import CREASE
from sketcher.geometry.vectors import cross


@dataclass(frozen=True, eq=False)
class CutEdges:
    """Pieces of a cut, solid on their left seen against the frame's normal.

    starts, ends: (k, 2) in the frame [m]; labels: (k,) of the triangles cut; start_normals, end_normals: (k, 3) unit vectors out
    of the solid, smoothed over facets but not over creases.
    """

    starts: Floats
    ends: Floats
    labels: Ints
    start_normals: Floats
    end_normals: Floats


def cut_edges(mesh: TriMesh, frame: Frame) -> CutEdges:
    """The pieces in which a plane meets the triangles of a mesh; a vertex in the plane counts as just above it."""
    height = (mesh.vertices - np.array(frame.origin)) @ frame.normal
    cut = crossed_at(height, mesh.triangles)
    chosen, rows = mesh.triangles[cut.triangle], np.arange(len(cut.triangle))
    normals = corner_normals(mesh, cut.triangle)
    placed = []
    for other in cut.in_sense(cut.corner(1), cut.corner(2)):
        a, b = chosen[rows, cut.lone], chosen[rows, other]
        share = shares(height, a, b)
        facing = normals[rows, cut.lone] * (1.0 - share) + normals[rows, other] * share
        size = np.linalg.norm(facing, axis=1, keepdims=True)
        placed.append((frame.flat(met(mesh.vertices, height, a, b)), facing / np.where(size > 0.0, size, 1.0)))
    (starts, start_normals), (ends, end_normals) = placed
    return CutEdges(starts, ends, mesh.labels[cut.triangle], start_normals, end_normals)


def corner_normals(mesh: TriMesh, chosen: Ints) -> Floats:
    """Unit normals (k, 3, 3) at the corners of the chosen triangles (k,), each the mean over the facets that meet there smoothly.

    Facets count by the cross product of their sides over the squares of the sides' lengths, which is exact on a sphere (Max
    1999, from memory); those with another label or turned by more than CREASE from the chosen one do not count.
    """
    touched = np.zeros(len(mesh.vertices), dtype=bool)
    touched[mesh.triangles[chosen]] = True
    near = np.flatnonzero(touched[mesh.triangles].any(axis=1))
    triangles = mesh.triangles[near]
    weighted = np.stack([_corner_weights(mesh.vertices, triangles, k) for k in range(3)], axis=1).reshape(-1, 3)
    size = np.linalg.norm(weighted[0::3], axis=1, keepdims=True)
    facing = weighted[0::3] / np.where(size > 0.0, size, 1.0)
    corner_vertex = triangles.ravel()
    order = np.argsort(corner_vertex, kind="stable")
    begins = np.searchsorted(corner_vertex[order], np.arange(len(mesh.vertices) + 1))
    vertex = mesh.triangles[chosen].ravel()
    counts = begins[vertex + 1] - begins[vertex]
    asking = np.repeat(np.arange(len(vertex)), counts)
    met = order[np.repeat(begins[vertex] - np.cumsum(counts) + counts, counts) + np.arange(counts.sum())]
    own = np.searchsorted(near, chosen)[asking // 3]
    other = met // 3
    smooth = np.einsum("ij,ij->i", facing[own], facing[other]) > cos(radians(CREASE))
    smooth &= mesh.labels[near[own]] == mesh.labels[near[other]]
    smooth |= own == other
    asking, met = asking[smooth], met[smooth]
    total = np.stack([np.bincount(asking, weighted[met, k], len(vertex)) for k in range(3)], axis=1)
    length = np.linalg.norm(total, axis=1, keepdims=True)
    unit: Floats = (total / np.where(length > 0.0, length, 1.0)).reshape(-1, 3, 3)
    return unit


def _corner_weights(vertices: Floats, triangles: Ints, corner: int) -> Floats:
    """Normal (m, 3) of each triangle with the weight that it has at one of its corners."""
    here = vertices[triangles[:, corner]]
    ahead, behind = vertices[triangles[:, (corner + 1) % 3]] - here, vertices[triangles[:, (corner + 2) % 3]] - here
    squares = np.einsum("ij,ij->i", ahead, ahead) * np.einsum("ij,ij->i", behind, behind)
    weighted: Floats = cross(ahead, behind) / np.where(squares > 0.0, squares, 1.0)[:, None]
    return weighted
