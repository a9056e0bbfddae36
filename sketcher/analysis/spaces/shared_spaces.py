"""Where two named spaces that are really one are joined: past which edge of which panel, and by how much."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.findings import Length, Phrase, Place
from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import HullSolid
from sketcher.analysis.spaces.leaks.edge_extensions import open_edges, strips_along
from sketcher.analysis.spaces.leaks.gap_findings import owner_name
from sketcher.analysis.spaces.leaks.gap_sealing import Sealed, parted, with_strips
from sketcher.analysis.spaces.leaks.slots import looked_beyond, slots_beyond
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.boolean import solid_of

_REACHES = (0.04, 0.08, 0.16, 0.32, 0.64, 1.28)
"""[m] how far each panel is thought to grow, step by step, until the points come apart."""


def where_joined(
    sealed: Sealed, part: int, points: Sequence[Floats], shapes: Sequence[PanelShape], hull: HullSolid
) -> Phrase | None:
    """Where the part that holds these points (3,) is joined although they are named apart; None where no panel lies between."""
    mesh = sealed.parts.mesh(part)
    edges = open_edges(sealed.parts, shapes).get(part, ())
    if not edges:
        return None
    solid = solid_of(sealed.parts.of(part))
    for reach in _REACHES:
        strips = strips_along(shapes, edges, reach)
        near = {strip.origin: slots_beyond(strip, mesh, shapes[strip.panel]) for strip in strips}
        cut = parted(solid, strips, near, shapes, hull, with_strips(sealed.owners, strips))
        homes = set() if cut is None else {cut.left.holding(point) for point in points}
        if cut is None or len(homes) < 2:
            continue
        gaps = [slot for slot in cut.gaps if slot.between and set(slot.between) <= homes]
        if gaps:
            widest = looked_beyond(max(gaps, key=lambda slot: (slot.width, slot.length)), mesh)
            shape = shapes[widest.panel]
            return Phrase(
                "joined-past-edge",
                {
                    "edge": shape.faces[widest.face].name,
                    "panel": shape.name,
                    "beyond": owner_name(widest.beyond, shapes),
                    "width": Length(widest.width),
                    "length": Length(widest.length),
                    "at": Place(widest.at),
                },
            )
    return None
