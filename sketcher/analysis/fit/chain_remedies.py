"""What can be done about a chain that does not stow itself: only what the locker, the deck and the panels there allow."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sketcher.analysis.fit.berths import headroom
from sketcher.analysis.phrases import mm
from sketcher.analysis.results import Compartment, Layout
from sketcher.analysis.spaces.blocks import home_of
from sketcher.geometry.packing.heap import Pile, heap, volume_heaped
from sketcher.model.contents import Chain

LEAST_CARRIED = 1.0
"""[m] Less chain than this is no chain to anchor with, and is not offered."""
ON_THE_FLOOR = 1e-3
"""[m] A place so far under a lid is looked at, clear of its face."""


def remedies(layout: Layout, space: Compartment, chain: Chain, full: Pile, repose: float, clear: float, per_metre: float) -> str:
    """Sentences on what makes a chain stow itself, each tried against what is there.

    full: its heap; clear: the fall [m] below the pipe that it needs; per_metre: the heap's volume for a metre of it [m3].
    """
    above = headroom(layout, np.array([chain.pipe]))
    missing = _raise_needed(space, chain, full, repose, clear, above)
    offers = [] if missing is None else [f"raise the pipe by {mm(missing)}"]
    if not full.reaches:
        offers += [f"lower {name} by {mm(clear - (chain.pipe[2] - full.peak))} or more" for name in _floors(layout, space, chain)]
    offers += [f"move {name} to make the locker longer" for name in planned_ends(layout, space)] if full.reaches else []
    carried = volume_heaped(space.mesh, chain.pipe[2] - clear, chain.pipe, repose) / per_metre
    if carried >= LEAST_CARRIED:
        offers.append(f"carry {np.floor(carried):.0f} m at most (so much stows itself)")
    words = " or ".join(offers)
    said = f" {words[:1].upper()}{words[1:]}." if offers else ""
    return said if missing is not None else f" Raising the pipe is not enough: {mm(above)} are clear above its end.{said}"


def _raise_needed(space: Compartment, chain: Chain, full: Pile, repose: float, clear: float, above: float) -> float | None:
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


def planned_ends(layout: Layout, space: Compartment) -> list[str]:
    """Planned bulkheads that end the locker."""
    bounding = {name for name, _ in space.bounds}
    return [
        shape.name for shape in layout.panels if shape.kind == "bulkhead" and _planned(shape.panel) and shape.name in bounding
    ]


def _planned(panel: object) -> bool:
    return getattr(panel, "built", "") == "planned" and not getattr(panel, "carries", ())
