"""Recording what was read of boards, by hand or from a table, and moving a hull's points to where the skin was found."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.model.cutting import PartReadings
from sketcher.model.edits.hull_edits import station_of, with_station
from sketcher.model.edits.hull_sides import points_of_side, with_side
from sketcher.model.files.hull_file import STATION_POINT
from sketcher.model.files.scene_file import round_trip, settled
from sketcher.model.hull import Hull, Point2
from sketcher.model.lookup import with_items
from sketcher.model.scene import Scene


@dataclass(frozen=True, slots=True)
class RecordReadings:
    """Put readings into the scene; those of a part that has some take their place, and those that say nothing are left out."""

    readings: tuple[PartReadings, ...]

    def apply(self, scene: Scene) -> Scene:
        fresh = {each.name: each for each in self.readings}
        kept = [fresh.pop(each.name, each) for each in scene.as_built]
        told = (each for each in (*kept, *fresh.values()) if each != PartReadings(name=each.name))
        return settled(with_items(scene, "as_built", tuple(told)), like=scene)

    def describe(self, scene: Scene) -> str:
        return f"Record what was read of {', '.join(each.name for each in self.readings)}"


@dataclass(frozen=True, slots=True)
class MovedPoint:
    """A station's point, both counted from 1, and where it lies: half-breadth and height as measured [m].

    port: it is one of the port side, measured apart.
    """

    station: int
    point: int
    to: Point2
    port: bool = False


@dataclass(frozen=True, slots=True)
class MovePoints:
    """Move points of a hull to where the skin was found by the gaps read of a board; they keep to the step of her unit."""

    points: tuple[MovedPoint, ...]
    board: str

    def apply(self, hull: Hull) -> Hull:
        for each in self.points:
            station = station_of(hull, each.station)
            points = list(points_of_side(station, port=each.port))
            points[each.point - 1] = round_trip(
                each.to, STATION_POINT.write, STATION_POINT.read, hull.units, f"stations.{each.station}.points.{each.point}"
            )
            hull = with_station(hull, each.station, with_side(station, tuple(points), port=each.port))
        return hull

    def describe(self, _: Hull) -> str:
        stations = len({each.station for each in self.points})
        where = f"{stations} station{'' if stations == 1 else 's'}"
        return f"Move {len(self.points)} points of {where} to the gaps read of {self.board}"
