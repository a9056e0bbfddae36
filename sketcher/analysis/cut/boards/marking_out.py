"""A board in numbers to be marked out by hand: points round its edge, its openings, the lines on it. Metres, from its own zero.

Battens and straight-edges laid through the points miss the outline by less than `MISS`, before figures are rounded to a tape.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.ops import substring

from sketcher.analysis.cut.boards.corners import RingPoint, cornered, letter_of
from sketcher.analysis.cut.results import Cutout, Pattern
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats

MISS = 0.0005
"""[m] How far the outline may lie from the straight lines between its points: half of what a board is marked out to."""

BATTEN_MISS = 0.0006
"""[m] How far a batten sprung through the points may lie from the outline, before figures are rounded to a tape."""
_ON_A_STRETCH = 25
"""Places looked at between two points of a batten."""

_MULTIPLES = (8.0, 4.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 50)
_IN_INCHES = (8.0, 4.0, 2.0, 1.0, 1 / 2, 1 / 4, 1 / 8, 1 / 16, 1 / 32)
"""Multiples and parts of the table's step, that points are looked for at, so that figures fall on a tape's longer strokes."""

_TWO_INCHES, _USUAL = 0.0508, 0.050

_LIKE = 1e-4
"""[m] An opening that is nowhere further off from a circle, or from a square with its corners rounded, is told as one."""

_APART, _SHARE = 0.004, 0.2
"""[m], and [1] of a step: a point nearer to the next would bend a batten by what they are rounded to."""

_PAIRED = 3.0
"""Corners of both faces no further apart than so many thicknesses have one letter."""


@dataclass(frozen=True, slots=True)
class EdgePoint:
    """A point on the edge of one face. letter: of a corner, else empty; radius [m]: 0, or of the round drawn in the corner.

    parts: on a curve, where one batten ends and the next begins.
    """

    letter: str
    at: tuple[float, float]
    radius: float
    parts: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedOpening:
    """An opening inside a board. size: (right, up) when turned by `turned` [deg] anticlockwise; its corners have a radius.

    to_edges: from its centre to the nearest edge on each axis, ("left" or "right", m) and ("below" or "above", m).
    points: its edge, where it is of no such shape, else empty.
    """

    name: str
    shape: Literal["round", "square", "other"]
    centre: tuple[float, float]
    size: tuple[float, float]
    radius: float
    turned: float
    to_edges: tuple[tuple[str, float], ...]
    points: tuple[EdgePoint, ...] = ()


@dataclass(frozen=True, slots=True)
class MarkedFace:
    """One face of a board. name: its face, or `both`; points: round its edge, anticlockwise from A."""

    name: str
    points: tuple[EdgePoint, ...]
    openings: tuple[MarkedOpening, ...]


@kept_with_owner(2)
def marked_faces(pattern: Pattern, step: float = _USUAL, units: str = "mm") -> tuple[MarkedFace, ...]:
    """Both faces of a board in numbers; one where both are alike. step [m], units: of the owner's tape.

    Figures of the other face are as seen through the board; its corners have the small letters of those they lie behind.
    Kept: a page is tried in several ways.
    """
    steps = _steps(step, units)
    both = [
        (name, area)
        for name, area in ((pattern.drawn_face, pattern.outline), (pattern.other_face, pattern.other_outline))
        if not area.is_empty
    ]
    rings = [_points(area.exterior, steps) for _, area in both]
    if len(both) == 2 and _alike(both[0][1], both[1][1]):
        both, rings = [("both", both[0][1])], rings[:1]
    drawn = _named(rings[0]) if rings else []
    faces = [drawn] + [_paired(ring, drawn, _PAIRED * pattern.thickness) for ring in rings[1:]]
    return tuple(
        MarkedFace(name, tuple(points), tuple(_openings(area, pattern.cutouts, steps)))
        for (name, area), points in zip(both, faces, strict=False)
    )


def _steps(step: float, units: str) -> list[float]:
    if units in ("in", "ft"):
        return [(_TWO_INCHES if step == _USUAL else step) * part for part in _IN_INCHES]
    return [step * part for part in _MULTIPLES]


def _alike(one: shapely.Polygon, two: shapely.Polygon) -> bool:
    return bool(shapely.symmetric_difference(one, two).area < 1e-5 * one.length)


def _named(ring: Sequence[RingPoint]) -> list[EdgePoint]:
    letters = iter(range(len(ring)))
    return [EdgePoint(letter_of(next(letters)) if p.corner else "", p.at, p.radius, p.parts) for p in ring]


def _paired(ring: Sequence[RingPoint], drawn: Sequence[EdgePoint], reach: float) -> list[EdgePoint]:
    """The other face's points, each corner with the small letter of the drawn one nearest to it, or with one of its own."""
    known = [point for point in drawn if point.letter]
    mine = [k for k, point in enumerate(ring) if point.corner]
    apart = np.array([[np.hypot(*np.subtract(ring[k].at, point.at)) for point in known] for k in mine])
    letters: dict[int, str] = {}
    fresh = iter(range(len(known), len(known) + len(ring)))
    for row, k in enumerate(mine):
        best = int(np.argmin(apart[row]))
        own = apart[row, best] <= reach and int(np.argmin(apart[:, best])) == row
        letters[k] = (known[best].letter if own else letter_of(next(fresh))).lower()
    return [EdgePoint(letters.get(k, ""), p.at, p.radius, p.parts) for k, p in enumerate(ring)]


