"""A sheet with the boards that come out of it, drawn small."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

import shapely

from sketcher.analysis.cut.boards.nesting import SheetLayout
from sketcher.analysis.cut.boards.straight_cuts import corner_places
from sketcher.analysis.cut.results import Pattern
from sketcher.outputs.drawing.cut_outlines import outline_polygons
from sketcher.outputs.drawing.lettering import LEADING, fit
from sketcher.outputs.drawing.recording import (
    Drawing,
    FilledArea,
    Item,
    LineStyle,
    PaperPlacing,
    Spot,
    Words,
    dimension,
    line,
    text_width,
)
from sketcher.outputs.palette import ACCENT, INK, PENCIL, TIMBER, TIMBER_EDGE
from sketcher.outputs.wording.quantities import length
from sketcher.outputs.wording.sentences import words

_EDGE = LineStyle(INK, 0.3)
_FINE = LineStyle(PENCIL, 0.15)
_CUT = LineStyle(INK, 0.25)
_OFFCUT = LineStyle(PENCIL, 0.15, (2.0, 1.5))
_BOARD = "#f1e7d3"
_DOT = LineStyle(ACCENT, 0.9)
_LETTER = 2.6
"""[mm] Height of a corner's letter."""


def sheet_drawing(layout: SheetLayout, number: int, width: float, units: str, patterns: Sequence[Pattern] = ()) -> Drawing:
    """One sheet with its boards, so large [mm] that it takes the width; the sheet's length lies across the paper.

    patterns: the boards; those corners of them have their letters by which they are marked out on the sheet.
    """
    along, across = layout.nesting.sheets[number].size
    left, below = 12.0, 10.0
    n = along * 1000.0 / (width - left - 4.0)
    placing = PaperPlacing(axes="uv", signs=(1, 1), scale=n, origin=(left, below))
    return Drawing(
        title=words(layout.sheet_name(number), units),
        width=width,
        height=across * 1000.0 / n + below + 4.0,
        items=(*_items(layout, number, placing, units), *_corners(layout, number, placing, patterns)),
        placing=placing,
    )


def _items(layout: SheetLayout, number: int, placing: PaperPlacing, units: str) -> Iterator[Item]:
    along, across = layout.nesting.sheets[number].size
    corners = [placing.spot(*corner) for corner in ((0.0, 0.0), (along, 0.0), (along, across), (0.0, across))]
    yield line(corners, _EDGE, "sheet", closed=True)
    offcut = layout.offcuts[number]
    if offcut is not None:
        start = along - offcut[0]
        yield line([placing.spot(start, 0.0), placing.spot(start, across)], _OFFCUT, "offcut")
        x, y = placing.spot(start + offcut[0] / 2, across / 2)
        text = f"left over {length(offcut[0], units)} × {length(offcut[1], units)}"
        angle = 0.0 if text_width(text, 2.6) < offcut[0] * 1000.0 / placing.scale else 90.0
        yield Words((x, y), text, 2.6, PENCIL, "offcut", "middle", angle)
    for placed in layout.nesting.placed:
        if placed.sheet == number:
            name = f"{placed.piece}, other face up" if placed.mirrored else placed.piece
            yield from _board(placed.outline, name, placing, placed.piece in layout.grained)
    low, right, top = corners[0], corners[1], corners[3]
    yield from dimension(low, right, -6.0, length(along, units), _FINE, 2.8)
    yield from dimension(low, top, 6.0, length(across, units), _FINE, 2.8)
    if layout.grained:
        x, y = placing.spot(along, 0.0)
        yield from _grain(x - 12.0, y - 3.0, 12.0)
        text = "grain of every board"
        # The sheet's length is written in the middle.
        clear = x - 26.0 - text_width(text, 2.4) > (low[0] + right[0]) / 2 + 5.0
        yield Words((x - 26.0, y - 3.8), text if clear else "grain", 2.4, TIMBER_EDGE, "grain", "end")


