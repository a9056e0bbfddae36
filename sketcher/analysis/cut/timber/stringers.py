"""Stringers in place along the hull: their four edges, and the planes that their ends are cut to."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sketcher.analysis.cut.timber.hull_edges import STEP, HullEdge, hull_edge, lowered, skin_line
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.geometry.crossing import met
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.model.scene import Scene, Stringer

_POINTED = 0.005
"""[m] Where the hull's edge ends nearer to the centreline, both sides' stringers meet there; else they end on a flat end."""

_SPARE = 0.4
"""[m] Sections are kept so far beyond a run's ends: ends that are cut askew reach there."""


_HAND = 0.050
"""[m] A notch is as deep as the run is within so far of it."""


@dataclass(frozen=True, eq=False)
class RunEnd:
    """What one end of a run meets, None at a free one, and the plane that it is cut to, its normal into the run."""

    place: str | None
    plane: Plane


@dataclass(frozen=True, eq=False)
class StringerRun:
    """One side's stringer in place, its upper face under a lid and its back on the hull.

    edge: of the hull, from end to end of the boat; ends: forward and after.
    """

    stringer: Stringer
    side: int
    edge: HullEdge
    ends: tuple[RunEnd, RunEnd]

    @property
    def name(self) -> str:
        """The stringer's name with its side."""
        return f"{self.stringer.name}, {'port' if self.side < 0 else 'starboard'}"

    @property
    def up(self) -> Floats:
        """(3,) square to the lid that it is under."""
        return self.edge.frame.normal

    @cached_property
    def points(self) -> Floats:
        """(k, 3) its upper outer edge, forward to aft, from end to end."""
        points = self.edge.frame.space(self.edge.points)
        for end in self.ends:
            points = _beyond(points, end.plane)
        return points

    @cached_property
    def sections(self) -> Floats:
        """(k, 4, 3) its corners from some way before to some way past it: upper outer, upper inner, lower inner, lower outer."""
        near = self._near_it
        inboard = self.edge.inboard[near]
        deep = self.depths[near, None]
        upper = self.edge.points[near]
        flat = [upper, upper + inboard * self.stringer.width]
        flat += [flat[1], upper + inboard * self.edge.lean[near, None] * deep]
        outer, inner, under, back = (self.edge.frame.space(corner) for corner in flat)
        return np.stack([outer, inner, under - self.up * deep, back - self.up * deep], axis=1)

    @property
    def depths(self) -> Floats:
        """How deep it is (k,) [m] along the whole edge: less than stated where its back comes out at its inner face."""
        lean = np.maximum(self.edge.lean, 1e-9)
        return np.minimum(self.stringer.depth, self.stringer.width / lean)

    @cached_property
    def _near_it(self) -> slice:
        off = np.min([end.plane.over(self.edge.frame.space(self.edge.points)) for end in self.ends], axis=0)
        there = np.flatnonzero(off > -_SPARE)
        return slice(int(there[0]), int(there[-1]) + 1)

    def at(self, point: Floats) -> int:
        """The number of the place along the edge that is nearest to a point (3,)."""
        flat = self.edge.frame.flat(point[None])[0]
        return int(np.argmin(np.linalg.norm(self.edge.points - flat, axis=1)))

    def deepest_near(self, point: Floats) -> float:
        """How deep it is at most [m] over a hand's breadth about a point (3,) of its edge."""
        k, near = self.at(point), round(_HAND / STEP)
        return float(self.depths[max(k - near, 0) : k + near + 1].max())

    def bevel_at(self, point: Floats) -> float:
        """How far its back leans off square at a point (3,) [deg], positive where its upper face is the wider."""
        return float(self.edge.bevel[self.at(point)])


def stringer_runs(scene: Scene, form: HullForm) -> tuple[StringerRun, ...]:
    """Every stringer, side by side, where its upper edge meets the hull; those that miss it are left out."""
    faces = faces_by_name(scene, form)
    runs = []
    for stringer in scene.stringers:
        if stringer.under not in faces:
            continue
        for side in {"port": (-1,), "starboard": (1,), "both": (-1, 1)}[stringer.side]:
            pair = faces[stringer.under]
            under = pair.get(side, pair.get(0, next(iter(pair.values()))))[1]
            edge = hull_edge(form, under, side, stringer.depth)
            if edge is None:
                continue
            ends = tuple(_end(scene, form, stringer, edge, side, first=first) for first in (True, False))
            run = StringerRun(stringer, side, edge, (ends[0], ends[1]))
            if len(run.points) > 1:
                runs.append(run)
    return tuple(runs)


def _end(scene: Scene, form: HullForm, stringer: Stringer, edge: HullEdge, side: int, *, first: bool) -> RunEnd:
    """Where a run ends: at a panel, less the gap between panels; at a distance; or at the boat's own end."""
    limit, inward = (stringer.start, 1.0) if first else (stringer.end, -1.0)
    faces = faces_by_name(scene, form)
    if isinstance(limit, str) and limit in faces:
        return RunEnd(limit, faces[limit][0][1 if first else 0].moved(scene.cutting.panel_gap))
    if not isinstance(limit, str):
        return RunEnd(None, Plane.of((inward, 0.0, 0.0), inward * limit))
    if abs(edge.points[0 if first else -1, 1]) < _POINTED:
        return RunEnd(limit, Plane.of((0.0, float(side), 0.0), 0.0))
    return RunEnd(limit, _flat_end(form, edge, side, stringer.depth, first=first))


def _flat_end(form: HullForm, edge: HullEdge, side: int, depth: float, *, first: bool) -> Plane:
    """The plane of a transom, or another flat end across the boat, where a stringer reaches it."""
    tops = []
    for down in (0.0, depth):
        frame = lowered(edge.frame, down)
        tops.append(frame.space(np.array([[skin_line(form, frame, side)[0 if first else -1, 0], 0.0]]))[0])
    normal = np.cross(edge.frame.v, tops[1] - tops[0])
    return Plane.through(tops[0], normal * np.sign(normal[0]) * (1.0 if first else -1.0))


def _beyond(points: Floats, plane: Plane) -> Floats:
    """The part of a line (k, 3) on the outer side of a plane, its end on the plane."""
    if len(points) < 2:
        return points
    off = plane.over(points)
    crossing = np.flatnonzero((off[:-1] > 0.0) != (off[1:] > 0.0))
    if not len(crossing):
        return points if off[0] > 0.0 else np.zeros((0, 3))
    k = int(crossing[0])
    end = met(points, off, k, k + 1)
    rest = points[: k + 1] if off[0] > 0.0 else points[k + 1 :]
    joined: Floats = np.concatenate([rest, end[None]]) if off[0] > 0.0 else np.concatenate([end[None], rest])
    return joined


def axes_at(run: StringerRun, k: int) -> tuple[Floats, Floats, Floats]:
    """Unit vectors at a point of a stringer: along it aft, inboard, and up square to the lid."""
    along = run.points[min(k + 1, len(run.points) - 1)] - run.points[max(k - 1, 0)]
    along = along - (along @ run.up) * run.up
    along /= np.linalg.norm(along)
    inboard = np.cross(run.up, along) * 1.0
    return along, inboard * (-np.sign(inboard[1]) * run.side), run.up


def cut_across(run: StringerRun, at: float) -> Floats | None:
    """Corners (4, 3) [m] of a stringer where a plane across the boat cuts it so far aft; None where it does not reach."""
    x = run.points[:, 0]
    if not x.min() <= at <= x.max():
        return None
    sections = run.sections
    return np.array([[np.interp(at, sections[:, corner, 0], sections[:, corner, k]) for k in range(3)] for corner in range(4)])
