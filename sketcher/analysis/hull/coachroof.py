"""What stands on the deck and what is let into it: the coachroof joined to the hull's bodies, the cockpit cut out of them."""

from __future__ import annotations

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.hull.deck import DeckSurface
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.boolean import reserve_ids, surface_of, to_manifold
from sketcher.geometry.surface.shell import block_under, grid_solid, stitched
from sketcher.model.errors import SketchError
from sketcher.model.hull import Coachroof, Cockpit, Hull
from sketcher.model.units import format_length

SINK = 0.01
"""[m] How far the coachroof's solid goes into the hull's and the cockpit's beyond it: more than facets leave their surface."""

HEADROOM = 2.0
"""[m] How far over the deck the cockpit's solid goes: higher than any coachroof it may cut."""

PLACES = 24
"""Columns of a coachroof's or cockpit's solid: it follows the sheer to a fraction of a millimetre."""


def with_houses(hull: Hull, solid: Manifold, deck: DeckSurface, grow: float, steps: int) -> Manifold:
    """The starboard half of a body, or of the lid over it, with the coachroof's joined and the cockpit's cut out.

    deck: this face's. steps: of a parabola from its edge to its middle. grow [m]: how far this face lies outside the measured
    one: 0, or the deck's thickness, negative inside.
    """
    first = reserve_ids(2)
    if hull.coachroof is not None:
        solid = solid + to_manifold(_coachroof(hull.coachroof, deck, grow, steps), first, what="the coachroof")
    if hull.cockpit is not None:
        solid = solid - to_manifold(_cockpit(hull.cockpit, deck, grow), first + 1, what="the cockpit")
    return solid


def raised(hull: Hull, half: TriMesh, deck: DeckSurface, grow: float, steps: int, label: int) -> TriMesh:
    """A half of a body with its deck, the triangles of that label, rebuilt about the coachroof and the cockpit.

    Only a block under the deck beside them goes through the solid kernel, not the skin. Raises GeometryError where the deck's
    edge does not stay as it is, as with a cockpit that runs out through the transom.
    """
    start, end = _run(hull, grow)
    x = half.vertices[:, 0][half.triangles.T]
    near = (half.labels == label) & (x.max(axis=0) > start) & (x.min(axis=0) < end)
    block = block_under(half.vertices, half.triangles[near], float(half.vertices[:, 2].min()) - HEADROOM)
    first = reserve_ids(1)
    surface = surface_of(with_houses(hull, to_manifold(block, first, what="the deck"), deck, grow, steps))
    of_block = surface.origin == first
    kept = ~of_block | (block.labels[np.where(of_block, surface.face, 0)] == 0)
    top = TriMesh(surface.vertices, surface.triangles[kept], np.full(int(kept.sum()), label))
    return stitched([TriMesh(half.vertices, half.triangles[~near], half.labels[~near]), top])


def _run(hull: Hull, grow: float) -> tuple[float, float]:
    """The least and the greatest x [m] of coachroof and cockpit, with some room beside them."""
    room = abs(grow) + SINK
    raised = [each for each in (hull.coachroof, hull.cockpit) if each is not None]
    return min(each.start for each in raised) - room, max(each.end for each in raised) + room


def check_houses(hull: Hull, deck: DeckSurface, lines: Floats) -> None:
    """Raises SketchError where a coachroof is wider than the deck, or a cockpit leaves the hull sideways or downwards."""
    if hull.coachroof is not None:
        _check_coachroof(hull, hull.coachroof, deck)
    if hull.cockpit is not None:
        _check_cockpit(hull, hull.cockpit, deck, lines)


def _plan(start: float, end: float, half_breadth: tuple[float, float], grow: float, steps: int) -> tuple[Floats, Floats, Floats]:
    """x (columns, 1), y (columns, rows) and half-breadth (columns, 1) over half a tapered plan grown by `grow` all round."""
    x = np.linspace(start - grow, end + grow, PLACES)[:, None]
    breadth = _breadth(start, end, half_breadth, x) + grow
    return x, breadth * np.linspace(0.0, 1.0, steps + 1), breadth


def _breadth(start: float, end: float, half_breadth: tuple[float, float], x: Floats) -> Floats:
    forward, after = half_breadth
    breadth: Floats = forward + (after - forward) * (x - start) / (end - start)
    return breadth


