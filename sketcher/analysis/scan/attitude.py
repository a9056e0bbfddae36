"""How a scanned boat lies in the scan's own axes: her plane of symmetry, which way is up, and which way aft."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeVar

import numpy as np

from sketcher.analysis.scan.surfels import Surfels, surfels_of
from sketcher.analysis.scan.symmetry import Mirror, refined, symmetry_plane
from sketcher.geometry.mesh import Flags, Floats, Ints

LevelBy = Literal["upright axis", "her length", "three points"]

LOOKED_AT = 150_000
"""Points by which she is turned: more make the plane no surer than the skin is fair."""
_PLUMB, _TRIMMED, _TRIMMED_SHORT = 12.0, 10.0, 30.0
"""[deg] How far the scan's own upright axis may lie off her middle plane, and off square to her length, to be taken for plumb.

Of a part of a boat the longest direction tells little."""
_LONG = 3.0
"""[depths] A scan that is longer is of most of a boat."""
_END, _MANY = 0.12, 0.15
"""[1] The share of her length that is compared at both ends, and by how much one must be finer to be called the bow."""
_CELL = 1 / 100


@dataclass(frozen=True, eq=False)
class ScanAttitude:
    """axes (3, 3): rows aft, starboard, up in the scan's axes; origin (3,): the scan's place that is her zero.

    share: of her surface that has an image on the other side; level: what was taken as level; sure_of_bow: whether one end is
    clearly the finer.
    """

    axes: Floats
    origin: Floats
    share: float
    level: LevelBy
    sure_of_bow: bool

    def aboard(self, points: Floats) -> Floats:
        """Points (n, 3) of the scan in the boat's axes."""
        return (points - self.origin) @ self.axes.T

    def moved(self, by: Floats) -> ScanAttitude:
        """The same with zero at a place (3,) of the boat's axes."""
        return ScanAttitude(self.axes, self.origin + by @ self.axes, self.share, self.level, self.sure_of_bow)


def found_attitude(points: Floats, length: float) -> ScanAttitude:
    """How points (n, 3) [m] lie, by their shape alone. length [m]: about how long they reach."""
    few = thinned(points, LOOKED_AT)
    mirror = symmetry_plane(few, length)
    surfels = surfels_of(few, length * _CELL)
    aft = _longest(surfels, mirror.normal)
    up, level = _upright(mirror.normal, aft, surfels)
    return _told(mirror, up, level, surfels)


def stated_attitude(points: Floats, length: float, bow: Floats, stern: Floats, keel: Floats) -> ScanAttitude:
    """The same by three places (3,) on her centreline: bow and stern at one height, and the keel below them."""
    few = thinned(points, LOOKED_AT)
    surfels = surfels_of(few, length * _CELL)
    aft = (stern - bow) / np.linalg.norm(stern - bow)
    down = (keel - bow) - aft * float((keel - bow) @ aft)
    normal = np.cross(aft, down / np.linalg.norm(down))
    mirror = refined(Mirror(normal, float(normal @ (bow + stern + keel)) / 3.0, 0.0), surfels)
    up = -(down - mirror.normal * float(down @ mirror.normal))
    up -= aft * float(up @ aft)
    up /= np.linalg.norm(up)
    level_aft = np.cross(mirror.normal, up)
    level_aft *= np.sign(level_aft @ aft)
    return _placed(mirror, level_aft, up, "three points", True, surfels)


Thinned = TypeVar("Thinned", Floats, Ints)


def thinned(points: Thinned, most: int) -> Thinned:
    """At most so many of the points, evenly out of their order."""
    if len(points) <= most:
        return points
    return points[np.linspace(0, len(points) - 1, most).astype(np.int64)]


def _longest(surfels: Surfels, normal: Floats) -> Floats:
    """The direction within the plane in which the surface reaches furthest."""
    flat = surfels.centres - surfels.middle
    flat = flat - np.outer(flat @ normal, normal)
    _, axes = np.linalg.eigh(flat.T @ flat)
    return np.asarray(axes[:, 2])


def _upright(normal: Floats, aft: Floats, surfels: Surfels) -> tuple[Floats, LevelBy]:
    """The scan's own upright axis within the plane, where it can be one: z, else y; else square to her length."""
    square = np.cross(normal, aft)
    long = np.ptp(surfels.centres @ aft) > _LONG * np.ptp(surfels.centres @ square)
    heeled, trimmed = np.sin(np.radians([_PLUMB, _TRIMMED if long else _TRIMMED_SHORT]))
    for axis in (np.array([0.0, 0.0, 1.0]), np.array([0.0, 1.0, 0.0])):
        if abs(axis @ normal) < heeled and abs(axis @ aft) < trimmed:
            up = axis - normal * float(axis @ normal)
            return up / np.linalg.norm(up), "upright axis"
    return square, "her length"


def _told(mirror: Mirror, up: Floats, level: LevelBy, surfels: Surfels) -> ScanAttitude:
    """Up and aft turned by her shape: she is narrower below than above, and finer forward than aft."""
    aft = np.cross(mirror.normal, up)
    places = surfels.centres - surfels.middle
    off = np.abs(surfels.centres @ mirror.normal - mirror.offset)
    x, z = places @ aft, places @ up
    middle = (x > np.quantile(x, 0.25)) & (x < np.quantile(x, 0.75))
    if _wide(off, middle & (z < np.quantile(z[middle], 0.25))) > _wide(off, middle & (z > np.quantile(z[middle], 0.75))):
        up, z = -up, -z
    low, high = (_wide(off, x < np.quantile(x, _END)), _wide(off, x > np.quantile(x, 1.0 - _END)))
    sure = abs(low - high) > _MANY * max(low, high)
    if not sure:
        low, high = -_top(z, x < np.quantile(x, _END)), -_top(z, x > np.quantile(x, 1.0 - _END))
    if low > high:
        aft = -aft
    return _placed(mirror, aft, up, level, bool(sure), surfels)


def _placed(mirror: Mirror, aft: Floats, up: Floats, level: LevelBy, sure: bool, surfels: Surfels) -> ScanAttitude:
    starboard = np.cross(up, aft)
    axes = np.stack([aft, starboard, up])
    side = float(np.sign(starboard @ mirror.normal))
    origin = starboard * side * mirror.offset
    places = (surfels.centres - origin) @ axes.T
    low = np.array([places[:, 0].min(), 0.0, places[:, 2].min()])
    return ScanAttitude(axes, origin + low @ axes, mirror.share, level, sure)


def _wide(off: Floats, where: Flags) -> float:
    return float(np.quantile(off[where], 0.9)) if where.any() else 0.0


def _top(z: Floats, where: Flags) -> float:
    return float(np.quantile(z[where], 0.95))
