"""Which measured numbers of a hull are probably wrong, and which ones nothing can tell about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sketcher.analysis.findings import Why
from sketcher.analysis.hull.transom import drop_forward
from sketcher.analysis.survey.prediction import Section
from sketcher.analysis.survey.residuals import System, residual_system
from sketcher.analysis.survey.taped_lengths import Distance
from sketcher.analysis.survey.traced_lines import MissedMark, missed_marks, trace_lines
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import POINTS_APART
from sketcher.model.hull import Hull

FOUND_AT = 3.6
"""[standard errors] a slip is reported from here: in 800 sound sets of measurements none came as far by chance."""

SLIP_SOUGHT = 0.050
"""[m] the slip that must be seen: a 3 read as an 8 in the tens of millimetres."""

JUDGED_UP_TO = SLIP_SOUGHT / (FOUND_AT + 1.645)
"""[m] standard error of a number up to which a slip of that size comes out as one in 95 cases of 100."""

_CONSIDERED = 1.3
"""[1] how far past that a number may still be named: a slip makes its own standard error look a little greater."""

SLIPS_LIMIT = 12
"""More slips than this are no slips but a hull that does not fit the method; the search stops."""

POINTS_LIMIT = 800
"""More points than this were not read off a tape; judging them by this method would take many seconds."""

_STATION_OVER_POINT = 1.5
"""[standard errors] by which a whole station's place must explain more than its best single point does."""

_TRIED = 8
"""Points that explain the residuals best, for each of which it is asked how rough the rest is without it."""

_RIVAL = 0.8
"""[standard errors] a point that explains the residuals nearly as well as the best one, by less than this, is named with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A number that is probably wrong. point: None when it is the station's own distance; both counted from 0.

    off [m]: how far the point stands outside its place square to the skin, along `direction` (half-breadth, height), or how
    much further aft the station is put than it was; spread [m]: the standard error of that. rivals: (station, point) of
    points that would explain the same nearly as well.
    """

    station: int
    point: int | None
    direction: tuple[float, float]
    off: float
    spread: float
    rivals: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A number that cannot be judged, and why; all counted from 0. coordinate: 0 half-breadth, 1 height.

    share: how much of a slip in it stands square to the skin, where that is the reason.
    """

    station: int
    point: int
    coordinate: Literal[0, 1]
    why: Why
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Judgement:
    """What the measurements say about themselves."""

    slips: tuple[Slip, ...] = ()
    unjudged: tuple[Unjudged, ...] = ()
    missed: tuple[MissedMark, ...] = ()


def judge(hull: Hull) -> Judgement:
    """Judge every measured number of a hull against its neighbours along and across."""
    usable = [j for j, station in enumerate(hull.stations) if _usable(np.array(station.points))]
    if len(usable) < 4:
        return Judgement(unjudged=_all(hull, "few"))
    if sum(len(hull.stations[j].points) for j in usable) > POINTS_LIMIT:
        return Judgement(unjudged=_all(hull, "many"))
    points = [np.array(hull.stations[j].points) for j in usable]
    marks = [[k - 1 for k in hull.stations[j].knuckles if 1 < k < len(hull.stations[j].points)] for j in usable]
    missed: list[MissedMark] = []
    if hull.between_points == "straight" and len({len(p) for p in points}) == 1:
        marks = [list(range(1, len(p) - 1)) for p in points]
    elif hull.between_points == "smooth":
        missed = missed_marks(points, marks)
        marks = [sorted({*mine, *(m.point for m in missed if m.station == j)}) for j, mine in enumerate(marks)]
    system = residual_system(_sections(hull, usable, points, marks), _distances(hull, usable))
    return Judgement(
        _slips(system, usable),
        tuple(_unjudged(system, _roughness(system, []), hull, usable)),
        tuple(MissedMark(usable[m.station], m.point, m.turn, usable[m.beside]) for m in missed),
    )


def _usable(points: Floats) -> bool:
    """Whether a station is a line of separate points; an end that is a single point says nothing of its neighbours."""
    return len(points) > 1 and bool(np.hypot(*np.diff(points, axis=0).T).min() > POINTS_APART)


def _sections(hull: Hull, usable: list[int], points: list[Floats], marks: list[list[int]]) -> tuple[Section, ...]:
    last = len(hull.stations) - 1
    lean = float(np.tan(np.radians(hull.transom_rake)))
    return tuple(
        Section(
            hull.stations[j].at,
            section,
            ends,
            lean if j == last else 0.0,
            drop_forward(hull, section[:, 0]) if j == last else None,
        )
        for j, section, ends in zip(usable, points, trace_lines(points, marks), strict=True)
    )


def _distances(hull: Hull, usable: list[int]) -> tuple[Distance, ...]:
    """The hull's checks whose ends lie on stations that are judged."""
    number = {hull.stations[j].at: k for k, j in enumerate(usable)}
    return tuple(
        Distance(
            (number[check.start[0]], check.start[1] - 1),
            (number[check.end[0]], check.end[1] - 1),
            check.measured,
            check.across,
            check.skin,
        )
        for check in hull.checks
        if check.start[0] in number and check.end[0] in number
    )


