"""Every action on a hull as a named, frozen edit: Hull -> Hull, with what it does in words.

A hull under way may be half-entered: an edit refuses a value that no file could hold, never one that makes no surface yet.
Lengths keep to the step that the file can hold. Stations and points count from 1, as in the file.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal, Protocol

from sketcher.geometry.tolerances import SECTIONS_APART
from sketcher.model.edits.edit_words import said, value_words
from sketcher.model.edits.hull_sides import points_of_side, with_side
from sketcher.model.errors import SketchError
from sketcher.model.fields.kinds import anywhere
from sketcher.model.fields.reading import Field, Kind
from sketcher.model.files.hull_file import HULL_FIELDS, PART_FIELDS, PROFILE_POINT, STATION_FIELDS, STATION_POINT
from sketcher.model.files.scene_file import round_trip
from sketcher.model.hull import (
    Hull,
    Point2,
    Station,
    with_outlines,
)
from sketcher.model.units import example_length, format_length, parse_length

Axis = Literal[0, 1]
"""Of a station's point its half-breadth and height; of a profile's its distance aft and height."""
Profile = Literal["stem", "stern"]
Place = int | Profile
"""What points belong to: a station by its number, or a profile."""
BEYOND = 0.1
"""[m] A station that is added past the ends stands so far from the last one where none is said."""


class HullEdit(Protocol):
    """A change to a hull. `apply` raises SketchError, in words, where it cannot be; `describe` is given the hull before."""

    def apply(self, hull: Hull) -> Hull: ...

    def describe(self, hull: Hull) -> str: ...


@dataclass(frozen=True, slots=True)
class SetStationAt:
    """Say how far aft a station stands [m]. Guessed stations behind it that it would pass make way."""

    number: int
    at: float

    def apply(self, hull: Hull) -> Hull:
        station = station_of(hull, self.number)
        at = as_filed(self.at, anywhere, hull, f"stations.{self.number}.at")
        stations = [*hull.stations]
        stations[self.number - 1] = replace(station, at=at)
        return replace(hull, stations=_made_way(stations, self.number, hull.units))

    def describe(self, hull: Hull) -> str:
        old, new = station_of(hull, self.number).at, station_of(self.apply(hull), self.number).at
        return f"Move station {self.number} {said(STATION_FIELDS[0], old, new, hull.units)}"


@dataclass(frozen=True, slots=True)
class SetPoint:
    """Set one number of a point, to port where it says so. A guessed point whose height is measured is guessed no more."""

    place: Place
    number: int
    axis: Axis
    value: float
    port: bool = False

    def apply(self, hull: Hull) -> Hull:
        points = list(points_at(hull, self.place, port=self.port))
        point = list(_point(points, self.number, self.place))
        point[self.axis] = self.value
        kind = STATION_POINT if isinstance(self.place, int) else PROFILE_POINT
        key = f"{_key(self.place)}.{self.number}"
        points[self.number - 1] = as_filed((point[0], point[1]), kind, hull, key)
        changed = with_points(hull, self.place, tuple(points), port=self.port)
        if isinstance(self.place, int) and self.axis == 1:
            station = station_of(changed, self.place)
            guessed = tuple(number for number in station.guessed if number != self.number)
            changed = with_station(changed, self.place, replace(station, guessed=guessed))
        return changed

    def describe(self, hull: Hull) -> str:
        old, new = (points_at(each, self.place, port=self.port)[self.number - 1][self.axis] for each in (hull, self.apply(hull)))
        axis = ("half-breadth" if isinstance(self.place, int) else "distance aft", "height")[self.axis]
        what = f"{_where(hull, self.place)}, point {self.number}{' to port' if self.port else ''}: {axis}"
        return f"{what} {value_words(_ANY, new, hull.units)}" if old == new else f"{what} {said(_ANY, old, new, hull.units)}"


@dataclass(frozen=True, slots=True)
class AddPoint:
    """Add a point after one (0: before the first), half way to the next or as far past the last; it is guessed."""

    place: Place
    after: int

    def apply(self, hull: Hull) -> Hull:
        kind = STATION_POINT if isinstance(self.place, int) else PROFILE_POINT

        def added(points: tuple[Point2, ...]) -> tuple[Point2, ...]:
            point = as_filed(_between(points, self.after), kind, hull, f"{_key(self.place)}.{self.after + 1}")
            return (*points[: self.after], point, *points[self.after :])

        changed = with_points(hull, self.place, added(points_at(hull, self.place)))
        if not isinstance(self.place, int):
            return changed
        station = station_of(changed, self.place)
        station = replace(station, port=added(station.port) if station.port else ())
        guessed = (*_shifted(station.guessed, self.after, 1), self.after + 1)
        knuckles = _shifted(station.knuckles, self.after, 1)
        errors = tuple((point + (point > self.after), error) for point, error in station.points_measured_to)
        station = replace(station, knuckles=knuckles, guessed=tuple(sorted(guessed)), points_measured_to=errors)
        return with_station(changed, self.place, station)

    def describe(self, hull: Hull) -> str:
        return f"Add a point {self.after + 1} to {_where(hull, self.place)}"


@dataclass(frozen=True, slots=True)
class RemovePoint:
    """Take a point out; those after it count one less."""

    place: Place
    number: int

    def apply(self, hull: Hull) -> Hull:
        points = points_at(hull, self.place)
        _point(points, self.number, self.place)
        changed = with_points(hull, self.place, (*points[: self.number - 1], *points[self.number :]))
        if not isinstance(self.place, int):
            return changed
        station = station_of(changed, self.place)
        station = replace(station, port=(*station.port[: self.number - 1], *station.port[self.number :]))
        marks = ((one for one in each if one != self.number) for each in (station.knuckles, station.guessed))
        knuckles, guessed = (_shifted(tuple(each), self.number, -1) for each in marks)
        left = ((point, error) for point, error in station.points_measured_to if point != self.number)
        errors = tuple((point - (point > self.number), error) for point, error in left)
        station = replace(station, knuckles=knuckles, guessed=guessed, points_measured_to=errors)
        return with_station(changed, self.place, station)

    def describe(self, hull: Hull) -> str:
        return f"Take point {self.number} of {_where(hull, self.place)} out"


@dataclass(frozen=True, slots=True)
class MarkKnuckle:
    """Say that a point is a hard corner, or that it is none."""

    station: int
    point: int
    hard: bool

    def apply(self, hull: Hull) -> Hull:
        station = station_of(hull, self.station)
        _point(station.points, self.point, self.station)
        others = {number for number in station.knuckles if number != self.point}
        knuckles = tuple(sorted(others | ({self.point} if self.hard else set())))
        return with_station(hull, self.station, replace(station, knuckles=knuckles))

    def describe(self, hull: Hull) -> str:
        what = "a knuckle" if self.hard else "no knuckle"
        return f"{_where(hull, self.station)}, point {self.point}: {what}"


@dataclass(frozen=True, slots=True)
class AddStation:
    """Add a station at a distance aft [m]; its points are guessed from the stations beside it."""

    at: float

    def apply(self, hull: Hull) -> Hull:
        at = as_filed(self.at, anywhere, hull, "stations")
        if any(abs(station.at - at) < SECTIONS_APART for station in hull.stations):
            raise SketchError("a station stands there already", "Give another distance aft, or change that one.")
        stations = sorted((*hull.stations, _guessed_station(hull, at)), key=lambda station: station.at)
        return replace(hull, stations=tuple(stations))

    def describe(self, hull: Hull) -> str:
        return f"Add a station at {value_words(_ANY, self.at, hull.units)}"


@dataclass(frozen=True, slots=True)
class RemoveStation:
    """Take a station out."""

    number: int

    def apply(self, hull: Hull) -> Hull:
        station_of(hull, self.number)
        return replace(hull, stations=(*hull.stations[: self.number - 1], *hull.stations[self.number :]))

    def describe(self, hull: Hull) -> str:
        return f"Take {_where(hull, self.number)} out"


@dataclass(frozen=True, slots=True)
class SetHullValue:
    """Set one value by the part of the file it stands in and its key there.

    part: "" for the hull's own keys, `deck`, `coachroof` and so on, `appendages.NAME` for an appendage.
    """

    part: str
    key: str
    value: Any

    def apply(self, hull: Hull) -> Hull:
        field = hull_field(self.part, self.key)
        owner = owner_of(hull, self.part)
        value = self.value if self.value is None else as_filed(self.value, field.kind, hull, _dotted(self.part, self.key))
        return _with_owner(hull, self.part, replace(owner, **{field.attribute: value}))

    def describe(self, hull: Hull) -> str:
        field = hull_field(self.part, self.key)
        old, new = (getattr(owner_of(each, self.part), field.attribute) for each in (hull, self.apply(hull)))
        if (self.part, self.key) == ("", "hull"):
            return f"Rename the hull to {new}"
        what = f"{self.part.removeprefix('appendages.')}'s {field.words}" if self.part else field.words
        return f"Set {what} {'' if old is None else 'from '}{said(field, old, new, hull.units)}"


_ANY = Field("at", "at", anywhere)


def station_of(hull: Hull, number: int) -> Station:
    """A station by its number. Raises SketchError where there is none."""
    if not 1 <= number <= len(hull.stations):
        raise SketchError(f"there is no station {number}", f"There are {len(hull.stations)}.")
    return hull.stations[number - 1]


def with_station(hull: Hull, number: int, station: Station) -> Hull:
    """The hull with a station in another's place."""
    return replace(hull, stations=(*hull.stations[: number - 1], station, *hull.stations[number:]))


