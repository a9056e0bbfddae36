"""Flat shapes nested on sheets by their true outlines, head to tail, with room for the saw between them.

Shapes go one after the other to the place nearest the sheet's end, in any turn that they may have, where they overlap none of
those that lie there, be it in a hole of one; several orders are tried, and the best is kept. Nothing here is proved to be the
best that can be.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import permutations

import numpy as np
import shapely

from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.flat.no_fit import convex_pieces, grown_outline, holes_in, inner_fit, no_fit, turned
from sketcher.geometry.mesh import Floats, GeometryError

Watch = Callable[[int, int], bool]
"""Told how many shapes were placed so far and how many there are to place in all; False stops with the best kept so far.

The first order is finished all the same, so that no shape is left out for want of time.
"""


@dataclass(frozen=True, eq=False, kw_only=True)
class Piece:
    """A shape to be placed. outline: its own axes [m]; along: the direction in it that must run along the sheet, or None.

    Its holes are room for others.
    """

    name: str
    outline: shapely.Polygon = field(repr=False)
    along: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Sheets of a size (along, across) [m]; count: how many there are, None: as many as needed."""

    name: str
    size: tuple[float, float]
    count: int | None = None


@dataclass(frozen=True, eq=False, kw_only=True)
class Placed:
    """A shape on a sheet. outline: in the sheet's axes [m], from its lower left corner; turn [deg]: anticlockwise, once mirrored.

    at: where the origin of the shape's own axes comes to lie.
    """

    piece: str
    sheet: int
    turn: float
    mirrored: bool
    at: tuple[float, float]
    outline: shapely.Polygon = field(repr=False)


@dataclass(frozen=True, eq=False, kw_only=True)
class Nesting:
    """sheets: the stock each used sheet is of; left_out: shapes that no sheet can hold; used_area, sheet_area [m2].

    least_area: of the fewest sheets that could hold the shapes, by area alone; tries: orders looked at; stopped: by the watch.
    """

    sheets: tuple[Stock, ...]
    placed: tuple[Placed, ...]
    left_out: tuple[str, ...]
    used_area: float
    sheet_area: float
    least_area: float
    tries: int
    stopped: bool

    @property
    def share(self) -> float:
        """Share of the sheets' area that shapes take."""
        return self.used_area / self.sheet_area if self.sheet_area else 0.0

    @property
    def best_share(self) -> float:
        """The share that no arrangement can exceed."""
        return self.used_area / self.least_area if self.least_area else 0.0


def nest(
    pieces: Sequence[Piece],
    stocks: Sequence[Stock],
    kerf: float = 0.0,
    margin: float = 0.0,
    mirror: bool = False,
    tries: int = 8,
    watch: Watch | None = None,
) -> Nesting:
    """The best of several ways to lay shapes on sheets.

    kerf [m]: kept between shapes; margin [m]: of a sheet's edges left free; mirror: whether shapes may be turned over. Sheets
    of which there is a number are used first, the smallest first. Raises GeometryError where there is no shape or no sheet.
    """
    if not pieces or not stocks:
        raise GeometryError("there is nothing to nest, or nothing to nest it on")
    workshop = _Workshop(pieces, stocks, kerf, margin, mirror)
    best: _Attempt | None = None
    done, stopped, looked_at = 0, False, 0
    for order in _orders(workshop, tries):
        attempt = _Attempt(workshop)
        for k in order:
            stopped = stopped or (watch is not None and not watch(done, tries * len(pieces)))
            if stopped and best is not None:
                break
            attempt.place(k)
            done += 1
        looked_at += 1
        if best is None or (not stopped and attempt.cost < best.cost):
            best = attempt
        if stopped or best.cannot_be_bettered:
            break
    assert best is not None
    return best.result(looked_at, stopped)


