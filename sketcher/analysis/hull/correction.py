"""A hull's measured points moved to where the skin was found, near places at which it was read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from math import cos, radians, sin

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.hull.standing import levelled
from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.unroll import surface_normals
from sketcher.model.edits.readings import MovedPoint
from sketcher.model.hull import Hull, Station, starboard_alone

LENGTHS = (0.4, 0.6, 0.9)
"""[m] Along which the skin's shift may stay alike, each weighed by how well it explains what was read."""
SIZES = (0.003, 0.006, 0.012)
"""[m] How far it may stand off, one standard deviation."""

LEAST = 0.001
"""[m] A point that would move by less stays as it was measured."""

UPRIGHT = 0.3
"""[1] The keel moves where its skin faces down by this much or more: at a plumb stem a height says nothing of the skin."""


def moved_points(form: HullForm, places: Floats, off: Floats, error: float) -> tuple[MovedPoint, ...]:
    """The points of her stations that lie elsewhere, by how far (n,) [m] out the skin stands at places (n, 3) on it.

    Readings to port count for the side that was measured, unless both were, apart. error [m]: standard error of a reading. The
    shift is square to the skin, smooth, and fades with the distance from what was read (kriging, Matern's covariance 5/2).
    """
    if form.image is not None:
        return _apart(form, places, off, error)
    own = form.own
    folded = places * [1.0, 0.0, 1.0] + np.abs(places) * [0.0, 1.0, 0.0]
    outward = -surface_normals(form.lines).reshape(-1, 3)
    skin = form.lines.reshape(-1, 3)
    models = list(_models(folded, off, error))
    moved = []
    for number, (measured, station) in enumerate(zip(form.hull.stations, own.stations, strict=True), 1):
        points = levelled(own, [(station.at, *point) for point in station.points])
        for k, point in enumerate(points):
            near = np.linalg.norm(folded - point, axis=1)
            shift = sum(share * float(_matern(near, length) @ weights) for share, length, weights in models)
            facing = outward[int(np.argmin(np.linalg.norm(skin - point, axis=1)))]
            step = _in_station(station, k, facing, shift)
            if max(map(abs, step)) >= LEAST:
                y, z = _as_measured(form.hull, own, step)
                half_breadth, height = measured.points[k]
                moved.append(MovedPoint(number, k + 1, (max(half_breadth + y, 0.0), height + z)))
    return tuple(moved)


def _apart(form: HullForm, places: Floats, off: Floats, error: float) -> tuple[MovedPoint, ...]:
    """The same of a hull whose sides were measured apart: each side's points by what was read there."""
    assert form.image is not None
    moved: list[MovedPoint] = []
    for side, there, port in ((form, places[:, 1] >= 0.0, False), (form.image, places[:, 1] < 0.0, True)):
        if there.any():
            own = replace(side, hull=starboard_alone(side.hull), image=None)
            moved += [
                replace(each, port=port)
                for each in moved_points(own, places[there] * [1.0, -1.0 if port else 1.0, 1.0], off[there], error)
            ]
    return tuple(moved)


def _models(places: Floats, off: Floats, error: float) -> Iterator[tuple[float, float, Floats]]:
    """Lengths, each size of shift weighed, with their share of belief and the weights of the readings."""
    apart = np.linalg.norm(places[:, None] - places[None], axis=2)
    found = []
    for length, size in product(LENGTHS, SIZES):
        factor = np.linalg.cholesky(size**2 * _matern(apart, length) + error**2 * np.eye(len(off)))
        weights = np.linalg.solve(factor.T, np.linalg.solve(factor, off))
        found.append((-0.5 * float(off @ weights) - float(np.log(np.diag(factor)).sum()), length, size**2 * weights))
    belief = np.exp(np.array([likely for likely, _, _ in found]) - max(likely for likely, _, _ in found))
    for share, (_, length, weights) in zip((belief / belief.sum()).tolist(), found, strict=True):
        yield share, length, weights


def _matern(apart: Floats, length: float) -> Floats:
    scaled = apart * (5.0**0.5 / length)
    covered: Floats = (1.0 + scaled + scaled**2 / 3.0) * np.exp(-scaled)
    return covered


def _in_station(station: Station, point: int, facing: Floats, shift: float) -> tuple[float, float]:
    """How a point moves across and up in its station's plane so that the skin there moves by so much square to itself."""
    y, z = float(facing[1]), float(facing[2])
    if station.points[point][0] == 0.0:
        return (0.0, shift / z) if abs(z) >= UPRIGHT else (0.0, 0.0)
    return shift * y / (y * y + z * z), shift * z / (y * y + z * z)


def _as_measured(hull: Hull, own: Hull, step: Sequence[float]) -> tuple[float, float]:
    """A step across and up in her own axes, as it would be measured while she stood."""
    trim, heel = radians(own.measured_trim), radians(own.measured_heel)
    y, z = step[0] * cos(heel) + step[1] * sin(heel), (step[1] * cos(heel) - step[0] * sin(heel)) / cos(trim)
    return y, -z if hull.heights_down else z
