"""Solids between closed meshes and the boolean kernel: where each triangle came from survives, and parts come out apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from manifold3d import Error, Manifold, Mesh64, OpType

from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.solid.rays import crossings_above

FEW = 8
"""A part with so many times fewer corners than there are vertices is renumbered by sorting, not by a table of them all."""


@dataclass(frozen=True, eq=False)
class TracedSurface:
    """Triangles of a solid. origin: (m,) id of the solid each came from; face: (m,) number of its face there."""

    vertices: Floats
    triangles: Ints
    origin: Ints
    face: Ints


def joined(surfaces: Sequence[TracedSurface]) -> TracedSurface:
    """Several surfaces, which share no space, as one; vertices that none of its triangles uses are left out of each.

    Of none: one without triangles.
    """
    if not surfaces:
        nothing = np.zeros(0, dtype=np.int64)
        return TracedSurface(np.zeros((0, 3)), nothing.reshape(0, 3), nothing, nothing)
    used = [compact(surface.triangles, len(surface.vertices)) for surface in surfaces]
    starts = np.cumsum([0, *(len(kept) for kept, _ in used[:-1])])
    return TracedSurface(
        np.concatenate([surface.vertices[kept] for surface, (kept, _) in zip(surfaces, used, strict=True)]),
        np.concatenate([triangles + start for (_, triangles), start in zip(used, starts, strict=True)]),
        np.concatenate([surface.origin for surface in surfaces]),
        np.concatenate([surface.face for surface in surfaces]),
    )


def reserve_ids(count: int) -> int:
    """The first of `count` new ids in a row by which solids are known after booleans."""
    return int(Manifold.reserve_ids(max(count, 1)))


def to_manifold(mesh: TriMesh, origin: int, *, flat_faces: bool = False, what: str = "the solid") -> Manifold:
    """A closed mesh as a solid whose triangles stay known by `origin` and a face number.

    flat_faces: equal labels are one flat face, and its label is the face number; else each triangle is a face by itself
    (its index is the number), since the kernel takes triangles of one face to be flat and smooths cuts across them away.
    Raises GeometryError where the mesh is not closed, names `what`.
    """
    if not np.isfinite(mesh.vertices).all():
        raise GeometryError(f"{what} has a corner that is not a number")
    face = mesh.labels if flat_faces else np.arange(len(mesh.triangles))
    return checked(
        Manifold(
            Mesh64(
                np.require(mesh.vertices, np.float64, ["C", "W"]),
                np.ascontiguousarray(mesh.triangles, dtype=np.uint64),
                run_index=np.array([0, 3 * len(mesh.triangles)], dtype=np.uint64),
                run_original_id=np.array([origin], dtype=np.uint32),
                face_id=np.ascontiguousarray(face, dtype=np.uint64),
            )
        ),
        what,
    )


@kept_with_owner(1)
def simplified(mesh: TriMesh, by: float) -> TriMesh:
    """A closed mesh with fewer triangles, all of one label, its surface moved by no more than so far [m]."""
    corners = np.require(mesh.vertices, np.float64, ["C", "W"])
    # Without ids of its faces, which the kernel would keep apart.
    solid = checked(Manifold(Mesh64(corners, np.ascontiguousarray(mesh.triangles, dtype=np.uint64))), "the solid")
    surface = surface_of(solid.simplify(by))
    return TriMesh(surface.vertices, surface.triangles, np.zeros(len(surface.triangles), dtype=np.int64))


def checked(solid: Manifold, what: str) -> Manifold:
    """The solid itself. Raises GeometryError where the kernel refused it."""
    status = solid.status()
    if status != Error.NoError:
        raise GeometryError(f"{what} is not a closed solid ({status.name})")
    return solid


def surface_of(solid: Manifold) -> TracedSurface:
    """The triangles of a solid with where each came from."""
    mesh = solid.to_mesh64()
    ends = np.asarray(mesh.run_index, dtype=np.int64) // 3
    runs: Ints = ends[1:] - ends[:-1]
    return TracedSurface(
        vertices=np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3],
        triangles=np.asarray(mesh.tri_verts, dtype=np.int64).reshape(-1, 3),
        origin=np.repeat(np.asarray(mesh.run_original_id, dtype=np.int64), runs),
        face=np.asarray(mesh.face_id, dtype=np.int64),
    )


def solid_of(surface: TracedSurface) -> Manifold:
    """A closed surface as a solid again; origins and faces are kept, vertices that it does not use are not."""
    pick = np.argsort(surface.origin, kind="stable")
    origin = surface.origin[pick]
    starts = np.flatnonzero(np.concatenate([[True], origin[1:] != origin[:-1]]))
    used, index = compact(surface.triangles[pick], len(surface.vertices))
    return checked(
        Manifold(
            Mesh64(
                np.ascontiguousarray(surface.vertices[used]),
                np.ascontiguousarray(index, dtype=np.uint64),
                run_index=np.append(starts * 3, 3 * len(pick)).astype(np.uint64),
                run_original_id=origin[starts].astype(np.uint32),
                face_id=np.ascontiguousarray(surface.face[pick], dtype=np.uint64),
            )
        ),
        "a part of the inside",
    )


def subtract(solid: Manifold, others: Sequence[Manifold]) -> Manifold:
    """The solid less all the others at once."""
    return Manifold.batch_boolean([solid, *others], OpType.Subtract) if others else solid


def united(solids: Sequence[Manifold]) -> Manifold:
    """All the solids as one."""
    return Manifold.batch_boolean(list(solids), OpType.Add) if solids else Manifold()


def compact(triangles: Ints, count: int) -> tuple[Ints, Ints]:
    """The vertices used, in order, and the triangles renumbered to them; count: number of vertices there are."""
    if FEW * triangles.size < count:
        used, places = np.unique(triangles, return_inverse=True)
        return used, places.reshape(triangles.shape)
    seen = np.zeros(count, dtype=bool)
    seen[triangles] = True
    number = np.cumsum(seen) - 1
    return np.flatnonzero(seen), number[triangles]


def renumber(values: Ints, count: int) -> Ints:
    """The values (m,), each below `count`, replaced by their place among those that occur, from 0."""
    occurs = np.zeros(count, dtype=bool)
    occurs[values] = True
    places: Ints = (np.cumsum(occurs) - 1)[values]
    return places


def connected(triangles: Ints, count: int) -> Ints:
    """Number (m,) of the connected piece that each triangle belongs to, from 0 in order of first vertex.

    Hooks the roots of both ends of every edge onto the lower one until no edge joins two roots: a few rounds, each linear.
    """
    root = np.arange(count)
    first, second, third = triangles.T
    low, high = np.concatenate([first, first]), np.concatenate([second, third])
    while len(low):
        a, b = root[low], root[high]
        apart = a != b
        a, b = a[apart], b[apart]
        low, high = np.minimum(a, b), np.maximum(a, b)
        np.minimum.at(root, high, low)
        while True:
            further = root[root]
            if np.array_equal(further, root):
                break
            root = further
    return renumber(root[first], count)


def moments(vertices: Floats, triangles: Ints, part: Ints, count: int) -> tuple[Floats, Floats]:
    """Volume (count,) [m3] and centroid (count, 3) [m] of each closed part; part: (m,) number of each triangle's part."""
    centre = np.ones(len(vertices)) @ vertices / max(len(vertices), 1)
    # By columns: rows of three take twice the time.
    corners = triangles.T
    (ax, bx, cx), (ay, by, cy), (az, bz, cz) = (axis[corners] for axis in (vertices - centre).T)
    six = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    volume = np.bincount(part, six, count) / 6
    totals = (ax + bx + cx, ay + by + cy, az + bz + cz)
    first = np.stack([np.bincount(part, six * total, count) for total in totals], axis=1) / 24
    return volume, centre + first / np.where(volume == 0, 1.0, volume)[:, None]


