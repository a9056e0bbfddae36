"""Where a board is cut in parts that go below and come out of a sheet: the places of its joints, the best of all on a grid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.boards.hatch_fit import Limits, why_not
from sketcher.analysis.cut.boards.straps import BREAK, EDGE, ROOM, Cut, StrapFace, joint_lines, part_between
from sketcher.analysis.cut.boards.support_room import NO_SUPPORTS, BorneStretch, SupportRoom
from sketcher.analysis.cut.results import Cutout, Pattern
from sketcher.analysis.cut.timber.stringers import StringerRun
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.tolerances import PART_AREA

_STEP = 0.025
"""[m] Joints are tried at so many places of the pattern, and where what stands in their way ends."""

_MOST_PARTS = 8
"""A panel that would need more parts is left whole, and said to be."""

_SHIFT = 3.0
"""[1] A joint is shifted by so much of the length that it saves: parts of like size are easier to carry."""

_CORNER = np.cos(np.radians(30.0))
"""[1] An edge that turns inward by more than this is a corner that joints keep clear of, since it is where a board tears."""

_ALONG = 0.5
"""[1] A panel that carries so much of a joint's length is a bearer under it."""

_FULL = 0.5
"""[1] A strap that is narrowed by the board's edge for more of the joint's length is a poor one."""


def best_joints(
    limits: Limits, pattern: Pattern, room: StrapRoom, overlap: float, axes: Sequence[int] = (0, 1), slices: int = 1
) -> tuple[Pattern, tuple[Cut, ...]]:
    """The pattern and its cuts, with its grain turned where only that brings it out of the sheets; () if none are found.

    overlap [m]: of the parts, on each side of a joint; axes: along which it may be cut up; slices: in how many equal lengths
    each part is small enough, the whole part where it is 1.
    """
    cuts = _cuts(limits, pattern, room, overlap, axes, slices)
    if cuts or pattern.grain is None:
        return pattern, cuts
    turned = replace(pattern, grain=(-pattern.grain[1], pattern.grain[0]))
    if not why_not(limits, turned, turned.blank):
        return turned, ()
    cuts = _cuts(limits, turned, room, overlap, axes, slices)
    return (turned, cuts) if cuts else (pattern, ())


@dataclass(frozen=True, eq=False)
class CrossedRow:
    """One of the parts between parallel cuts, cut across in its turn. cuts: across it; room: that their straps have."""

    area: shapely.Polygon
    cuts: tuple[Cut, ...]
    room: StrapRoom


def crossed_joints(
    limits: Limits, pattern: Pattern, room: StrapRoom, overlap: float
) -> tuple[Pattern, tuple[Cut, ...], tuple[CrossedRow, ...]]:
    """For a board larger than its sheets both ways: its cuts one way, and the rows between them with theirs across; () if none.

    The straps of the first run through; those across end clear of them, and from row to row they are staggered where they can be.
    """
    for slices in range(2, _MOST_PARTS + 1):
        turned, cuts = best_joints(limits, pattern, room, overlap, slices=slices)
        rows = tuple(_rows(limits, turned, room, cuts)) if cuts else ()
        if rows and all(_small_row(limits, turned, row) for row in rows):
            return turned, cuts, rows
    return pattern, (), ()


def _rows(limits: Limits, pattern: Pattern, room: StrapRoom, cuts: tuple[Cut, ...]) -> Iterator[CrossedRow]:
    axis = 1 - cuts[0].axis
    before: tuple[Cut, ...] = ()
    for low, high in pairwise((None, *cuts, None)):
        row = _board_in(pattern, part_between(pattern.blank, low, high))
        mine = room.within(row, cuts, _beside_last(low, before, room.width))
        parted = _cuts(limits, row, mine, cuts[0].overlap, (axis,)) if why_not(limits, row, row.blank) else ()
        before = parted
        yield CrossedRow(row.blank, parted, mine)


def _board_in(pattern: Pattern, area: shapely.Geometry) -> Pattern:
    """A board's part in an area, in the same frame."""
    faces = (largest(shapely.intersection(each, area)) for each in (pattern.blank, pattern.outline, pattern.other_outline))
    blank, outline, other = faces
    return replace(pattern, blank=blank, outline=outline, other_outline=other)


