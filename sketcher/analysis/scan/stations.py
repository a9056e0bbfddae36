"""A station as a tape would have measured it: few points on a fine section, knuckles among them, and how sure they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.scan.faces import REACH, Face, FacePoints, LinePlace, PlaneAcross, section_face
from sketcher.analysis.scan.knuckles import Knuckle
from sketcher.analysis.scan.sections import ScanSection
from sketcher.geometry.mesh import Floats
from sketcher.model.hull import Point2, Station
from sketcher.model.units import format_length, parse_length

_CHORD, _TURN = 0.20, 12.0
"""[m], [deg] Between two points of a station the skin goes no further and turns no more."""
_OFF_LINE = 0.025
"""[m] A place further off the rows' line than this hangs on too few points."""
_STEEP = 0.5
"""[1] The cosine of a bottom's rise at the keel below which it is steep."""
_EDGE_REACH = 0.15
"""[m] of girth by which keel and sheer are told, where points lie on one side alone."""
_AT_END = 0.12
"""[m] So far forward of a section a knuckle may end, between two places at which it was fitted, and still be there."""
_SAME = 0.01
"""[m] Places nearer to each other than this are one."""
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


@dataclass(frozen=True, eq=False)
class SkinLines:
    """The lines that run along a skin. keel: where both sides meet; sheer: its height by places aft."""

    keel: LinePlace
    knuckles: tuple[Knuckle, ...]
    sheer: Callable[[float], float]


def rounded(value: float, units: str) -> float:
    """A length [m] as a file in that unit will hold it."""
    return parse_length(format_length(round(value / _STEPS[units]) * _STEPS[units], units), units) or 0.0


def measured_station(
    cut: ScanSection, skin: FacePoints, lines: SkinLines, keel: float | None, zero: Floats, units: str, after: bool = True
) -> Station:
    """A section as a station of a hull whose zero (3,) lies there in the section's axes.

    keel: its height, where an end's profile tells it; after: whether the skin goes on behind the section.
    """
    plane = PlaneAcross(cut.x, cut.lean, after)
    top = cut.upper_edge(lines.sheer)
    met = [(knuckle, place) for knuckle in lines.knuckles if (place := _met(knuckle, plane)) is not None]
    rising = sorted((cut.girth_of(place), place, knuckle) for knuckle, place in met)
    rising = [each for each in rising if _NO_NEARER < each[0] < top - _NO_NEARER]
    ends = [0.0, *(along for along, _, _ in rising), top]
    low = [lines.keel, *(knuckle.line for _, _, knuckle in rising)]
    stretches = [_Stretch(cut, skin, plane, *each) for each in zip(ends, ends[1:], low, [*low[1:], None], strict=False)]
    places = [_keel(stretches[0], keel)]
    for number, stretch in enumerate(stretches):
        places += [_Place(rising[number - 1][1], skin.noise / 2, True)] if number else []
        places += _between(stretch)
    places = _spaced([*places, _sheer_place(stretches[-1], lines.sheer)])
    error = max(_LEAST_ERROR, float(np.sqrt(np.mean([place.error**2 for place in places]))))
    return Station(
        at=rounded(cut.x + cut.lean * places[0].at[1] - float(zero[0]), units),
        points=tuple((rounded(max(y, 0.0), units), rounded(z - float(zero[2]), units)) for y, z in (each.at for each in places)),
        knuckles=tuple(number for number, place in enumerate(places, 1) if place.knuckle),
        measured_to=rounded(error, units),
    )


@dataclass(frozen=True, eq=False)
class _Stretch:
    """What of a section lies between two girths at lines that break the skin; there is no upper one at the sheer."""

    cut: ScanSection
    skin: FacePoints
    plane: PlaneAcross
    start: float
    end: float
    low: LinePlace
    high: LinePlace | None

    def face(self, along: float, reach: float = REACH) -> Face | None:
        """The face near a girth, by the points between the stretch's lines."""
        place = self.cut.on_line(along)
        way = self.cut.on_line(min(along + reach, self.end)) - self.cut.on_line(max(along - reach, self.start))
        return section_face(self.skin, self.plane, place, way, self.low, self.high, reach, mirrored=self.start == 0.0)


def _spaced(places: list[_Place]) -> list[_Place]:
    """Places none of which lies on the one before: of two the knuckle stays, or the end."""
    kept = places[:1]
    for number, place in enumerate(places[1:], 1):
        near = np.hypot(*np.subtract(place.at, kept[-1].at)) < _SAME
        if near and (place.knuckle or number == len(places) - 1) and len(kept) > 1 and not kept[-1].knuckle:
            kept[-1] = place
        elif not near:
            kept.append(place)
    return kept


def _met(knuckle: Knuckle, plane: PlaneAcross) -> Point2 | None:
    """Where a knuckle comes through a section's plane."""
    x = plane.x + plane.lean * float(knuckle.places[-1, 1])
    for _ in range(3):
        said = knuckle.line(np.array([x]))[0]
        x = plane.x + plane.lean * float(said[1])
    return (float(said[0]), float(said[1])) if knuckle.x[0] <= x <= knuckle.x[-1] + _AT_END else None


def _keel(stretch: _Stretch, stated: float | None) -> _Place:
    """Where the section meets the centreline; in a steep one an end's profile tells better."""
    face = stretch.face(0.0, _EDGE_REACH)
    steep = face is None or face.up[0] < _STEEP
    if stated is not None and steep:
        return _Place((0.0, stated), stretch.skin.noise / 2)
    if face is None or face.up[0] < _STEEP / 4:
        return _Place((0.0, float(stretch.cut.line[0, 1])), stretch.skin.noise)
    along = face.where(0, 0.0)
    return _Place((0.0, float(face.at(along)[1])), face.error(along))


def _sheer_place(stretch: _Stretch, sheer: Callable[[float], float]) -> _Place:
    line = stretch.cut.on_line(stretch.end)
    face = stretch.face(stretch.end, _EDGE_REACH)
    if face is None:
        return _Place((float(line[0]), float(line[1])), stretch.skin.noise)
    along = 0.0
    for _ in range(3):
        along = face.where(1, sheer(stretch.plane.x + stretch.plane.lean * float(face.at(along)[1])))
    y, z = face.at(along)
    return _Place((float(y), float(z)), face.error(along))


def _between(stretch: _Stretch) -> list[_Place]:
    """Points between two fixed ones, nearer together where the skin turns; none where it was not seen."""
    places = []
    for along in _girths(stretch.cut, stretch.start, stretch.end):
        face = stretch.face(along)
        if face and stretch.cut.is_known(along) and abs(face.shape[0]) < _OFF_LINE:
            y, z = face.at(0.0)
            places.append(_Place((float(y), float(z)), face.error(0.0)))
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
