"""What a space's use brings with it that burns, explodes or poisons, whatever else is said of the space."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sketcher.analysis.findings import Finding, Place
from sketcher.analysis.results import Compartment, Layout


def hazard_findings(layout: Layout) -> tuple[Finding, ...]:
    """Cautions by the use of each space and by what the scene puts into it, one for each hazard."""
    return tuple(_foam(layout))


def foamed(layout: Layout) -> list[Compartment]:
    """Spaces that are to hold foam: by their use, or since a filling is listed for them."""
    listed = {foam.space for foam in layout.scene.foams}
    return [space for space in layout.compartments if space.use == "foam" or space.name in listed]


def foam_unlisted(layout: Layout) -> list[Compartment]:
    """Spaces that are for foam, though no filling is listed: poured or blocks, and how much, is not known."""
    listed = {foam.space for foam in layout.scene.foams}
    return [space for space in layout.compartments if space.use == "foam" and space.name not in listed]


def _foam(layout: Layout) -> Iterator[Finding]:
    spaces = foamed(layout)
    if spaces:
        names = tuple(space.name for space in spaces)
        yield Finding(code="foam-burns", severity="warn", object=names[0], values={"spaces": names}, source="foam-fire")
    for space in foam_unlisted(layout):
        yield Finding(
            code="foam-not-listed",
            severity="note",
            object=space.name,
            values={"space": space.name, "lowest": _lowest(space)},
            source="foam-fire",
        )


def _lowest(space: Compartment) -> Place:
    x, y, z = space.mesh.vertices[np.argmin(space.mesh.vertices[:, 2])].tolist()
    return Place((x, y, z))
