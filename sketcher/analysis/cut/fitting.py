"""Boards fitted to the boat that is there: an outline moved, along shell and deck, by gaps that were read in her."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.fits import Fit
from sketcher.analysis.cut.outlines import LEAST_SLANT, EdgeStretches, Neighbour
from sketcher.analysis.cut.results import Bevel, Pattern
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.hull.form import DECK, OPEN_END, HullForm
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Flags, Floats, Ints
from sketcher.geometry.solid.cut_edges import cut_edges
from sketcher.geometry.solid.near_plane import around_plane
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.surface.smoothing import smoothing_spline
from sketcher.geometry.tolerances import CREASE
from sketcher.geometry.vectors import triple
from sketcher.model.cutting import GapReading, PartReadings

READ_TO = 0.001
"""[m] Standard error of a gap that is read with a stick or feeler strips: within 2 mm either way (common practice)."""

READ_EVERY = 0.200
"""[m] Gaps are read no closer along an edge than this."""

MOST_OFF = 0.025
"""[m] A reading that is further from what was planned is not followed: it is misread, or the hull is measured anew there."""

FURTHEST = 0.300
"""[m] A reading taken further from shell and deck than this, as from a batten, is taken to be of another board."""

_STEP = 0.020
"""[m] Straight stretches of an edge that is moved are no longer."""

_ALONG = np.cos(np.radians(30.0))
"""[1] An edge that leans more from the skin's line beside it does not run along it."""

_MITRE = 4.0
"""[1] A corner goes no further than this many times what its edges are moved."""

KINDS = ("hull", "deck")
_SKINS = (Neighbour("hull", "hull"), Neighbour("deck", "deck"))


def reading_points(pattern: Pattern) -> list[Bevel]:
    """The places on a board's edge where its gap is read: along shell and deck, at both ends of each stretch and between."""
    return [bevel for stretch in _stretches(pattern) for bevel in _spread(stretch)]


def _stretches(pattern: Pattern) -> Iterator[list[Bevel]]:
    """The bevels along shell and deck from corner to corner of the board."""
    if pattern.outline.is_empty:
        return
    rim = pattern.outline.exterior
    turns = np.array([rim.project(shapely.Point(at)) for _, at in pattern.corners])
    stretch: list[Bevel] = []
    for bevel in pattern.bevels:
        if stretch and (
            bevel.edge != stretch[-1].edge or ((turns > stretch[-1].along + 1e-6) & (turns < bevel.along - 1e-6)).any()
        ):
            yield stretch
            stretch = []
        if bevel.edge in KINDS:
            stretch.append(bevel)
    if stretch:
        yield stretch


def _spread(stretch: Sequence[Bevel]) -> list[Bevel]:
    """The first and last of a stretch's bevels, and those between at about even steps of at least `READ_EVERY`."""
    along = np.array([bevel.along for bevel in stretch])
    count = max(1, int((along[-1] - along[0]) / READ_EVERY))
    wanted = along[0] + (along[-1] - along[0]) * np.arange(count + 1) / count
    return [stretch[k] for k in np.unique(np.abs(along[:, None] - wanted).argmin(axis=0)).tolist()]


def fitted_in_boat(pattern: Pattern, form: HullForm, gap: float, readings: Sequence[PartReadings]) -> Pattern:
    """A board whose edges along shell and deck follow the gaps read of it, none where it is cut already.

    form: the hull that it was planned by; gap [m]: that it was planned with, square to the skin. Readings are in the board's own
    measures, right and up, each the least distance from there to the skin. Between them an edge follows smoothly, within their
    error; an edge round a corner from every reading stays.
    """
    mine = next((each for each in readings if each.name == pattern.name), None)
    if mine is None or mine.cut or not mine.gaps_to or pattern.outline.is_empty:
        return pattern
    behind = Frame(triple(np.array(pattern.frame.origin) - pattern.frame.normal * pattern.thickness), *_axes(pattern.frame))
    drawn = _Edge.of(pattern.outline, _skin_at(form, pattern.frame), pattern.frame, gap)
    placed = drawn.placed(mine.gaps_to)
    if not placed:
        return pattern
    moved = drawn.moves(placed, [each.more for each in placed])
    other = pattern.other_outline
    shifts = moved
    if not other.is_empty:
        back = _Edge.of(other, _skin_at(form, behind), behind, gap)
        away = [each.more if each.reading.other is None else each.reading.other - gap for each in placed]
        kinds = [int(drawn.kind[each.segment]) for each in placed]
        facing = [back.segment_at(each.reading.at, kind) for each, kind in zip(placed, kinds, strict=True)]
        shifts = back.moves([replace(each, segment=k) for each, k in zip(placed, facing, strict=True)], away)
        other = back.moved(shifts)
    outline = drawn.moved(moved)
    return _changed(pattern, outline, other, placed, drawn, moved, shifts if other.is_empty else back.at_points(drawn, shifts))


