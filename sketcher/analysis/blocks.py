"""A layout in blocks: pieces of the hull that share no space, each worked out by itself and kept while nothing in it moves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import pairwise

import numpy as np

from sketcher.analysis.bounds import bounds_of
from sketcher.analysis.cutting import HullSolid, Owners, Parts, parts_in
from sketcher.analysis.gaps import Sealed, Slot, seal
from sketcher.analysis.names import Bounds
from sketcher.analysis.results import PanelShape
from sketcher.analysis.sides import Board, boards, merged
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid import Surface, compact, crossings_above
from sketcher.model.scene import Scene


@dataclass(frozen=True, eq=False)
class Block:
    """The parts of one or more pieces of the hull. meshes, bounds: of each part; homes: the part of each named space, or -1."""

    sealed: Sealed
    meshes: tuple[TriMesh, ...]
    bounds: tuple[Bounds, ...]
    homes: tuple[int, ...]
    boards: tuple[Board, ...]

    @property
    def parts(self) -> Parts:
        return self.sealed.parts


def block_of(scene: Scene, surface: Surface, shapes: Sequence[PanelShape], hull: HullSolid, owners: Owners) -> Block:
    """What a surface left by taking the panels out of a piece of the hull encloses."""
    sealed = seal(parts_in(surface, hull, owners), shapes, hull, owners, scene.gap_limit)
    meshes = _meshes(sealed.parts)
    return Block(
        sealed=sealed,
        meshes=meshes,
        bounds=bounds_of(sealed.parts, shapes),
        homes=tuple(home_of(np.array(seed.at), meshes) for seed in scene.compartments),
        boards=boards(sealed.parts, shapes),
    )


def _meshes(parts: Parts) -> tuple[TriMesh, ...]:
    order = np.argsort(parts.part, kind="stable")
    ends = np.searchsorted(parts.part[order], np.arange(parts.count + 1))
    meshes: list[TriMesh] = []
    for start, stop in pairwise(ends.tolist()):
        chosen = order[start:stop]
        used, triangles = compact(parts.triangles[chosen], len(parts.vertices))
        meshes.append(TriMesh(parts.vertices[used], triangles, parts.owner[chosen]))
    return tuple(meshes)


def home_of(point: Floats, meshes: Sequence[TriMesh]) -> int:
    """The first of the closed meshes that holds a point (3,), -1 where none does."""
    for k, mesh in enumerate(meshes):
        low, high = mesh.bounds
        if (low <= point).all() and (point <= high).all():
            one = np.zeros(len(mesh.triangles), dtype=np.int64)
            if crossings_above(mesh.vertices, mesh.triangles, one, 1, point)[0] > 0:
                return k
    return -1


def together(blocks: Sequence[Block]) -> Block:
    """Blocks that share no space as one, the parts of each following those of the one before."""
    if len(blocks) == 1:
        return blocks[0]
    starts = np.cumsum([0, *(block.parts.count for block in blocks)]).tolist()
    corners = np.cumsum([0, *(len(block.parts.vertices) for block in blocks)]).tolist()
    found = list(zip(blocks, starts, corners, strict=False))
    parts = Parts(
        vertices=np.concatenate([b.parts.vertices for b in blocks]),
        triangles=np.concatenate([b.parts.triangles + corner for b, _, corner in found]),
        part=np.concatenate([b.parts.part + start for b, start, _ in found]),
        owner=np.concatenate([b.parts.owner for b in blocks]),
        face=np.concatenate([b.parts.face for b in blocks]),
        origin=np.concatenate([b.parts.origin for b in blocks]),
        plug=np.concatenate([b.parts.plug for b in blocks]),
        volume=np.concatenate([b.parts.volume for b in blocks]),
        centroid=np.concatenate([b.parts.centroid for b in blocks]),
    )
    slots: list[Slot] = []
    for block, start, _ in found:
        for slot in block.sealed.slots:
            pair = slot.between and (slot.between[0] + start, slot.between[1] + start)
            slots.append(replace(slot, between=pair))
    homes = [
        max((block.homes[k] + start for block, start, _ in found if block.homes[k] >= 0), default=-1)
        for k in range(len(blocks[0].homes))
    ]
    owners = reduce(Owners.and_those, (block.sealed.owners for block in blocks))
    sealed = Sealed(parts, owners, tuple(slots), sum(block.sealed.gap_volume for block in blocks))
    return Block(
        sealed=sealed,
        meshes=tuple(mesh for block in blocks for mesh in block.meshes),
        bounds=tuple(bound for block in blocks for bound in block.bounds),
        homes=tuple(homes),
        boards=merged([(block.boards, start) for block, start, _ in found]),
    )