def _beside_last(low: Cut | None, before: Sequence[Cut], width: float) -> list[shapely.Geometry]:
    """Where, along the cut that a row begins at, the joints of the row before it come: its own keep off by a strap's width."""
    if low is None:
        return []
    squares = [(cut.place - width, low.place - EDGE, cut.place + width, low.place + EDGE) for cut in before]
    return [shapely.box(*((a, b, c, d) if low.axis == 1 else (b, a, d, c))) for a, b, c, d in squares]


def _small_row(limits: Limits, pattern: Pattern, row: CrossedRow) -> bool:
    parts = [part_between(row.area, low, high) for low, high in pairwise((None, *row.cuts, None))]
    return all(_one_piece(part) and not why_not(limits, pattern, part) for part in parts)


def _cuts(
    limits: Limits, pattern: Pattern, room: StrapRoom, overlap: float, axes: Sequence[int], slices: int = 1
) -> tuple[Cut, ...]:
    """Parallel cuts into parts that are small enough; () if none are found.

    The fewest parts, or one more where that keeps the joints clear of openings; then the least `Faults` in all,
    over all places along the axes.
    """
    searches = [_Search(limits, pattern, room, axis, overlap, slices) for axis in axes]
    fewest: tuple[int, tuple[Cut, ...]] | None = None
    for count in range(2, _MOST_PARTS + 1):
        if fewest is not None and count > fewest[0] + 1:
            break
        found = [best for search in searches if (best := search.best(count)) is not None]
        if found:
            faults, cuts = min(found, key=lambda each: each[0])
            if faults[0] == 0:
                return cuts
            fewest = fewest or (count, cuts)
    return fewest[1] if fewest is not None else ()


def small_enough(limits: Limits, pattern: Pattern, cuts: Sequence[Cut]) -> bool:
    """Whether every part between the cuts is one piece that goes below and comes out of a sheet."""
    parts = [part_between(pattern.blank, low, high) for low, high in pairwise((None, *cuts, None))]
    return all(_one_piece(part) and not why_not(limits, pattern, part) for part in parts)


def _one_piece(part: shapely.Geometry) -> bool:
    return bool(part.geom_type == "Polygon" and part.area >= PART_AREA)


Faults = tuple[float, ...]
"""What is wrong with joints, worst first, to be added up: openings that they run into; the length [m] in which no strap is full;
that in which they taper, beyond half of all; how far [m] they are too near corners of openings or boards; joints with no bearer,
panel or support under them; straps on the drawn face; lengths and shifts [m]."""

_BORNE = 4
"""Where joints without a bearer are counted among those."""


