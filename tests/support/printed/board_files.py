"""Boards as they come off the saw by what the folder of a build says, and nothing else: each DXF, and the tables beside it."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import ezdxf
import manifold3d
import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, TriMesh

STEP = 0.020
"""[m] A sawn edge is looked at so often."""


@dataclass(frozen=True)
class Printed:
    """One board as drawn and listed. ring: the drawn outline as it goes; faces: the drawn and the other outline, anticlockwise.

    openings: sawn out of them; place: rows origin, right, up.

    bevels: rows (along the drawn outline [m], degrees) with what each is against.
    """

    name: str
    thickness: float
    ring: shapely.LinearRing
    faces: tuple[shapely.Polygon, shapely.Polygon]
    openings: tuple[shapely.Polygon, ...]
    place: Floats
    bevels: tuple[tuple[float, float, str], ...]

    def in_boat(self, flat: Floats, depth: Floats | float) -> Floats:
        """Points (n, 3) in the boat of points (n, 2) of the drawing, so deep [m] in the board."""
        origin, right, up = self.place
        return origin + flat @ np.array([right, up]) - np.multiply.outer(np.broadcast_to(depth, len(flat)), np.cross(right, up))

    @cached_property
    def rulings(self) -> tuple[Floats, Floats]:
        """Where the saw's blade enters and leaves: points (n, 2) of the drawn outline, and of the other face's, in step."""
        return rulings(*(face.exterior for face in self.faces))

    def solid(self) -> manifold3d.Manifold:
        """The board in the boat: both faces, the edge ruled between them, its openings sawn square."""
        one, two = self.rulings
        n = len(one)
        ring = np.arange(n)
        ahead = np.roll(ring, -1)
        sides = np.concatenate([np.stack([ring, ring + n, ahead], 1), np.stack([ahead, ring + n, ahead + n], 1)])
        caps = [manifold3d.triangulate([points]) for points in (one, two)]
        triangles = np.concatenate([caps[0], caps[1][:, ::-1] + n, sides])
        vertices = np.concatenate([self.in_boat(one, 0.0), self.in_boat(two, self.thickness)])
        board = closed(vertices, triangles)
        for hole in self.openings:
            points = np.asarray(shapely.geometry.polygon.orient(hole).exterior.coords)[:-1]
            m = len(points)
            ring = np.arange(m)
            ahead = np.roll(ring, -1)
            cap = manifold3d.triangulate([points])
            sides = np.concatenate([np.stack([ring, ring + m, ahead], 1), np.stack([ahead, ring + m, ahead + m], 1)])
            through = [self.in_boat(points, -0.01), self.in_boat(points, self.thickness + 0.01)]
            board -= closed(np.concatenate(through), np.concatenate([cap, cap[:, ::-1] + m, sides]))
        return board

    def edge(self, against: str, depth: float) -> Floats:
        """Points (n, 3) in the boat of the sawn edge against something by the list of bevels, at a share of the thickness."""
        one, two = self.rulings
        along = shapely.line_locate_point(self.ring, shapely.points(one))
        mine = np.zeros(len(one), dtype=bool)
        for (a, _, before), (b, _, after) in pairwise(self.bevels):
            if before == after == against and b - a < 0.11:
                mine |= (along >= a) & (along <= b)
        return self.in_boat((one * (1 - depth) + two * depth)[mine], depth * self.thickness)


def closed(vertices: Floats, triangles: Floats) -> manifold3d.Manifold:
    solid = manifold3d.Manifold(manifold3d.Mesh64(vertices, triangles.astype(np.uint64)))
    assert solid.status() == manifold3d.Error.NoError
    return solid if solid.volume() >= 0 else closed(vertices, triangles[:, ::-1])


def rulings(one: shapely.LinearRing, two: shapely.LinearRing) -> tuple[Floats, Floats]:
    """Points of two rings that face each other, in step all round: corners of both, and places between on the first."""
    along = np.unique(
        np.concatenate([shapely.line_locate_point(one, shapely.points(one.coords)), np.arange(0, one.length, STEP)])
    )
    on_one = shapely.get_coordinates(shapely.line_interpolate_point(one, along))
    corners = np.asarray(two.coords)[:-1]
    back = shapely.line_locate_point(one, shapely.points(corners))
    facing = shapely.line_locate_point(two, shapely.points(on_one))
    own = shapely.line_locate_point(two, shapely.points(corners))
    pairs = np.concatenate([np.column_stack([along, facing]), np.column_stack([back, own])])
    start = float(two.project(shapely.Point(one.coords[0])))
    # The first ring's own start lies at 0 on it and at `start` on the other.
    pairs[:, 1] = (pairs[:, 1] - start) % two.length
    wrapped = np.abs(pairs[:, 1] / two.length - pairs[:, 0] / one.length) > 0.5
    pairs[wrapped, 1] += np.where(pairs[wrapped, 1] / two.length > 0.5, -two.length, two.length)
    pairs = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
    pairs[:, 1] = np.maximum.accumulate(pairs[:, 1])
    pairs = pairs[pairs[:, 0] < one.length - 1e-9]
    a = shapely.get_coordinates(shapely.line_interpolate_point(one, pairs[:, 0]))
    b = shapely.get_coordinates(shapely.line_interpolate_point(two, (pairs[:, 1] + start) % two.length))
    return a, b


def printed_boards(files: dict[str, bytes]) -> list[Printed]:
    """Every board of a build, from its DXF read by an independent reader, and from the tables."""

    def table(name: str) -> list[dict[str, str]]:
        return list(csv.DictReader(io.StringIO(files[f"lists/{name}.csv"].decode())))

    thick = {row["board"]: float(row["thickness_mm"]) / 1000 for row in table("cutting list")}
    boards = []
    for row in table("places"):
        name = row["board"]
        if name not in thick:  # bearers: timber has tables of its own
            continue
        document = ezdxf.read(io.StringIO(files[f"patterns/{name}.dxf"].decode()))
        assert document.header["$INSUNITS"] == 4
        rings: dict[str, list[shapely.Polygon]] = {"outline": [], "other face": [], "openings": []}
        for line in document.modelspace().query("LWPOLYLINE"):
            if line.dxf.layer in rings:
                assert line.closed
                rings[line.dxf.layer].append(shapely.Polygon(np.array(line.get_points("xy")) / 1000))
        drawn = max(rings["outline"], key=lambda ring: ring.area)
        other = max(rings["other face"], key=lambda ring: ring.area)
        place = np.array([float(value) for value in list(row.values())[1:]]).reshape(3, 3)
        place[0] /= 1000
        of_board = [b for b in table("bevels") if b["board"] == name]
        marks = [(float(b["along_edge_mm"]) / 1000, float(b["off_square_deg"]), b["against"]) for b in of_board]
        boards.append(
            Printed(
                name,
                thick[name],
                drawn.exterior,
                (shapely.geometry.polygon.orient(drawn), shapely.geometry.polygon.orient(other)),
                tuple(rings["openings"]),
                place,
                tuple(marks),
            )
        )
    return boards


def as_solid(mesh: TriMesh) -> manifold3d.Manifold:
    return closed(mesh.vertices, mesh.triangles)
