"""How a board's edge is sawn, stretch by stretch round it: at which angle, which face up, and what no saw or fillet does."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.cut.bevels import EVERY
from sketcher.analysis.cut.boards.corners import RingPoint, cornered, letter_of
from sketcher.analysis.cut.results import Bevel, Pattern
from sketcher.analysis.findings import Angle, Length, Phrase
from sketcher.geometry.caching import kept_with_owner

ALIKE = 2.5
"""[deg] Bevels that differ by no more are one setting, both ends given: a gauge is read to 2 by eye."""

PLANED = 0.060
"""[m] No saw is set anew for less: what turns faster is sawn at its least lean and planed to the line."""

SQUARE = 0.5
"""[deg] An edge that leans less is cut square: no saw is set finer."""

SAW_TILTS = 45.0
"""[deg] What hand-held circular saws and jigsaws tilt to: common practice."""

NARROWEST = 30.0
"""[deg] A corner narrower than this takes no fillet, and as the tip of a board breaks off: common practice."""

_ON = 1e-3
"""[m] A stretch that lies so near to a cutout's edge or a joint is part of it."""

Place = tuple[str, tuple[float, float]]
"""A corner's letter, empty between corners, and where that is [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SawStretch:
    """A stretch of a board's edge that is sawn at one setting. angles: (first, last) [deg] off square, as in `Bevel`.

    kind: an edge that meets something, a joint's, a cutout's with rounds of a radius [m], or a free one. against: what it
    meets, or the cutout's name; empty where nothing.
    """

    start: Place
    end: Place
    angles: tuple[float, float]
    kind: Literal["edge", "joint", "cutout", "free"]
    against: str
    radius: float = 0.0

    @property
    def steepest(self) -> float:
        """The greatest lean off square [deg], with its sign."""
        return max(self.angles, key=abs)

    @property
    def turns(self) -> bool:
        """Whether it leans too differently along its length for one setting."""
        return abs(self.angles[0] - self.angles[1]) > 2 * ALIKE

    @property
    def beyond_saw(self) -> bool:
        """Whether no saw tilts so far."""
        return abs(self.steepest) > SAW_TILTS


@kept_with_owner(1)
def saw_stretches(pattern: Pattern) -> tuple[SawStretch, ...]:
    """The settings round a board's drawn outline, anticlockwise from its corner A."""
    if pattern.outline.is_empty:
        return ()
    points = cornered(pattern.outline.exterior)
    ring = _anticlockwise(pattern.outline.exterior)
    first = ring.project(shapely.Point(points[0].at))

    def along(at: tuple[float, float]) -> float:
        return float((ring.project(shapely.Point(at)) - first) % ring.length)

    ends = _ends(points)
    lows = [0.0, *(along(place[1]) for place in ends[1:])]
    bevels = pattern.bevels if pattern.outline.exterior.is_ccw else pattern.bevels[::-1]
    placed = sorted(((along(bevel.at), bevel) for bevel in bevels), key=lambda each: each[0])
    edges = [_edge_of(placed, k, lows) for k in range(len(placed))]
    found: list[SawStretch] = []
    for k, (start, low) in enumerate(zip(ends, lows, strict=True)):
        end, high = ends[(k + 1) % len(ends)], lows[k + 1] if k + 1 < len(ends) else ring.length
        between = [ring.interpolate((first + low + (high - low) * share) % ring.length) for share in (0.35, 0.65)]
        mine = [bevel for (_, bevel), edge in zip(placed, edges, strict=True) if edge == k]
        found += _settings(start, end, mine) if mine else [_bare(pattern, start, end, between)]
    return tuple(_joined(found))


def _anticlockwise(ring: shapely.LinearRing) -> shapely.LinearRing:
    return ring if ring.is_ccw else shapely.reverse(ring)


def _ends(points: Sequence[RingPoint]) -> list[Place]:
    """Where stretches of an edge begin on the wood: at its corners, and where a round begins and ends."""
    letters = iter(range(len(points)))
    named = [(letter_of(next(letters)) if point.corner else "", point) for point in points]
    return [
        (letter, point.at)
        for k, (letter, point) in enumerate(named)
        if not point.radius and (letter or named[k - 1][1].radius or named[(k + 1) % len(named)][1].radius)
    ]


def _edge_of(placed: Sequence[tuple[float, Bevel]], number: int, lows: Sequence[float]) -> int:
    """The edge that a bevel is of, by number; one at a corner is of the edge on which the bevel next to it is most like it."""
    along, bevel = placed[number]
    k = int(np.searchsorted(lows, along, side="right")) - 1
    corner = int(np.argmin(np.abs(np.array(lows) - along)))
    if abs(lows[corner] - along) > _ON:
        return k

    def unlike(other: int) -> float:
        at, beside = placed[other % len(placed)]
        near = abs(at - along) < 2 * EVERY and beside is not bevel
        return abs(beside.angle - bevel.angle) if near and beside.against == bevel.against else np.inf

    return corner if unlike(number + 1) <= unlike(number - 1) else (corner - 1) % len(lows)


