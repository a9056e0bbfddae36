"""A drawing at true size on pages that a home printer takes: tiles with overlaps, crosses to lay them by, and a check square."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely

from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, Line, LineStyle, Spot, Words, line, moved, text_width
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.outputs.paper.word_places import shape_of, with_words_on_one_page
from sketcher.outputs.wording.quantities import by_rule, length_with_unit

PaperName = Literal["a4", "letter"]
PAPERS: dict[PaperName, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height of a page, upright [mm]."""

UNPRINTED = 10.0
"""[mm] at a page's edges where printers cannot print."""

FOOT = 7.0
"""[mm] above that, kept for the page's own words."""

OVERLAP = 12.0
"""[mm] by which neighbouring tiles show the same: room for a strip of tape on both sides of the crosses."""

CHECK = 100.0
"""[mm] Side of the square that shows whether the printer keeps to size."""

_NO_PAGE = ("grain",)
"""Layers that are worth no page of their own."""

CROSS = 5.0
_CROSS_STROKE = LineStyle(INK, 0.15)
_FRAME = LineStyle(PENCIL, 0.1, (2.0, 2.0))
_GRID = LineStyle(PENCIL, 0.15)


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a drawing. row from the top, column from the left, both from 0; low, high: its corners on the drawing [mm]."""

    row: int
    column: int
    low: Spot
    high: Spot

    @property
    def name(self) -> str:
        """A letter for the row, a number for the column."""
        return tile_name(self.row, self.column)


def tile_name(row: int, column: int) -> str:
    """A letter for the row, two where there are more than 26, and a number for the column.

    >>> tile_name(0, 0), tile_name(27, 3)
    ('A1', 'AB4')
    """
    letters = chr(65 + row % 26)
    return f"{chr(64 + row // 26) if row >= 26 else ''}{letters}{column + 1}"


def tiles(drawing: Drawing, paper: PaperName = "a4") -> tuple[Tile, ...]:
    """The tiles of a drawing that hold some of its lines, row by row from the top."""
    wide, high = _room(paper)
    across, up = wide - OVERLAP, high - OVERLAP
    columns = max(1, int(np.ceil((drawing.width - OVERLAP) / across)))
    rows = max(1, int(np.ceil((drawing.height - OVERLAP) / up)))
    left = (drawing.width - columns * across - OVERLAP) / 2
    top = drawing.height - (drawing.height - rows * up - OVERLAP) / 2
    drawn = [item for item in drawing.items if not isinstance(item, Words) and item.layer not in _NO_PAGE]
    shapes = np.array([shape_of(item) for item in drawn], dtype=object)
    with_lines = []
    for row in range(rows):
        for column in range(columns):
            low = (left + column * across, top - (row + 1) * up - OVERLAP)
            high_corner = (low[0] + wide, low[1] + high)
            if len(shapes) and shapely.intersects(shapes, shapely.box(*low, *high_corner)).any():
                with_lines.append(Tile(row, column, low, high_corner))
    return tuple(with_lines)


def tiled(drawing: Drawing, paper: PaperName = "a4", note: str = "", units: str = "mm") -> list[Drawing]:
    """The pages of a true-size drawing: first the map of its tiles with the check square, then the tiles.

    note: a line for the foot of every page, such as a date and a fingerprint; units: that the check square is measured in.
    """
    parts = tiles(drawing, paper)
    rooms = [shapely.box(*(at + OVERLAP for at in tile.low), *(at - OVERLAP for at in tile.high)) for tile in parts]
    drawing = replace(drawing, items=tuple(with_words_on_one_page(drawing.items, rooms)))
    return [_map(drawing, parts, paper, note, units), *(_page(drawing, tile, parts, paper, note, units) for tile in parts)]


def _room(paper: PaperName) -> tuple[float, float]:
    """The part of a page that the drawing may take [mm]."""
    width, height = PAPERS[paper]
    return width - 2 * UNPRINTED, height - 2 * UNPRINTED - FOOT


def _page(drawing: Drawing, tile: Tile, parts: tuple[Tile, ...], paper: PaperName, note: str, units: str) -> Drawing:
    width, height = PAPERS[paper]
    dx, dy = UNPRINTED - tile.low[0], UNPRINTED + FOOT - tile.low[1]
    items = [moved(item, dx, dy) for item in clip_drawing(drawing.items, tile.low, tile.high)]
    return Drawing(
        title=f"{drawing.title}, {tile.name}",
        width=width,
        height=height,
        items=(
            *items,
            *_crosses(paper),
            *_neighbours(tile, parts, paper),
            *_foot(f"{drawing.title}   {tile.name}", note, paper, units),
        ),
        placing=drawing.placing,
    )


def clip_drawing(items: tuple[Item, ...], low: Spot, high: Spot) -> Iterator[Item]:
    """The part of some items in a box; words belong to the box that has the middle of their base line."""
    box = shapely.box(*low, *high)
    for item in items:
        if isinstance(item, Words):
            if low[0] <= item.at[0] <= high[0] and low[1] <= item.at[1] <= high[1]:
                yield item
        elif isinstance(item, Line):
            yield from _clipped_line(item, box)
        elif item.fill is not None:
            yield from _clipped_area(item, box)


def _clipped_line(item: Line, box: shapely.Polygon) -> Iterator[Item]:
    whole = shape_of(item)
    if not box.intersects(whole):
        return
    if box.contains(whole):
        yield item
        return
    for part in shapely.get_parts(shapely.line_merge(shapely.intersection(whole, box))).tolist():
        if part.geom_type == "LineString":
            yield line(part.coords, item.stroke, item.layer, item.part)


def _clipped_area(item: FilledArea, box: shapely.Polygon) -> Iterator[Item]:
    rings = [ring for ring in item.rings if len(ring) >= 3]
    if not rings:
        return
    whole = shapely.make_valid(shapely.Polygon(rings[0], rings[1:]))
    for part in shapely.get_parts(shapely.intersection(whole, box)).tolist():
        if part.geom_type == "Polygon":
            inside = [tuple(ring.coords)[:-1] for ring in (part.exterior, *part.interiors)]
            # The strokes along a cut would draw edges that are not there: only the true edge is drawn, as lines.
            yield FilledArea(tuple(inside), item.fill, None, item.layer, item.part)
    if item.stroke is not None:
        for ring in rings:
            yield from _clipped_line(Line(ring, item.stroke, item.layer, item.part, True), box)


def _corners(paper: PaperName) -> list[Spot]:
    """Where a page's crosses stand: in the middle of what it shares with its neighbours."""
    wide, high = _room(paper)
    left, right = UNPRINTED + OVERLAP / 2, UNPRINTED + wide - OVERLAP / 2
    bottom, top = UNPRINTED + FOOT + OVERLAP / 2, UNPRINTED + FOOT + high - OVERLAP / 2
    return [(left, bottom), (right, bottom), (right, top), (left, top)]