class StrapRoom:
    """How much room joints have on a board. faces: that straps may lie on, none for scarfs; width [m]: of a strap or scarf."""

    def __init__(
        self,
        pattern: Pattern,
        faces: Sequence[StrapFace],
        width: float,
        runs: Sequence[StringerRun] = (),
        keep_off: Sequence[shapely.Geometry] = (),
        supports: SupportRoom = NO_SUPPORTS,
    ) -> None:
        self.pattern, self.faces, self.width, self._runs = pattern, faces, width, runs
        self.supports = supports
        self._stretches: dict[tuple[int, float], tuple[list[BorneStretch], float]] = {}
        self._openings = [cutout.outline for cutout in pattern.cutouts]
        self._straight = [_between_corners(cutout) for cutout in pattern.cutouts]
        self._keep_off = [
            *(each.buffer(EDGE) for each in (*self._openings, *_inward_corners(pattern.blank), *_free_ends(pattern, runs))),
            *keep_off,
        ]
        self._wood = [face.wood.buffer(-EDGE) for face in faces]
        self._taken = [shapely.union_all(list(face.taken.values())) for face in faces]

    def within(self, row: Pattern, cuts: Sequence[Cut], keep_off: Sequence[shapely.Geometry]) -> StrapRoom:
        """The room on one row of the board between cuts, whose own straps, or scarfs, run through and take their share."""
        half = self.width / 2 + ROOM - EDGE
        through = shapely.union_all([] if cuts[0].overlap else [cut.line.buffer(half, cap_style="flat") for cut in cuts])
        faces = [
            replace(face, wood=largest(shapely.difference(shapely.intersection(face.wood, row.blank), through)))
            for face in self.faces
        ]
        borne = [self.borne(cut) for cut in cuts]
        # Supports run one way: where they lie under the joints that run through, none lies along those across.
        supports = self.supports.across(cuts[0].axis) if any(borne) else self.supports
        return StrapRoom(row, faces, self.width, self._runs, keep_off, supports)

    def borders(self, axis: int) -> list[float]:
        """The places [m] along an axis at which a strap just clears what stands in its way."""
        ways = [*self._openings, *self._keep_off, *(part for taken in self._taken for part in shapely.get_parts(taken).tolist())]
        bounds = [way.bounds for way in ways if not way.is_empty]
        clear = self.width / 2 + 1e-5
        return [place for each in bounds for place in (each[axis] - clear, each[axis + 2] + clear)]

    def crossed(self, cut: Cut) -> tuple[float, float]:
        """How many openings a strap or scarf runs into, and how far [m] it is to be moved to be clear of all corners.

        Where it cannot but run into an opening, it is clear between the opening's own corners.
        """
        half = self.width / 2
        lines = joint_lines(cut, self.pattern.blank)
        strips = shapely.union_all([shapely.box(*_about(line, cut.axis, half)) for line in lines])
        into = float(np.sum(shapely.intersects(strips, self._openings)))
        west, east = cut.place - half, cut.place + half
        moves = 0.0
        for k in np.flatnonzero(shapely.intersects(strips, self._keep_off)).tolist():
            bounds = self._keep_off[k].bounds
            beside = min(east - bounds[cut.axis], bounds[cut.axis + 2] - west)
            low, high = self._straight[k][cut.axis] if k < len(self._straight) else (west, west)
            moves += min(beside, max(low - west, east - high, 0.0)) if high - low >= self.width else beside
        return into, round(moves, 2)

    def short(self, lines: Sequence[Floats], axis: int, number: int) -> float:
        """The length [m] of joints over which a strap on one face is not full, but for panels that only cross them."""
        strips = shapely.union_all([shapely.box(*_about(line, axis, self.width / 2, EDGE)) for line in lines])
        hindered = polygons(shapely.intersection(strips, self._taken[number]))
        lengths = [each.bounds[3 - axis] - each.bounds[1 - axis] for each in hindered]
        return float(sum(length for length in lengths if length > BREAK))

    def _full_width(self, cut: Cut, number: int) -> float:
        """The length [m] for which a strap keeps its width before the board's own edge narrows it."""
        edges = [Cut(cut.axis, cut.place + side * self.width / 2).line for side in (-1.0, 1.0)]
        return float(shapely.length(shapely.intersection(edges, self._wood[number])).min())

    def in_way(self, line: Floats, axis: int) -> tuple[str, ...]:
        """The names of what stands on either face where a strap would lie."""
        strip = shapely.box(*_about(line, axis, self.width / 2, EDGE))
        return tuple(dict.fromkeys(n for face in self.faces for n, area in face.taken.items() if shapely.intersects(strip, area)))

    def nearest_clear(self, cut: Cut) -> float | None:
        """The place [m] nearest to a joint at which a strap is full and clear of openings; None where there is none."""
        low, high = (self.pattern.other_outline.bounds[k] for k in (cut.axis, cut.axis + 2))
        least = self.width / 2 + EDGE
        for place in sorted(self.borders(cut.axis), key=lambda place: abs(place - cut.place)):
            moved = Cut(cut.axis, place)
            if low + least <= place <= high - least and not self.crossed(moved)[0] and not self.best_face(moved)[0][0]:
                return place
        return None

    def borne(self, cut: Cut, beside: Cut | None = None) -> bool:
        """Whether a support can lie along a joint, and at the same time along another one beside it."""
        stretches, length = self._under(cut)
        others = () if beside is None else self._under(beside)[0]
        return sum(each.length for each in stretches if each.beside(others)) > _ALONG * length

    def _under(self, cut: Cut) -> tuple[list[BorneStretch], float]:
        """Where supports can lie along a joint, and how long it is [m]."""
        place = (cut.axis, cut.place)
        if place not in self._stretches:
            length = float(shapely.intersection(cut.line, self.pattern.blank).length)
            self._stretches[place] = self.supports.under(cut, self.pattern.blank), length
        return self._stretches[place]

    def carried(self, cut: Cut, number: int) -> bool:
        """Whether a panel stands along a joint on one face."""
        line = shapely.intersection(cut.line, self.pattern.blank)
        return bool(shapely.intersection(line, self._taken[number]).length > _ALONG * line.length)

    def bearers(self, cut: Cut) -> tuple[str, ...]:
        """The names of what stands under a lid along a joint."""
        line = shapely.intersection(cut.line, self.pattern.blank)
        under = next((face.taken for face in self.faces if face.name == "under"), {})
        return tuple(name for name, area in under.items() if shapely.intersection(line, area).length > _ALONG * line.length)

    def best_face(self, cut: Cut) -> tuple[Faults, StrapFace]:
        """The face that a strap over a joint has the most room on, with what is wrong with it there, as in `Faults`.

        A lid's joint wants a panel or a support under it; an upright panel's none that lands on it.
        """
        rows, lines = [], joint_lines(cut, self.pattern.blank)
        borne = self.borne(cut)
        length = sum(_length(line) for line in lines)
        for number, face in enumerate(self.faces):
            carried = self.carried(cut, 1 - number)
            on_panel = carried and self.faces[1 - number].name == "under"
            unsound = not (on_panel or borne) if face.name in ("top", "under") else carried
            short = round(self.short(lines, cut.axis, number), 2)
            tapered = round(max(_FULL * length - self._full_width(cut, number), 0.0), 2)
            rows.append(((short, tapered, float(unsound), float(face.drawn)), number))
        faults, number = min(rows, key=lambda row: (row[0][0], *row[0][2:]))
        return faults, self.faces[number]


