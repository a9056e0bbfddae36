"""Parts of a card model nested on sheets of paper: cut lines, folds, what stands where, and each part's number and name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely

from sketcher.analysis.cut.card.parts import CardModel, CardPart
from sketcher.geometry.flat.no_fit import turned
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Floats
from sketcher.geometry.packing.nesting import Nesting, Piece, Placed, Stock, Watch, nest
from sketcher.outputs.drawing.lettering import fit, spot_inside
from sketcher.outputs.drawing.recording import Drawing, Item, Line, LineStyle, Spot, Words, line, text_width
from sketcher.outputs.palette import ACCENT, INK, PENCIL, WATER
from sketcher.outputs.paper.tile_grid import PAPERS, PaperName

EDGE, FOOT = 8.0, 10.0
"""[mm] of paper at the edges where printers cannot print, and above that for a sheet's own words."""

BAR = 100.0
"""[mm] A line on every sheet to check the print by."""

_APART = 2.0
"""[mm] between parts: room for a pair of scissors."""

_NOTCH, _OFF, _ROOMY = 5.0, 1.5, 40.0
"""[mm] For nesting: half the width of a notch that is filled, by how much an outline is made smoother and larger, and the side of
the smallest hole that others may lie in."""

_NEARLY = 1.08
"""[1] A part whose hull is no more than so many times as large is laid as its hull: it takes a tenth of the time."""

_SLACK = 3.0
"""[mm] A part lies in so much less than the sheet, for nesting takes outlines a little larger."""

_TRIES = 1
"""Orders in which the parts are laid."""

CUT = LineStyle(INK, 0.25)
AWAY = LineStyle(ACCENT, 0.25, (2.0, 1.0))
TOWARDS = LineStyle(WATER, 0.25, (3.0, 0.8, 0.6, 0.8))
STANDS = LineStyle(PENCIL, 0.12)
SKIN_LINE = LineStyle(PENCIL, 0.12, (0.8, 0.8))
"""Lines to cut, to fold away from and towards oneself, where another part stands, and where the skin goes."""

_BESIDE = 2.2
"""[mm] height of the numbers beside lines."""


def room_on(paper: PaperName) -> tuple[float, float]:
    """What a part may take of a sheet [mm]."""
    width, height = PAPERS[paper]
    return width - 2 * EDGE - _SLACK, height - 2 * EDGE - FOOT - _SLACK


@dataclass(frozen=True, eq=False)
class LaidParts:
    """The parts on sheets. numbers: of the parts by name, in the order of gluing; sheets: the sheet of each, from 0."""

    nesting: Nesting
    numbers: Mapping[str, int]
    sheets: Mapping[str, int]


def laid_out(model: CardModel, paper: PaperName, watch: Watch | None = None) -> LaidParts:
    """Every part on a sheet of a paper, on few of them."""
    width, height = PAPERS[paper]
    size = ((height - 2 * EDGE - FOOT) / 1000.0, (width - 2 * EDGE) / 1000.0)
    pieces = [Piece(name=part.name, outline=_filled(_small(part.whole, model))) for part in model.parts]
    nesting = nest(pieces, [Stock(name=paper, size=size)], kerf=_APART / 1000.0, tries=_TRIES, watch=watch)
    numbers = {part.name: k for k, part in enumerate(model.parts, 1)}
    return LaidParts(nesting, numbers, {placed.piece: placed.sheet for placed in nesting.placed})


def _filled(outline: shapely.Polygon) -> shapely.Polygon:
    """An outline without the notches between its flaps, which no part would go into but which take time to look at."""
    hull: shapely.Polygon = outline.convex_hull
    if hull.area < _NEARLY * shapely.Polygon(outline.exterior).area and not any(_roomy(ring) for ring in outline.interiors):
        return hull
    wide, off = _NOTCH / 1000.0, _OFF / 1000.0
    whole = shapely.Polygon(outline.exterior)
    # Grown and shrunk again, a tip may hang together by nothing.
    closed = largest(shapely.union(whole, whole.buffer(wide, join_style="bevel").buffer(-wide, join_style="bevel")))
    holes = [ring for ring in outline.interiors if _roomy(ring)]
    rough = shapely.simplify(shapely.Polygon(closed.exterior), off).buffer(off, join_style="mitre")
    filled: shapely.Polygon = largest(shapely.difference(rough, shapely.MultiPolygon([shapely.Polygon(ring) for ring in holes])))
    return filled


def _roomy(ring: shapely.LinearRing) -> bool:
    """Whether other parts may lie in a hole."""
    return bool(shapely.Polygon(ring).area > (_ROOMY / 1000.0) ** 2)


def _small(outline: shapely.Polygon, model: CardModel) -> shapely.Polygon:
    return shapely.transform(outline, lambda flat: flat / model.of.scale)


def card_sheets(model: CardModel, laid: LaidParts, paper: PaperName, foot: str) -> Iterator[Drawing]:
    """The sheets, each at true size. foot: what is written below every one."""
    width, height = PAPERS[paper]
    named = {part.name: part for part in model.parts}
    count = len(laid.nesting.sheets)
    for number in range(count):
        items: list[Item] = []
        for placed in laid.nesting.placed:
            if placed.sheet == number:
                items += _part_items(named[placed.piece], placed, model, laid.numbers, width)
        title = f"Sheet {number + 1} of {count}"
        items += footing(f"{title}  {foot}", width)
        yield Drawing(title=title, width=width, height=height, items=tuple(items))


