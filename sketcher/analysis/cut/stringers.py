"""Stringers along the hull: how long, how bent, how their ends are cut, and where they pass through panels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.cut.results import EndCut, StringerPattern
from sketcher.analysis.hull.form import SKIN, HullForm
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.panel_planes import faces_by_name
from sketcher.geometry.crossing import met
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.cut_edges import cut_edges
from sketcher.geometry.solid.section import frame_on, section
from sketcher.model.scene import Scene, Stringer

BEND = 100.0
"""[1] A batten bends cold to a radius of so many of its thicknesses: its outer fibres are then stretched by 0.5 %."""

_PLACES = 400
"""Places along the hull at which a stringer's edge is found."""

_BEND_SPAN = 0.300
"""[m] A bend is judged over so much length at least: shorter, a facet of the hull would count as one."""


@dataclass(frozen=True, eq=False)
class StringerRun:
    """One side's stringer in place. points: (k, 3) its upper outer edge, forward to aft; up: (3,) square to the lid it is under.

    ends: what they meet, None at a free end, and the planes they are cut to, None at the boat's own ends.
    """

    stringer: Stringer
    side: int
    points: Floats
    up: Floats
    ends: tuple[tuple[str | None, Plane | None], tuple[str | None, Plane | None]]

    @property
    def name(self) -> str:
        """The stringer's name with its side."""
        return f"{self.stringer.name}, {'port' if self.side < 0 else 'starboard'}"


def stringer_runs(scene: Scene, form: HullForm) -> tuple[StringerRun, ...]:
    """Every stringer, side by side, where its upper edge meets the hull; those that miss it are left out."""
    faces = faces_by_name(scene, form)
    runs = []
    for stringer in scene.stringers:
        if stringer.under not in faces:
            continue
        ends = tuple(
            (str(limit), faces[limit][0][face]) if isinstance(limit, str) and limit in faces else _end_at(limit, face)
            for limit, face in ((stringer.start, 1), (stringer.end, 0))
        )
        for side in {"port": (-1,), "starboard": (1,), "both": (-1, 1)}[stringer.side]:
            pair = faces[stringer.under]
            under = pair.get(side, pair.get(0, next(iter(pair.values()))))[1]
            points = _edge(form, under, side, [plane for _, plane in ends])
            if len(points) > 1:
                runs.append(StringerRun(stringer, side, points, -under.normal, (ends[0], ends[1])))
    return tuple(runs)


def _end_at(limit: float | str, face: int) -> tuple[str | None, Plane | None]:
    """The plane at which an end given as a distance is cut; none at the boat's own ends."""
    if isinstance(limit, str):
        return limit, None
    outward = 1.0 if face == 1 else -1.0
    return None, Plane.of((outward, 0.0, 0.0), outward * limit)


def _edge(form: HullForm, under: Plane, side: int, ends: list[Plane | None]) -> Floats:
    """Points (k, 3) in which the underside of a lid meets one side of the hull, between two planes."""
    frame = frame_on(under)
    plan = shapely.transform(section(form.inside, frame), lambda flat: frame.space(flat)[:, :2])
    if plan.is_empty:
        return np.zeros((0, 3))
    west, _, east, _ = plan.bounds
    x = np.linspace(west + 1e-6, east - 1e-6, _PLACES)
    y = _outermost(plan, x, side)
    kept = np.isfinite(y)
    x, y = x[kept], y[kept]
    normal = under.normal
    points = np.column_stack([x, y, (under.distance - normal[0] * x - normal[1] * y) / normal[2]])
    for plane in ends:
        if plane is not None:
            points = _beyond(points, plane)
    return points


def _outermost(plan: shapely.Geometry, x: Floats, side: int) -> Floats:
    """How far off the centreline a flat outline reaches to one side at places (k,) along it; infinite where it does not."""
    rings = [shapely.get_coordinates(ring) for part in polygons(plan) for ring in (part.exterior, *part.interiors)]
    starts, ends = np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])
    west, east = np.minimum(starts[:, 0], ends[:, 0]), np.maximum(starts[:, 0], ends[:, 0])
    first, beyond = np.searchsorted(x, west), np.searchsorted(x, east)
    count = beyond - first
    edge = np.repeat(np.arange(len(starts)), count)
    place = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count - first, count)
    share = (x[place] - starts[edge, 0]) / (ends[edge, 0] - starts[edge, 0])
    out = side * (starts[edge, 1] + share * (ends[edge, 1] - starts[edge, 1]))
    furthest = np.full(len(x), -np.inf)
    np.maximum.at(furthest, place[out > 0.0], out[out > 0.0])
    reached: Floats = side * furthest
    return reached


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


