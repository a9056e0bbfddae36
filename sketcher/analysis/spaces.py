"""From parts to compartments: which panels bound each, whose seed it holds, its name, use and permeability."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sketcher.analysis.cutting import FIRST_PANEL, Parts
from sketcher.analysis.faces import FACE_NAMES
from sketcher.analysis.hull_form import OPEN_END
from sketcher.analysis.names import Bounds, fore_to_aft, name_from, told_apart
from sketcher.analysis.results import Compartment, PanelShape
from sketcher.analysis.uses import USES
from sketcher.geometry.mesh import Ints, TriMesh
from sketcher.geometry.solid import compact, crossings_above
from sketcher.model.scene import NamedSpace, Scene


@dataclass(frozen=True, eq=False)
class Spaces:
    """Compartments from forward to aft. at: which of them each part is; seeds: the part of each named space; -1 for none."""

    compartments: tuple[Compartment, ...]
    at: Ints
    seeds: tuple[int, ...]


def bounds_of(parts: Parts, shapes: Sequence[PanelShape], part_count: int) -> list[Bounds]:
    """For each part the sorted (panel, face) pairs that bound it; only the two faces of each panel, not its edges."""
    numbers = [(k, f, name) for k, shape in enumerate(shapes) for f, (name, _) in enumerate(shape.faces)]
    width = max((f for _, f, _ in numbers), default=0) + 1
    names = {k * width + f: (shapes[k].name, name) for k, f, name in numbers if name in FACE_NAMES}
    on_panel = (parts.owner >= FIRST_PANEL) & ~parts.plug
    key = (parts.owner[on_panel] - FIRST_PANEL) * width + parts.face[on_panel]
    packed = np.unique(parts.part[on_panel] * (len(shapes) * width) + key) if len(shapes) else np.zeros(0, dtype=np.int64)
    bounds: list[set[tuple[str, str]]] = [set() for _ in range(part_count)]
    for value in packed.tolist():
        part, face = divmod(value, len(shapes) * width)
        if face in names:
            bounds[part].add(names[face])
    return [tuple(sorted(b)) for b in bounds]


def seeds_in(scene: Scene, parts: Parts) -> list[int]:
    """For each named space of the scene the part that holds its point, -1 where none does."""
    found: list[int] = []
    for seed in scene.compartments:
        inside = crossings_above(parts.vertices, parts.triangles, parts.part, parts.count, np.array(seed.at))
        holders = np.flatnonzero(inside > 0)
        found.append(int(holders[0]) if len(holders) else -1)
    return found


def spaces_from(scene: Scene, parts: Parts, shapes: Sequence[PanelShape], is_space: Ints) -> Spaces:
    """The compartments among the parts. is_space: (k,) the parts that are compartments; the others are slivers.

    Figures that hang on ways (watertight, open_to) are as for a tight space; a space that runs out of an open end is not tight.
    """
    order = sorted(is_space.tolist(), key=lambda k: fore_to_aft(parts.centroid[k]))
    at = np.full(parts.count, -1, dtype=np.int64)
    at[order] = np.arange(len(order))
    bounds = bounds_of(parts, shapes, parts.count)
    seeds = seeds_in(scene, parts)
    named: dict[int, NamedSpace] = {}
    for seed, part in zip(scene.compartments, seeds, strict=True):
        if part >= 0 and at[part] >= 0:
            named.setdefault(part, seed)
    free = [k for k in order if k not in named]
    given = told_apart(
        [name_from(bounds[k], shapes) for k in free], parts.centroid[free], frozenset(s.name for s in scene.compartments)
    )
    names = {**{k: seed.name for k, seed in named.items()}, **dict(zip(free, given, strict=True))}
    meshes = _meshes(parts)
    compartments = tuple(_compartment(names[k], named.get(k), parts, k, bounds[k], meshes[k]) for k in order)
    return Spaces(compartments, at, tuple(seeds))


def _meshes(parts: Parts) -> list[TriMesh]:
    order = np.argsort(parts.part, kind="stable")
    ends = np.searchsorted(parts.part[order], np.arange(parts.count + 1))
    meshes = []
    for start, stop in pairwise(ends.tolist()):
        chosen = order[start:stop]
        used, triangles = compact(parts.triangles[chosen], len(parts.vertices))
        meshes.append(TriMesh(parts.vertices[used], triangles, parts.owner[chosen]))
    return meshes


def _compartment(name: str, seed: NamedSpace | None, parts: Parts, part: int, bounds: Bounds, mesh: TriMesh) -> Compartment:
    low, high = mesh.bounds
    x, y, z = parts.centroid[part].tolist()
    bounded = not bool((mesh.labels == OPEN_END).any())
    use = seed.use if seed else "void"
    stated = seed.permeability if seed else None
    return Compartment(
        name=name,
        use=use,
        named=seed is not None,
        volume=float(parts.volume[part]),
        centroid=(x, y, z),
        lowest=float(low[2]),
        highest=float(high[2]),
        bounded=bounded,
        watertight=bounded,
        open_to=(),
        permeability=USES[use].permeability if stated is None else stated,
        bounds=bounds,
        mesh=mesh,
    )