def _coachroof(roof: Coachroof, deck: DeckSurface, grow: float, steps: int) -> TriMesh:
    curved = roof.camber > 0.0 or deck.camber > 0.0
    x, y, breadth = _plan(roof.start, roof.end, roof.half_breadth, grow, steps if curved else 1)
    top = deck.at(x, np.zeros_like(x)) + roof.height - roof.camber * (y / breadth) ** 2
    return grid_solid(_raised(x, y, top), _raised(x, y, deck.at(x, y) - SINK))


def _cockpit(well: Cockpit, deck: DeckSurface, grow: float) -> TriMesh:
    x, y, _ = _plan(well.start, well.end, well.half_breadth, -grow, 1)
    top = deck.at(x, np.zeros_like(x)) + HEADROOM
    return grid_solid(_raised(x, y, np.repeat(top, y.shape[1], axis=1)), _raised(x, y, np.full_like(y, well.sole + grow)))


def _raised(x: Floats, y: Floats, z: Floats) -> Floats:
    return np.stack([np.broadcast_to(x, y.shape), y, z], axis=2)


def _check_coachroof(hull: Hull, roof: Coachroof, deck: DeckSurface) -> None:
    x = np.linspace(roof.start, roof.end, PLACES)
    room = np.interp(x, deck.x, deck.half_breadth) - _breadth(roof.start, roof.end, roof.half_breadth, x)
    worst = int(np.argmin(room))
    if roof.start < deck.x[0] or roof.end > deck.x[-1]:
        raise _error(hull, "coachroof", "it runs past the end of the deck", "Keep `from` and `to` on the deck.")
    if room[worst] < SINK:
        place, there = _length(hull, float(x[worst])), _length(hull, float(np.interp(x[worst], deck.x, deck.half_breadth)))
        raise _error(
            hull, "coachroof", f"at {place} it is as wide as the deck, whose half-breadth is {there} there", "Make it narrower."
        )
    if roof.camber >= roof.height + hull.deck.camber:
        raise _error(hull, "coachroof", "its camber takes its sides down to the deck", "Give it more height or less camber.")


def _check_cockpit(hull: Hull, well: Cockpit, deck: DeckSurface, lines: Floats) -> None:
    sole = _length(hull, well.sole)
    edge = lines[:, -1, 0]
    places = np.linspace(max(well.start, edge[0]), min(well.end, edge[-1]), PLACES)
    if places[-1] <= places[0]:
        raise _error(hull, "cockpit", "it does not lie on the deck", "Check `from` and `to`.")
    for column in _columns_at(lines, places):
        place = _length(hull, float(column[-1, 0]))
        breadth = float(_breadth(well.start, well.end, well.half_breadth, column[-1, 0]))
        if well.sole >= column[-1, 2]:
            raise _error(hull, "cockpit", f"its sole, {sole}, is above the sheer at {place}", "Give a lower `sole`.")
        if well.sole <= column[:, 2].min():
            raise _error(hull, "cockpit", f"its sole, {sole}, is under the hull at {place}", "Give a higher `sole`.")
        room = float(column[column[:, 2] >= well.sole, 1].min())
        if breadth >= room - SINK:
            there = _length(hull, room)
            raise _error(
                hull,
                "cockpit",
                f"at {place} it comes through the hull's side, which is {there} off the centreline at the sole",
                "Make it narrower or its sole higher.",
            )


def _columns_at(lines: Floats, places: Floats) -> Floats:
    """The loft's columns (k, rows, 3) that meet the sheer at these x."""
    edge = lines[:, -1, 0]
    after = np.clip(np.searchsorted(edge, places), 1, len(edge) - 1)
    share = ((places - edge[after - 1]) / (edge[after] - edge[after - 1]))[:, None, None]
    columns: Floats = lines[after - 1] + share * (lines[after] - lines[after - 1])
    return columns


def _length(hull: Hull, metres: float) -> str:
    return f"{format_length(round(metres, 3), hull.units)} {hull.units}"


def _error(hull: Hull, key: str, message: str, remedy: str) -> SketchError:
    return SketchError(message, remedy, hull.file, key=key)