def nest_on_fewer(
    pieces: Sequence[Piece],
    stocks: Sequence[Stock],
    than: Nesting,
    kerf: float = 0.0,
    margin: float = 0.0,
    mirror: bool = False,
    watch: Watch | None = None,
) -> Nesting | None:
    """The same shapes on one sheet fewer of those to be had, the largest that an earlier nesting took; None where none was found.

    The longest come first, shaken a little and a lot by turns; a shape that finds no room comes earlier in the next orders, and
    after some of them all begins anew.
    """
    taken = [stock for stock in than.sheets if stock.count is None]
    if not taken or than.left_out or than.sheet_area <= than.least_area:
        return None
    saved = max(taken, key=lambda stock: stock.size[0] * stock.size[1])
    left = {stock: sum(each is stock for each in taken) - (stock is saved) for stock in dict.fromkeys(taken)}
    limited = {replace(stock, count=left[stock]) if stock in left else stock: stock for stock in stocks}
    workshop = _Workshop(pieces, [stock for stock in limited if stock.count != 0], kerf, margin, mirror)
    if sum(workshop.areas) > sum(stock.size[0] * stock.size[1] * (stock.count or 0) for stock in workshop.stocks):
        return None
    lengths = np.array([np.ptp(np.asarray(solid.exterior.coords), axis=0).max() for solid in workshop.solids])
    worth, random = lengths / lengths.max(), np.random.default_rng(1)
    tries = max(_LEAST_TRIES, min(_MOST_TRIES, _PAIRS // len(pieces) ** 2))
    for number in range(tries):
        if number % _ANEW == 0:
            worth = lengths / lengths.max()
        if watch is not None and not watch(number, tries):
            return None
        shaken = random.normal(0.0, _SHAKEN[number % 2], len(pieces)) if number else 0.0
        attempt = _Attempt(workshop)
        for k in np.argsort(-(worth + shaken), kind="stable").tolist():
            attempt.place(k)
            if attempt.left_out:
                worth[k] += _SHAKEN[0] * (1.0 + 2.0 * random.random())
                break
        else:
            attempt.sheets = [limited[stock] for stock in attempt.sheets]
            return attempt.result(than.tries + number + 1, False)
    return None


_SHAKEN = (0.05, 0.40)
"""[1] Of the largest length: shapes that differ by about so much change places, and one without room comes the first earlier."""

_ANEW = 12
"""Orders after which what was learnt is forgotten, since it may lead nowhere."""

_PAIRS, _LEAST_TRIES, _MOST_TRIES = 8000, 16, 64
"""Pairs of shapes that are looked at in all, as time goes with them, and orders tried at the least and at the most."""


@dataclass(frozen=True, slots=True)
class _Turn:
    """One way a shape may lie: turned and mirrored, its box and its middle along the sheet [m] from the origin of its axes."""

    degrees: float
    mirrored: bool
    box: tuple[float, float, float, float]
    middle: float


@dataclass(frozen=True, eq=False)
class _Grown:
    """A shape with half a saw's cut about it: solid, without holes; its convex pieces; what is left of its holes, (k, 2) each."""

    solid: shapely.Polygon
    convex: list[Floats]
    holes: list[Floats]


@remembered(128)
def _grown(outline: shapely.Polygon, by: float) -> _Grown:
    solid = grown_outline(outline, by)
    return _Grown(solid, convex_pieces(solid), holes_in(outline, by))


@kept_with_owner(512)
def _overlapping(fixed: _Grown, moving: _Grown, between: float, its_mirrored: bool, mirrored: bool) -> shapely.Geometry:
    """Where the moving shape's origin, turned by so much [deg] against the fixed one's, may not be, seen from the fixed one's."""
    a = [turned(points, 0.0, its_mirrored) for points in fixed.convex]
    b = [turned(points, between, mirrored) for points in moving.convex]
    holes = [turned(points, 0.0, its_mirrored) for points in fixed.holes]
    room = [inner_fit(shapely.Polygon(hole), b) for hole in holes]
    apart = no_fit(a, b)
    return shapely.difference(apart, shapely.union_all(room)) if room else apart


class _Workshop:
    """Shapes, sheets, and the best places found so far on sheets as they were."""

    def __init__(self, pieces: Sequence[Piece], stocks: Sequence[Stock], kerf: float, margin: float, mirror: bool) -> None:
        self.pieces, self.kerf, self.margin = pieces, kerf, margin
        self.grown = [_grown(piece.outline, kerf / 2) for piece in pieces]
        self.solids = [shape.solid for shape in self.grown]
        self.areas = [piece.outline.area for piece in pieces]
        self.stocks = sorted(stocks, key=lambda s: (s.count is None, s.size[0] * s.size[1], s.name))
        self.turns = [self._turns(k, mirror) for k in range(len(pieces))]
        self.best_places: dict[Hashable, tuple[_Turn, Floats] | None] = {}

    def _turns(self, k: int, mirror: bool) -> list[_Turn]:
        piece, points = self.pieces[k], np.asarray(self.solids[k].exterior.coords)
        turns: list[_Turn] = []
        for mirrored in (False, True) if mirror else (False,):
            if piece.along is not None:
                along = turned(np.array([piece.along]), 0.0, mirrored)[0]
                first = -float(np.degrees(np.arctan2(along[1], along[0])))
                angles = [first, first + 180.0]
            else:
                lean = _lean(turned(points, 0.0, mirrored))
                angles = [quarter + extra for extra in dict.fromkeys([0.0, -lean]) for quarter in (0.0, 90.0, 180.0, 270.0)]
            turns += [_turn(points, angle % 360.0, mirrored) for angle in angles]
        if piece.along is None and not any(self.room(stock, how) for stock in self.stocks for how in turns):
            # A long shape may still lie from corner to corner.
            askew = [_turn(points, float(angle), False) for angle in range(360)]
            turns += [how for how in askew if any(self.room(stock, how) for stock in self.stocks)]
        return turns

    def overlapping(self, fixed: int, its: _Turn, at: Floats, moving: int, how: _Turn) -> shapely.Geometry:
        """Where the moving shape's origin may not be, that of the fixed one being at a place."""
        between = round((how.degrees - its.degrees) % 360.0, 9)
        found = _overlapping(self.grown[fixed], self.grown[moving], between, its.mirrored, how.mirrored)
        return shapely.transform(found, lambda points: turned(points, its.degrees) + at)

    def room(self, stock: Stock, how: _Turn) -> tuple[float, float, float, float] | None:
        """Box of the places at which a shape lies on a sheet; None where it is too large."""
        edge = self.margin - self.kerf / 2
        low = (edge - how.box[0], edge - how.box[1])
        high = (stock.size[0] - edge - how.box[2], stock.size[1] - edge - how.box[3])
        return (*low, *high) if low[0] <= high[0] and low[1] <= high[1] else None


def _turn(points: Floats, degrees: float, mirrored: bool) -> _Turn:
    lain = turned(points, degrees, mirrored)
    middle = float(shapely.Polygon(lain).centroid.x)
    (west, south), (east, north) = lain.min(axis=0).tolist(), lain.max(axis=0).tolist()
    return _Turn(degrees, mirrored, (west, south, east, north), middle)


def _lean(points: Floats) -> float:
    """How far the smallest box about points is turned [deg], 0 where an upright one is as small."""
    box = shapely.oriented_envelope(shapely.MultiPoint(points))
    size = np.ptp(points, axis=0)
    if box.geom_type != "Polygon" or box.area > float(size[0] * size[1]) * (1 - 1e-6):
        return 0.0
    edge = np.subtract(*np.asarray(box.exterior.coords)[:2])
    return float(np.degrees(np.arctan2(edge[1], edge[0]))) % 90.0


class _Attempt:
    """Sheets being filled in one order."""

    def __init__(self, workshop: _Workshop) -> None:
        self.shop = workshop
        self.sheets: list[Stock] = []
        self.lying: list[list[tuple[int, _Turn, Floats]]] = []
        self.reach: list[float] = []
        self.left_out: list[int] = []

    def place(self, k: int) -> None:
        """Put a shape on the first open sheet with room, else on a new one."""
        for number in range(len(self.sheets)):
            best = self._best_place(number, k)
            if best is not None:
                self._put(number, k, best)
                return
        for stock in self.shop.stocks:
            if stock.count is not None and sum(sheet is stock for sheet in self.sheets) >= stock.count:
                continue
            if any(self.shop.room(stock, how) for how in self.shop.turns[k]):
                self.sheets.append(stock)
                self.lying.append([])
                self.reach.append(0.0)
                best = self._best_place(len(self.sheets) - 1, k)
                assert best is not None
                self._put(len(self.sheets) - 1, k, best)
                return
        self.left_out.append(k)

    def _put(self, number: int, k: int, found: tuple[_Turn, Floats]) -> None:
        how, at = found
        self.lying[number].append((k, how, at))
        self.reach[number] = max(self.reach[number], float(at[0]) + how.box[2])

    def _best_place(self, number: int, k: int) -> tuple[_Turn, Floats] | None:
        """The best place for a shape on a sheet, looked for once however many orders come to the same sheet."""
        lying = tuple((other, how, *at.tolist()) for other, how, at in self.lying[number])
        asked = (self.sheets[number], lying, k)
        if asked not in self.shop.best_places:
            self.shop.best_places[asked] = self._best_place_found(number, k)
        return self.shop.best_places[asked]

    def _best_place_found(self, number: int, k: int) -> tuple[_Turn, Floats] | None:
        """The turn and place that lengthen the used part of a sheet least; of those, with most of the shape near its start."""
        best: tuple[tuple[float, ...], _Turn, Floats] | None = None
        for how in self.shop.turns[k]:
            box = self.shop.room(self.sheets[number], how)
            if box is None:
                continue
            spots = self._free_spots(number, k, how, box)
            if not len(spots):
                continue
            ends = spots[:, 0] + how.box[2]
            reach = np.maximum(ends, self.reach[number])
            order = np.lexsort((spots[:, 1], np.round(ends, 6), np.round(reach, 6)))
            at = spots[order[0]]
            score = tuple(round(float(v), 6) for v in (reach[order[0]], at[0] + how.middle, at[1] + how.box[3]))
            if best is None or score < best[0]:
                best = (score, how, at)
        return None if best is None else best[1:]

    def _free_spots(self, number: int, k: int, how: _Turn, box: tuple[float, float, float, float]) -> Floats:
        """Corners (n, 2) of the region in which a shape may stand on a sheet."""
        free: shapely.Geometry = shapely.box(*box)
        taken = []
        for other, its, at in self.lying[number]:
            low = [at[axis] + its.box[axis] - how.box[axis + 2] for axis in (0, 1)]
            high = [at[axis] + its.box[axis + 2] - how.box[axis] for axis in (0, 1)]
            if low[0] < box[2] and low[1] < box[3] and high[0] > box[0] and high[1] > box[1]:
                taken.append(self.shop.overlapping(other, its, at, k, how))
        if taken:
            free = shapely.difference(free, shapely.union_all(taken))
        return np.asarray(shapely.get_coordinates(free), dtype=np.float64)

    @property
    def cost(self) -> tuple[float, ...]:
        """Shapes left out, area of sheets to be had, of all sheets, and how much of them is used up; the least is the best."""
        new = sum(s.size[0] * s.size[1] for s in self.sheets if s.count is None)
        total = sum(s.size[0] * s.size[1] for s in self.sheets)
        used = sum(reach * s.size[1] for reach, s in zip(self.reach, self.sheets, strict=True))
        left = sum(self.shop.areas[k] for k in self.left_out)
        return (round(left, 9), round(new, 9), round(total, 9), round(used, 6))

    @property
    def cannot_be_bettered(self) -> bool:
        """Whether the used part of the sheets is full but for what the kerf takes."""
        used = sum(self.reach[n] * self.sheets[n].size[1] for n in range(len(self.sheets)))
        filled = sum(self.shop.solids[k].area for lying in self.lying for k, _, _ in lying)
        return not self.left_out and filled >= 0.98 * used

    def result(self, tries: int, stopped: bool) -> Nesting:
        """What was reached, with the true outlines in place."""
        placed = []
        for number, lying in enumerate(self.lying):
            for k, how, at in lying:
                move = at
                outline = shapely.transform(
                    self.shop.pieces[k].outline,
                    lambda points, how=how, move=move: turned(points, how.degrees, how.mirrored) + move,
                )
                spot = (float(at[0]), float(at[1]))
                name = self.shop.pieces[k].name
                placed.append(Placed(piece=name, sheet=number, turn=how.degrees, mirrored=how.mirrored, at=spot, outline=outline))
        there = {k for lying in self.lying for k, _, _ in lying}
        used = sum(self.shop.areas[k] for k in there)
        return Nesting(
            sheets=tuple(self.sheets),
            placed=tuple(placed),
            left_out=tuple(piece.name for k, piece in enumerate(self.shop.pieces) if k not in there),
            used_area=used,
            sheet_area=sum(s.size[0] * s.size[1] for s in self.sheets),
            least_area=_least_area(used, self.sheets),
            tries=tries,
            stopped=stopped,
        )


def _least_area(used: float, sheets: Sequence[Stock]) -> float:
    """The area of the fewest of these sheets, the largest first, that hold an area."""
    total = 0.0
    for stock in sorted(sheets, key=lambda s: -s.size[0] * s.size[1]):
        if total >= used:
            break
        total += stock.size[0] * stock.size[1]
    return total


def _orders(workshop: _Workshop, tries: int) -> Iterator[list[int]]:
    """Orders to try: the largest first by area, by length, by height; then the first shaken up, the same way every time.

    All of them, where they are as few as the tries.
    """
    count = len(workshop.pieces)
    sizes = np.array([np.sort(np.ptp(np.asarray(solid.exterior.coords), axis=0))[::-1] for solid in workshop.solids])
    keys = [np.array(workshop.areas), sizes[:, 0], sizes[:, 1], sizes.sum(axis=1)]
    seen: set[tuple[int, ...]] = set()
    random = np.random.default_rng(1)
    by_area = np.argsort(-keys[0], kind="stable")
    if count <= tries and math.factorial(count) <= tries:
        # Shaking would miss some of so few orders.
        yield from (list(order) for order in sorted(permutations(range(count)), key=lambda order: [-keys[0][k] for k in order]))
        return
    for number in range(tries):
        if number < len(keys):
            order = np.argsort(-keys[number], kind="stable")
        else:
            order = by_area[np.argsort(np.arange(count) + random.normal(0.0, max(1.0, count / 4), count), kind="stable")]
        known = tuple(int(k) for k in order)
        if known not in seen:
            seen.add(known)
            yield list(known)
