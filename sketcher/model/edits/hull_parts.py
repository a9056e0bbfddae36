"""Parts that a hull may have or not have: coachroof, cockpit, stem, stern and appendages put on her or taken away."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sketcher.model.edits.hull_edits import as_filed, hull_field, owner_of, tape_rounded, with_attribute
from sketcher.model.errors import SketchError
from sketcher.model.fields.records import name_problem
from sketcher.model.hull import Appendage, Coachroof, Cockpit, Hull, with_heights_as_in, with_heights_up

PARTS: tuple[str, ...] = ("coachroof", "cockpit", "stem", "stern")
"""What a hull may have or not have, besides appendages."""


@dataclass(frozen=True, slots=True)
class AddPart:
    """Give the hull a coachroof, a cockpit, a stem or a stern of usual size, to be measured; any other name: an appendage."""

    name: str

    def apply(self, hull: Hull) -> Hull:
        if not hull.stations:
            raise SketchError("there is no station yet", "Enter the stations first.")
        own = with_heights_up(hull)
        if self.name in PARTS:
            if getattr(hull, self.name):
                raise SketchError(f"she has a {self.name} already", "Change its figures.")
            part = getattr(with_heights_as_in(with_attribute(own, self.name, _usual_part(own, self.name)), hull), self.name)
            part = as_filed(part, hull_field("", self.name).kind, hull, self.name)
            return with_attribute(hull, self.name, part)
        problem = name_problem(self.name, panel=False)
        if problem or any(item.name == self.name for item in hull.appendages):
            raise SketchError(problem or f"there is an appendage called `{self.name}` already", "Give it another name.")
        usual = replace(own, appendages=(_usual_appendage(own, self.name),))
        (added,) = as_filed(with_heights_as_in(usual, hull).appendages, hull_field("", "appendages").kind, hull, self.name)
        return replace(hull, appendages=(*hull.appendages, added))

    def describe(self, _: Hull) -> str:
        return f"Add {'a ' if self.name in PARTS else ''}{self.name}"


@dataclass(frozen=True, slots=True)
class RemovePart:
    """Take a coachroof, a cockpit, a stem, a stern or an appendage (`appendages.NAME`) away."""

    part: str

    def apply(self, hull: Hull) -> Hull:
        if self.part in ("stem", "stern"):
            return with_attribute(hull, self.part, ())
        if self.part in PARTS:
            return with_attribute(hull, self.part, None)
        gone = owner_of(hull, self.part)
        return replace(hull, appendages=tuple(item for item in hull.appendages if item is not gone))

    def describe(self, _: Hull) -> str:
        return f"Take the {self.part.removeprefix('appendages.')} away"


def _usual_part(hull: Hull, name: str) -> Any:
    """A part in the place where boats have it, in figures that a tape would show, for her own to be typed over."""
    first, last = hull.stations[0], hull.stations[-1]
    broad = max(point[0] for station in hull.stations for point in station.points)

    def along(share: float) -> float:
        return tape_rounded(first.at + share * (last.at - first.at), hull.units)

    if name in ("stem", "stern"):
        end, reach = (first, -0.06) if name == "stem" else (last, 1.06)
        return ((end.at, end.points[0][1]), (along(reach), end.points[-1][1]))
    if name == "coachroof":
        breadth, height = tape_rounded(0.55 * broad, hull.units), tape_rounded(0.3, hull.units)
        return Coachroof(start=along(0.3), end=along(0.6), half_breadth=(breadth, breadth), height=height)
    breadth, sole = tape_rounded(0.35 * broad, hull.units), (last.points[0][1] + last.points[-1][1]) / 2
    return Cockpit(start=along(0.68), end=along(0.95), half_breadth=(breadth, breadth), sole=tape_rounded(sole, hull.units))


def _usual_appendage(hull: Hull, name: str) -> Appendage:
    middle = (hull.stations[0].at + hull.stations[-1].at) / 2
    lowest = min(point[1] for station in hull.stations for point in station.points)
    return Appendage(name=name, volume=0.0, at=(tape_rounded(middle, hull.units), 0.0, tape_rounded(lowest - 0.2, hull.units)))
