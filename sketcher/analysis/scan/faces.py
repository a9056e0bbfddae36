"""The skin beside a place, fitted to a scan's points in space: one face, from one line where the skin is broken to the next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats

LinePlace = Callable[[Floats], Floats]
"""Half-breadths and heights (n, 2) of a line that runs along her, by places aft (n,)."""

CLEAR = 2.5
"""[standard deviations of the points] So near a corner points of its other face lie among those of a face."""
REACH, LONG = 0.12, 0.25
"""[m] of girth over which a parabola follows a skin to a fraction of a millimetre; fore and aft, where she is fairer."""
_WHOLE, _SHORTEST = 10000.0, 0.4
"""Points of both sides on a square metre from which on faces are fitted over shorter stretches, and how much shorter at most."""
_GATE = 0.04
"""[m] A point further off the place's tangent than this and than a face may curve is of something else."""
_FEW = 24
"""Points that six numbers need to be better than the rows."""
_BELIEVED = 3.5
"""[standard deviations] A point further off a face is left out."""


@dataclass(frozen=True, eq=False)
class FacePoints:
    """Points (n, 3) of a skin aboard, port folded onto starboard, rising in x; noise: one standard deviation of them [m].

    scale [1]: of the stretches that faces are fitted over: shorter where points lie closer, so that about as many tell.
    """

    points: Floats
    noise: float
    scale: float = 1.0

    @classmethod
    def of(cls, points: Floats, noise: float, density: float = 0.0) -> FacePoints:
        """From points (n, 3) aboard in any order, so many of them on a square metre of one side."""
        scale = float(np.clip((_WHOLE / max(density, 1.0)) ** 0.5, _SHORTEST, 1.0))
        folded = points[np.argsort(points[:, 0], kind="stable")]
        return cls(np.column_stack([folded[:, 0], np.abs(folded[:, 1]), folded[:, 2]]), max(noise, 1e-4), scale)

    def between(self, low: float, high: float) -> Floats:
        """Those between two places aft."""
        return self.points[slice(*np.searchsorted(self.points[:, 0], [low, high]))]


@dataclass(frozen=True, eq=False)
class PlaneAcross:
    """A plane across the boat: so far aft at height 0, and for each metre up. after: whether the skin goes on behind it."""

    x: float
    lean: float = 0.0
    after: bool = True


@dataclass(frozen=True, eq=False)
class Face:
    """A parabola in a plane, the skin's section: from a place (2,) along `up` (2,), off it to the left by powers of the way.

    shape (3,): of the powers 0 to 2, with their covariance (3, 3).
    """

    place: Floats
    up: Floats
    shape: Floats
    covariance: Floats

    @property
    def left(self) -> Floats:
        return np.array([-self.up[1], self.up[0]])

    def at(self, along: float) -> Floats:
        """Its half-breadth and height (2,) so far up."""
        off = self.shape[0] + self.shape[1] * along + self.shape[2] * along**2
        return np.asarray(self.place + along * self.up + off * self.left)

    def direction(self, along: float) -> Floats:
        """Its direction (2,) up the skin there."""
        way = self.up + (self.shape[1] + 2.0 * self.shape[2] * along) * self.left
        return np.asarray(way / np.linalg.norm(way))

    def error(self, along: float) -> float:
        """Its standard error [m] there, square to it."""
        powers = np.array([1.0, along, along**2])
        return float(np.sqrt(powers @ self.covariance @ powers))

    def where(self, component: int, value: float) -> float:
        """How far up it its half-breadth, component 0, or height, 1, comes to a value, from near its place."""
        along = 0.0
        for _ in range(8):
            step = (value - self.at(along)[component]) / _away_from_zero(
                float(self.up[component] + (self.shape[1] + 2.0 * self.shape[2] * along) * self.left[component])
            )
            along += float(np.clip(step, -0.1, 0.1))
        return along


def _away_from_zero(value: float) -> float:
    return float(np.copysign(max(abs(value), 0.05), value))


def faces_meet(below: Face, above: Face) -> tuple[float, float]:
    """How far up each of two faces they meet."""
    places = np.zeros(2)
    for _ in range(8):
        gap = above.at(places[1]) - below.at(places[0])
        matrix = np.stack([below.direction(places[0]), -above.direction(places[1])], axis=1)
        if abs(np.linalg.det(matrix)) < 1e-3:
            break
        places += np.clip(np.linalg.solve(matrix, gap), -0.05, 0.05)
    return float(places[0]), float(places[1])


def section_face(
    skin: FacePoints,
    plane: PlaneAcross,
    place: Floats,
    up: Floats,
    low: LinePlace | None = None,
    high: LinePlace | None = None,
    reach: float = REACH,
    long: float = LONG,
    unsure: float = 0.0,
    mirrored: bool = False,
) -> Face | None:
    """The face near a place (2,) of a plane's section, whose direction up it is (2,); None where too few points tell.

    low, high: the lines between which it lies, told to `unsure` [m]; mirrored: below the lower one lies the other side.
    """
    reach, long = reach * skin.scale, long * skin.scale
    lean = abs(plane.lean) * reach
    there = plane.x + plane.lean * float(place[1])
    mine = skin.between(there - long - lean, there + (long if plane.after else 0.0) + lean)
    aft = mine[:, 0] - plane.x - plane.lean * mine[:, 2]
    up = up / max(float(np.linalg.norm(up)), 1e-9)
    flat = mine[:, 1:] - place
    along, off = flat @ up, flat @ np.array([-up[1], up[0]])
    kept = (np.abs(along) < reach) & (aft > -long) & (aft < (long if plane.after else 0.0))
    clear = CLEAR * skin.noise + unsure
    for line, side in ((low, 1.0), (high, -1.0)):
        if line is not None:
            kept &= side * (along - (line(mine[:, 0]) - place) @ up) > clear * (folded(up) if mirrored and line is low else 1.0)
    return face_by(aft[kept] / long, along[kept], off[kept], place, up, skin.noise)


def folded(up: Floats) -> float:
    """How much further than from a knuckle the other side's points lie among a face's, for a face of a direction (2,) [1].

    Folded onto one side they are where they would be but for the noise, so that they only mislead where it is folded too.
    """
    return float(np.clip(0.6 * abs(up[1]) / max(up[0], 0.05), 0.2, 4.0))


def face_by(aft: Floats, along: Floats, off: Floats, place: Floats, up: Floats, noise: float) -> Face | None:
    """A face by points' distances (n,) from a plane [as a share], up a direction from a place and off that [m]."""
    if len(aft) < _FEW:
        return None
    scale = REACH
    b = along / scale
    powers = np.stack([np.ones_like(b), b, b**2, aft, aft**2, aft * b], axis=1)
    kept = np.abs(off - np.median(off)) < _GATE + np.abs(off - np.median(off)).mean()
    weights = kept.astype(float)
    shape = np.zeros(6)
    for limit in (8.0, 6.0, _BELIEVED + 1.0, _BELIEVED, _BELIEVED, _BELIEVED):
        if (weights > 0.0).sum() < _FEW:
            return None
        matrix = powers.T @ (powers * weights[:, None]) + 1e-6 * np.eye(6)
        shape = np.linalg.solve(matrix, powers.T @ (weights * off))
        spread = limit * noise
        weights = np.clip(1.0 - ((off - powers @ shape) / spread) ** 2, 0.0, None) ** 2
    inverse = np.linalg.inv(matrix)[:3, :3]
    scaled = np.array([1.0, 1.0 / scale, 1.0 / scale**2])
    return Face(place, up, shape[:3] * scaled, noise**2 * 1.2 * inverse * np.outer(scaled, scaled))
