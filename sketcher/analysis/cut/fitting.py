"""Boards fitted to the boat that is there: an outline moved, along shell and deck, by gaps that were read in her."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import shapely

from sketcher.analysis.cut.board_rim import KINDS, BoardRim
from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.fits import Fit
from sketcher.analysis.cut.outlines import LEAST_SLANT
from sketcher.analysis.cut.results import Bevel, Pattern
from sketcher.analysis.cut.skin_shift import EdgePlaces, Seen, doubts, edge_places, most_telling, skin_shift
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.vectors import triple
from sketcher.model.cutting import GapReading, PartReadings

ENOUGH = 0.0011
"""[m] Nothing more is read once the skin is known so well everywhere, one standard error: 3 mm are 2.7 of them."""

MOST_READ = 24
"""Gaps read along shell or deck round one board: more nobody reads with care."""

FIRST_READ = 12
"""Gaps of these, the most telling, that are read where time is short."""

_NEXT = 0.3
"""[m] Bevels of one edge follow each other no further apart."""
_CLOSE = 0.025
"""[m] Places that may be read follow each other about so closely, so that a small lid has enough of them."""

MOST_OFF = 0.025
"""[m] A reading that is further from what was planned is not followed: it is misread, or the hull is measured anew there."""

_BESIDE = 0.002
"""[m] The way of a rim at a place is from so far before it to so far behind it."""

FURTHEST = 0.300
"""[m] A reading taken further from shell and deck than this, as from a batten, is taken to be of another board."""


def reading_points(pattern: Pattern, most: int = MOST_READ) -> list[Bevel]:
    """The places on a board's edge where its gap is read, at most so many to the shell and to the deck, the most telling first.

    They are those by which the skin is known best all along the edge once they are read, corners above all.
    """
    rim = _ReadRim.of(pattern)
    picked: list[int] = []
    for kind in range(len(KINDS)):
        mine = np.flatnonzero(rim.kind == kind)
        telling = most_telling(rim.only(kind), rim.seen(mine), ENOUGH, most) if len(mine) else ()
        picked += mine[list(telling)].tolist()
    return [rim.bevels[k] for k in picked]


def least_sure(pattern: Pattern, read: Sequence[tuple[str, tuple[float, float]]]) -> EdgeDoubt | None:
    """Where a board's edge is known worst once gaps were read to hull or deck at such places; None where none is read at all."""
    rim = _ReadRim.of(pattern)
    worst: EdgeDoubt | None = None
    for kind, name in enumerate(KINDS):
        mine = np.flatnonzero(rim.kind == kind)
        at = [place for to, place in read if to == name]
        if not len(mine) or not at:
            continue
        away = np.hypot(*(np.array(at)[:, None] - rim.at[mine][None]).T).T
        left = doubts(rim.only(kind), rim.seen(mine[np.argmin(away, axis=1)]))
        k = int(np.argmax(left))
        if worst is None or left[k] > worst.error:
            worst = EdgeDoubt((float(rim.at[k, 0]), float(rim.at[k, 1])), float(left[k]))
    return worst


@dataclass(frozen=True, slots=True)
class EdgeDoubt:
    """A place of a board, right and up as on its pattern, and to what its edge is known there, one standard error [m]."""

    at: tuple[float, float]
    error: float

    @property
    def within(self) -> float:
        """[m] 19 times in 20."""
        return 1.96 * self.error


Told = TypeVar("Told")


def first_of(places: Sequence[Told], to: Callable[[Told], str]) -> list[Told]:
    """Those of a board's places, the most telling first, that are read where time is short. to: hull or deck."""
    return [each for kind in KINDS for each in [one for one in places if to(one) == kind][:FIRST_READ]]


@dataclass(frozen=True, eq=False)
class _ReadRim:
    """The places (k,) round a board's drawn face at which its gap may be read. kind: what each is along, by KINDS, else -1."""

    bevels: Sequence[Bevel]
    places: EdgePlaces
    kind: Ints

    @classmethod
    def of(cls, pattern: Pattern) -> _ReadRim:
        bevels = [] if pattern.outline.is_empty else list(_closely(pattern))
        kind = np.array([KINDS.index(bevel.edge) if bevel.edge in KINDS else -1 for bevel in bevels], dtype=np.int64)
        out = np.array([_out_at(pattern.outline.exterior, bevel.along) for bevel in bevels]).reshape(-1, 2)
        at = np.array([bevel.at for bevel in bevels]).reshape(-1, 2)
        return cls(bevels, edge_places(pattern.frame, at, out, kind), kind)

    @property
    def at(self) -> Floats:
        return np.array([bevel.at for bevel in self.bevels]).reshape(-1, 2)

    def only(self, kind: int) -> EdgePlaces:
        """The places, those along anything else set aside."""
        return replace(self.places, piece=np.where(self.kind == kind, self.places.piece, -1))

    def seen(self, numbers: Ints) -> Seen:
        """What is seen of the skin's shift in gaps read at such places."""
        slant = np.cos(np.radians([self.bevels[k].angle for k in numbers.tolist()]))
        return Seen(numbers, self.places.out[numbers] * slant[:, None])


