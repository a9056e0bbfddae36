"""A hull's stations and profiles as cross curves in the boat's level axes, with what is wrong with them in an owner's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians, tan

import numpy as np

from sketcher.analysis.findings import Finding, Length
from sketcher.analysis.hull.checks import check_measurements
from sketcher.analysis.hull.standing import levelled
from sketcher.analysis.hull.transom import curved_end, drop_forward, on_end
from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.curve import curve_through
from sketcher.geometry.surface.row_matching import CrossCurve, match_corners
from sketcher.geometry.tolerances import POINTS_APART, SAME_PLACE
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, Point2, Station
from sketcher.model.measurement_checks import is_sharp, station_name
from sketcher.model.units import format_length

BRIDGE = 0.08
"""Share of girth. A plain point this near the line between its neighbours' knuckles is taken for one whose mark was forgotten."""


@dataclass(frozen=True, eq=False)
class Frames:
    """The cross curves of a hull, forward to aft. names: what each is called in words, `station 2 at 1400 mm` or `the stem`."""

    cross_curves: tuple[CrossCurve, ...]
    names: tuple[str, ...]
    findings: tuple[Finding, ...] = ()


def frames_of(hull: Hull) -> Frames:
    """The cross curves that the surface of a hull in its own axes (`own_axes`) goes through.

    Raises SketchError where a station or profile cannot be one.
    """
    check_measurements(hull)
    count = len(hull.stations)
    names = [station_name(hull, number) for number in range(1, count + 1)]
    points, corners = [], []
    for number, station in enumerate(hull.stations, 1):
        placed, marked = _station_points(hull, station, last=number == count)
        _check_side(hull, number, placed)
        points.append(placed)
        corners.append(marked)
    smooth = hull.between_points == "smooth"
    curves = [curve_through(placed, marked, smooth) for placed, marked in zip(points, corners, strict=True)]
    bridges = bridged([curve.shares for curve in curves], corners)
    for k, _ in bridges:
        curves[k] = curve_through(points[k], corners[k], smooth)
    bent = curved_end(hull, points[-1][0])
    if bent is not None:
        curves[-1] = on_end(curves[-1], bent)
    cross_curves = [CrossCurve(curve, profile=_is_profile(hull, k)) for k, curve in enumerate(curves)]
    findings = [*_guessed(hull), *(_bridge_finding(hull, k, point) for k, point in bridges)]
    if hull.stem:
        cross_curves.insert(0, _profile_curve(hull, hull.stem, cross_curves[0], "stem", findings))
        names.insert(0, "the stem")
    if hull.stern:
        cross_curves.append(_profile_curve(hull, hull.stern, cross_curves[-1], "stern", findings))
        names.append("the stern")
    return Frames(tuple(cross_curves), tuple(names), tuple(findings))


def bridged(shares: Sequence[Floats], corners: list[tuple[int, ...]]) -> list[tuple[int, int]]:
    """Mark, in place, corners that stations k - 1 and k + 1 share and k has as a plain point; returns them as (k, point).

    shares: of each station's points, the share of girth.
    """
    marked = []
    for k in range(1, len(shares) - 1):
        before, here, after = (shares[i] for i in (k - 1, k, k + 1))
        at_before, at_here, at_after = (before[list(corners[k - 1])], here[list(corners[k])], after[list(corners[k + 1])])
        going = {i for i, _ in match_corners(at_before.tolist(), at_here.tolist())}
        coming = {j for _, j in match_corners(at_here.tolist(), at_after.tolist())}
        for i, j in match_corners(at_before.tolist(), at_after.tolist()):
            if i in going or j in coming:
                continue
            off = np.abs(here - 0.5 * (at_before[i] + at_after[j]))
            off[[0, -1, *corners[k]]] = np.inf
            point = int(np.argmin(off))
            if off[point] < BRIDGE:
                corners[k] = tuple(sorted((*corners[k], point)))
                marked.append((k, point))
    return marked


