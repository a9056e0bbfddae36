"""Points of a station traced on a drawing: each takes its place along the section, guessed points make way."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import dist

from sketcher.geometry.tolerances import POINTS_APART
from sketcher.model.edits.edit_words import value_words
from sketcher.model.edits.hull_edits import station_of, with_station
from sketcher.model.errors import SketchError
from sketcher.model.fields.kinds import anywhere
from sketcher.model.fields.reading import Field
from sketcher.model.hull import Hull, Point2, with_heights_as_in, with_heights_up

_ANY = Field("at", "at", anywhere)


@dataclass(frozen=True, slots=True)
class TracePoint:
    """Add a point to a station where it lengthens the section least. point [m]: half-breadth, height over the base line."""

    station: int
    point: Point2

    def apply(self, hull: Hull) -> Hull:
        up = with_heights_up(hull)
        station = station_of(up, self.station)
        if station.port:
            raise SketchError(
                "her sides are measured apart here", "Trace with both sides alike, or type the port side's numbers."
            )
        kept = [number for number in range(1, len(station.points) + 1) if number not in station.guessed]
        points = [station.points[number - 1] for number in kept]
        if any(dist(self.point, other) < POINTS_APART for other in points):
            raise SketchError("a point is there already", "Click farther along the section.")
        place = _place(points, self.point)
        number_of = {old: new + (new > place) for new, old in enumerate(kept, 1)}
        traced = replace(
            station,
            points=(*points[:place], self.point, *points[place:]),
            knuckles=tuple(number_of[number] for number in station.knuckles if number in number_of),
            guessed=(),
            points_measured_to=tuple(
                (number_of[number], error) for number, error in station.points_measured_to if number in number_of
            ),
        )
        return with_heights_as_in(with_station(up, self.station, traced), hull)

    def describe(self, hull: Hull) -> str:
        where = ", ".join(value_words(_ANY, each, hull.units) for each in self.point)
        return f"Trace a point of station {self.station}: {where}"


def _place(points: list[Point2], point: Point2) -> int:
    """Before which of the points, or after all, another lengthens their line least; of two the lower is first."""
    if len(points) == 1:
        return int(point[1] >= points[0][1])

    def longer(place: int) -> float:
        before, after = points[place - 1 : place], points[place : place + 1]
        through = sum(dist(point, other) for other in (*before, *after))
        return through - (dist(before[0], after[0]) if before and after else 0.0)

    return min(range(len(points) + 1), key=longer)