def _settings(start: Place, end: Place, bevels: Sequence[Bevel]) -> Iterator[SawStretch]:
    """The settings from one corner to the next, from the bevels marked between them."""
    runs: list[list[Bevel]] = []
    for bevel in bevels:
        angles = [each.angle for each in runs[-1]] if runs else []
        if runs and runs[-1][0].against == bevel.against and max(*angles, bevel.angle) - min(*angles, bevel.angle) <= ALIKE:
            runs[-1].append(bevel)
        else:
            runs.append([bevel])
    runs = _without_short(runs, [start[1], *(run[0].at for run in runs[1:]), end[1]])
    for k, run in enumerate(runs):
        angles = [bevel.angle for bevel in run]
        ends = (min(angles), max(angles)) if angles[0] <= angles[-1] else (max(angles), min(angles))
        yield SawStretch(
            start=start if k == 0 else ("", run[0].at),
            end=end if k + 1 == len(runs) else ("", runs[k + 1][0].at),
            angles=ends,
            kind="edge",
            against=run[0].against,
        )


def _without_short(runs: list[list[Bevel]], ends: Sequence[tuple[float, float]]) -> list[list[Bevel]]:
    """The runs of bevels with those too short to set a saw for put together, or with the one beside them. ends: of each run."""
    lengths = np.hypot(*np.diff(np.array(ends), axis=0).T).tolist()
    short = _folded(list(zip(runs, lengths, strict=True)), lambda one, other: max(one[1], other[1]) < PLANED)
    return [run for run, _ in _folded(short, lambda one, other: min(one[1], other[1]) < PLANED / 2 and _alike(one[0] + other[0]))]


_Run = tuple[list[Bevel], float]
"""Bevels of one setting, and how long their stretch is [m]."""


def _folded(runs: list[_Run], together: Callable[[_Run, _Run], bool]) -> list[_Run]:
    """Runs, each put to the one before it where the two last put together belong so."""
    kept: list[_Run] = []
    last: _Run | None = None
    for run in runs:
        if last is not None and last[0][0].against == run[0][0].against and together(last, run):
            kept[-1] = (kept[-1][0] + run[0], kept[-1][1] + run[1])
        else:
            kept.append(run)
        last = run
    return kept


def _alike(bevels: Sequence[Bevel]) -> bool:
    angles = [bevel.angle for bevel in bevels]
    return max(angles) - min(angles) <= 2 * ALIKE


def _bare(pattern: Pattern, start: Place, end: Place, between: Sequence[shapely.Point]) -> SawStretch:
    """A stretch that no bevel is marked on: sawn square."""
    for cutout in pattern.cutouts:
        if shapely.distance(cutout.outline.exterior, between).max() < _ON:
            return SawStretch(start=start, end=end, angles=(0.0, 0.0), kind="cutout", against=cutout.name, radius=cutout.radius)
    joined = any(
        mark.kind == "joint" and shapely.distance(shapely.LineString(mark.line), between).max() < _ON for mark in pattern.marks
    )
    return SawStretch(start=start, end=end, angles=(0.0, 0.0), kind="joint" if joined else "free", against="")


def _joined(stretches: Sequence[SawStretch]) -> Iterator[SawStretch]:
    """Stretches of one cutout that follow one another, and short ends beside it, as one."""
    held: SawStretch | None = None
    for each in stretches:
        if held is not None and held.kind == each.kind and each.kind in ("cutout", "free") and held.against == each.against:
            held = SawStretch(
                start=held.start, end=each.end, angles=(0.0, 0.0), kind=each.kind, against=each.against, radius=each.radius
            )
            continue
        if held is not None:
            yield held
        held = each
    if held is not None:
        yield held


def edge_cautions(pattern: Pattern, stretches: Sequence[SawStretch]) -> Iterator[Phrase]:
    """What no saw cuts and no fillet fills on a board, and what to do instead."""
    for each in stretches:
        if each.beyond_saw:
            lean = abs(each.steepest)
            longer, shorter = (
                (pattern.drawn_face, pattern.other_face) if each.steepest > 0.0 else (pattern.other_face, pattern.drawn_face)
            )
            yield Phrase(
                "edge-past-saw",
                {"start": _at(each.start), "end": _at(each.end), "lean": Angle(lean), "longer": longer, "shorter": shorter},
            )
            if 90.0 - lean < NARROWEST:
                yield Phrase(
                    "seam-too-narrow",
                    {
                        "start": _at(each.start),
                        "end": _at(each.end),
                        "face": shorter,
                        "angle": Angle(90.0 - lean),
                        "to": each.against,
                    },
                )
    for letter, angle in narrow_corners(pattern):
        yield Phrase("corner-too-narrow", {"corner": letter, "angle": Angle(angle)})


def _at(place: Place) -> Phrase:
    letter, (right, up) = place
    return (
        Phrase("corner-called", {"letter": letter})
        if letter
        else Phrase("place-on-board", {"right": Length(right), "up": Length(up)})
    )


def narrow_corners(pattern: Pattern) -> list[tuple[str, float]]:
    """The drawn outline's corners that are too narrow, by letter, with their angle in the wood [deg]."""
    if pattern.outline.is_empty:
        return []
    points = cornered(pattern.outline.exterior)
    letters = iter(range(len(points)))
    found = []
    for k, point in enumerate(points):
        letter = letter_of(next(letters)) if point.corner else ""
        if letter and not point.radius:
            one, two = (np.subtract(points[(k + by) % len(points)].at, point.at) for by in (-1, 1))
            turned = float(np.degrees(np.arctan2(two[0] * one[1] - two[1] * one[0], two @ one))) % 360.0
            if turned < NARROWEST:
                found.append((letter, turned))
    return found
