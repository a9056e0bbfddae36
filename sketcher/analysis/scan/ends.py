"""The ends of a scanned hull: a flat transom, or the profile of a sharp stem or stern."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.scan.faces import CLEAR, FacePoints, face_by, folded
from sketcher.analysis.scan.skin import Skin
from sketcher.analysis.scan.smoothing import smoothed
from sketcher.analysis.scan.surfels import Surfels
from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.interpolation import girths

_FACING, _ACROSS = 0.75, 0.35
"""[1] How much of a transom's square looks fore and aft, and how much of it may look aside."""
_NEAR_END = 0.12
"""[share of her length] A transom lies so near the end."""
_LEAST_BEAM = 0.4
"""[share of the beam] It reaches so far across."""
_FILLED = 0.3
"""[share of the rectangle about it] It covers."""
_WEDGE = 0.12
"""[m] Half-breadths near the centreline that tell where both sides meet."""
_RAY = np.radians(6.0)
_LEAST = 10
_ASTRAY, _FEW_ASTRAY = 0.015, 6
"""[m] A place of a stem stands off the line between its neighbours, some 50 mm away, by no more; and how many may."""
_SETTLED, _ABOUT = 3, 3
"""Times that a profile is settled on the faces beside it, and places on each side by which its way is told."""
_APART, _WAVE, _USUAL = 0.05, 0.35, 0.003
"""[m] between the places of a profile, the shortest wave that it has, and how well one of them is usually told."""
_BESIDE, _DEEP, _NEAR = 0.15, 0.18, 0.05
"""[m] Points so far along a profile on each side and so deep behind it tell it; and how far it may move at once."""
_HEAD = 0.3
"""[m] So far below the sheer places are few already, and none is left out."""


@dataclass(frozen=True, slots=True)
class Transom:
    """A flat end: x at height 0, and how far aft it goes for each metre up."""

    x: float
    lean: float

    def at(self, z: Floats) -> Floats:
        """x at heights."""
        return self.x + self.lean * z


def transom_of(surfels: Surfels, points: Floats) -> Transom | None:
    """The flat end that points (n, 3) aboard show aft; None where there is none."""
    centres, normals = surfels.centres, np.abs(surfels.normals)
    start, end = centres[:, 0].min(), centres[:, 0].max()
    flat = (normals[:, 0] > _FACING) & (normals[:, 1] < _ACROSS) & (centres[:, 0] > end - _NEAR_END * (end - start))
    if flat.sum() < _LEAST:
        return None
    x, lean = _line(centres[flat, 2], centres[flat, 0], 0.10)
    on_it = flat & (np.abs(centres[:, 0] - x - lean * centres[:, 2]) < 0.05)
    beam = np.ptp(centres[centres[:, 0] > end - _NEAR_END * (end - start), 1])
    if on_it.sum() < _LEAST or np.ptp(centres[on_it, 1]) < _LEAST_BEAM * beam or not _filled(centres[on_it], surfels.size):
        return None
    near = points[np.abs(points[:, 0] - x - lean * points[:, 2]) < 0.04]
    return Transom(*_line(near[:, 2], near[:, 0], 0.02, (x, lean)))


def _filled(centres: Floats, size: float) -> bool:
    """Whether cells cover a face and not only its outline, as where a scan just ends."""
    across, up = np.ptp(centres[:, 1]), np.ptp(centres[:, 2])
    return bool(len(centres) * size**2 > _FILLED * across * up)


def profile_of(points: Floats, skin: Skin, low: tuple[float, float], high: float, forward: bool) -> list[tuple[float, float]]:
    """The profile (aft, height) on the centreline from a keel's place on to a height at the end, by points (n, 3) aboard."""
    sign = -1.0 if forward else 1.0
    eye = np.array([low[0] - sign * 0.15, float(np.interp(low[0], skin.x, skin.axis))])
    near = points[(np.abs(points[:, 1]) < _WEDGE) & (sign * (points[:, 0] - low[0]) > -0.3)]
    flat = (near[:, [0, 2]] - eye) * [sign, 1.0]
    angle, distance = np.arctan2(flat[:, 1], flat[:, 0]), np.hypot(*flat.T)
    first = float(np.arctan2(low[1] - eye[1], sign * (low[0] - eye[0])))
    found = []
    for ray in np.arange(first + _RAY / 2, np.radians(70.0), _RAY / 2):
        mine = np.abs(angle - ray) < _RAY / 2
        reach = _met(np.abs(near[mine, 1]), distance[mine])
        if reach is not None:
            found.append(eye + reach * np.array([sign * np.cos(ray), np.sin(ray)]))
    return _up_to(_believed([np.array(low), *found], high - _HEAD), high)


def settled_profile(profile: list[tuple[float, float]], skin: FacePoints, forward: bool) -> list[tuple[float, float]]:
    """The profile where both sides' faces meet, fitted square to it beside each of its places; its last keeps its height."""
    inward = 1.0 if forward else -1.0
    places = evenly(np.array(profile), _APART)
    for _ in range(_SETTLED):
        ways = np.array([_way(places, k) for k in range(len(places))])
        square = np.stack([ways[:, 1], -ways[:, 0]], axis=1) * inward
        moved = np.array([_moved(place, way, into, skin) for place, way, into in zip(places, ways, square, strict=True)])
        weights = np.where(moved[:, 1] > 0.0, (_USUAL / np.maximum(moved[:, 1], _USUAL / 5.0)) ** 2, 0.0)
        places = places + smoothed(moved[None, :, 0], weights[None], _APART, _WAVE)[0][:, None] * square
        (x, z), (p, q) = places[-1], ways[-1]
        places[-1] = x + (profile[-1][1] - z) * p / q, profile[-1][1]
    return [(float(x), float(z)) for x, z in places]


