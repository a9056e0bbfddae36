"""How a boat stood while she was measured, and her measurements as they lie when she is turned back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin

import numpy as np

from sketcher.analysis.findings import Angle, Finding, Length
from sketcher.geometry.mesh import Floats
from sketcher.model.errors import SketchError
from sketcher.model.hull import Coachroof, Cockpit, Hull, Point3, with_heights_up

NEAREST = 0.3
"""[m] Marks nearer to each other tell nothing of a tilt: 5 mm in it are a degree."""

ASKEW = 0.2
"""[1] Marks in one line tell her trim, or her heel, while that line leaves her length, or her beam, by no more than this."""

STEEPEST = 45.0
"""[deg] A boat that stood further over was not measured with plumb line and level."""

DISAGREE = 0.010
"""[m] Marks that come out at heights further apart than this are worth a warning: a water tube is read to 2 mm."""

_STEPS = 20
"""Of Newton's: four are enough for any tilt that is let through."""


@dataclass(frozen=True, slots=True)
class Standing:
    """trim, heel [deg]: by the bow, to starboard; apart [m]: how far the marks of a level then lie from one height, at most."""

    trim: float
    heel: float
    apart: float = 0.0


def standing_of(hull: Hull) -> Standing:
    """How she stood: as stated, or so that the marks which are level when she floats come to one height.

    Three or more marks tell trim and heel by least squares; two, or more in one line, the one that their line lies along.
    Raises SketchError where they cannot tell, or where what they tell is stated as well.
    """
    marks = with_heights_up(hull).level
    stated = Standing(hull.measured_trim, hull.measured_heel)
    if not marks:
        return stated
    told = _told_by(hull, np.array(marks))
    for value, word, tells in ((stated.trim, "trim", told[0]), (stated.heel, "heel", told[1])):
        if value and tells:
            raise _problem(hull, f"`{word}` is stated, and the marks of `level` tell it too", f"Remove `{word}`, or the marks.")
    found = _levelling(marks, stated, told)
    if max(abs(found.trim), abs(found.heel)) > STEEPEST:
        raise _problem(hull, "by these marks she lay on her side", "Check their heights, and port for starboard.")
    return found


def own_axes(hull: Hull) -> Hull:
    """The hull with heights over her base line, her tilt as trim and heel, and what stands on her or hangs under her turned back.

    Stations and profiles stay as measured, since a turned station is none: `levelled` turns their points. A coachroof and a
    cockpit stay plumb boxes: the sole's height is that in its middle.
    """
    stood = standing_of(hull)
    hull = with_heights_up(hull)
    if hull.level or (stood.trim, stood.heel) != (hull.measured_trim, hull.measured_heel):
        hull = replace(hull, level=(), measured_trim=stood.trim, measured_heel=stood.heel)
    if not stood.trim and not stood.heel:
        return hull
    return replace(
        hull,
        coachroof=hull.coachroof and _roof_turned(hull, hull.coachroof, stood),
        cockpit=hull.cockpit and _well_turned(hull.cockpit, stood),
        appendages=tuple(
            replace(
                each,
                at=turned_back(each.at, stood),
                lowest=None if each.lowest is None else turned_back((*each.at[:2], each.lowest), stood)[2],
            )
            for each in hull.appendages
        ),
    )


def turned_back(point: Point3, stood: Standing) -> Point3:
    """A measured place (aft, to starboard, up) in the boat's own axes, turned about the hull's zero.

    The boat stood heeled about her own length, then trimmed. A place on the centreline was measured there, whatever the heel,
    so that only its height is turned.
    """
    trim, heel = radians(stood.trim), radians(stood.heel)
    x = point[0] * cos(trim) + point[2] * sin(trim)
    up = point[2] * cos(trim) - point[0] * sin(trim)
    if point[1] == 0.0:
        return (x, 0.0, up / cos(heel))
    return (x, point[1] * cos(heel) - up * sin(heel), up * cos(heel) + point[1] * sin(heel))


