"""The rim of one face of a board beside the shell and the deck: what each stretch runs along, and the rim moved out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from sketcher.analysis.cut.outlines import LEAST_SLANT, EdgeStretches, Neighbour
from sketcher.analysis.cut.skin_shift import EdgePlaces, edge_places
from sketcher.analysis.hull.form import DECK, OPEN_END, SKIN, HullForm
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.solid.cut_edges import cut_edges
from sketcher.geometry.solid.near_plane import around_plane
from sketcher.geometry.solid.nearest import distances_to_mesh
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import CREASE
from sketcher.geometry.vectors import cross

KINDS = ("hull", "deck")
"""What an edge that is moved runs along, by number."""

_LABELS = (SKIN, DECK)
_SKINS = (Neighbour("hull", "hull"), Neighbour("deck", "deck"))

_STEP = 0.020
"""[m] Straight stretches of an edge that is moved are no longer."""

_ALONG = np.cos(np.radians(30.0))
"""[1] An edge that leans more from the skin's line beside it does not run along it."""

_MITRE = 4.0
"""[1] A corner goes no further than this many times what its edges are moved."""


@dataclass(frozen=True, eq=False)
class BoardRim:
    """A board's rim on one face: points (k, 2), each with the stretch to the next; slant (k,): sine of its angle to the skin.

    out: (k, 2) unit vectors out of the board. kind: (k,) what each stretch runs along, by its number in KINDS, else -1.
    """

    area: shapely.Polygon
    form: HullForm
    frame: Frame
    points: Floats
    out: Floats
    slant: Floats
    kind: Ints

    @classmethod
    def of(cls, area: shapely.Polygon, form: HullForm, frame: Frame, gap: float) -> BoardRim:
        """The rim of an area in a face's plane; gap [m]: that it keeps from shell and deck, square to them."""
        ring = shapely.segmentize(shapely.orient_polygons(area).exterior, _STEP)
        points = shapely.get_coordinates(shapely.remove_repeated_points(ring))[:-1]
        ways = np.roll(points, -1, axis=0) - points
        out = np.stack([ways[:, 1], -ways[:, 0]], axis=1) / np.hypot(*ways.T)[:, None]
        middles = points + ways / 2.0
        skin = _skin_at(form, frame)
        found, facing = skin.nearest(middles)
        slant: Floats = np.sqrt(np.clip(1.0 - (facing @ frame.normal) ** 2, LEAST_SLANT**2, 1.0))
        away = shapely.distance(skin.tree.geometries[found], shapely.points(middles))
        # Which way the skin lies, from the board's rim: its own line there, turned.
        line = skin.ends[found] - skin.starts[found]
        size = np.hypot(*line.T)
        with_it = np.abs(np.einsum("ij,ij->i", line, ways)) > _ALONG * size * np.hypot(*ways.T)
        along = with_it & (away <= 3.0 * gap / slant + 0.002)
        # Where it runs along the skin it is moved as the skin faces: its own short jogs, moved square to themselves, would fold.
        square = facing @ np.array([frame.u, frame.v]).T
        out = np.where(along[:, None], square / np.hypot(*square.T)[:, None], out)
        return cls(area, form, frame, points, out, slant, np.where(along, skin.owner[found], -1))

    @property
    def middles(self) -> Floats:
        middles: Floats = (self.points + np.roll(self.points, -1, axis=0)) / 2.0
        return middles

    @cached_property
    def places(self) -> EdgePlaces:
        """The middles of its stretches, for how far the skin stands off there."""
        return edge_places(self.frame, self.middles, self.out, self.kind)

    def segment_at(self, at: tuple[float, float], kind: int) -> int:
        """The stretch nearest to a place of those along the shell, kind 0, or the deck, 1."""
        ends = np.stack([self.points, np.roll(self.points, -1, axis=0)], axis=1)
        away = shapely.distance(shapely.linestrings(ends), shapely.Point(at))
        return int(np.argmin(np.where(self.kind == kind, away, np.inf)))

    def planned_gap(self, at: tuple[float, float], kind: int, furthest: float) -> tuple[float, Floats]:
        """The least distance [m] from a place of the face to shell or deck as measured, and where that faces (2,) in the plane.

        Infinite where nothing is so near.
        """
        point = self.frame.space(np.array([at]))[0]
        mine = self.form.inside.triangles[self.form.inside.labels == _LABELS[kind]]
        corners = self.form.inside.vertices[mine]
        near = mine[((corners.min(axis=1) - furthest <= point) & (corners.max(axis=1) + furthest >= point)).all(axis=1)]
        if not len(near):
            return float("inf"), np.zeros(2)
        away = distances_to_mesh(point, self.form.inside.vertices, near)
        a, b, c = self.form.inside.vertices[near[int(np.argmin(away))]]
        facing = cross((b - a)[None], (c - a)[None])[0]
        return float(away.min()), np.array([self.frame.u, self.frame.v]) @ facing / np.linalg.norm(facing)

    def moved(self, by: Floats) -> shapely.Polygon:
        """The rim with each stretch moved out by so much [m], its corners where the moved stretches meet."""
        rim = shapely.Polygon(self.points + self._steps(by))
        holes = shapely.union_all([shapely.Polygon(hole) for hole in self.area.interiors])
        return largest(shapely.difference(shapely.make_valid(rim), holes))

    def _steps(self, by: Floats) -> Floats:
        """How each point (k, 2) moves, so that it stays on both its stretches."""
        before, after = np.roll(self.out, 1, axis=0), self.out
        ahead, behind = by, np.roll(by, 1)
        turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        smooth = np.abs(turn) < np.sin(np.radians(CREASE))
        mean = before + after
        length = np.hypot(*(np.roll(self.points, -1, axis=0) - self.points).T)
        last = np.roll(length, 1)
        level = (behind * length + ahead * last) / (length + last)
        plain = mean * (2.0 * level / np.maximum(np.einsum("ij,ij->i", mean, mean), 1e-9))[:, None]
        safe = np.where(smooth, 1.0, turn)
        mitred = np.stack([behind * after[:, 1] - ahead * before[:, 1], ahead * before[:, 0] - behind * after[:, 0]], axis=1)
        steps = np.where(smooth[:, None], plain, mitred / safe[:, None])
        most = _MITRE * np.maximum(np.abs(ahead), np.abs(behind))
        size = np.hypot(*steps.T)
        limited: Floats = steps * np.where(size > most, most / np.maximum(size, 1e-12), 1.0)[:, None]
        return limited

    def at_points(self, other: BoardRim, by: Floats) -> Floats:
        """What this face is moved by beside each stretch of the other face's rim (n,)."""
        away = np.hypot(*(other.middles[:, None] - self.middles[None]).T).T
        away[other.kind[:, None] != self.kind[None]] += 1.0
        beside: Floats = by[np.argmin(away, axis=1)]
        return beside


def _skin_at(form: HullForm, frame: Frame) -> EdgeStretches:
    """Where a plane cuts shell and deck, in the frame's coordinates."""
    cut = cut_edges(around_plane(form.inside, frame, _STEP), frame)
    there = cut.labels != OPEN_END
    owner = np.where(cut.labels[there] == DECK, 1, 0)
    return EdgeStretches(cut.starts[there], cut.ends[there], cut.start_normals[there], cut.end_normals[there], owner, _SKINS)