@dataclass(frozen=True, eq=False)
class Divided:
    """A surface's separate parts. part: (m,) number of each triangle's part; volume: (n,) [m3]; centroid: (n, 3) [m]."""

    part: Ints
    volume: Floats
    centroid: Floats


def divided(surface: TracedSurface) -> Divided:
    """The separate parts of a closed surface; a cavity's wall belongs to the part that surrounds it."""
    piece = connected(surface.triangles, len(surface.vertices))
    count = int(piece.max()) + 1 if len(piece) else 0
    volume, centroid = moments(surface.vertices, surface.triangles, piece, count)
    if (volume >= 0).all():
        return Divided(piece, volume, centroid)
    home = np.arange(count)
    for cavity in np.flatnonzero(volume < 0):
        corner = surface.vertices[surface.triangles[piece == cavity].ravel()]
        top = corner[np.argmax(corner[:, 2])]
        round_it = crossings_above(surface.vertices, surface.triangles, piece, count, top)
        holders = np.flatnonzero((round_it > 0) & (volume > 0) & (np.arange(count) != cavity))
        if len(holders):
            home[cavity] = holders[np.argmin(volume[holders])]
    number = renumber(home, count)
    together = np.bincount(number, volume).astype(np.float64)
    first = np.stack([np.bincount(number, volume * axis) for axis in centroid.T], axis=1)
    return Divided(number[piece], together, first / np.where(together == 0, 1.0, together)[:, None])