def _crosses(paper: PaperName) -> Iterator[Item]:
    corners = _corners(paper)
    yield line(corners, _FRAME, "tiles", closed=True)
    for x, y in corners:
        yield line([(x - CROSS, y), (x + CROSS, y)], _CROSS_STROKE, "tiles")
        yield line([(x, y - CROSS), (x, y + CROSS)], _CROSS_STROKE, "tiles")


def _neighbours(tile: Tile, parts: tuple[Tile, ...], paper: PaperName) -> Iterator[Item]:
    """The names of the tiles beside this one, at the edges they are laid to."""
    there = {(part.row, part.column) for part in parts}
    (x0, y0), _, (x1, y1), _ = _corners(paper)
    xm, ym = (x0 + x1) / 2, (y0 + y1) / 2
    for (row, column), (x, y), angle in (
        ((tile.row - 1, tile.column), (xm, y1 + 1.5), 0.0),
        ((tile.row + 1, tile.column), (xm, y0 - 3.7), 0.0),
        ((tile.row, tile.column - 1), (x0 - 1.5, ym), 90.0),
        ((tile.row, tile.column + 1), (x1 + 3.7, ym), 90.0),
    ):
        if (row, column) in there:
            yield Words((x, y), f"to {tile_name(row, column)}", 2.6, PENCIL, "tiles", "middle", angle, halo=True)


def _foot(text: str, note: str, paper: PaperName, units: str) -> Iterator[Item]:
    """The page's name, a bar of 100 mm, and the note."""
    width, _ = PAPERS[paper]
    y = UNPRINTED
    yield Words((UNPRINTED, y + 1.5), text, 3.4, INK, "tiles", bold=True)
    yield Words((UNPRINTED, y - 2.5), note, 2.2, PENCIL, "tiles")
    right = width - UNPRINTED
    start = max(right - CHECK, UNPRINTED + text_width(text, 3.4))
    if right - start >= CHECK:
        yield line([(start, y + 1.0), (right, y + 1.0)], _CROSS_STROKE, "tiles")
        for x in (start, right):
            yield line([(x, y), (x, y + 2.0)], _CROSS_STROKE, "tiles")
        yield Words((right - CHECK / 2, y + 1.8), length_with_unit(CHECK / 1000.0, units), 2.2, PENCIL, "tiles", "middle")


def check_sizes(units: str) -> tuple[str, str]:
    """Side and diagonal of the check square, as they are read off a rule."""
    return by_rule(CHECK / 1000.0, units), by_rule(CHECK / 1000.0 * math.sqrt(2.0), units)