def footing(text: str, width: float) -> Iterator[Item]:
    """A page's words at its foot and a line of 100 mm."""
    right = width - EDGE
    yield Words((EDGE, EDGE + 1.0), text, 2.4, PENCIL, "tiles")
    yield line([(right - BAR, EDGE + 2.0), (right, EDGE + 2.0)], CUT, "tiles")
    for x in (right - BAR, right - BAR / 2, right):
        yield line([(x, EDGE + 1.0), (x, EDGE + 3.0)], CUT, "tiles")
    yield Words((right - BAR / 2, EDGE + 3.6), "100 mm: measure it before you cut", 2.2, PENCIL, "tiles", "middle")


def _part_items(part: CardPart, placed: Placed, model: CardModel, numbers: Mapping[str, int], width: float) -> list[Item]:
    """One part where it lies."""

    def spots(flat: Floats) -> list[Spot]:
        """Places of the part on the paper, whose short side runs across."""
        along = turned(flat / model.of.scale, placed.turn, placed.mirrored) + np.array(placed.at)
        return [(float(width - EDGE - y * 1000.0), float(EDGE + FOOT + x * 1000.0)) for x, y in along]

    whole = part.whole
    name = f"card/{part.name}"
    items: list[Item] = [
        Line(tuple(spots(np.asarray(ring.coords)[:-1])), CUT, "outline", name, True)
        for ring in (whole.exterior, *whole.interiors)
    ]
    for flap in part.flaps:
        items.append(line(spots(flap.fold), AWAY if flap.away else TOWARDS, "folds", name))
    taken: list[shapely.Geometry] = []
    area = shapely.Polygon(
        spots(np.asarray(part.outline.exterior.coords)), [spots(np.asarray(ring.coords)) for ring in part.outline.interiors]
    )
    for mark in part.marks:
        drawn = spots(mark.line)
        items.append(line(drawn, SKIN_LINE if mark.name == "hull" else STANDS, "marks", name))
        taken.append(shapely.LineString(drawn).buffer(0.4))
        says = _number_of(mark.name, numbers, model)
        if shapely.LineString(drawn).length < text_width(says, _BESIDE):
            says = says.partition("+")[0]
        words = _beside(drawn, says, area) if says else None
        if words is not None:
            items.append(words)
            taken.append(shapely.Point(words.at[0], words.at[1] + _BESIDE / 2).buffer(_BESIDE * 0.9))
    return items + _label(area, taken, part, numbers[part.name], name)


def _number_of(name: str, numbers: Mapping[str, int], model: CardModel) -> str:
    """The numbers of a part, or of its pieces, or its name where these are many; nothing for what is no part."""
    found = [numbers[part.name] for part in model.parts if name in (part.name, part.uncut) and part.kind != "strap"]
    return name if len(found) > 2 else "+".join(str(number) for number in found)


def _beside(drawn: Sequence[Spot], says: str, area: shapely.Polygon) -> Words | None:
    """A number beside a line, near its middle, where it lies wholly on its part; none where it would lie over a cut."""
    run = shapely.LineString(drawn)
    for share, side in product((0.5, 0.35, 0.65, 0.2, 0.8), (1.0, -1.0)):
        a, b = (np.array(run.interpolate(at, normalized=True).coords[0]) for at in (share - 0.05, share + 0.05))
        way = (b - a) / max(float(np.linalg.norm(b - a)), 1e-9)
        half = text_width(says, _BESIDE) / 2
        off = side * (0.6 + _BESIDE * 0.5 * abs(way[0]) + half * abs(way[1]))
        x, y = ((a + b) / 2 + np.array([-way[1], way[0]]) * off).tolist()
        if area.contains(shapely.box(x - half, y - _BESIDE / 2, x + half, y + _BESIDE / 2)):
            return Words((x, y - _BESIDE * 0.36), says, _BESIDE, PENCIL, "marks", "middle", halo=True)
    return None


def _label(area: shapely.Polygon, taken: Sequence[shapely.Geometry], part: CardPart, number: int, name: str) -> list[Item]:
    """A part's number and name inside it, or its number alone where that has no room."""
    free = shapely.difference(area.buffer(0), shapely.union_all(taken)) if taken else area.buffer(0)
    parts = [each for each in shapely.get_parts(free).tolist() if each.geom_type == "Polygon"]
    room = shapely.MultiPolygon(parts)
    ways = [[f"{number}  {part.name}"], [str(number), part.name], [str(number), *part.name.split(" ", 1)]]
    for lines in ways:
        found = fit(room, lines)
        if found is not None:
            (x, y), size = found.middle, found.size
            top = y + size * 1.35 * (len(lines) - 1) / 2 - size * 0.36
            return [
                Words((x, top - size * 1.35 * k), text, size, INK, "label", "middle", bold=k == 0, part=name)
                for k, text in enumerate(lines)
            ]
    if not parts:
        return []
    x, y = spot_inside(room)
    size = min(3.0, 2.6 if text_width(str(number), 2.6) < 6 else 2.2)
    return [Words((x, y - size * 0.36), str(number), size, INK, "label", "middle", bold=True, halo=True, part=name)]