def _roughness(system: System, known: list[int]) -> float:
    """How many times rougher than a tape's error the set is but for the slips known, at least 1.

    A rough hull must not drown in findings; but a great slip at one of few stations roughens all that is told by its neighbours.
    """
    sizes, spreads = system.estimates(known)
    sure = np.isfinite(spreads)
    return max(1.0, 1.4826 * float(np.median(np.abs(sizes[sure] / spreads[sure])))) if sure.any() else 1.0


def _roughnesses(system: System, known: list[int], surety: Floats) -> Floats:
    """(s,) how rough the set is but for each shift that may be a slip, and for those known."""
    scales = np.full(len(surety), _roughness(system, known))
    for k in np.argsort(-surety)[:_TRIED].tolist():
        if surety[k] > FOUND_AT and scales[k] > 1.0:
            scales[k] = min(scales[k], _roughness(system, [*known, k]))
    return scales


def _slips(system: System, usable: list[int]) -> tuple[Slip, ...]:
    """Slips one after the other, the surest first; sizes are then taken with all the others left free."""
    known: list[int] = []
    rivals: list[tuple[tuple[int, int], ...]] = []
    whole = np.array([shift.point is None for shift in system.shifts])
    while len(known) < SLIPS_LIMIT:
        sizes, spreads = system.estimates(known)
        spreads = spreads * _roughnesses(system, known, np.abs(sizes) / spreads)
        spoken_for = {(system.shifts[k].station, system.shifts[k].point) for k in known}
        free = np.array([(s.station, s.point) not in spoken_for for s in system.shifts]) & (spreads <= _CONSIDERED * JUDGED_UP_TO)
        surety = np.where(free, np.abs(sizes) / np.where(free, spreads, 1.0), 0.0) - _STATION_OVER_POINT * whole
        best = int(np.argmax(surety))
        if surety[best] <= FOUND_AT:
            break
        known.append(best)
        near = [system.shifts[k] for k in np.flatnonzero(surety > max(FOUND_AT, surety[best] - _RIVAL)) if k != best]
        mine = system.shifts[best]
        places = {(usable[s.station], s.point) for s in near if s.point is not None} - {(usable[mine.station], mine.point)}
        rivals.append(tuple(sorted(places)))
    slips = []
    scale = _roughness(system, known)
    for k, others in zip(known, rivals, strict=True):
        sizes, spreads = system.estimates([other for other in known if other != k])
        shift = system.shifts[k]
        slips.append(
            Slip(
                station=usable[shift.station],
                point=shift.point,
                direction=shift.direction,
                off=float(sizes[k]),
                spread=float(spreads[k]) * scale,
                rivals=others,
            )
        )
    return tuple(slips)


def _unjudged(system: System, scale: float, hull: Hull, usable: list[int]) -> list[Unjudged]:
    """Every number whose slip of `SLIP_SOUGHT` would not stand out, with the first reason that holds."""
    _, spreads = system.estimates([])
    unjudged = [
        Unjudged(j, i, c, "end")
        for j, station in enumerate(hull.stations)
        if j not in usable
        for i, point in enumerate(station.points)
        for c in _coordinates(i, point)
    ]
    told = {
        (usable[shift.station], shift.point, c)
        for shift, spread in zip(system.shifts, spreads * scale, strict=True)
        for c in (0, 1)
        if abs(shift.direction[c]) == 1.0 and spread <= JUDGED_UP_TO
    }
    for shift, spread in zip(system.shifts, spreads * scale, strict=True):
        if shift.point is None or shift.checked:
            continue
        station = usable[shift.station]
        for c in _coordinates(shift.point, hull.stations[station].points[shift.point]):
            share = abs(shift.direction[c])
            on_line = share in (0.0, 1.0) and sum(map(abs, shift.direction)) == 1.0
            if on_line and share == 0.0:
                continue
            if spread > JUDGED_UP_TO:
                ends = shift.station in (0, len(usable) - 1)
                unjudged.append(Unjudged(station, shift.point, c, "end" if ends else "line" if np.isinf(spread) else "bend"))
            elif spread > JUDGED_UP_TO * share:
                unjudged.append(Unjudged(station, shift.point, c, "along", share))
    left = [number for number in unjudged if (number.station, number.point, number.coordinate) not in told]
    return sorted(left, key=lambda u: (u.station, u.point, u.coordinate))


def _coordinates(point: int, value: tuple[float, float]) -> tuple[Literal[0, 1], ...]:
    """The numbers of a point that were measured: on the centreline only the height."""
    return (1,) if point == 0 and value[0] == 0.0 else (0, 1)


def _all(hull: Hull, why: Why) -> tuple[Unjudged, ...]:
    return tuple(
        Unjudged(j, i, c, why)
        for j, station in enumerate(hull.stations)
        for i, point in enumerate(station.points)
        for c in _coordinates(i, point)
    )