def _axes(frame: Frame) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    return frame.u, frame.v


def _skin_at(form: HullForm, frame: Frame) -> EdgeStretches:
    """Where a plane cuts shell and deck, in the frame's coordinates."""
    cut = cut_edges(around_plane(form.inside, frame, _STEP), frame)
    there = cut.labels != OPEN_END
    owner = np.where(cut.labels[there] == DECK, 1, 0)
    return EdgeStretches(cut.starts[there], cut.ends[there], cut.start_normals[there], cut.end_normals[there], owner, _SKINS)


@dataclass(frozen=True)
class _Placed:
    """A reading and the stretch of edge it belongs to. planned [m]: what it would be; more: how much further off the skin is."""

    reading: GapReading
    segment: int
    planned: float

    @property
    def more(self) -> float:
        return self.reading.gap - self.planned


@dataclass(frozen=True, eq=False)
class _Edge:
    """A board's rim on one face: points (k, 2), each with the stretch to the next; slant (k,): sine of its angle to the skin.

    out: (k, 2) unit vectors out of the board. run: (k,) number of the smooth run along shell or deck, -1 elsewhere.
    """

    area: shapely.Polygon
    points: Floats
    out: Floats
    slant: Floats
    run: Ints
    kind: Ints
    skin: EdgeStretches
    normal: Floats

    @classmethod
    def of(cls, area: shapely.Polygon, skin: EdgeStretches, frame: Frame, gap: float) -> _Edge:
        ring = shapely.segmentize(shapely.orient_polygons(area).exterior, _STEP)
        points = shapely.get_coordinates(shapely.remove_repeated_points(ring))[:-1]
        ways = np.roll(points, -1, axis=0) - points
        out = np.stack([ways[:, 1], -ways[:, 0]], axis=1) / np.hypot(*ways.T)[:, None]
        middles = points + ways / 2.0
        found, facing = skin.nearest(middles)
        slant = _slant(facing, frame.normal)
        away = shapely.distance(skin.tree.geometries[found], shapely.points(middles))
        # Which way the skin lies, from the board's rim: its own line there, turned.
        line = skin.ends[found] - skin.starts[found]
        size = np.hypot(*line.T)
        with_it = np.abs(np.einsum("ij,ij->i", line, ways)) > _ALONG * size * np.hypot(*ways.T)
        along = with_it & (away <= 3.0 * gap / slant + 0.002)
        # Where it runs along the skin it is moved as the skin faces: its own short jogs, moved square to themselves, would fold.
        square = facing @ np.array([frame.u, frame.v]).T
        out = np.where(along[:, None], square / np.hypot(*square.T)[:, None], out)
        kind = np.where(along, skin.owner[found], -1)
        return cls(area, points, out, slant, _numbered_runs(kind, out), kind, skin, frame.normal)

    @property
    def middles(self) -> Floats:
        middles: Floats = (self.points + np.roll(self.points, -1, axis=0)) / 2.0
        return middles

    def segment_at(self, at: tuple[float, float], kind: int) -> int:
        """The stretch nearest to a place of those along the shell, kind 0, or the deck, 1."""
        ends = np.stack([self.points, np.roll(self.points, -1, axis=0)], axis=1)
        away = shapely.distance(shapely.linestrings(ends), shapely.Point(at))
        return int(np.argmin(np.where(self.kind == kind, away, np.inf)))

    def placed(self, gaps: Sequence[tuple[str, GapReading]]) -> list[_Placed]:
        """The readings that are near enough to an edge along what they are to, and to what was planned there, with that."""
        placed = []
        for name, reading in gaps:
            kind = KINDS.index(name)
            if (self.kind == kind).any():
                k = self.segment_at(reading.at, kind)
                placed.append(_Placed(reading, k, self.planned(reading.at, k)))
        return [each for each in placed if each.planned <= FURTHEST and abs(each.more) <= MOST_OFF]

    def planned(self, at: tuple[float, float], segment: int) -> float:
        """The least distance [m] from a place to what a stretch runs along, as the hull's measurements have it."""
        of = np.flatnonzero(self.skin.owner == self.kind[segment])
        away = shapely.distance(self.skin.tree.geometries[of], shapely.Point(at))
        nearest = of[int(np.argmin(away))]
        facing = self.skin.start_normals[nearest] + self.skin.end_normals[nearest]
        return float(away.min() * _slant(facing / np.linalg.norm(facing), self.normal))

    def moves(self, placed: Sequence[_Placed], more: Sequence[float]) -> Floats:
        """How far out (k,) [m] each stretch is moved in the board's plane, from how much further the skin was at the readings."""
        by = np.zeros(len(self.points))
        lengths = np.hypot(*(np.roll(self.points, -1, axis=0) - self.points).T)
        segments = np.array([each.segment for each in placed])
        for run in np.unique(self.run[segments]).tolist():
            members = _in_order(np.flatnonzero(self.run == run), len(self.points))
            along = np.cumsum(lengths[members]) - lengths[members] / 2.0
            place = {int(k): float(s) for k, s in zip(members, along, strict=True)}
            here = [k for k, segment in enumerate(segments.tolist()) if segment in place]
            at = np.array([place[int(segments[k])] for k in here])
            by[members] = smoothing_spline(at, np.array([more[k] for k in here]), READ_TO, along) / self.slant[members]
        return by

    def moved(self, by: Floats) -> shapely.Polygon:
        """The rim with each stretch moved out by so much [m], its corners where the moved stretches meet."""
        rim = shapely.Polygon(self.points + self._steps(by))
        holes = shapely.union_all([shapely.Polygon(hole) for hole in self.area.interiors])
        return largest(shapely.difference(shapely.make_valid(rim), holes))

    def _steps(self, by: Floats) -> Floats:
        """How each point (k, 2) moves, so that it stays on both its stretches."""
        before, after = np.roll(self.out, 1, axis=0), self.out
        ahead, behind = by, np.roll(by, 1)
        turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        smooth = np.abs(turn) < np.sin(np.radians(CREASE))
        mean = before + after
        length = np.hypot(*(np.roll(self.points, -1, axis=0) - self.points).T)
        last = np.roll(length, 1)
        level = (behind * length + ahead * last) / (length + last)
        plain = mean * (2.0 * level / np.maximum(np.einsum("ij,ij->i", mean, mean), 1e-9))[:, None]
        safe = np.where(smooth, 1.0, turn)
        mitred = np.stack([behind * after[:, 1] - ahead * before[:, 1], ahead * before[:, 0] - behind * after[:, 0]], axis=1)
        steps = np.where(smooth[:, None], plain, mitred / safe[:, None])
        most = _MITRE * np.maximum(np.abs(ahead), np.abs(behind))
        size = np.hypot(*steps.T)
        limited: Floats = steps * np.where(size > most, most / np.maximum(size, 1e-12), 1.0)[:, None]
        return limited

    def at_points(self, other: _Edge, by: Floats) -> Floats:
        """What this face is moved by beside each stretch of the other face's rim (n,)."""
        away = np.hypot(*(other.middles[:, None] - self.middles[None]).T).T
        away[other.kind[:, None] != self.kind[None]] += FURTHEST
        beside: Floats = by[np.argmin(away, axis=1)]
        return beside