def stringer_patterns(layout: Layout) -> tuple[StringerPattern, ...]:
    """The stringers of a scene as they are sawn and bent."""
    return tuple(_pattern(layout, run) for run in stringer_runs(layout.scene, layout.hull))


def _pattern(layout: Layout, run: StringerRun) -> StringerPattern:
    points, stringer = run.points, run.stringer
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    chord = points[-1] - points[0]
    length = float(np.linalg.norm(chord))
    straight = chord / length
    off = points - points[0]
    depth = float(np.linalg.norm(off - (off @ straight)[:, None] * straight, axis=1).max())
    radius = least_radius(points)
    bends = radius is None or radius >= BEND * stringer.width
    return StringerPattern(
        name=run.name,
        stringer=stringer.name,
        side="port" if run.side < 0 else "starboard",
        width=stringer.width,
        depth=stringer.depth,
        points=points,
        length=float(steps.sum()),
        chord=length,
        curve_depth=depth,
        least_radius=radius,
        twist=_twist(layout.hull, run),
        bends=bends,
        ends=(_end_cut(run, first=True), _end_cut(run, first=False)),
        source="cold-bend",
    )


def least_radius(points: Floats) -> float | None:
    """The least radius [m] of a line (k, 3) over stretches of 0.3 m or a fifth of its length; None where it is straight."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    span = max(_BEND_SPAN, along[-1] / 5)
    if span >= along[-1]:
        span = float(along[-1])
    middles = np.linspace(span / 2, along[-1] - span / 2, 41)
    a, b, c = (
        np.column_stack([np.interp(middles + shift, along, points[:, k]) for k in range(3)])
        for shift in (-span / 2, 0.0, span / 2)
    )
    twice_area = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    sides = np.linalg.norm(b - a, axis=1) * np.linalg.norm(c - b, axis=1) * np.linalg.norm(c - a, axis=1)
    curvature = float((2.0 * twice_area / sides).max())
    return None if curvature < 1e-4 else 1.0 / curvature


def _twist(form: HullForm, run: StringerRun) -> float:
    """How far the hull's face turns about the stringer from its fore to its after end [deg], top outboard positive."""
    origin = -float(run.up @ run.points[0])
    frame = frame_on(Plane(-run.up, origin))
    cut = cut_edges(form.inside, frame)
    skin = (cut.labels == SKIN) & (frame.space(cut.starts)[:, 1] * run.side > 0.0)
    if not skin.any():
        return 0.0
    starts, facing = frame.space(cut.starts[skin]), cut.start_normals[skin]
    leans = [
        float(np.degrees(np.arcsin(np.clip(facing[np.argmin(np.linalg.norm(starts - end, axis=1))] @ run.up, -1.0, 1.0))))
        for end in (run.points[0], run.points[-1])
    ]
    return leans[0] - leans[1]


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
    place = np.array([np.interp(at, x, run.points[:, k]) for k in range(3)])
    along, inboard, up = axes_at(run, int(np.argmin(np.abs(x - at))))
    size = run.stringer
    corners = [
        place + inboard * out - up * down for out, down in ((0, 0), (size.width, 0), (size.width, size.depth), (0, size.depth))
    ]
    return np.array([corner + along * (at - corner[0]) / along[0] for corner in corners])


def _end_cut(run: StringerRun, *, first: bool) -> EndCut:
    """How an end is cut: angles in the wood, on its upper face from the outer edge, on the hull's face from the upper edge."""
    name, plane = run.ends[0 if first else 1]
    if plane is None:
        return EndCut(place=name, side=90.0, face=90.0)
    along, inboard, up = axes_at(run, 0 if first else len(run.points) - 1)
    into = along if first else -along
    normal = plane.normal
    across = np.cross(normal, up)
    across *= np.sign(across @ inboard) or 1.0
    down = np.cross(normal, inboard)
    down *= np.sign(-(down @ up)) or 1.0
    angles = [float(np.degrees(np.arccos(np.clip(into @ way / np.linalg.norm(way), -1.0, 1.0)))) for way in (across, down)]
    return EndCut(place=name, side=angles[0], face=angles[1])