def levelled(hull: Hull, points: Sequence[Point3]) -> Floats:
    """Points as measured, in the boat's own axes (n, 3)."""
    stood = Standing(hull.measured_trim, hull.measured_heel)
    if not stood.trim and not stood.heel:
        return np.array(points, dtype=float)
    return np.array([turned_back(point, stood) for point in points])


def level_findings(hull: Hull) -> tuple[Finding, ...]:
    """How she stood by the marks of a level, and how far these disagree. Raises as `standing_of` does."""
    if not hull.level:
        return ()
    stood = standing_of(hull)
    return (
        Finding(
            code="measured-out-of-level",
            severity="warn" if stood.apart > DISAGREE else "note",
            object=hull.name,
            values={
                "trim": Angle(stood.trim),
                "heel": Angle(stood.heel),
                "marks": len(hull.level),
                "apart": Length(stood.apart) if stood.apart > DISAGREE else None,
            },
            measured=stood.apart,
            limit=DISAGREE,
        ),
    )


def _told_by(hull: Hull, marks: Floats) -> tuple[bool, bool]:
    """Whether the marks tell trim, and heel."""
    plan = marks[:, :2] - marks[:, :2].mean(axis=0)
    _, _, axes = np.linalg.svd(plan, full_matrices=True)
    along, aside = (np.ptp(plan @ axis) for axis in axes)
    if along < NEAREST:
        one = "one mark tells" if len(marks) == 1 else "marks so near to each other tell"
        raise _problem(hull, f"{one} nothing of how she stood", "Read two or three, as far apart as she is long and wide.")
    if aside >= NEAREST:
        return (True, True)
    length, beam = np.abs(axes[0])
    if beam <= ASKEW * length:
        return (True, False)
    if length <= ASKEW * beam:
        return (False, True)
    raise _problem(hull, "marks in one line across her corner tell neither trim nor heel", "Read a third, off that line.")


def _levelling(marks: Sequence[Point3], start: Standing, told: tuple[bool, bool]) -> Standing:
    """The trim and heel, of those that the marks tell, at which their heights differ least; by Gauss and Newton."""
    free = np.flatnonzero(told)
    tilt = np.array([start.trim, start.heel])
    step = 1e-4
    for _ in range(_STEPS):
        heights = _heights(marks, tilt)
        slopes = [(_heights(marks, tilt + step * np.eye(2)[k]) - _heights(marks, tilt - step * np.eye(2)[k])) for k in free]
        moved, *_ = np.linalg.lstsq(np.stack(slopes, axis=1) / (2.0 * step), -heights, rcond=None)
        tilt[free] += np.clip(moved, -STEEPEST / 2, STEEPEST / 2)
        if np.abs(moved).max() < 1e-10:
            break
    return Standing(float(tilt[0]), float(tilt[1]), float(np.ptp(_heights(marks, tilt))))


def _heights(marks: Sequence[Point3], tilt: Floats) -> Floats:
    """Heights (n,) of the marks about their mean, with the boat turned back by a trim and heel [deg]."""
    heights = np.array([turned_back(mark, Standing(float(tilt[0]), float(tilt[1])))[2] for mark in marks])
    return np.asarray(heights - heights.mean())


def _roof_turned(hull: Hull, roof: Coachroof, stood: Standing) -> Coachroof:
    """A coachroof's ends lie on the deck, so that they are turned at the sheer's height there."""
    places = [station.at for station in hull.stations]
    sheer = [station.points[-1][1] for station in hull.stations]
    start, end = (turned_back((x, 0.0, float(np.interp(x, places, sheer))), stood)[0] for x in (roof.start, roof.end))
    return replace(roof, start=start, end=end)


def _well_turned(well: Cockpit, stood: Standing) -> Cockpit:
    ends = [turned_back((x, 0.0, well.sole), stood) for x in (well.start, well.end)]
    return replace(well, start=ends[0][0], end=ends[1][0], sole=(ends[0][2] + ends[1][2]) / 2)


def _problem(hull: Hull, message: str, remedy: str) -> SketchError:
    return SketchError(message, remedy, hull.file, key="measured.level")
