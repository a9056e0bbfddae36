"""A layout in blocks: pieces of the hull that share no space, each worked out by itself and kept while nothing in it moves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import HullSolid, Owners, Parts, parts_in
from sketcher.analysis.spaces.bounds import bounding_faces
from sketcher.analysis.spaces.default_names import Bounds
from sketcher.analysis.spaces.face_regions import PanelFaces, merged, panel_faces
from sketcher.analysis.spaces.leaks.gap_sealing import Sealed, seal
from sketcher.analysis.spaces.leaks.slots import Slot
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.boolean import TracedSurface, compact
from sketcher.geometry.solid.rays import home_of
from sketcher.model.scene import Scene

Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class LayoutBlock:
    """The parts of one or more pieces of the hull. meshes, bounds: of each part; homes: the part of each named space, or -1."""

    sealed: Sealed
    meshes: tuple[TriMesh, ...]
    bounds: tuple[Bounds, ...]
    homes: tuple[int, ...]
    shapes: tuple[PanelShape, ...]

    @property
    def parts(self) -> Parts:
        """The parts, every gap up to the limit closed."""
        return self.sealed.parts

    @cached_property
    def boards(self) -> tuple[PanelFaces, ...]:
        """The faces of all the panels that bound a part here."""
        return panel_faces(self.parts, self.shapes)


def layout_block(
    scene: Scene, surface: TracedSurface, shapes: Sequence[PanelShape], hull: HullSolid, owners: Owners
) -> LayoutBlock:
    """What a surface left by taking the panels out of a piece of the hull encloses."""
    return sealed_block(scene, seal(parts_in(surface, hull, owners), shapes, hull, owners, scene.gap_limit), shapes)


def sealed_block(scene: Scene, sealed: Sealed, shapes: Sequence[PanelShape]) -> LayoutBlock:
    """The block of parts whose gaps are closed."""
    meshes = _meshes(sealed.parts)
    return LayoutBlock(
        sealed=sealed,
        meshes=meshes,
        bounds=bounding_faces(sealed.parts, shapes),
        homes=tuple(home_of(np.array(seed.at), meshes) for seed in scene.compartments),
        shapes=tuple(shapes),
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


@dataclass(frozen=True, eq=False)
class WholeLayout:
    """All parts of a layout, by block; see LayoutBlock, Parts, Sealed. walled: (n,) whether a closed gap bounds it."""

    volume: Floats
    centroid: Floats
    walled: Bools
    meshes: tuple[TriMesh, ...]
    bounds: tuple[Bounds, ...]
    homes: tuple[int, ...]
    slots: tuple[Slot, ...]
    gap_volume: float
    blocks: tuple[tuple[LayoutBlock, int], ...]

    @property
    def bounding(self) -> frozenset[str]:
        """The panels of which a face bounds a part."""
        return frozenset(panel for bounds in self.bounds for panel, _ in bounds)

    def boards(self, only: frozenset[int] | None = None) -> tuple[PanelFaces, ...]:
        """The faces of the panels, or of `only` some of them, with the parts that lie on them."""
        if only is None:
            return merged([(block.boards, start) for block, start in self.blocks])
        if not only:
            return ()
        return merged([(panel_faces(block.parts, block.shapes, only), start) for block, start in self.blocks])


def together(blocks: Sequence[LayoutBlock]) -> WholeLayout:
    """Blocks that share no space as one, the parts of each following those of the one before."""
    starts = [0, *accumulate(block.parts.count for block in blocks)][:-1]
    numbered = list(zip(blocks, starts, strict=True))
    slots: list[Slot] = []
    for block, start in numbered:
        for slot in block.sealed.slots:
            slots.append(replace(slot, between=slot.between and (slot.between[0] + start, slot.between[1] + start)))
    homes = [
        next((block.homes[k] + start for block, start in numbered if block.homes[k] >= 0), -1)
        for k in range(len(blocks[0].homes))
    ]
    return WholeLayout(
        volume=np.concatenate([block.parts.volume for block in blocks]),
        centroid=np.concatenate([block.parts.centroid for block in blocks]),
        walled=np.concatenate([_walled(block.parts) for block in blocks]),
        meshes=tuple(mesh for block in blocks for mesh in block.meshes),
        bounds=tuple(bound for block in blocks for bound in block.bounds),
        homes=tuple(homes),
        slots=tuple(slots),
        gap_volume=sum(block.sealed.gap_volume for block in blocks),
        blocks=tuple(numbered),
    )


def _walled(parts: Parts) -> Bools:
    """Whether each part (n,) is bounded by the closure of a gap."""
    return np.bincount(parts.part[parts.plug], minlength=parts.count) > 0
