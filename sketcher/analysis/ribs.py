"""A hull's stations and profiles as cross curves in the boat's level axes, with what is wrong with them in an owner's words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin, tan

import numpy as np

from sketcher.analysis.results import Finding
from sketcher.geometry.correspondence import Rib
from sketcher.geometry.curve import curve_through
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import POINTS_APART
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.units import format_length


@dataclass(frozen=True, eq=False)
class Frames:
    """The ribs of a hull, forward to aft. names: what each is called in words, `station 2 at 1400 mm` or `the stem`."""

    ribs: tuple[Rib, ...]
    names: tuple[str, ...]
    findings: tuple[Finding, ...] = ()


def frames_of(hull: Hull) -> Frames:
    """The cross curves that a hull's surface goes through.

    Raises SketchError where a station or profile cannot be one.
    """
    _check_ends(hull)
    sharp = [_is_sharp(station) for station in hull.stations]
    ribs, names = [], []
    for number, station in enumerate(hull.stations, 1):
        points, corners = _station_points(hull, station, last=number == len(hull.stations))
        end = number in (1, len(hull.stations))
        neighbour = hull.stations[1 if number == 1 else -2]
        ruled_by_index = hull.between_stations == "straight" and len(neighbour.points) == len(station.points)
        curve = curve_through(points, corners, smooth=hull.between_points == "smooth")
        ribs.append(Rib(curve, profile=end and sharp[number - 1] and not ruled_by_index))
        names.append(station_name(hull, number))
    if hull.stem:
        ribs.insert(0, _profile_rib(hull, hull.stem, ribs[0], ahead=True))
        names.insert(0, "the stem")
    if hull.stern:
        ribs.append(_profile_rib(hull, hull.stern, ribs[-1], ahead=False))
        names.append("the stern")
    return Frames(tuple(ribs), tuple(names))


def station_name(hull: Hull, number: int) -> str:
    """What a station is called: its number from 1 and its distance as the file writes it."""
    return f"station {number} at {format_length(hull.stations[number - 1].at, hull.units)} {hull.units}"


def levelled(hull: Hull, points: Floats, centred: Sequence[bool]) -> Floats:
    """Points (n, 3) as measured, turned back about the hull's zero into the boat's own axes (n, 3).

    The boat stood heeled about her own length, then trimmed. centred: which points lie on the centreline; theirs were
    measured there, whatever the heel, so that only their height is turned.
    """
    trim, heel = radians(hull.measured_trim), radians(hull.measured_heel)
    x = points[:, 0] * cos(trim) + points[:, 2] * sin(trim)
    up = points[:, 2] * cos(trim) - points[:, 0] * sin(trim)
    on = np.asarray(centred)
    y = np.where(on, 0.0, points[:, 1] * cos(heel) - up * sin(heel))
    z = np.where(on, up / cos(heel), up * cos(heel) + points[:, 1] * sin(heel))
    return np.stack([x, y, z], axis=1)


def _is_sharp(station: Station) -> bool:
    return all(half_breadth == 0.0 for half_breadth, _ in station.points)


def _check_ends(hull: Hull) -> None:
    for profile, station, number, name in (
        (hull.stem, hull.stations[0], 1, "stem"),
        (hull.stern, hull.stations[-1], -1, "stern"),
    ):
        if profile and _is_sharp(station):
            place = station_name(hull, number if number > 0 else len(hull.stations))
            raise SketchError(
                f"{place} has no area, and there is a {name} besides", f"Remove the station or the {name}.", hull.file
            )


def _station_points(hull: Hull, station: Station, last: bool) -> tuple[Floats, tuple[int, ...]]:
    """A station's points in the boat's axes (n, 3), the first on the centreline, and the indices of its corners."""
    measured = list(station.points)
    corners = [k - 1 for k in station.knuckles]
    if measured[0][0] > 0.0:
        measured.insert(0, (0.0, measured[0][1]))
        corners = [0, *(k + 1 for k in corners), 1]
    if hull.between_points == "straight" and not any(s.knuckles for s in hull.stations):
        corners = list(range(1, len(measured) - 1))
    flat = np.array(measured, dtype=float)
    rake = tan(radians(hull.transom_rake)) if last and not hull.stern and not hull.open_aft else 0.0
    x = station.at + (flat[:, 1] - flat[:, 1].min()) * rake
    points = levelled(hull, np.column_stack([x, flat]), [b == 0.0 for b, _ in measured])
    return points, tuple(corners)


def _profile_rib(hull: Hull, profile: Sequence[Point2], station: Rib, ahead: bool) -> Rib:
    """The part of a stem's or stern's profile beyond the end station, from that station's centreline where it runs past it."""
    flat = np.array(profile, dtype=float)
    points = levelled(hull, np.column_stack([flat[:, 0], np.zeros(len(flat)), flat[:, 1]]), [True] * len(flat))
    keel = station.curve.points[0]
    inside = points[:, 0] > keel[0] + POINTS_APART if ahead else points[:, 0] < keel[0] - POINTS_APART
    outside = np.flatnonzero(~inside)
    first = int(outside[0]) if len(outside) else len(points)
    beyond = points[first:]
    if first and (not len(beyond) or np.linalg.norm(beyond[0] - keel) > POINTS_APART):
        beyond = np.concatenate([keel[None], beyond])
    elif len(beyond) and np.linalg.norm(beyond[0] - keel) <= POINTS_APART:
        beyond = np.concatenate([keel[None], beyond[1:]])
    return Rib(curve_through(beyond, smooth=hull.between_points == "smooth"), profile=True)
