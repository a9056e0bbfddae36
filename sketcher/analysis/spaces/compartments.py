"""From parts to compartments: which panels bound each, whose seed it holds, its name, use and permeability."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.hull.form import OPEN_END
from sketcher.analysis.results import Compartment, Layout, PanelShape
from sketcher.analysis.spaces.blocks import WholeLayout
from sketcher.analysis.spaces.default_names import fore_to_aft, name_from, told_apart
from sketcher.geometry.mesh import Ints
from sketcher.geometry.tolerances import SLIVER_VOLUME
from sketcher.model.scene import NamedSpace, Scene

MAIN_SHARE = 0.5
"""A space that is the largest and holds at least so much of the inside is the main one: flooded, few small boats stay afloat."""


@dataclass(frozen=True, eq=False)
class Spaces:
    """Compartments from forward to aft. at: which of them each part is, -1 for none."""

    compartments: tuple[Compartment, ...]
    at: Ints


def spaces_from(scene: Scene, whole: WholeLayout, shapes: Sequence[PanelShape]) -> Spaces:
    """The compartments among the parts; those too small to be one are left out.

    Figures that depend on flow paths (watertight, open_to) are as for a tight space; one with an open end is not tight.
    """
    large = np.flatnonzero(whole.volume > SLIVER_VOLUME).tolist()
    order = sorted(large, key=lambda k: fore_to_aft(whole.centroid[k]))
    at = np.full(len(whole.volume), -1, dtype=np.int64)
    at[order] = np.arange(len(order))
    named: dict[int, NamedSpace] = {}
    for seed, part in zip(scene.compartments, whole.homes, strict=True):
        if part >= 0 and at[part] >= 0:
            named.setdefault(part, seed)
    free = [k for k in order if k not in named]
    given = told_apart(
        [name_from(whole.bounds[k], shapes) for k in free], whole.centroid[free], frozenset(s.name for s in scene.compartments)
    )
    names = {**{k: seed.name for k, seed in named.items()}, **dict(zip(free, given, strict=True))}
    compartments = tuple(_compartment(names[k], named.get(k), whole, k) for k in order)
    return Spaces(compartments, at)


def _compartment(name: str, seed: NamedSpace | None, whole: WholeLayout, part: int) -> Compartment:
    mesh = whole.meshes[part]
    low, high = mesh.bounds
    x, y, z = whole.centroid[part].tolist()
    bounded = not bool((mesh.labels == OPEN_END).any())
    use = seed.use if seed else "void"
    stated = seed.permeability if seed else None
    return Compartment(
        name=name,
        use=use,
        named=seed is not None,
        volume=float(whole.volume[part]),
        centroid=(x, y, z),
        lowest=float(low[2]),
        highest=float(high[2]),
        bounded=bounded,
        watertight=bounded,
        open_to=(),
        permeability=USES[use].permeability if stated is None else stated,
        bounds=whole.bounds[part],
        mesh=mesh,
    )


def main_space(layout: Layout) -> str | None:
    """The largest space, where it holds `MAIN_SHARE` of the inside or more, or runs on past what was measured."""
    largest = max(layout.compartments, key=lambda space: (not space.bounded, space.volume), default=None)
    if largest is None or (largest.bounded and largest.volume < MAIN_SHARE * layout.inside_volume):
        return None
    return largest.name