def _guessed(hull: Hull) -> Iterator[Finding]:
    """That some points were never measured, and what rests on them."""
    guessed = [station for station in hull.stations if station.guessed]
    if guessed:
        yield Finding(
            code="points-guessed",
            severity="warn",
            object=hull.name,
            values={
                "points": sum(len(station.guessed) for station in guessed),
                "of": sum(len(station.points) for station in hull.stations),
                "stations": tuple(Length(station.at) for station in guessed),
            },
        )


def _bridge_finding(hull: Hull, k: int, point: int) -> Finding:
    inserted = hull.stations[k].points[0][0] > 0.0
    number = point + 1 - int(inserted)
    return Finding(
        code="knuckle-bridged",
        severity="note",
        object=station_name(hull, k + 1),
        values={"station": k + 1, "at": Length(hull.stations[k].at), "point": number},
    )


def _is_profile(hull: Hull, k: int) -> bool:
    """Whether a sharp end station is met by lines at their heights, like a stem, rather than point by point."""
    count = len(hull.stations)
    if k not in (0, count - 1) or not is_sharp(hull.stations[k]):
        return False
    neighbour = hull.stations[1 if k == 0 else count - 2]
    return hull.between_stations == "smooth" or len(neighbour.points) != len(hull.stations[k].points)


def _check_side(hull: Hull, number: int, points: Floats) -> None:
    over = np.flatnonzero(points[:, 1] < -SAME_PLACE)
    if len(over):
        off = format_length(float(-points[over[0], 1]), hull.units)
        raise SketchError(
            f"turned back by `measured`, a point of {station_name(hull, number)} lies {off} {hull.units} beyond the centreline",
            "Check `heel`: it is to starboard, and the points are the starboard side's.",
            hull.file,
            key=f"stations.{number}",
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
    lowest = min(height for _, height in measured)
    rake = tan(radians(hull.transom_rake)) if last and not hull.stern and not hull.open_aft else 0.0
    forward = drop_forward(hull, np.array([half_breadth for half_breadth, _ in measured])) if last else np.zeros(len(measured))
    points = [
        (station.at + (height - lowest) * rake - drop, half_breadth, height)
        for (half_breadth, height), drop in zip(measured, forward.tolist(), strict=True)
    ]
    placed = levelled(hull, points)
    bent = curved_end(hull, placed[0]) if last else None
    return placed if bent is None else bent.put(placed), tuple(corners)


def _profile_curve(hull: Hull, profile: Sequence[Point2], station: CrossCurve, end: str, findings: list[Finding]) -> CrossCurve:
    """The part of a stem's or stern's profile beyond the end station, from that station's centreline where it runs past it."""
    points = levelled(hull, [(x, 0.0, height) for x, height in profile])
    keel = station.curve.points[0]
    inside = points[:, 0] > keel[0] + POINTS_APART if end == "stem" else points[:, 0] < keel[0] - POINTS_APART
    if inside.all():
        raise SketchError(
            f"the {end} does not reach beyond the {'first' if end == 'stem' else 'last'} station",
            f"Give the {end} from the keel's end outward, or remove it.",
            hull.file,
            key=end,
        )
    first = int(np.argmin(inside))
    beyond = points[first:]
    if first and np.linalg.norm(beyond[0] - keel) > POINTS_APART:
        findings.append(_passed_over(end, first))
    if first or np.linalg.norm(beyond[0] - keel) <= POINTS_APART:
        rest = beyond[1:] if np.linalg.norm(beyond[0] - keel) <= POINTS_APART else beyond
        beyond = np.concatenate([keel[None], rest])
    return CrossCurve(curve_through(beyond, smooth=hull.between_points == "smooth"), profile=True)


def _passed_over(end: str, count: int) -> Finding:
    return Finding(code="profile-overlaps-stations", severity="note", object=end, values={"end": end, "count": count})
