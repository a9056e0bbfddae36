"""Names that stay with their spaces: where a panel moves past the point that names a space, the point has to move too."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sketcher.analysis.afloat.permeability import USES
from sketcher.analysis.results import Compartment, FlowPath, Layout
from sketcher.analysis.spaces.default_names import name_from, told_apart
from sketcher.analysis.spaces.drag.lazy_sequence import LazySequence
from sketcher.geometry.solid.rays import holds
from sketcher.geometry.solid.section import frame_x, section
from sketcher.model.hull import Point3
from sketcher.model.scene import NamedSpace

SECTIONS = (0.5, 0.4, 0.6, 0.25, 0.75)
"""[share of a space's length] Where a section is looked at for a point well inside; the next where one is empty."""


def spaces_left(before: Layout, after: Layout) -> dict[str, Compartment]:
    """For each name of `before` that is lost in `after`: its space there, the unnamed one with the same bounds.

    A name whose point was itself changed is left alone, and so is one whose space cannot be told for certain.
    """
    then = {space.name: space for space in before.compartments if space.named}
    now = {space.name: space for space in after.compartments if space.named}
    kept = set(before.scene.compartments)
    left: dict[str, Compartment] = {}
    for seed in after.scene.compartments:
        was, here = then.get(seed.name), now.get(seed.name)
        if seed not in kept or was is None or (here is not None and here.bounds == was.bounds):
            continue
        alike = [space for space in after.compartments if space.bounds == was.bounds]
        if len(alike) == 1 and not alike[0].named:
            left[seed.name] = alike[0]
    return left


def names_following(before: Layout, after: Layout) -> tuple[NamedSpace, ...]:
    """The named spaces of `after` whose points must move for the names to stay with their spaces, each with its new point."""
    left = spaces_left(before, after)
    return tuple(replace(seed, at=point_inside(left[seed.name])) for seed in after.scene.compartments if seed.name in left)


def under_their_names(before: Layout, after: Layout) -> Layout:
    """`after` with its spaces called as they will be once the names have followed them: what is shown while a panel moves.

    Nothing of the scene is changed. A space that had taken over a name goes by the one it had before, else by its bounds.
    """
    left = spaces_left(before, after)
    if not left:
        return after
    then = {space.name: space for space in before.compartments}
    alike = {space.bounds: space for space in before.compartments}
    becomes = {space.name: then[name] for name, space in left.items()}
    taken = frozenset(then) | {space.name for space in after.compartments}
    for space in after.compartments:
        if space.name in left and space.name not in becomes:
            (name,) = told_apart([name_from(space.bounds, after.panels)], np.array([space.centroid]), taken)
            unnamed = replace(space, name=name, named=False, use="void", permeability=USES["void"].permeability)
            becomes[space.name] = alike.get(space.bounds, unnamed)
    words = {name: source.name for name, source in becomes.items()}

    def other(name: str) -> str:
        return words.get(name, name)

    def renamed(space: Compartment) -> Compartment:
        source = becomes.get(space.name, space)
        return replace(
            space,
            name=source.name,
            named=source.named,
            use=source.use,
            permeability=source.permeability,
            open_to=tuple(other(name) for name in space.open_to),
        )

    def joining(paths: tuple[FlowPath, ...]) -> tuple[FlowPath, ...]:
        return tuple(replace(path, between=(other(path.between[0]), other(path.between[1]))) for path in paths)

    return replace(
        after,
        compartments=tuple(renamed(space) for space in after.compartments),
        flow_paths=joining(after.flow_paths),
        closed=joining(after.closed),
        adjoining=LazySequence(lambda: tuple((other(one), other(two)) for one, two in after.adjoining)),
    )


def point_inside(space: Compartment) -> Point3:
    """A point well inside a compartment [m]: in the middle of the largest part of a section near its middle."""
    low, high = space.mesh.bounds
    for share in SECTIONS:
        x = float(low[0] + share * (high[0] - low[0]))
        cut = section(space.mesh, frame_x(x))
        if not cut.is_empty:
            spot = max(cut.geoms, key=lambda polygon: polygon.area).representative_point()
            # A section just where a panel's face is shows the panel too.
            if holds(space.mesh, np.array([x, spot.x, spot.y])):
                return x, float(spot.x), float(spot.y)
    x, y, z = np.array(space.centroid).tolist()
    return x, y, z