def evenly(line: Floats, step: float) -> Floats:
    """Places (n, 2) on a line (m, 2) from end to end, about a step [m] apart."""
    along = girths(line)
    places = np.linspace(0.0, along[-1], max(4, round(float(along[-1]) / step) + 1))
    return np.stack([np.interp(places, along, line[:, k]) for k in range(2)], axis=1)


def _way(places: Floats, number: int) -> Floats:
    """The direction (2,) up a profile at one of its places, by those about it."""
    near = places[max(number - _ABOUT, 0) : number + _ABOUT + 1]
    _, axes = np.linalg.eigh(np.cov(near.T))
    way = axes[:, 1]
    return np.asarray(way * np.sign(way @ (near[-1] - near[0])))


def _moved(place: Floats, way: Floats, into: Floats, skin: FacePoints) -> tuple[float, float]:
    """How far into the boat the faces meet beside a place of a profile, square to its way, and to what; 0 where too few tell."""
    beside, depth = _BESIDE * skin.scale, _DEEP * skin.scale
    mine = skin.between(place[0] - 2.0 * beside, place[0] + 2.0 * beside)
    flat = mine[:, [0, 2]] - place
    along, deep, off = flat @ way, flat @ into, mine[:, 1]
    near = (np.abs(along) < beside) & (deep > -_NEAR) & (deep < depth) & (off < depth)
    along, deep, off = along[near], deep[near], off[near]
    outer = (deep > depth / 4) & (np.abs(along) < beside / 2)
    if outer.sum() < _LEAST:
        return 0.0, 0.0
    up = np.array([np.median(off[outer]), np.median(deep[outer])])
    up /= np.linalg.norm(up)
    face = None
    for _ in range(3):
        a, b = off * up[0] + deep * up[1], deep * up[0] - off * up[1]
        told = (a > CLEAR * skin.noise * folded(up)) & (a < depth)
        face = face_by(along[told] / beside, a[told], b[told], np.zeros(2), up, skin.noise)
        if face is None:
            return 0.0, 0.0
        up = face.direction(depth / 3)
    assert face is not None
    there = face.where(0, 0.0)
    met = float(face.at(there)[1])
    error = face.error(there) / max(float(face.direction(there)[0]), 0.1)
    return (met, error) if abs(met) < _NEAR else (0.0, 0.0)


def _believed(points: list[Floats], high: float) -> list[Floats]:
    """A profile's points without a few that stand off their neighbours below a height: such a place hangs on few points."""
    kept = list(points)
    for _ in range(_FEW_ASTRAY):
        off = [_off_chord(*kept[k - 1 : k + 2]) if kept[k][1] < high else 0.0 for k in range(1, len(kept) - 1)]
        if not off or max(off) < _ASTRAY:
            break
        del kept[int(np.argmax(off)) + 1]
    return kept


def _off_chord(before: Floats, point: Floats, after: Floats) -> float:
    """How far [m] a point lies off the straight line between its neighbours."""
    (u, v), (p, q) = after - before, point - before
    return abs(float(u * q - v * p)) / max(float(np.hypot(u, v)), 1e-9)


def _met(off: Floats, distance: Floats) -> float | None:
    """The distance at which both sides meet, by points' half-breadths and distances; None where too few tell."""
    if len(off) < _LEAST:
        return None
    far = np.quantile(distance, 0.98)
    used = distance > far - 0.5
    if used.sum() < _LEAST:
        return None
    crossing, slope = _line(off[used], distance[used], 0.05, (far, -float(np.clip((far - np.median(distance)) / 0.06, 0.0, 4.0))))
    return None if abs(slope) > 8.0 else float(crossing)


def _line(along: Floats, values: Floats, scale: float, start: tuple[float, float] | None = None) -> tuple[float, float]:
    """A straight line through values, what lies off it left out: value at 0, and slope."""
    powers = np.stack([np.ones_like(along), along], axis=1)
    shape = np.array(start) if start else np.array([np.median(values), 0.0])
    limit = 5.0 * scale
    for _ in range(12):
        weights = np.clip(1.0 - ((values - powers @ shape) / limit) ** 2, 0.0, None) ** 2
        if (weights > 0.0).sum() < 3:
            break
        shape = np.linalg.solve(powers.T @ (powers * weights[:, None]) + 1e-9 * np.eye(2), powers.T @ (weights * values))
        limit = max(0.75 * limit, scale)
    return float(shape[0]), float(shape[1])


def _up_to(points: list[Floats], high: float) -> list[tuple[float, float]]:
    """A profile's points up to a height, its last piece carried on or cut there."""
    rising = [points[0]]
    for point in points[1:]:
        if point[1] > rising[-1][1] + 0.02:
            rising.append(point)
    while len(rising) > 2 and rising[-2][1] > high - 0.03:
        rising.pop()
    if len(rising) < 2:
        return []
    a, b = rising[-2], rising[-1]
    rising[-1] = a + (b - a) * (high - a[1]) / (b[1] - a[1])
    return [(float(x), float(z)) for x, z in rising]
