"""Tabs of one part in slots of another: which edges get them, and where they stand clear of everything else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.analysis.cut.card.abutments import Abutment, Way
from sketcher.analysis.cut.card.parts import CardPart, CardSeam, ModelScale
from sketcher.analysis.cut.card.solids import overlap_depth, part_solid, slab
from sketcher.geometry.mesh import Floats

PROUD = 1.0
"""[mm of paper] Tabs stand out so far behind the card that they go through, to be pressed down with glue."""

WIDEST, LEAST, LONG = 10.0, 4.0, 60.0
"""[mm of paper] A tab is no wider, an edge with less than twice the least has none, and a long edge one for each so long."""

LAND = 1.5
"""[mm of paper] Card left beside a slot."""

_TRIED = (0.0, 0.15, -0.15, 0.3, -0.3)
"""Shares of a stretch by which a tab is shifted from its middle until it stands clear."""

_CLEAR = 0.05
"""[mm of paper] A tab goes no deeper into anything it does not belong in."""

_ORDER: tuple[Way, ...] = ("down", "forward", "aft", "port", "starboard")


def tab_way(part: CardPart, found: Sequence[Abutment], halved: bool, of: ModelScale) -> Way | None:
    """The one way that a part's tabs point: down, or along its slide into place; down alone where it is halved or on a spine."""
    lengths: dict[Way, float] = {}
    for contact in found:
        way = contact.way(part)
        lengths[way] = lengths.get(way, 0.0) + of.paper(contact.length)
    if lengths.get("down", 0.0) >= 2 * LEAST:
        return "down"
    if halved or part.ring or (part.kind != "lid" and part.kind != "berth" and _held(lengths)):
        return None
    level = {way: length for way, length in lengths.items() if way in _ORDER and length >= 2 * LEAST}
    return max(level, key=lambda way: (level[way] > 0.8 * max(level.values()), -_ORDER.index(way)), default=None)


def _held(lengths: dict[Way, float]) -> bool:
    """Whether others stand at both ends: an upright part can then not be moved along, nor tilted as a lid can."""
    return ("forward" in lengths and "aft" in lengths) or ("port" in lengths and "starboard" in lengths)


def tabbed(changed: dict[str, CardPart], contact: Abutment, of: ModelScale) -> CardSeam | None:
    """Give an edge its tabs, and the other part their slots; None where none stands clear."""
    length = of.paper(contact.length)
    if length < 2 * LEAST:
        return None
    count = max(1, round(length / LONG))
    width = min(WIDEST, max(LEAST, length / count / 4))
    others = [part_solid(part, of.thickness) for name, part in changed.items() if name not in (contact.part, contact.against)]
    done = 0
    for k in range(count):
        for shift in _TRIED:
            middle = contact.start + (contact.end - contact.start) * ((k + 0.5 + shift) / count)
            if _one_tab(changed, contact, middle, width, others, of):
                done += 1
                break
    if not done:
        return None
    ends = changed[contact.part].frame.space(np.stack([contact.start, contact.end]))
    return CardSeam(kind="tabs", part=contact.part, against=contact.against, line=_between(ends), tabs=done)


def _between(ends: Floats) -> Floats:
    shares = np.linspace(0.0, 1.0, 9)[:, None]
    line: Floats = ends[0] * (1.0 - shares) + ends[1] * shares
    return line


def _one_tab(
    changed: dict[str, CardPart], contact: Abutment, middle: Floats, width: float, others: Sequence[Manifold], of: ModelScale
) -> bool:
    """Add one tab and its slot, if it stands clear there."""
    part, against = changed[contact.part], changed[contact.against]
    half = contact.along * of.full(width) / 2
    through = of.thickness * (1.0 + contact.cosine) / contact.sine
    reach = contact.out * (through + of.full(PROUD))
    # It begins inside the part, so that both are one area.
    root = -contact.out * of.full(1.0)
    tab = shapely.Polygon([middle - half + root, middle + half + root, middle + half + reach, middle - half + reach])
    if not shapely.Polygon([middle - half + root, middle + half + root, middle + half, middle - half]).within(
        part.outline.buffer(of.full(0.1))
    ):
        return False
    across = np.stack([middle - half, middle + half])
    inside = contact.out * (of.thickness / 2 / contact.sine)
    line = against.frame.flat(part.frame.space(across + inside))
    slot = shapely.LineString(line).buffer(through / 2, cap_style="flat")
    room = slot.buffer(of.full(LAND), join_style="mitre")
    if (
        not against.outline.contains(room)
        or against.slots.intersects(room)
        or part.slots.intersects(tab.buffer(of.full(LAND / 2)))
    ):
        return False
    solid = slab(tab, part.frame, -of.thickness / 2, of.thickness / 2)
    if any(of.paper(overlap_depth(solid, other)) > _CLEAR for other in others):
        return False
    changed[part.name] = replace(part, outline=shapely.union(part.outline, tab), slots=shapely.union(part.slots, tab))
    changed[against.name] = replace(
        against, outline=shapely.difference(against.outline, slot), slots=shapely.union(against.slots, slot)
    )
    return True