def points_at(hull: Hull, place: Place, *, port: bool = False) -> tuple[Point2, ...]:
    """The points of a station, of one of its sides, or of a profile."""
    if isinstance(place, int):
        return points_of_side(station_of(hull, place), port=port)
    return hull.stem if place == "stem" else hull.stern


def with_points(hull: Hull, place: Place, points: tuple[Point2, ...], *, port: bool = False) -> Hull:
    """The hull with other points there."""
    if isinstance(place, int):
        return with_station(hull, place, with_side(station_of(hull, place), points, port=port))
    return with_attribute(hull, place, points)


def with_attribute(hull: Hull, attribute: str, value: Any) -> Hull:
    """The hull with another value of an attribute."""
    changes: dict[str, Any] = {attribute: value}
    return replace(hull, **changes)


def hull_field(part: str, key: str) -> Field:
    """A field of a hull's file by its part and key. Raises SketchError where there is none."""
    fields = PART_FIELDS.get(part.partition(".")[0], ()) if part else HULL_FIELDS
    found = next((field for field in fields if field.key == key), None)
    if found is None or key in ("units", "stations"):
        raise SketchError(f"a hull has no `{_dotted(part, key)}` to be set")
    return found


def owner_of(hull: Hull, part: str) -> Any:
    """What holds a part's values. Raises SketchError where the hull has no such part."""
    if part in ("", "measured", "transom", "twin"):
        return hull
    kind, _, name = part.partition(".")
    found = next((item for item in hull.appendages if item.name == name), None) if name else getattr(hull, kind)
    if found is None:
        raise SketchError(f"the hull has no {name or kind}", "Add it first.")
    return found