def _closely(pattern: Pattern) -> Iterator[Bevel]:
    """The bevels, and more between those that follow each other along shell or deck."""
    rim = pattern.outline.exterior
    for bevel, after in zip(pattern.bevels, (*pattern.bevels[1:], *pattern.bevels[:1]), strict=True):
        yield bevel
        way = (after.along - bevel.along) % rim.length
        if bevel.edge not in KINDS or after.edge != bevel.edge or after.against != bevel.against or way > _NEXT:
            continue
        for share in np.linspace(0.0, 1.0, max(1, round(way / _CLOSE)) + 1)[1:-1].tolist():
            along = (bevel.along + share * way) % rim.length
            (x, y) = rim.interpolate(along).coords[0]
            yield replace(bevel, at=(x, y), along=along, angle=bevel.angle + share * (after.angle - bevel.angle))


def _out_at(rim: shapely.LinearRing, along: float) -> Floats:
    """Out of the board (2,) at a distance along its rim."""
    a, b = (shapely.get_coordinates(rim.interpolate((along + step) % rim.length))[0] for step in (-_BESIDE, _BESIDE))
    way = (b - a) if shapely.is_ccw(rim) else (a - b)
    return np.array([way[1], -way[0]]) / max(float(np.hypot(*way)), 1e-12)


@dataclass(frozen=True, slots=True)
class ReadPlace:
    """A place where the gap of a board is read, by its number from 1 round it. at: from its zero; here: from that of its part."""

    board: str
    number: int
    at: tuple[float, float]
    here: tuple[float, float]
    edge: str
    against: str


def read_places(whole: Pattern, parts: Sequence[Pattern]) -> dict[str, tuple[ReadPlace, ...]]:
    """The places where the gaps of a board are read by the name of the part that each is on: one numbering and zero for all."""
    mine = [part for part in parts if part.kind == whole.kind]
    found: dict[str, list[ReadPlace]] = {part.name: [] for part in mine}
    for number, bevel in enumerate(reading_points(whole) if mine else (), 1):
        spot = whole.frame.space(np.array([bevel.at]))
        on = min(mine, key=lambda part: _edge_of(part).distance(shapely.Point(part.frame.flat(spot)[0])))
        x, y = on.frame.flat(spot)[0].tolist()
        found[on.name].append(ReadPlace(whole.name, number, bevel.at, (x, y), bevel.edge, bevel.against))
    return {name: tuple(places) for name, places in found.items()}


def _edge_of(part: Pattern) -> shapely.LinearRing:
    return (part.planned or part.outline).exterior


def fitted_in_boat(pattern: Pattern, form: HullForm, gap: float, readings: Sequence[PartReadings]) -> Pattern:
    """A board whose edges along shell and deck follow the gaps read of it, none where it is cut already.

    form: the hull that it was planned by; gap [m]: that it was planned with, square to the skin. Readings are in the board's own
    measures, right and up, each the least distance from there to the skin. The edges follow as the skin most likely lies
    (`skin_shift`), those along the shell by gaps to it, those along the deck by gaps to the deck.
    """
    mine = next((each for each in readings if each.name == pattern.name), None)
    if mine is None or mine.cut or not mine.gaps_to or pattern.outline.is_empty or pattern.fits:
        return pattern
    origin = triple(np.array(pattern.frame.origin) - pattern.frame.normal * pattern.thickness)
    behind = Frame(origin, pattern.frame.u, pattern.frame.v)
    drawn = BoardRim.of(pattern.outline, form, pattern.frame, gap)
    placed = _placed(drawn, mine.gaps_to)
    if not placed:
        return pattern
    moved = _moves(drawn, placed, [each.segment for each in placed], [each.more for each in placed])
    other = pattern.other_outline
    shifts = moved
    if not other.is_empty:
        back = BoardRim.of(other, form, behind, gap)
        away = [each.more if each.reading.other is None else each.reading.other - gap for each in placed]
        shifts = _moves(back, placed, [back.segment_at(each.reading.at, each.kind) for each in placed], away)
        other = back.moved(shifts)
    outline = drawn.moved(moved)
    return _changed(pattern, outline, other, placed, drawn, moved, shifts if other.is_empty else back.at_points(drawn, shifts))


