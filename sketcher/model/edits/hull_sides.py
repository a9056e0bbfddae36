"""Port and starboard alike or measured apart, and what both sides share: the centreline."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sketcher.model.hull import Hull, Point2, Station


@dataclass(frozen=True, slots=True)
class SetSidesApart:
    """Say that both sides were measured, each by itself, beginning as they are; or that starboard's numbers are for both."""

    apart: bool

    def apply(self, hull: Hull) -> Hull:
        stations = (replace(station, port=station.to_port if self.apart else ()) for station in hull.stations)
        return replace(hull, stations=tuple(stations))

    def describe(self, _: Hull) -> str:
        return "Measure port and starboard apart" if self.apart else "Take starboard's numbers for both sides"


def points_of_side(station: Station, *, port: bool) -> tuple[Point2, ...]:
    """The points of one side of a station."""
    return station.to_port if port else station.points


def with_side(station: Station, points: tuple[Point2, ...], *, port: bool) -> Station:
    """The station with other points on one side; the other side's first point comes to the same height on the centreline."""
    changed = replace(station, port=points) if port else replace(station, points=points)
    if not changed.port or not points:
        return changed
    other = changed.points if port else changed.port
    if not other or other[0][1] == points[0][1]:
        return changed
    met = ((other[0][0], points[0][1]), *other[1:])
    return replace(changed, points=met) if port else replace(changed, port=met)