def _slant(facing: Floats, normal: Floats) -> Floats:
    slant: Floats = np.sqrt(np.clip(1.0 - (facing @ normal) ** 2, LEAST_SLANT**2, 1.0))
    return slant


def _numbered_runs(kind: Ints, out: Floats) -> Ints:
    """The smooth runs of a ring's stretches along one thing (k,), numbered; -1 where they run along nothing."""
    before = np.roll(out, 1, axis=0)
    turn = np.abs(before[:, 0] * out[:, 1] - before[:, 1] * out[:, 0])
    begins: Flags = (kind != np.roll(kind, 1)) | (turn > np.sin(np.radians(CREASE)))
    number = np.cumsum(begins)
    if not begins[0] and begins.any():
        number[number == 0] = number[-1]
    return np.where(kind >= 0, number, -1)


def _in_order(members: Ints, count: int) -> Ints:
    """The members of a run in the order they follow each other, across the ring's first place too."""
    jump = np.flatnonzero(np.diff(members) > 1)
    if len(jump) and members[0] == 0 and members[-1] == count - 1:
        return np.roll(members, -(int(jump[0]) + 1))
    return members


def _changed(
    pattern: Pattern,
    outline: shapely.Polygon,
    other: shapely.Polygon,
    placed: Sequence[_Placed],
    drawn: _Edge,
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


def _leaned(pattern: Pattern, drawn: _Edge, outline: shapely.Polygon, moved: Floats, behind: Floats) -> Iterator[Bevel]:
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