def _map_words(units: str) -> tuple[str, ...]:
    off = "1/64 in" if units in ("in", "ft") else "half a millimetre"
    return (
        "1  Print at 100 %, “actual size”: never “fit to page”.",
        f"2  Measure this square. Each side and both diagonals: {' and '.join(check_sizes(units))}.",
        f"    More than {off} off: do not cut from these pages.",
        "3  Cut or fold each page along its dashed frame on two sides, lay cross on cross, tape.",
        "4  Check the diagonals of the whole pattern by tape before you cut.",
    )


def _map(drawing: Drawing, parts: tuple[Tile, ...], paper: PaperName, note: str, units: str) -> Drawing:
    """How the tiles lie together, what to do with them, and the check square."""
    width, height = PAPERS[paper]
    items: list[Item] = [
        Words((UNPRINTED, height - UNPRINTED - 6), drawing.title, 5.0, INK, "tiles", bold=True),
        Words(
            (UNPRINTED, height - UNPRINTED - 12),
            f"true size on {len(parts)} {'page' if len(parts) == 1 else 'pages'}, rows from the top, columns from the left",
            3.2,
            PENCIL,
            "tiles",
        ),
    ]
    items += _check_square((UNPRINTED + 2.0, UNPRINTED + FOOT + 38.0), length_with_unit(CHECK / 1000.0, units))
    items += [
        Words((UNPRINTED, UNPRINTED + FOOT + 28.0 - 6.0 * k), text, 3.2, INK, "tiles") for k, text in enumerate(_map_words(units))
    ]
    room = (UNPRINTED, UNPRINTED + FOOT + 38.0 + CHECK + 8.0, width - UNPRINTED, height - UNPRINTED - 16.0)
    items += _overview(drawing, parts, room)
    items += list(_foot("Map of the pages", note, paper, units))[:2]
    return Drawing(title=f"{drawing.title}, map of the pages", width=width, height=height, items=tuple(items))


def _check_square(low: Spot, side: str) -> Iterator[Item]:
    x, y = low
    stroke = LineStyle(INK, 0.2)
    yield line([(x, y), (x + CHECK, y), (x + CHECK, y + CHECK), (x, y + CHECK)], stroke, "check square", closed=True)
    yield line([(x, y), (x + CHECK, y + CHECK)], _GRID, "check square")
    yield line([(x + CHECK, y), (x, y + CHECK)], _GRID, "check square")
    yield Words((x + CHECK / 2, y + 2.0), side, 3.2, INK, "check square", "middle", halo=True)
    yield Words((x + CHECK - 2.0, y + CHECK / 2), side, 3.2, INK, "check square", "middle", 90.0, halo=True)
    for k in range(1, 10):
        yield line([(x + 10.0 * k, y + CHECK), (x + 10.0 * k, y + CHECK - (4.0 if k == 5 else 2.0))], stroke, "check square")
    yield Words((x + CHECK + 6.0, y + CHECK - 4.0), "Check square", 3.6, ACCENT, "check square", bold=True)


def _overview(drawing: Drawing, parts: tuple[Tile, ...], room: tuple[float, float, float, float]) -> Iterator[Item]:
    """The drawing small, with its tiles over it."""
    left, bottom, right, top = room
    low = [min(tile.low[axis] for tile in parts) for axis in (0, 1)] if parts else [0.0, 0.0]
    high = [max(tile.high[axis] for tile in parts) for axis in (0, 1)] if parts else [drawing.width, drawing.height]
    k = min((right - left) / (high[0] - low[0]), (top - bottom) / (high[1] - low[1]))
    x0 = (left + right) / 2 - k * (low[0] + high[0]) / 2
    y0 = (bottom + top) / 2 - k * (low[1] + high[1]) / 2
    for item in drawing.items:
        if isinstance(item, Line) and item.layer in ("outline", "openings", "joint"):
            points = [(x0 + k * x, y0 + k * y) for x, y in item.points]
            yield line(points, LineStyle(INK, 0.3), "tiles", closed=item.closed)
    for tile in parts:
        (ax, ay), (bx, by) = ((x0 + k * x, y0 + k * y) for x, y in (tile.low, tile.high))
        half = k * OVERLAP / 2
        frame = [(ax + half, ay + half), (bx - half, ay + half), (bx - half, by - half), (ax + half, by - half)]
        yield line(frame, _GRID, "tiles", closed=True)
        size = min(4.0, (bx - ax) * 0.25)
        yield Words(((ax + bx) / 2, (ay + by) / 2 - size * 0.36), tile.name, size, ACCENT, "tiles", "middle", halo=True)