def gaps_of_whole(whole: Pattern, parts: Sequence[Pattern], readings: Sequence[PartReadings]) -> tuple[PartReadings, ...]:
    """The readings, with gaps that were read of a board's parts told as the whole board's, from its zero; not of sawn ones.

    A skin that is followed by one part alone would leave a step at its joint.
    """
    of_parts = {part.name: part for part in parts if part.name != whole.name and part.kind == whole.kind}
    gaps: list[GapReading] = []
    deck_gaps: list[GapReading] = []
    others: list[PartReadings] = []
    for each in readings:
        part = of_parts.get(each.name)
        if part is not None and not each.cut:
            gaps += _from_whole(whole, part, each.gaps)
            deck_gaps += _from_whole(whole, part, each.deck_gaps)
            each = replace(each, gaps=(), deck_gaps=())
        others.append(each)
    if not gaps and not deck_gaps:
        return tuple(readings)
    mine = next((each for each in others if each.name == whole.name), PartReadings(name=whole.name))
    both = replace(mine, gaps=(*mine.gaps, *gaps), deck_gaps=(*mine.deck_gaps, *deck_gaps))
    return (*(each for each in others if each is not mine), both)


def _from_whole(whole: Pattern, part: Pattern, gaps: Sequence[GapReading]) -> Iterator[GapReading]:
    """Gaps read from a part's zero, from its whole board's."""
    for each in gaps:
        x, y = whole.frame.flat(part.frame.space(np.array([each.at])))[0].tolist()
        yield replace(each, at=(x, y))


def sawn_as_read(
    whole: Pattern, parts: Sequence[Pattern], again: Sequence[Pattern], readings: Sequence[PartReadings]
) -> tuple[Pattern, ...]:
    """The parts of a fitted board, each with its outline as planned; those that are sawn already as they were planned.

    whole: as fitted; parts: as planned; again: as fitted.
    """
    before = {part.name: part for part in parts}
    sawn = {each.name for each in readings if each.cut}
    return tuple(
        _beside_plan(whole, before.get(part.name), part) if part.name not in sawn else before.get(part.name, part)
        for part in again
    )


def _beside_plan(whole: Pattern, before: Pattern | None, part: Pattern) -> Pattern:
    """A part with the outline that was planned of it, and the gaps it follows, both from its own zero."""
    if before is None or part.name == whole.name or part.kind != whole.kind:
        return part
    shift = part.frame.flat(before.frame.space(np.zeros((1, 2))))[0]
    planned = shapely.transform(before.outline, lambda flat: flat + shift)
    fits = []
    for fit in whole.fits:
        x, y = part.frame.flat(whole.frame.space(np.array([fit.at])))[0].tolist()
        if planned.exterior.distance(shapely.Point(x, y)) <= FURTHEST:
            fits.append(replace(fit, at=(x, y)))
    return replace(part, planned=planned, fits=tuple(fits))


def skin_read(pattern: Pattern, form: HullForm, gap: float, readings: PartReadings) -> tuple[Floats, Floats]:
    """Places (n, 3) on the shell as measured, and how far out (n,) [m] of her it stands there, by the gaps read of a board."""
    rim = BoardRim.of(pattern.outline, form, pattern.frame, gap)
    placed = _placed(rim, [("hull", reading) for reading in readings.gaps])
    at = np.array([each.reading.at for each in placed]).reshape(-1, 2)
    toward = np.array([each.toward for each in placed]).reshape(-1, 2)
    planned = np.array([each.planned for each in placed])[:, None]
    size = np.maximum(np.hypot(*toward.T), LEAST_SLANT)[:, None]
    return pattern.frame.space(at + toward / size**2 * planned), np.array([each.more for each in placed])


@dataclass(frozen=True)
class _Placed:
    """A reading and the stretch of edge it belongs to. planned [m]: what it would be; more: how much further off the skin is.

    toward: (2,) by how much a shift of the skin in the board's plane shows in it.
    """

    reading: GapReading
    kind: int
    segment: int
    planned: float
    toward: Floats

    @property
    def more(self) -> float:
        return self.reading.gap - self.planned


def _placed(rim: BoardRim, gaps: Sequence[tuple[str, GapReading]]) -> list[_Placed]:
    """The readings that are near enough to an edge along what they are to, and to what was planned there, with that."""
    placed = []
    for name, reading in gaps:
        kind = KINDS.index(name)
        if (rim.kind == kind).any():
            planned, toward = rim.planned_gap(reading.at, kind, FURTHEST)
            placed.append(_Placed(reading, kind, rim.segment_at(reading.at, kind), planned, toward))
    return [each for each in placed if each.planned <= FURTHEST and abs(each.more) <= MOST_OFF]