def _points(ring: shapely.LinearRing, steps: Sequence[float]) -> list[RingPoint]:
    """The corners of a ring, and between them as many points as leave no more than `MISS` beside straight lines."""
    full = cornered(ring)
    kept = [k for k, point in enumerate(full) if point.corner]
    found: list[RingPoint] = []
    for one, two in zip(kept, [*kept[1:], kept[0] + len(full)], strict=True):
        run = [full[k % len(full)] for k in range(one, two + 1)]
        found.append(full[one])
        places = np.array([point.at for point in run])
        # Where a round begins is a point of its own, unless it lies on the line to the corner.
        between = _needed(places, _between(places, steps))
        sprung = not run[0].radius and not run[-1].radius
        ends = set(_batten_ends(places, [run[0].at, *between, run[-1].at])) if sprung else set()
        found += [RingPoint(at, parts=k in ends) for k, at in enumerate(between, 1)]
    return found


def _batten_ends(places: Floats, points: Sequence[tuple[float, float]], first: int = 0) -> Iterator[int]:
    """Which of the points between the ends a batten must end at, since sprung through all it would miss the line (k, 2).

    It lies as a natural cubic spline does. first: the number of the first point.
    """
    if len(points) < 3:
        return
    sprung = _batten(np.array(points))
    off = shapely.distance(shapely.LineString(places), shapely.points(sprung))
    if off.max() <= BATTEN_MISS:
        return
    worst = sprung[int(np.argmax(off))]
    end = 1 + int(np.argmin(np.hypot(*(np.array(points[1:-1]) - worst).T)))
    yield from _batten_ends(places, points[: end + 1], first)
    yield first + end
    yield from _batten_ends(places, points[end:], first + end)


def _batten(points: Floats) -> Floats:
    """Places (m, 2) on the natural cubic spline through points (n, 2) [m], by the lengths of the straight lines between them."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    slopes = np.diff(points, axis=0) / steps[:, None]
    inner = np.diag(2.0 * (steps[:-1] + steps[1:])) + np.diag(steps[1:-1], 1) + np.diag(steps[1:-1], -1)
    bends = np.zeros_like(points)
    bends[1:-1] = np.linalg.solve(inner, 6.0 * np.diff(slopes, axis=0))
    share = np.linspace(0.0, 1.0, _ON_A_STRETCH)[None, :, None]
    h, a, b = steps[:, None, None], bends[:-1, None], bends[1:, None]
    straight = (1.0 - share) * points[:-1, None] + share * points[1:, None]
    sagged = ((1.0 - share) ** 3 - (1.0 - share)) * a + (share**3 - share) * b
    places: Floats = (straight + h**2 / 6.0 * sagged).reshape(-1, 2)
    return places


def _between(places: Floats, steps: Sequence[float]) -> list[tuple[float, float]]:
    """Points on a line (k, 2) between its ends, at even places of the axis that it runs along most."""
    off, worst = _furthest_off(places)
    if off <= MISS:
        return []
    axis = int(np.argmax(np.abs(places[-1] - places[0])))
    for step in steps:
        crossings = _crossings(places, axis, step)
        if crossings:
            break
    else:
        crossings = [(worst, places[worst])]
    found: list[tuple[float, float]] = []
    rest, passed = places, 0
    for k, point in crossings:
        found += [*_between(np.concatenate([rest[: k - passed + 1], point[None]]), steps), (float(point[0]), float(point[1]))]
        # What is left begins at the point; the places up to it are passed.
        rest, passed = np.concatenate([point[None], rest[k - passed + 1 :]]), k
    return [*found, *_between(rest, steps)]


def _needed(places: Floats, points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The points on a line (k, 2) less those without which it lies no further than `MISS` from straight lines either."""
    line = shapely.LineString(places)
    kept = (
        [(0.0, points[0]), *((line.project(shapely.Point(at)), at) for at in points), (line.length, points[0])] if points else []
    )
    k = 1
    while k < len(kept) - 1:
        without = np.asarray(substring(line, kept[k - 1][0], kept[k + 1][0]).coords)
        if _furthest_off(without)[0] <= MISS:
            del kept[k]
        else:
            k += 1
    return [at for _, at in kept[1:-1]]


def _furthest_off(places: Floats) -> tuple[float, int]:
    """How far a line lies at most from straight between its ends [m], and at which of its points."""
    if len(places) < 3:
        return 0.0, 0
    start, along = places[0], places[-1] - places[0]
    square = float(along @ along)
    share = np.clip((places - start) @ along / square, 0.0, 1.0) if square > 0.0 else np.zeros(len(places))
    off = np.hypot(*(places - start - share[:, None] * along).T)
    return float(off.max()), int(np.argmax(off))


