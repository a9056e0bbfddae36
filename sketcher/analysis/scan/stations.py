"""A station as a tape would have measured it: few points on a fine section, knuckles among them, and how sure they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sketcher.analysis.scan.knuckles import Knuckle, corner_near
from sketcher.analysis.scan.sections import ScanSection, skin_point
from sketcher.geometry.mesh import Floats
from sketcher.model.hull import Point2, Station
from sketcher.model.units import format_length, parse_length

_CHORD, _TURN = 0.20, 12.0
"""[m], [deg] Between two points of a station the skin goes no further and turns no more."""
_OFF_LINE = 0.025
"""[m] A place further off the rows' line than this hangs on too few points."""
_STEEP = 0.5
"""[1] The cosine of a bottom's rise at the keel below which it is steep."""
_UNSURE = 0.2
"""[1] Share of the points' noise: a keel that a section's own points tell no better is one of few points."""
_NO_NEARER = 0.05
"""[m] of girth between two points."""
_STEPS = {"mm": 0.001, "cm": 0.001, "m": 0.001, "in": 0.0254 / 32, "ft": 0.0003048}
"""[m] To which the numbers of a station are written in each unit."""
_LEAST_ERROR = 0.001
"""[m] No number is said to be surer: skins are no fairer, and files are written so fine."""


@dataclass(frozen=True, slots=True)
class _Place:
    at: Point2
    error: float
    knuckle: bool = False


def rounded(value: float, units: str) -> float:
    """A length [m] as a file in that unit will hold it."""
    return parse_length(format_length(round(value / _STEPS[units]) * _STEPS[units], units), units) or 0.0


def measured_station(
    cut: ScanSection,
    sheer: Callable[[float], float],
    knuckles: Sequence[Knuckle],
    keel: float | None,
    zero: Floats,
    units: str,
    noise: float,
) -> Station:
    """A section as a station of a hull whose zero (3,) lies there in the section's axes. keel: its height, where it is known."""
    top = cut.upper_edge(sheer)
    corners = _corners(cut, knuckles, top)
    ends = [0.0, *corners, top]
    places = [_keel(cut, ends[1], keel, noise)]
    for low, high in pairwise(ends):
        places += [_Place(corners[low], noise, True)] if low in corners else []
        places += _between(cut, low, high)
    places.append(_sheer_place(cut, ends[-2], top, noise))
    error = max(_LEAST_ERROR, float(np.sqrt(np.mean([place.error**2 for place in places]))))
    return Station(
        at=rounded(cut.x + cut.lean * places[0].at[1] - float(zero[0]), units),
        points=tuple((rounded(max(y, 0.0), units), rounded(z - float(zero[2]), units)) for y, z in (each.at for each in places)),
        knuckles=tuple(number for number, place in enumerate(places, 1) if place.knuckle),
        measured_to=rounded(error, units),
    )


def _corners(cut: ScanSection, knuckles: Sequence[Knuckle], top: float) -> dict[float, Point2]:
    """The girths and places of the section's knuckles, from the keel up."""
    found: dict[float, Point2] = {}
    for knuckle in knuckles:
        x = cut.x + cut.lean * float(knuckle.places[-1, 1])
        said = knuckle.at(x)
        corner = corner_near(cut, said, top) if said else None
        there = knuckle.holds(x) or (x > knuckle.x[-1] and corner is not None and corner.turn)
        if corner and there and _NO_NEARER < corner.along < top - _NO_NEARER:
            found[corner.along] = corner.place
    rising = sorted(found)
    return {along: found[along] for along, before in zip(rising, [-1.0, *rising], strict=False) if along - before > _NO_NEARER}


def _keel(cut: ScanSection, high: float, stated: float | None, noise: float) -> _Place:
    """Where the section meets the centreline; in a steep one, or one of few points, an end's profile tells better."""
    found = skin_point(cut, 0.0, 0.0, high)
    steep = found is None or found.direction[0] < _STEEP or found.error > _UNSURE * noise
    if steep and stated is not None:
        return _Place((0.0, stated), noise / 2)
    if found is None or found.direction[0] < _STEEP / 4:
        return _Place((0.0, float(cut.line[0, 1])), noise)
    (y, z), (along, up) = found.place, found.direction
    return _Place((0.0, z - y * up / along), found.error)


def _sheer_place(cut: ScanSection, low: float, top: float, noise: float) -> _Place:
    found, line = skin_point(cut, top, low, top), cut.on_line(top)
    if found and np.hypot(*(line - found.place)) < _OFF_LINE:
        return _Place(found.place, found.error)
    return _Place((float(line[0]), float(line[1])), noise)


def _between(cut: ScanSection, low: float, high: float) -> list[_Place]:
    """Points between two fixed ones, nearer together where the skin turns; none where it was not seen."""
    places = []
    for along in _girths(cut, low, high):
        found = skin_point(cut, along, low, high)
        if found and cut.is_known(along) and np.hypot(*(cut.on_line(along) - found.place)) < _OFF_LINE:
            places.append(_Place(found.place, found.error))
    return places


def _girths(cut: ScanSection, low: float, high: float) -> list[float]:
    """Girths between two, so that no piece is longer than a chord or turns more than is allowed."""
    fine = np.linspace(low, high, max(3, round((high - low) / 0.03)))
    line = np.array([cut.on_line(along) for along in fine])
    away = np.diff(line, axis=0)
    heading = np.unwrap(np.arctan2(away[:, 1], away[:, 0]))
    turned = np.abs(np.diff(heading, prepend=heading[0]))
    cost = np.cumsum(np.hypot(*away.T) / _CHORD + np.degrees(turned) / _TURN * 0.5)
    count = min(max(2, int(np.ceil(cost[-1]))), max(1, int((high - low) / _NO_NEARER)))
    shares = np.linspace(0.0, cost[-1], count + 1)[1:-1]
    return [float(np.interp(share, np.concatenate([[0.0], cost]), fine)) for share in shares]
