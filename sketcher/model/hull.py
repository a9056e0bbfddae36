"""A hull as measured: plain values in metres and degrees; the surface is made from it in `analysis.hull.form`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import sqrt
from typing import Literal

Point2 = tuple[float, float]
Point3 = tuple[float, float, float]
LEAST_OUTLINE = 1e-6
"""[m2] An outline within less is none."""
HullMaterial = Literal["grp", "plywood", "wood", "steel", "aluminium", "ferro"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """Points [half-breadth, height] from the centreline up to the sheer, at a distance aft; knuckles count points from 1.

    port: as many points of the port side where the sides were measured apart, and points are starboard's; empty: both alike.

    guessed: which points were never measured, but stand for those that will be, counted from 1; measured_to: one standard
    deviation [m] of its numbers, None: as the hull's; points_measured_to: the same of single points, by their numbers, and
    at_measured_to of its place.
    """

    at: float
    points: tuple[Point2, ...]
    port: tuple[Point2, ...] = ()
    knuckles: tuple[int, ...] = ()
    guessed: tuple[int, ...] = ()
    measured_to: float | None = None
    points_measured_to: tuple[tuple[int, float], ...] = ()
    at_measured_to: float | None = None

    @property
    def wholly_guessed(self) -> bool:
        """Whether nothing of it was measured."""
        return len(self.guessed) == len(self.points)

    @property
    def to_port(self) -> tuple[Point2, ...]:
        """The port side's points."""
        return self.port or self.points


@dataclass(frozen=True, slots=True, kw_only=True)
class Deck:
    """One parabola across; camber is its rise [m] at the boat's greatest half-breadth at the sheer."""

    camber: float = 0.0
    thickness: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Coachroof:
    """A trunk on the deck that adds inside space; half_breadth is (forward, after), height above the deck's centreline."""

    start: float
    end: float
    half_breadth: tuple[float, float]
    height: float
    camber: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cockpit:
    """A well cut into the deck, outside the boat; sole is its height above the base line."""

    start: float
    end: float
    half_breadth: tuple[float, float]
    sole: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Appendage:
    """Volume [m3] outside the lofted hull that displaces water; lowest is its lowest point's height, if known.

    outline: (aft, height) in profile, on the centreline, from which with its mean thickness [m] all the others follow; empty:
    they are stated.
    """

    name: str
    volume: float = 0.0
    at: Point3 = (0.0, 0.0, 0.0)
    lowest: float | None = None
    outline: tuple[Point2, ...] = ()
    thickness: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DistanceCheck:
    """A distance [m] measured between two points, each by its station's place aft and its number from 1.

    across: from one side to the other, along the skin round under the keel; else both on one side. skin: a tape laid along
    the skin as short as it goes; else straight through the air.
    """

    name: str
    start: tuple[float, int]
    end: tuple[float, int]
    measured: float
    across: bool = False
    skin: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeBoat:
    """What is known of a boat of which only the forward part was measured; every figure from it is an estimate.

    Lengths [m] aft of the hull's zero, displacement [kg], kg_per_cm [kg], moment_per_cm [kg m]. None: not known.
    """

    length: float | None = None
    waterline_from: float | None = None
    waterline_to: float | None = None
    displacement: float | None = None
    kg_per_cm: float | None = None
    moment_per_cm: float | None = None
    centre_of_flotation: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hull:
    """A hull from its file. stem and stern: (aft, height) from the keel end up; empty: the end station is the end.

    measured_trim, measured_heel [deg]: how the boat stood when measured, by the bow and to starboard; level: marks on her that
    lie at one height when she floats as she should, which tell the same. heights_from [m]: how high over her base line what
    heights were measured from was, a floor or a string; heights_down: downwards from it. Everything else is as measured;
    figures are for the boat turned back about the hull's zero. measured_to: one standard deviation [m] of a measured
    number; None: not stated. transom_rake [deg], top aft positive; transom_curve [m]: how far its middle stands aft of a line
    across it where it is broadest, square to it, a part of a cylinder; 0: flat. material: of skin and deck; None: not stated.
    """

    name: str
    units: str
    stations: tuple[Station, ...]
    offsets_to: Literal["inside", "outside"] = "inside"
    shell: float = 0.0
    measured_trim: float = 0.0
    measured_heel: float = 0.0
    level: tuple[Point3, ...] = ()
    heights_from: float = 0.0
    heights_down: bool = False
    measured_to: float | None = None
    stem: tuple[Point2, ...] = ()
    stern: tuple[Point2, ...] = ()
    between_stations: Literal["smooth", "straight"] = "smooth"
    between_points: Literal["smooth", "straight"] = "smooth"
    transom_rake: float = 0.0
    transom_curve: float = 0.0
    deck: Deck = Deck()
    coachroof: Coachroof | None = None
    cockpit: Cockpit | None = None
    open_aft: bool = False
    appendages: tuple[Appendage, ...] = ()
    checks: tuple[DistanceCheck, ...] = ()
    twin_spacing: float | None = None
    boat: WholeBoat | None = None
    material: HullMaterial | None = None
    file: str | None = None

    @property
    def apart(self) -> bool:
        """Whether port and starboard were measured apart."""
        return any(station.port for station in self.stations)

    @property
    def made_of(self) -> HullMaterial:
        """What she is built of; GRP where nothing is stated."""
        return self.material or "grp"

    @property
    def bolted(self) -> bool:
        """Whether panels are bolted to her, since resin does not hold on her skin."""
        return self.made_of in ("steel", "aluminium", "ferro")