def _crossings(places: Floats, axis: int, step: float) -> list[tuple[int, Floats]]:
    """Where a line first crosses each whole step between its ends: the side that it is on, and the point."""
    along = places[:, axis]
    low, high = sorted((float(along[0]), float(along[-1])))
    wanted = np.arange(np.floor(low / step + 1e-6) + 1, np.ceil(high / step - 1e-6)) * step
    if along[-1] < along[0]:
        wanted = wanted[::-1]
    found: list[tuple[int, Floats]] = []
    first = 0
    for at in wanted.tolist():
        for k in range(first, len(places) - 1):
            one, two = along[k] - at, along[k + 1] - at
            if one * two <= 0.0 and one != two:
                point = places[k] + (places[k + 1] - places[k]) * (one / (one - two))
                point[axis] = at
                if min(np.hypot(*(point - places[0])), np.hypot(*(point - places[-1]))) > max(_APART, _SHARE * step):
                    found.append((k, point))
                    first = k
                break
    return found


def _openings(area: shapely.Polygon, cutouts: Sequence[Cutout], steps: Sequence[float]) -> Iterator[MarkedOpening]:
    """The openings inside a face, from its left."""
    for hole in sorted(area.interiors, key=lambda ring: ring.centroid.x):
        inside = shapely.Polygon(hole)
        names = [cutout.name for cutout in cutouts if cutout.outline.intersection(inside).area > inside.area / 2]
        opening = _shaped(inside, next((c.radius for c in cutouts if c.name in names), 0.0))
        points = () if opening.shape != "other" else tuple(_named(_points(hole, steps)))
        yield replace(
            opening, name=names[0] if names else "opening", to_edges=_to_edges(area.exterior, opening.centre), points=points
        )


def _shaped(hole: shapely.Polygon, radius: float) -> MarkedOpening:
    """A hole as a circle or as a square with its corners rounded, if it is one."""
    box = np.asarray(shapely.minimum_rotated_rectangle(hole).exterior.coords)
    sides = np.diff(box[:3], axis=0)
    turned = float(np.degrees(np.arctan2(sides[0, 1], sides[0, 0])))
    quarters = round(turned / 90.0)
    turned -= 90.0 * quarters
    lengths = np.hypot(*sides.T)
    size = (float(lengths[quarters % 2]), float(lengths[1 - quarters % 2]))
    middle = (box[0] + box[2]) / 2
    centre = (float(middle[0]), float(middle[1]))
    across = 2 * float(np.sqrt(hole.area / np.pi))
    # The usual drawing of a circle loses a little of its area between its points.
    edge = np.hypot(*(np.asarray(hole.exterior.coords) - np.array(hole.centroid.coords[0])).T)
    if np.ptp(edge) < _LIKE and abs(across / 2 - edge.max()) < 0.01 * across:
        across = 2 * float(edge.max())
        middle = np.array(hole.centroid.coords[0])
        return MarkedOpening(
            name="",
            shape="round",
            centre=(float(middle[0]), float(middle[1])),
            size=(across, across),
            radius=across / 2,
            turned=0.0,
            to_edges=(),
        )
    opening = MarkedOpening(
        name="",
        shape="square",
        centre=centre,
        size=size,
        radius=min(radius, *(side / 2 for side in size)),
        turned=turned,
        to_edges=(),
    )
    like = shapely.hausdorff_distance(opening_edge(opening), hole.exterior, densify=0.05) < 3 * _LIKE
    return opening if like else replace(opening, shape="other", radius=0.0)


def opening_edge(opening: MarkedOpening) -> shapely.LinearRing:
    """The edge of an opening that is round or square."""
    (x, y), (wide, high) = opening.centre, opening.size
    if opening.shape == "round":
        return shapely.Point(x, y).buffer(wide / 2, quad_segs=32).exterior
    r = opening.radius
    inner = shapely.box(x - wide / 2 + r, y - high / 2 + r, x + wide / 2 - r, y + high / 2 - r)
    ring = inner.buffer(r, quad_segs=32) if r > 0.0 else inner
    if ring.is_empty:
        core = shapely.LineString([(x - wide / 2 + r, y - high / 2 + r), (x + wide / 2 - r, y + high / 2 - r)])
        ring = core.buffer(r, quad_segs=32)
    return rotate(ring, opening.turned, origin=(x, y)).exterior


def _to_edges(ring: shapely.LinearRing, at: tuple[float, float]) -> tuple[tuple[str, float], ...]:
    """From a point level and plumb to the edge: to the nearer on each axis."""
    found = []
    for axis, (less, more) in ((0, ("left", "right")), (1, ("below", "above"))):
        ends = np.array([at, at])
        ends[:, axis] += (-1e3, 1e3)
        met = shapely.get_coordinates(shapely.intersection(ring, shapely.LineString(ends)))
        if len(met):
            off = met[:, axis] - at[axis]
            nearest = float(off[int(np.argmin(np.abs(off)))])
            found.append((less if nearest < 0.0 else more, abs(nearest)))
    return tuple(found)
