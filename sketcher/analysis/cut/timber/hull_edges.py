"""Where a plane under a lid meets one side of the hull, and how the skin leans over a bearer's depth from there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.vectors import cross, triple

STEP, _MOST = 0.010, 1000
"""[m] The hull's edge is looked at so often, and at so many places at most."""

_FLATTEST = 5.7
"""[1] A skin that leans further inboard for each metre down, 80 degrees, is no side that a bearer could be fitted to."""

_LOOKS = (0.5, 1.0)
"""[1] The skin is looked at below the edge at these shares of the depth; nearer to it facets would count as a lean."""


@dataclass(frozen=True, eq=False)
class HullEdge:
    """The line in which a plane under a lid meets one side of the hull, from its foremost to its aftmost place.

    frame: on the plane, u aft along the centreline, its normal up; points: (k, 2) in it; inboard: (k, 2) unit vectors square to
    the line; lean: (k,) how far a straight back from here goes inboard for each metre down to clear the skin, negative where the
    hull is wider below; hollow: (k,) [m] what is left between that back and the skin at most.
    """

    frame: Frame
    points: Floats
    inboard: Floats
    lean: Floats
    hollow: Floats

    @property
    def bevel(self) -> Floats:
        """The back's lean (k,) off square [deg]."""
        angles: Floats = np.degrees(np.arctan(self.lean))
        return angles


@kept_with_owner(16)
def hull_edge(form: HullForm, under: Plane, side: int, depth: float) -> HullEdge | None:
    """The edge on one side, port -1 or starboard 1, and the skin's lean from it over a depth [m]; None where they do not meet.

    under: a lid's lower face, its normal down.
    """
    frame = frame_below(under)
    line = _resampled(skin_line(form, frame, side))
    if len(line) < 3:
        return None
    ahead = np.gradient(line, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    inboard = np.column_stack([ahead[:, 1], -ahead[:, 0]]) * side
    ways = [(depth * share, _way_in(form, frame, (line, ahead, inboard), side, depth * share)) for share in _LOOKS]
    lean = np.clip(np.max([way / down for down, way in ways], axis=0), -_FLATTEST, _FLATTEST)
    hollow = np.max([lean * down - way for down, way in ways], axis=0)
    return HullEdge(frame, line, inboard, lean, hollow)


def frame_below(under: Plane, down: float = 0.0) -> Frame:
    """A frame on the plane so far [m] under a lid's lower face: u aft along the centreline, v to starboard, its normal up."""
    up = -under.normal
    u = cross(np.array([0.0, 1.0, 0.0]), up)
    u /= np.linalg.norm(u)
    middle = np.array([0.0, 0.0, under.distance / under.normal[2]])
    return Frame(triple(middle - up * down), triple(u), triple(cross(up, u)))


def lowered(frame: Frame, down: float) -> Frame:
    """The same axes on a plane so far [m] below."""
    return Frame(triple(np.array(frame.origin) - frame.normal * down), frame.u, frame.v)


def skin_line(form: HullForm, frame: Frame, side: int) -> Floats:
    """The outermost points (k, 2) of one side of the hull's inside in a plane, forward to aft; none where they do not meet."""
    area = _inside_at(form, frame)
    if area.is_empty:
        return np.zeros((0, 2))
    rings = [shapely.get_coordinates(ring) for part in polygons(area) for ring in (part.exterior, *part.interiors)]
    west, _, east, _ = area.bounds
    places = np.concatenate([*(ring[:, 0] for ring in rings), np.linspace(west, east, 200)])
    u = np.unique(np.clip(places, west + 1e-6, east - 1e-6))
    v = _outermost(rings, u, side)
    there = np.isfinite(v)
    return np.column_stack([u, v])[there]


@kept_with_owner(64)
def _inside_at(form: HullForm, frame: Frame) -> shapely.MultiPolygon:
    """The hull's inside in a plane: kept, since both sides ask for it, and every lid at one height."""
    return section(form.inside, frame)


def _outermost(rings: list[Floats], u: Floats, side: int) -> Floats:
    """How far off the centreline outlines reach to one side at places (k,) along it; infinite where they do not."""
    starts, ends = np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])
    west, east = np.minimum(starts[:, 0], ends[:, 0]), np.maximum(starts[:, 0], ends[:, 0])
    first, beyond = np.searchsorted(u, west), np.searchsorted(u, east)
    count = beyond - first
    edge = np.repeat(np.arange(len(starts)), count)
    place = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count - first, count)
    share = (u[place] - starts[edge, 0]) / (ends[edge, 0] - starts[edge, 0])
    out = side * (starts[edge, 1] + share * (ends[edge, 1] - starts[edge, 1]))
    furthest = np.full(len(u), -np.inf)
    np.maximum.at(furthest, place[out > 0.0], out[out > 0.0])
    reached: Floats = side * furthest
    return reached


def _resampled(line: Floats) -> Floats:
    """A line (k, 2) at even steps along itself, its ends kept."""
    if len(line) < 2:
        return line
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    even = np.linspace(0.0, along[-1], min(_MOST, max(3, round(along[-1] / STEP) + 1)))
    points: Floats = np.column_stack([np.interp(even, along, line[:, k]) for k in (0, 1)])
    return points


def _way_in(form: HullForm, frame: Frame, edge: tuple[Floats, Floats, Floats], side: int, down: float) -> Floats:
    """How far [m] inboard of an edge the skin lies so far below it (k,); carried on straight beyond the ends of the skin there.

    edge: its points, and unit vectors along and inboard, (k, 2) each.
    """
    points, ahead, inboard = edge
    below = _resampled(skin_line(form, lowered(frame, down), side))
    if len(below) < 3:
        return np.full(len(points), np.inf)
    off = below[None] - points[:, None]
    along = np.einsum("kji,ki->kj", off, ahead)
    across = np.einsum("kji,ki->kj", off, inboard)
    last = np.clip((along <= 0.0).sum(axis=1) - 1, 0, len(below) - 2)
    rows = np.arange(len(points))
    run = along[rows, last + 1] - along[rows, last]
    share = -along[rows, last] / np.where(np.abs(run) > 1e-9, run, 1e-9)
    way: Floats = across[rows, last] + share * (across[rows, last + 1] - across[rows, last])
    return way