def _moves(rim: BoardRim, placed: Sequence[_Placed], segments: Sequence[int], more: Sequence[float]) -> Floats:
    """How far out (k,) [m] each stretch of a rim is moved in its plane, by readings at so many segments."""
    by = np.zeros(len(rim.points))
    for kind in range(len(KINDS)):
        mine = [k for k, each in enumerate(placed) if each.kind == kind]
        places = replace(rim.places, piece=np.where(rim.kind == kind, rim.places.piece, -1))
        seen = Seen(
            np.array([segments[k] for k in mine], dtype=np.int64), np.array([placed[k].toward for k in mine]).reshape(-1, 2)
        )
        by += skin_shift(places, seen, np.array([more[k] for k in mine]))
    return by


def _changed(
    pattern: Pattern,
    outline: shapely.Polygon,
    other: shapely.Polygon,
    placed: Sequence[_Placed],
    drawn: BoardRim,
    moved: Floats,
    behind: Floats,
) -> Pattern:
    """The pattern with its new outlines and what follows from them. moved, behind: by how much drawn and other face moved out."""
    area = max(outline.area, other.area)
    named, checks = corners_and_diagonals(outline)
    grown = (outline.area + other.area) / (pattern.outline.area + pattern.other_outline.area)
    fits = tuple(
        Fit(at=each.reading.at, read=each.reading.gap, planned=each.planned, moved=float(moved[each.segment])) for each in placed
    )
    most = max(np.abs(moved))
    return replace(
        pattern,
        outline=outline,
        other_outline=other,
        blank=largest(shapely.union(outline, other)),
        area=area,
        mass=None if pattern.mass is None else pattern.mass * grown,
        bevels=tuple(_leaned(pattern, drawn, outline, moved, behind)),
        corners=named,
        diagonals=checks,
        planned=pattern.outline,
        fits=fits,
        notes=(*pattern.notes, Phrase("fitted-to-readings", {"count": len(fits), "most": Length(float(most))})),
    )


def _leaned(pattern: Pattern, drawn: BoardRim, outline: shapely.Polygon, moved: Floats, behind: Floats) -> Iterator[Bevel]:
    """The bevels on the new outline: leaning more where the drawn face went out further than the other."""
    for bevel in pattern.bevels:
        if bevel.edge not in ("hull", "deck"):
            yield replace(bevel, along=float(outline.exterior.project(shapely.Point(bevel.at))))
            continue
        k = drawn.segment_at(bevel.at, KINDS.index(bevel.edge))
        x, y = (np.array(bevel.at) + drawn.out[k] * moved[k]).tolist()
        across = np.tan(np.radians(bevel.angle)) + (moved[k] - behind[k]) / pattern.thickness
        along = float(outline.exterior.project(shapely.Point(x, y)))
        yield replace(bevel, at=(x, y), along=along, angle=float(np.degrees(np.arctan(across))))


def more_putty(pattern: Pattern, readings: PartReadings, gap: float) -> float:
    """How much more putty [m3] than planned fills the gaps of a cut board, by their mean along its edges at shell and deck."""
    wider = [max(each.gap - gap, 0.0) for _, each in readings.gaps_to]
    ends = np.array([bevel.along for bevel in pattern.bevels])
    # Each bevel stands for half the way to the one before it and half the way to the next, round the whole rim.
    shares = ((np.roll(ends, -1) - np.roll(ends, 1)) % pattern.outline.exterior.length) / 2.0
    along: float = sum(share for share, bevel in zip(shares.tolist(), pattern.bevels, strict=True) if bevel.edge in KINDS)
    mean: float = sum(wider) / max(len(wider), 1)
    return mean * pattern.thickness * along


def single_readings(fitted: Sequence[Pattern]) -> Iterator[Finding]:
    """Boards of which an edge follows one reading alone on a side of the boat."""
    for board in fitted:
        across = [float(board.frame.space(np.array([fit.at]))[0, 1]) for fit in board.fits]
        for side, mine in (("port", [y for y in across if y < 0.0]), ("starboard", [y for y in across if y >= 0.0])):
            if len(mine) == 1:
                values = {"board": board.name, "side": side}
                yield Finding(code="edge-by-one-reading", severity="warn", object=board.name, values=values)


def reading_findings(patterns: Sequence[Pattern], readings: Sequence[PartReadings]) -> Iterator[Finding]:
    """Readings of a board that is not cut, and those of which some are too far from its edge or from what was planned."""
    by_name = {each.name: each for each in patterns}
    panels = {each.panel for each in patterns}
    for each in readings:
        count = len(each.gaps_to)
        if each.name not in by_name and (count or each.name not in panels):
            yield Finding(
                code="reading-of-no-board", severity="warn", object=each.name, values={"board": each.name, "count": count}
            )
        elif count and not each.cut and len(by_name[each.name].fits) < count:
            left = count - len(by_name[each.name].fits)
            yield Finding(
                code="reading-off-the-edge",
                severity="warn",
                object=each.name,
                values={"board": each.name, "count": left, "most": Length(MOST_OFF)},
            )