def _free_ends(pattern: Pattern, runs: Sequence[StringerRun]) -> Iterator[shapely.Geometry]:
    """Where the bearers under a board end short of any panel."""
    for run in runs:
        for point, end in zip(run.points[[0, -1]], run.ends, strict=True):
            if run.stringer.under == pattern.panel and end.place is None:
                yield shapely.Point(pattern.frame.flat(point[None])[0])


def _length(line: Floats) -> float:
    return float(np.ptp(line, axis=0).max())


def _about(line: Floats, axis: int, half: float, less: float = 0.0) -> tuple[float, float, float, float]:
    """The bounds of a strip along a joint, `half` [m] to each side and `less` [m] from its ends."""
    low, high = line.min(axis=0), line.max(axis=0)
    along = 1 - axis
    low[along], high[along] = low[along] + less, max(high[along] - less, low[along] + less)
    low[axis], high[axis] = low[axis] - half, high[axis] + half
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _between_corners(cutout: Cutout) -> tuple[tuple[float, float], tuple[float, float]]:
    """From where to where, along either axis, an opening is clear of its own corners."""
    less = max(cutout.radius, EDGE)
    west, south, east, north = cutout.outline.bounds
    return (west + less, east - less), (south + less, north - less)


def _inward_corners(area: shapely.Polygon) -> Iterator[shapely.Geometry]:
    """Where a board's outer edge turns sharply inward."""
    ring = np.asarray(shapely.geometry.polygon.orient(area).exterior.coords)[:-1]
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    before /= np.linalg.norm(before, axis=1)[:, None]
    after /= np.linalg.norm(after, axis=1)[:, None]
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    for corner in ring[(turn < 0.0) & ((before * after).sum(axis=1) < _CORNER)]:
        yield shapely.Point(corner)


