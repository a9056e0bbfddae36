"""Keel, skeg and rudder by their outline in profile and a mean thickness, in place of their litres."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.model.edits.hull_edits import as_filed, hull_field, owner_of
from sketcher.model.hull import Appendage, Hull, Point2, area_and_middle, with_outlines
from sketcher.model.units import example_length, parse_length

USUAL_DEPTH, USUAL_LENGTH, USUAL_THICKNESS = 0.6, 0.5, 0.1
"""[m] Of an appendage of which no figure tells them."""
SHORTEST, LONGEST = 0.2, 4.0
"""[m] Between which a first outline is long, whatever its litres would make it."""


@dataclass(frozen=True, slots=True)
class OutlineAppendage:
    """Give an appendage an outline of four points that holds its litres, to be dragged; or take it away, its figures left."""

    name: str
    outlined: bool

    def apply(self, hull: Hull) -> Hull:
        item: Appendage = owner_of(hull, f"appendages.{self.name}")
        changed = _first_outline(item, hull) if self.outlined else replace(item, outline=(), thickness=None)
        (changed,) = as_filed((changed,), hull_field("", "appendages").kind, hull, f"appendages.{self.name}")
        return with_outlines(replace(hull, appendages=tuple(changed if each is item else each for each in hull.appendages)))

    def describe(self, _: Hull) -> str:
        return f"Outline {self.name}" if self.outlined else f"Tell {self.name} by its litres"


def _first_outline(item: Appendage, hull: Hull) -> Appendage:
    """A rectangle about its middle, as deep as its lowest point says, the top first."""
    x, _, z = item.at
    depth = 2.0 * abs(z - item.lowest) if item.lowest is not None else USUAL_DEPTH
    length = min(max(item.volume / (depth * USUAL_THICKNESS), SHORTEST), LONGEST) if item.volume else USUAL_LENGTH

    def on_tape(value: float) -> float:
        return parse_length(example_length(value, hull.units), hull.units) or 0.0

    fore, aft, top, low = (on_tape(value) for value in (x - length / 2, x + length / 2, z + depth / 2, z - depth / 2))
    outline: tuple[Point2, ...] = ((fore, top), (aft, top), (aft, low), (fore, low))
    area = area_and_middle(outline)[0]
    return replace(item, outline=outline, thickness=item.volume / area if item.volume and area else USUAL_THICKNESS)
