"""What can be done about a chain that does not stow itself: only what the locker, the deck and the panels there allow."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sketcher.analysis.findings import Length, Phrase
from sketcher.analysis.fit.berths import Direction, headroom
from sketcher.analysis.results import Compartment, Layout
from sketcher.geometry.packing.heap import Heap, heap, volume_heaped
from sketcher.geometry.solid.rays import home_of
from sketcher.model.contents import Chain

LEAST_CARRIED = 1.0
"""[m] Less chain than this is no chain to anchor with, and is not offered."""
ON_THE_FLOOR = 1e-3
"""[m] A place so far under a lid is looked at, clear of its face."""


def remedies(
    layout: Layout, space: Compartment, chain: Chain, full: Heap, repose: float, clear: float, per_metre: float
) -> tuple[tuple[Phrase, ...], float | None]:
    """What makes a chain stow itself, each tried against what is there; and where raising its pipe does not, the room above [m].

    full: its heap; clear: the fall [m] below the pipe that it needs; per_metre: the heap's volume for a metre of it [m3].
    """
    above = headroom(layout, np.array([chain.pipe]))
    missing = _raise_needed(space, chain, full, repose, clear, above)
    offers = [] if missing is None else [Phrase("raise-pipe", {"by": Length(missing)})]
    if full.reaches:
        ends = planned_ends(layout, space).items()
        offers += [Phrase("locker-lengthened", {"panel": name, "direction": direction}) for name, direction in ends]
    else:
        lower = Length(clear - (chain.pipe[2] - full.peak))
        floors = _floors(layout, space, chain)
        offers += [Phrase("lid-moved", {"panel": name, "distance": lower, "direction": "down"}) for name in floors]
    carried = volume_heaped(space.mesh, chain.pipe[2] - clear, chain.pipe, repose) / per_metre
    if carried >= LEAST_CARRIED:
        offers.append(Phrase("carry-less", {"length": Length(carried)}))
    return tuple(offers), above if missing is None else None


def _raise_needed(space: Compartment, chain: Chain, full: Heap, repose: float, clear: float, above: float) -> float | None:
    """How much higher the pipe has to end [m]; None where there is not so much room above it."""
    peak = full.peak
    if full.reaches:
        x, y, z = chain.pipe
        higher = heap(space.mesh, full.volume + full.spilled, (x, y, z + above), repose)
        if higher.reaches:
            return None
        peak = higher.peak
    missing = peak + clear - chain.pipe[2]
    return missing if missing < above else None


def _floors(layout: Layout, space: Compartment, chain: Chain) -> Iterator[str]:
    """Planned lids that are the locker's floor under the pipe, with room below them for what is missing."""
    for shape in layout.panels:
        if shape.kind != "lid" or shape.panel.built != "planned" or (shape.name, "top") not in space.bounds:
            continue
        low = float(shape.mesh.bounds[0][2]) - ON_THE_FLOOR
        beneath = [other.mesh for other in layout.compartments if (shape.name, "under") in other.bounds]
        if home_of(np.array([chain.pipe[0], chain.pipe[1], low]), beneath) >= 0:
            yield shape.name


def planned_ends(layout: Layout, space: Compartment) -> dict[str, Direction]:
    """Planned bulkheads that end the locker, and the way each goes to make it longer."""
    found: dict[str, Direction] = {}
    for shape in layout.panels:
        faces = {face for name, face in space.bounds if name == shape.name} & {"forward", "after"}
        # With the locker on both sides of it, a bulkhead is no end of it.
        if shape.kind == "bulkhead" and _planned(shape.panel) and len(faces) == 1:
            found[shape.name] = "aft" if "forward" in faces else "forward"
    return found


def _planned(panel: object) -> bool:
    return getattr(panel, "built", "") == "planned" and not getattr(panel, "carries", ())
