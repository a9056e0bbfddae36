"""The corners of a board's outline, letter_of, and the tape lengths between those furthest apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.cut.results import Diagonal
from sketcher.geometry.mesh import Flags, Floats

SHARP, _KINK = 15.0, 4.0
"""[deg] An outline that turns by more at one place has a corner there; by less than the second, a batten is sprung over it."""

_STANDS_OUT = 2.5
"""[1] Between the two, it has one where it turns by so much more than anywhere near by: else it is a curve in facets."""

_ONE_PLACE, _NEAR_BY, _BESIDE_ROUND = 0.008, 0.150, 1.0
"""[m] What turns within so little is one place; so far about it others are looked at. [deg] A round runs on straight."""

_STRAIGHT = (0.080, 4.0)
"""[m] and [1]: a side of an outline so long, and so much longer than the one next to it, is a straight edge that ends there."""

_ROUND = (0.002, 0.150)
"""[m] Radii of what is drawn with compasses about a corner; a larger curve goes through points of its own."""

_OFF_ROUND = 1.5e-4
"""[m] A curve that stays this close to a circle is told by its radius."""

_TURN = (25.0, 120.0)
"""[deg] How far one round turns at least, and at most: beyond that the corner that it is drawn in lies far off."""

_TOWARDS = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
"""From lower left, anticlockwise."""

_AS_FAR = 0.03
"""[1] Of the board's size: a true corner that lies less far out by no more is what a tape is held to."""


@dataclass(frozen=True, slots=True)
class RingPoint:
    """A point of an outline. radius [m]: 0, or of the round drawn in this corner, which itself is off the wood.

    parts: on a curve, where one batten ends and the next begins.
    """

    at: tuple[float, float]
    radius: float = 0.0
    corner: bool = False
    parts: bool = False


Named = tuple[tuple[str, tuple[float, float]], ...]


def corners_and_diagonals(area: shapely.Polygon) -> tuple[Named, tuple[Diagonal, ...]]:
    """The outline's corners, letter_of from lower left, anticlockwise; and the tape lengths between those furthest out."""
    found = [point for point in cornered(area.exterior) if point.corner]
    named = [(letter_of(k), point.at) for k, point in enumerate(found)]
    return tuple(named), _diagonals([each for each, point in zip(named, found, strict=True) if not point.radius])


def letter_of(number: int) -> str:
    """A, B and so on to Z, then AA.

    >>> letter_of(0), letter_of(25), letter_of(27)
    ('A', 'Z', 'AB')
    """
    return (chr(64 + number // 26) if number >= 26 else "") + chr(65 + number % 26)


def _diagonals(named: Sequence[tuple[str, tuple[float, float]]]) -> tuple[Diagonal, ...]:
    """The lengths between opposite corners, of those furthest out; between all, where there are only three."""
    furthest = [named[k] for k in _furthest(np.array([at for _, at in named]))]
    count = len(furthest)
    pairs = [(0, 2), (1, 3)] if count == 4 else [(i, j) for i in range(count) for j in range(i + 1, count)]
    return tuple(
        Diagonal(
            name=furthest[i][0] + furthest[j][0],
            start=furthest[i][1],
            end=furthest[j][1],
            length=float(np.hypot(furthest[i][1][0] - furthest[j][1][0], furthest[i][1][1] - furthest[j][1][1])),
        )
        for i, j in pairs
    )


def _furthest(points: Floats) -> list[int]:
    """The points furthest towards the four corners of the paper, each once."""
    size = np.ptp(points, axis=0)
    scaled = points / np.where(size > 0.0, size, 1.0)
    return list(dict.fromkeys(int(np.argmax(scaled @ np.array(towards))) for towards in _TOWARDS))


def cornered(ring: shapely.LinearRing) -> list[RingPoint]:
    """A ring anticlockwise from its lower left corner, its corners marked and its small rounds each as one corner.

    A round stands between the two points where it begins and ends.
    """
    points = np.asarray(ring.coords)[:-1]
    points = points if ring.is_ccw else points[::-1]
    rounds = list(_rounds(points))
    # Begin where no round runs over the end.
    start = next((k for k in range(len(points)) if not any((k - a) % len(points) < b for a, b, _ in rounds)), 0)
    points = np.roll(points, -start, axis=0)
    found: list[RingPoint] = []
    k = 0
    by_start = {(a - start) % len(points): (b, point) for a, b, point in rounds}
    while k < len(points):
        found.append(RingPoint(_pair(points[k])))
        if k in by_start:
            run, middle = by_start[k]
            found.append(middle)
            k += run
        else:
            k += 1
    return _from_lower_left(_marked(found))


def _pair(point: Floats) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _turns(points: Floats) -> Floats:
    """How far a ring turns at each of its points [deg], to the left positive."""
    after = np.roll(points, -1, axis=0) - points
    before = np.roll(after, 1, axis=0)
    turned: Floats = np.degrees(np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)))
    return turned


