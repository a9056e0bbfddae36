"""The readings that a boat's figures rest on, how well each is known, and the boat as another tape would have shown her."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import dist
from typing import Literal

from sketcher.analysis.afloat.doubts import READING
from sketcher.geometry.tolerances import POINTS_APART
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.scene import Scene, Waterline

GRAVITY = 0.05
"""[m] Standard deviation of a centre of gravity's height of which nothing is said (our own judgement)."""
WEIGHT = 0.05
"""[share] The same of a weight: what a bathroom scale and a guess at what is left aboard come to (our own judgement)."""
GUESSED = 6.0
"""[1] A number that is marked as guessed errs so many times as much as a measured one (our own judgement)."""
TAKEN_AGAIN = 0.001
"""[m] Standard deviation of a length that is taken again with care."""
INCLINED = 0.01
"""[m] The same of a centre of gravity's height after an inclining experiment (our own judgement)."""
WEIGHED = 0.01
"""[share] The same of a weight that was on a scale (our own judgement)."""
SMALLEST = 1e-4
"""[m] A half-breadth that is not 0 stays above it."""

What = Literal[
    "half-breadth", "height", "station", "stem", "stern", "camber", "coachroof", "sole", "waterline", "gravity", "weight"
]


Place = tuple[str, int, int]
"""What is read in one go: `point` or what else, the number, the point's number."""


@dataclass(frozen=True, slots=True)
class TapeReading:
    """A number that was read. number: of its station, a profile's point or a weight, from 0; of the waterline 0 forward, 1 aft.

    point: of the station, from 0; axis: of a profile's point, 0 aft and 1 height. error: its standard deviation [m], of a weight
    [kg]; again: the same if it is read again with care.
    """

    what: What
    number: int
    point: int
    axis: int
    error: float
    again: float = TAKEN_AGAIN

    @property
    def left(self) -> float:
        """The share of its standard deviation that is left if it is read again with care."""
        return min(self.again / self.error, 1.0)

    @property
    def place(self) -> Place:
        """What is read in one go: both numbers of a point, aft and height of a profile's."""
        return ("point" if self.what in ("half-breadth", "height") else self.what, self.number, self.point)


def readings_of(scene: Scene) -> tuple[TapeReading, ...]:
    """Every reading that a scene and its hull rest on."""
    hull = scene.hull
    error = hull.measured_to or READING
    found = [reading for number, station in enumerate(hull.stations) for reading in _of_station(station, number, error)]
    for end in ("stem", "stern"):
        points = getattr(hull, end)
        free = [number for number, point in enumerate(points) if not _is_keel(hull, end, point)]
        found += [TapeReading(end, number, 0, axis, error) for number in free for axis in (0, 1)]
    if hull.deck.camber:
        found.append(TapeReading("camber", 0, 0, 0, error))
    if hull.coachroof is not None:
        found.append(TapeReading("coachroof", 0, 0, 0, error))
    if hull.cockpit is not None:
        found.append(TapeReading("sole", 0, 0, 0, error))
    return (*found, *_of_scene(scene))


def _of_station(station: Station, number: int, error: float) -> list[TapeReading]:
    own = station.measured_to or error
    single = dict(station.points_measured_to)
    found = [TapeReading("station", number, 0, 0, station.at_measured_to or own)]
    for point, (half_breadth, _) in enumerate(station.points):
        to = single.get(point + 1, own) * (GUESSED if point + 1 in station.guessed else 1.0)
        if half_breadth > 0.0:
            found.append(TapeReading("half-breadth", number, point, 0, to))
        found.append(TapeReading("height", number, point, 0, to))
    return found


def _of_scene(scene: Scene) -> list[TapeReading]:
    known, found = scene.known_to, []
    if scene.waterline is not None:
        guess = GUESSED if "waterline" in scene.guessed else 1.0
        ends = known.waterline or (READING, READING)
        found += [TapeReading("waterline", end, 0, 0, guess * error) for end, error in enumerate(ends)]
    if scene.centre_of_gravity_height is not None:
        guess = GUESSED if "centre_of_gravity" in scene.guessed else 1.0
        found.append(TapeReading("gravity", 0, 0, 0, guess * (known.centre_of_gravity or GRAVITY), INCLINED))
    usual = WEIGHT if known.weights is None else known.weights
    for number, weight in enumerate(scene.weights):
        share = usual if weight.known_to is None else weight.known_to
        if share * weight.kg:
            found.append(TapeReading("weight", number, 0, 0, share * abs(weight.kg), WEIGHED * abs(weight.kg)))
    return found


def remeasured(scene: Scene, readings: Sequence[TapeReading], by: Sequence[float]) -> Scene:
    """The scene with each reading off by so many of its standard deviations."""
    off = {
        (each.what, each.number, each.point, each.axis): each.error * float(share)
        for each, share in zip(readings, by, strict=True)
    }

    def shift(what: What, number: int = 0, point: int = 0, axis: int = 0) -> float:
        return off.get((what, number, point, axis), 0.0)

    def moved(number: int, station: Station) -> Station:
        points = tuple(
            (
                max(b + shift("half-breadth", number, k), SMALLEST) if b > 0.0 else b,
                z + shift("height", number, k),
            )
            for k, (b, z) in enumerate(station.points)
        )
        return replace(station, at=station.at + shift("station", number), points=points)

    hull = scene.hull
    stations = tuple(moved(number, station) for number, station in enumerate(hull.stations))

    def profile(end: Literal["stem", "stern"]) -> tuple[Point2, ...]:
        last = stations[0 if end == "stem" else -1]
        return tuple(
            (last.at, last.points[0][1])
            if _is_keel(hull, end, (x, z))
            else (x + shift(end, number, axis=0), z + shift(end, number, axis=1))
            for number, (x, z) in enumerate(getattr(hull, end))
        )

    roof, well = hull.coachroof, hull.cockpit
    changed = replace(
        hull,
        stations=stations,
        stem=profile("stem"),
        stern=profile("stern"),
        deck=replace(hull.deck, camber=max(hull.deck.camber + shift("camber"), 0.0)),
        coachroof=roof and replace(roof, height=max(roof.height + shift("coachroof"), SMALLEST)),
        cockpit=well and replace(well, sole=well.sole + shift("sole")),
    )
    height = scene.centre_of_gravity_height
    weights = tuple(replace(weight, kg=weight.kg + shift("weight", number)) for number, weight in enumerate(scene.weights))
    return replace(
        scene,
        hull=changed,
        waterline=scene.waterline and _with_water(scene.waterline, shift("waterline", 0), shift("waterline", 1)),
        centre_of_gravity_height=None if height is None else height + shift("gravity"),
        weights=weights,
    )


def _with_water(water: Waterline, forward: float, after: float) -> Waterline:
    if water.forward is not None and water.after is not None:
        return replace(water, forward=water.forward + forward, after=water.after + after)
    assert water.bow_freeboard is not None
    assert water.stern_freeboard is not None
    return replace(water, bow_freeboard=water.bow_freeboard + forward, stern_freeboard=water.stern_freeboard + after)


def _is_keel(hull: Hull, end: str, point: Point2) -> bool:
    """Whether a profile's point is the end station's own on the centreline, and no reading besides."""
    station = hull.stations[0 if end == "stem" else -1]
    half_breadth, height = station.points[0]
    return half_breadth == 0.0 and dist(point, (station.at, height)) <= POINTS_APART