class _Search:
    """All places of joints along one axis of a board, and the best of them for a number of parts."""

    def __init__(self, limits: Limits, pattern: Pattern, room: StrapRoom, axis: int, overlap: float, slices: int = 1) -> None:
        self._limits, self._pattern, self._room = limits, pattern, room
        self._axis, self._slices = axis, slices
        self._low, self._high = pattern.blank.bounds[axis], pattern.blank.bounds[axis + 2]
        middle, least = (self._low + self._high) / 2, room.width / 2 + EDGE
        reach = np.ceil((self._high - self._low) / 2 / _STEP)
        ends = np.array([area.bounds for area in (pattern.outline, pattern.other_outline) if not area.is_empty])
        first, last = ends[:, axis].max() + least, ends[:, axis + 2].min() - least
        tried = [*(middle + np.arange(-reach, reach + 1) * _STEP), *room.borders(axis), *room.supports.places(axis)]
        places = np.unique(np.round(tried, 5))
        places = places[(places >= first) & (places <= last)].tolist()
        self._cuts = [Cut(axis, place, overlap) for place in places]
        self._known: dict[int, tuple[Faults, float]] = {}
        self._reach = self._reaches()
        self._parted: set[tuple[int, int]] = set()
        self._pairs: dict[tuple[int, int], bool] = {}

    def _part(self, low: int, high: int) -> shapely.Geometry:
        """The part between two places, -1 and the last one more being the board's ends."""
        return part_between(
            self._pattern.blank, None if low < 0 else self._cuts[low], self._cuts[high] if high < len(self._cuts) else None
        )

    def _fits(self, low: int, high: int) -> bool:
        part = self._part(low, high)
        return part.area < PART_AREA or all(not why_not(self._limits, self._pattern, each) for each in self._sliced(part))

    def _sliced(self, part: shapely.Geometry) -> list[shapely.Geometry]:
        """A part in equal lengths, as it is cut across later."""
        if self._slices == 1:
            return [part]
        along = 1 - self._axis
        edges = np.linspace(part.bounds[along], part.bounds[along + 2], self._slices + 1).tolist()
        lines = [Cut(along, edge) for edge in edges]
        return [part_between(part, low, high) for low, high in pairwise(lines)]

    def _reaches(self) -> list[int]:
        """For each place, from the board's end on, the furthest at which a part that begins there may end."""
        found, furthest = [], -1
        for low in range(-1, len(self._cuts)):
            furthest = max(furthest, low)
            while furthest < len(self._cuts) and self._fits(low, furthest + 1):
                furthest += 1
            found.append(furthest)
        return found

    def _faults(self, number: int) -> tuple[Faults, float]:
        """What is wrong with a place, and the length [m] of its joint."""
        if number not in self._known:
            cut = self._cuts[number]
            length = sum(_length(line) for line in joint_lines(cut, self._pattern.blank))
            on_none = float(bool(self._room.supports.bays) and not self._room.borne(cut))
            faults = self._room.best_face(cut)[0] if self._room.faces else (0.0, 0.0, on_none, 0.0)
            into, near = self._room.crossed(cut)
            self._known[number] = (into, *faults[:2], near, *faults[2:]), length
        return self._known[number]

    def _bears_one(self, start: int, number: int) -> bool:
        """Whether supports can lie along either of two joints and not along both."""
        if (start, number) not in self._pairs:
            one, other = self._cuts[start], self._cuts[number]
            both = self._room.borne(one) and self._room.borne(other)
            self._pairs[start, number] = both and not self._room.borne(other, one)
        return self._pairs[start, number]

    def best(self, count: int) -> tuple[Faults, tuple[Cut, ...]] | None:
        """The joints of so many parts that have the least faults in all, and those; None where there are none."""
        if not self._few_enough(count):
            return None
        while (found := self._least_faults(count)) is not None:
            bad = {pair for pair in pairwise((-1, *found[1], len(self._cuts))) if not _one_piece(self._part(*pair))}
            if not bad:
                return found[0], tuple(self._cuts[number] for number in found[1])
            self._parted |= bad
        return None

    def _few_enough(self, count: int) -> bool:
        """Whether so many parts can be small enough, each as large as it may be."""
        place = -1
        for _ in range(count):
            place = self._reach[min(place, len(self._cuts) - 1) + 1]
        return place >= len(self._cuts)

    def _least_faults(self, count: int) -> tuple[Faults, tuple[int, ...]] | None:
        """The least sum of faults over all ways of parting, joint by joint along the board."""
        last = len(self._cuts)
        best: dict[int, tuple[Faults, tuple[int, ...]]] = {-1: ((0.0,) * 7, ())}
        for joint in range(1, count):
            wanted = self._low + (self._high - self._low) * joint / count
            further: dict[int, tuple[Faults, tuple[int, ...]]] = {}
            for start, (faults, before) in best.items():
                for number in range(start + 1, min(self._reach[start + 1], last - 1) + 1):
                    place = self._cuts[number].place
                    if (start >= 0 and place - self._cuts[start].place < self._room.width) or (start, number) in self._parted:
                        continue
                    own, length = self._faults(number)
                    shift = round(length + _SHIFT * abs(place - wanted), 6)
                    alone = float(start >= 0 and self._bears_one(start, number))
                    added = (*own[:_BORNE], own[_BORNE] + alone, *own[_BORNE + 1 :], shift)
                    total = tuple(a + b for a, b in zip(faults, added, strict=True))
                    if number not in further or total < further[number][0]:
                        further[number] = total, (*before, number)
            best = further
        ends = [best[number] for number in best if self._reach[number + 1] >= last and (number, last) not in self._parted]
        return min(ends, default=None)