def _corners(layout: SheetLayout, number: int, placing: PaperPlacing, patterns: Sequence[Pattern]) -> Iterator[Item]:
    """A dot and its letter at each corner that the list of a sheet places, of boards that have room for letters."""
    by_name = {pattern.name: pattern for pattern in patterns}
    for placed in layout.nesting.placed:
        low_x, low_y, high_x, high_y = placed.outline.bounds
        across = min(high_x - low_x, high_y - low_y) * 1000.0 / placing.scale
        if placed.sheet != number or placed.piece not in by_name or across < 3.0 * _LETTER:
            continue
        middle = placing.spot(*placed.outline.representative_point().coords[0])
        for place in corner_places(by_name[placed.piece], placed):
            x, y = placing.spot(place.along, place.up)
            yield line([(x, y), (x, y)], _DOT, "label")
            inward = _LETTER / max(hypot(middle[0] - x, middle[1] - y), _LETTER)
            at = (x + (middle[0] - x) * inward, y + (middle[1] - y) * inward - 0.36 * _LETTER)
            yield Words(at, place.letter, _LETTER, ACCENT, "label", "middle", bold=True, halo=True)


def _grain(x: float, y: float, half: float) -> Iterator[Item]:
    """An arrow along the sheet, at both ends, about a place."""
    stroke, barb = LineStyle(TIMBER, 0.25), min(1.2, half / 3)
    yield line([(x - half, y), (x + half, y)], stroke, "grain")
    for sign in (-1, 1):
        tip = x + sign * half
        yield line([(tip - sign * barb, y + barb / 2), (tip, y), (tip - sign * barb, y - barb / 2)], stroke, "grain")


def _board(outline: shapely.Polygon, name: str, placing: PaperPlacing, grained: bool) -> Iterator[Item]:
    """A board with its name; beneath that an arrow along its grain, which lies along the sheet's."""
    rings = [[_spot(point, placing) for point in ring.coords[:-1]] for ring in (outline.exterior, *outline.interiors)]
    yield FilledArea(tuple(tuple(ring) for ring in rings), _BOARD, _CUT, "outline", f"pattern/{name}")
    paper = shapely.transform(outline, lambda flat: flat * 1000.0 / placing.scale + placing.origin)
    yield from _name_within(paper, name, grained) or _name_over(paper, name, grained)


def _name_within(paper: shapely.Polygon, name: str, grained: bool) -> list[Item]:
    """A board's name inside its outline, in one line or else in two, with its arrow; nothing where it has no room."""
    for lines in ([name], _halves(name)):
        lettering = fit(outline_polygons(paper), [*lines, ""] if grained else lines)
        if lettering is None:
            continue
        x, y = lettering.middle
        start = y + ((len(lines) - (0 if grained else 1)) / 2 * LEADING - 0.36) * lettering.size
        items: list[Item] = [
            Words((x, start - k * lettering.size * LEADING), text, lettering.size, INK, "label", "middle", halo=True)
            for k, text in enumerate(lines)
        ]
        arrow = _grain(x, start - (len(lines) - 0.4) * lettering.size * LEADING, 2.5 * lettering.size) if grained else ()
        return [*items, *arrow]
    return []


def _name_over(paper: shapely.Polygon, name: str, grained: bool) -> Iterator[Item]:
    """The name of a board that is too small for it, across or up the board, with its arrow behind it."""
    x, y = paper.representative_point().coords[0]
    west, south, east, north = paper.bounds
    wide, tall = east - west, north - south
    upright = tall > wide
    size = min(1.8, 1.8 * max(tall, wide) / text_width(name, 1.8))
    width = text_width(name, size)
    if grained:
        arrow = (x, y - min(tall, width + 8.0) / 2) if upright else (x + (width / 2 + 4.0), y)
        yield from _grain(*arrow, min(2.5, wide * 0.35))
    at = (x + size * 0.36, y) if upright else (x, y - size * 0.36)
    yield Words(at, name, size, INK, "label", "middle", 90.0 if upright else 0.0, halo=True)


def _halves(name: str) -> list[str]:
    """A name in two lines about as long as each other; one of a single word stays whole."""
    parts = name.split(" ")
    if len(parts) == 1:
        return parts
    at = min(range(1, len(parts)), key=lambda k: abs(len(" ".join(parts[:k])) - len(" ".join(parts[k:]))))
    return [" ".join(parts[:at]), " ".join(parts[at:])]


def _spot(point: tuple[float, ...], placing: PaperPlacing) -> Spot:
    return placing.spot(float(point[0]), float(point[1]))
