"""From parts to compartments: which panels bound each, whose seed it holds, its name, use and permeability."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.blocks import Block
from sketcher.analysis.cutting import Parts
from sketcher.analysis.hull_form import OPEN_END
from sketcher.analysis.names import Bounds, fore_to_aft, name_from, told_apart
from sketcher.analysis.results import Compartment, PanelShape
from sketcher.analysis.uses import USES
from sketcher.geometry.mesh import Ints, TriMesh
from sketcher.geometry.tolerances import SLIVER_VOLUME
from sketcher.model.scene import NamedSpace, Scene


@dataclass(frozen=True, eq=False)
class Spaces:
    """Compartments from forward to aft. at: which of them each part is, -1 for none."""

    compartments: tuple[Compartment, ...]
    at: Ints


def spaces_from(scene: Scene, block: Block, shapes: Sequence[PanelShape]) -> Spaces:
    """The compartments among the parts of a block; parts too small to be one are left out.

    Figures that hang on ways (watertight, open_to) are as for a tight space; a space that runs out of an open end is not tight.
    """
    parts, bounds = block.parts, block.bounds
    large = np.flatnonzero(parts.volume > SLIVER_VOLUME).tolist()
    order = sorted(large, key=lambda k: fore_to_aft(parts.centroid[k]))
    at = np.full(parts.count, -1, dtype=np.int64)
    at[order] = np.arange(len(order))
    named: dict[int, NamedSpace] = {}
    for seed, part in zip(scene.compartments, block.homes, strict=True):
        if part >= 0 and at[part] >= 0:
            named.setdefault(part, seed)
    free = [k for k in order if k not in named]
    given = told_apart(
        [name_from(bounds[k], shapes) for k in free], parts.centroid[free], frozenset(s.name for s in scene.compartments)
    )
    names = {**{k: seed.name for k, seed in named.items()}, **dict(zip(free, given, strict=True))}
    compartments = tuple(_compartment(names[k], named.get(k), parts, k, bounds[k], block.meshes[k]) for k in order)
    return Spaces(compartments, at)


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