def _with_owner(hull: Hull, part: str, changed: Any) -> Hull:
    if isinstance(changed, Hull):
        return changed
    kind, _, name = part.partition(".")
    if not name:
        return with_attribute(hull, kind, changed)
    return with_outlines(replace(hull, appendages=tuple(changed if item.name == name else item for item in hull.appendages)))


def _dotted(part: str, key: str) -> str:
    return f"{part}.{key}" if part else key


def _key(place: Place) -> str:
    return f"stations.{place}.points" if isinstance(place, int) else place


def as_filed(value: Any, kind: Kind, hull: Hull, key: str) -> Any:
    """A value as the hull's file would give it back. Raises SketchError for one that it could not hold."""
    return round_trip(value, kind.write, kind.read, hull.units, key)


def _point(points: tuple[Point2, ...] | list[Point2], number: int, place: Place) -> Point2:
    if not 1 <= number <= len(points):
        raise SketchError(f"there is no point {number} on {_called(place)}", f"There are {len(points)}.")
    return points[number - 1]


def _called(place: Place) -> str:
    return f"station {place}" if isinstance(place, int) else f"the {place}"


def _where(hull: Hull, place: Place) -> str:
    """What a place is called in the name of a step."""
    if not isinstance(place, int):
        return place.capitalize()
    return f"Station {place} at {format_length(station_of(hull, place).at, hull.units)} {hull.units}"