def over_base(hull: Hull, height: float) -> float:
    """A measured height [m] as one over the base line."""
    return hull.heights_from + (-height if hull.heights_down else height)


def with_heights_up(hull: Hull) -> Hull:
    """The hull with every height over the base line, whatever they were measured from."""
    if hull.heights_from == 0.0 and not hull.heights_down:
        return hull
    return replace(_with_heights(hull, lambda height: over_base(hull, height)), heights_from=0.0, heights_down=False)


def with_heights_as_in(hull: Hull, other: Hull) -> Hull:
    """A hull with heights over the base line, with them as `other` was measured."""
    sign = -1.0 if other.heights_down else 1.0
    measured = _with_heights(hull, lambda height: sign * (height - other.heights_from))
    return replace(measured, heights_from=other.heights_from, heights_down=other.heights_down)


def starboard_alone(hull: Hull) -> Hull:
    """The hull as if her port side were as her starboard side is; a curved transom keeps its radius."""
    curve, last = hull.transom_curve, hull.stations[-1]
    broadest, mine = (max((y for y, _ in points), default=0.0) for points in ((*last.points, *last.port), last.points))
    if curve and mine < broadest:
        radius = (broadest * broadest + curve * curve) / (2.0 * curve)
        curve = radius - sqrt(radius * radius - mine * mine)
    return replace(hull, stations=tuple(replace(station, port=()) for station in hull.stations), transom_curve=curve)


def mirrored_hull(hull: Hull) -> Hull:
    """The hull as a mirror shows her: what is to port comes to starboard."""

    def turned(station: Station) -> Station:
        return replace(station, points=station.port, port=station.points) if station.port else station

    return replace(
        hull,
        stations=tuple(turned(station) for station in hull.stations),
        measured_heel=-hull.measured_heel,
        level=tuple((x, -y, z) for x, y, z in hull.level),
        appendages=tuple(replace(each, at=(each.at[0], -each.at[1], each.at[2])) for each in hull.appendages),
    )


def with_outlines(hull: Hull) -> Hull:
    """The hull with what follows from the outlines of its appendages: volume, middle and lowest point."""
    if not any(item.outline for item in hull.appendages):
        return hull
    return replace(hull, appendages=tuple(_outlined(item, down=hull.heights_down) for item in hull.appendages))


def _outlined(item: Appendage, *, down: bool) -> Appendage:
    if not item.outline:
        return item
    area, x, z = area_and_middle(item.outline)
    heights = [height for _, height in item.outline]
    lowest = max(heights) if down else min(heights)
    return replace(item, volume=area * (item.thickness or 0.0), at=(x, 0.0, z), lowest=lowest)


def area_and_middle(outline: tuple[Point2, ...]) -> tuple[float, float, float]:
    """The area [m2] of a closed outline and its middle; of one without area the mean of its points."""
    x0, z0 = outline[0]
    area, first, second = 0.0, 0.0, 0.0
    for (a, b), (c, d) in zip(outline, (*outline[1:], outline[0]), strict=True):
        cross = (a - x0) * (d - z0) - (c - x0) * (b - z0)
        area += cross / 2.0
        first += cross * (a + c - 2.0 * x0) / 6.0
        second += cross * (b + d - 2.0 * z0) / 6.0
    if abs(area) < LEAST_OUTLINE:
        return 0.0, sum(x for x, _ in outline) / len(outline), sum(z for _, z in outline) / len(outline)
    return abs(area), x0 + first / area, z0 + second / area


def _with_heights(hull: Hull, turned: Callable[[float], float]) -> Hull:
    def profile(points: tuple[Point2, ...]) -> tuple[Point2, ...]:
        return tuple((first, turned(height)) for first, height in points)

    def mark(x: float, y: float, height: float) -> Point3:
        return (x, y, turned(height))

    return replace(
        hull,
        stations=tuple(replace(station, points=profile(station.points), port=profile(station.port)) for station in hull.stations),
        stem=profile(hull.stem),
        stern=profile(hull.stern),
        level=tuple(mark(*each) for each in hull.level),
        cockpit=hull.cockpit and replace(hull.cockpit, sole=turned(hull.cockpit.sole)),
        appendages=tuple(
            replace(
                each,
                at=mark(*each.at),
                lowest=None if each.lowest is None else turned(each.lowest),
                outline=profile(each.outline),
            )
            for each in hull.appendages
        ),
    )