def _rounds(points: Floats) -> Iterator[tuple[int, int, RingPoint]]:
    """The small rounds of a ring: where each starts, over how many sides it goes, and the corner that it is drawn in."""
    count = len(points)
    turns = _turns(points)
    sides = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    # A side of a round is short for what it turns: no straight edge begins one.
    bent = (np.abs(turns) > 1.0) & (np.minimum(sides, np.roll(sides, 1)) < 2 * _ROUND[1] * np.sin(np.radians(np.abs(turns)) / 2))
    k = 0
    while k < count:
        best = None
        run = 2
        while run < count and bent[(k + run - 1) % count] and turns[(k + run - 1) % count] * turns[(k + 1) % count] > 0.0:
            run += 1
            point = _round(points[(k + np.arange(run + 1)) % count]) if run >= 3 else None
            if run >= 3 and point is None and best is not None:
                break
            best = (k, run, point) if point is not None else best
        if best is not None and best[2] is not None:
            yield best[0], best[1], best[2]
            k += best[1]
        else:
            k += 1


def _round(points: Floats) -> RingPoint | None:
    """The corner in which points lie on a round, with its radius; None where they are on none that is drawn so."""
    first, middle, last = points[0], points[len(points) // 2], points[-1]
    a, b = middle - first, last - first
    cross = a[0] * b[1] - a[1] * b[0]
    if abs(cross) < 1e-12:
        return None
    centre = first + np.array([b[1] * (a @ a) - a[1] * (b @ b), a[0] * (b @ b) - b[0] * (a @ a)]) / (2 * cross)
    radius = float(np.hypot(*(first - centre)))
    if not _ROUND[0] <= radius <= _ROUND[1]:
        return None
    sides = np.concatenate([points, (points[1:] + points[:-1]) / 2])
    if np.abs(np.hypot(*(sides - centre).T) - radius).max() > _OFF_ROUND:
        return None
    one, two = first - centre, last - centre
    turn = float(np.degrees(np.arccos(np.clip(one @ two / radius**2, -1.0, 1.0))))
    if not _TURN[0] <= turn <= _TURN[1]:
        return None
    towards = (one + two) / np.hypot(*(one + two))
    return RingPoint(_pair(centre + towards * radius / np.cos(np.radians(turn) / 2)), radius, True)


def _marked(points: list[RingPoint]) -> list[RingPoint]:
    """Points with the corners among them marked: where the ring turns, and those furthest out where a tape is held."""
    at = np.array([point.at for point in points])
    radii = np.array([point.radius for point in points])
    beside = (np.roll(radii, 1) > 0.0) | (np.roll(radii, -1) > 0.0)
    turns = np.where(radii > 0.0, 0.0, _turns(at))
    corner = (radii > 0.0) | np.where(beside, np.abs(turns) > _BESIDE_ROUND, _kinks(at, turns))
    wood = np.flatnonzero(radii == 0.0)
    size = np.ptp(at, axis=0)
    scaled = at / np.where(size > 0.0, size, 1.0)
    for towards in _TOWARDS:
        far = scaled @ np.array(towards)
        known = np.flatnonzero(corner & (radii == 0.0))
        if not len(known) or far[known].max() < far[wood].max() - _AS_FAR:
            corner[wood[int(np.argmax(far[wood]))]] = True
    return [RingPoint(p.at, p.radius, bool(c)) for p, c in zip(points, corner, strict=True)]


def _kinks(at: Floats, turns: Floats) -> Flags:
    """Which points of a ring are corners: by how far it turns there, and how much more than near by."""
    lengths = np.hypot(*(np.roll(at, -1, axis=0) - at).T)
    along, whole = np.concatenate([[0.0], np.cumsum(lengths)[:-1]]), float(lengths.sum())
    apart = np.abs(along[:, None] - along[None, :])
    apart = np.minimum(apart, whole - apart)
    place, near = apart <= _ONE_PLACE / 2, apart <= _NEAR_BY
    there = np.abs((place * turns).sum(axis=1))
    others = np.where(near & (apart > _ONE_PLACE), there[None, :], 0.0).max(axis=1)
    kink = (there > _KINK) & (there > _STANDS_OUT * others)
    # One point of a place that turns at several: the one that turns most.
    most = np.where(apart <= _ONE_PLACE, np.abs(turns)[None, :], 0.0).max(axis=1)
    turned = (np.abs(turns) > SHARP) | (kink & (np.abs(turns) >= most))
    # A batten is straight along no part of itself: where a straight edge ends, it is nailed.
    before = np.roll(lengths, 1)
    longer, shorter = np.maximum(lengths, before), np.minimum(lengths, before)
    ends = (longer > _STRAIGHT[0]) & (longer > _STRAIGHT[1] * shorter) & (np.abs(turns) > _BESIDE_ROUND)
    found: Flags = turned | ends
    return found


def _from_lower_left(points: list[RingPoint]) -> list[RingPoint]:
    """A ring that begins at its corner furthest to the lower left."""
    at = np.array([point.at for point in points])
    size = np.ptp(at, axis=0)
    far = (at / np.where(size > 0.0, size, 1.0)).sum(axis=1)
    far = np.where([point.corner and not point.radius for point in points], far, np.inf)
    first = int(np.argmin(far))
    return points[first:] + points[:first]