def _shifted(numbers: tuple[int, ...], past: int, by: int) -> tuple[int, ...]:
    """Point numbers after one was put in or taken out behind `past`."""
    return tuple(number + by if number > past else number for number in numbers)


def _between(points: tuple[Point2, ...], after: int) -> Point2:
    """Where a new point would lie: half way to the next, else as far past the end as the one before is from it."""
    if not points:
        return (0.0, 0.0)
    if len(points) == 1:
        return (points[0][0], points[0][1] + BEYOND)
    near, far = (points[after - 1], points[after]) if 0 < after < len(points) else (points[0], points[1])
    if 0 < after < len(points):
        return ((near[0] + far[0]) / 2, (near[1] + far[1]) / 2)
    near, far = (points[0], points[1]) if after == 0 else (points[-1], points[-2])
    return (max(2 * near[0] - far[0], 0.0), 2 * near[1] - far[1])


def _made_way(stations: list[Station], number: int, units: str) -> tuple[Station, ...]:
    """Wholly guessed stations behind one that was moved, spread between it and the next that was measured, or the last one."""
    moved = stations[number - 1]
    end = number
    while end < len(stations) - 1 and stations[end].wholly_guessed:
        end += 1
    behind = stations[number:end]
    if not behind or behind[0].at - moved.at >= SECTIONS_APART or not stations[end].at > moved.at:
        return tuple(stations)
    step = (stations[end].at - moved.at) / (len(behind) + 1)
    spread = [replace(each, at=tape_rounded(moved.at + k * step, units)) for k, each in enumerate(behind, 1)]
    return (*stations[:number], *spread, *stations[end:])


def _guessed_station(hull: Hull, at: float) -> Station:
    """A station as its neighbours would have it: between two of as many points each, else as the nearest."""
    nearest = min(hull.stations, key=lambda station: abs(station.at - at), default=None)
    if nearest is None:
        return Station(at=at, points=((0.0, 0.0), (BEYOND, BEYOND)), guessed=(1, 2))
    before = next((station for station in reversed(hull.stations) if station.at < at), nearest)
    after = next((station for station in hull.stations if station.at > at), nearest)

    def between(*, port: bool) -> tuple[Point2, ...]:
        points, fore, aft = (points_of_side(station, port=port) for station in (nearest, before, after))
        if before is not after and len(fore) == len(aft):
            share = (at - before.at) / (after.at - before.at)
            points = tuple((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])) for a, b in zip(fore, aft, strict=True))
        return tuple(as_filed(point, STATION_POINT, hull, "stations") for point in points)

    points, port = between(port=False), between(port=True) if hull.apart else ()
    return Station(at=at, points=points, port=port, knuckles=nearest.knuckles, guessed=tuple(range(1, len(points) + 1)))


def tape_rounded(metres: float, units: str) -> float:
    """A length that a tape in the unit would show."""
    return parse_length(example_length(metres, units), units) or 0.0
