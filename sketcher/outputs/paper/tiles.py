"""A drawing at true size on pages of paper: tiles with overlaps, crosses to lay them by, and lines to check their size."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import shapely

from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, Line, LineStyle, Spot, Words, line, moved, text_width
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.outputs.paper.tile_grid import FOOT, HOME, OVERLAP, PAPERS, UNPRINTED, PaperName, Tile, home_paper, tile_name, tiles
from sketcher.outputs.paper.word_places import shape_of, with_words_on_one_page
from sketcher.outputs.wording.quantities import by_rule, length_with_unit

CHECK = 100.0
"""[mm] Side of the square, and length of the lines, that show whether the printer keeps to size."""

CROSS = 5.0
_CROSS_STROKE = LineStyle(INK, 0.15)
_FRAME = LineStyle(PENCIL, 0.1, (2.0, 2.0))
_GRID = LineStyle(PENCIL, 0.15)


def tiled(drawing: Drawing, paper: PaperName = "a4", note: str = "", units: str = "mm") -> list[Drawing]:
    """The pages of a true-size drawing: first the map of its tiles, then the tiles; no map where one large page holds all.

    Paper for home has the check square on the map; on larger paper each page has a line to check across it and one up.
    note: a line for the foot of every page, such as a date and a fingerprint; units: that these are measured in.
    """
    parts = tiles(drawing, paper)
    rooms = [shapely.box(*(at + OVERLAP for at in tile.low), *(at - OVERLAP for at in tile.high)) for tile in parts]
    drawing = replace(drawing, items=tuple(with_words_on_one_page(drawing.items, rooms)))
    at_home = paper in HOME
    pages = [_page(drawing, tile, parts, not at_home, note, units) for tile in parts]
    if len(parts) == 1 and not at_home:
        return pages
    return [_map(drawing, parts, PAPERS[home_paper(paper, units)], at_home, note, units), *pages]


def _page(drawing: Drawing, tile: Tile, parts: tuple[Tile, ...], checked: bool, note: str, units: str) -> Drawing:
    """One tile. checked: whether its own lines show that it is printed to size."""
    width, height = tile.page
    dx, dy = UNPRINTED - tile.low[0], UNPRINTED + FOOT - tile.low[1]
    items = [moved(item, dx, dy) for item in clip_drawing(drawing.items, tile.low, tile.high)]
    return Drawing(
        title=f"{drawing.title}, {tile.name}",
        width=width,
        height=height,
        items=(
            *items,
            *_crosses(tile),
            *_neighbours(tile, parts),
            *_foot(f"{drawing.title}   {tile.name}", note, width, units),
            *(_line_up(units) if checked else ()),
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


def _corners(tile: Tile) -> list[Spot]:
    """Where a page's crosses stand: in the middle of what it shares with its neighbours."""
    width, height = tile.page
    left, right = UNPRINTED + OVERLAP / 2, width - UNPRINTED - OVERLAP / 2
    bottom, top = UNPRINTED + FOOT + OVERLAP / 2, height - UNPRINTED - OVERLAP / 2
    return [(left, bottom), (right, bottom), (right, top), (left, top)]


def _crosses(tile: Tile) -> Iterator[Item]:
    corners = _corners(tile)
    yield line(corners, _FRAME, "tiles", closed=True)
    for x, y in corners:
        yield line([(x - CROSS, y), (x + CROSS, y)], _CROSS_STROKE, "tiles")
        yield line([(x, y - CROSS), (x, y + CROSS)], _CROSS_STROKE, "tiles")


def _neighbours(tile: Tile, parts: tuple[Tile, ...]) -> Iterator[Item]:
    """The names of the tiles beside this one, at the edges they are laid to."""
    there = {(part.row, part.column) for part in parts}
    (x0, y0), _, (x1, y1), _ = _corners(tile)
    xm, ym = (x0 + x1) / 2, (y0 + y1) / 2
    for (row, column), (x, y), angle in (
        ((tile.row - 1, tile.column), (xm, y1 + 1.5), 0.0),
        ((tile.row + 1, tile.column), (xm, y0 - 3.7), 0.0),
        ((tile.row, tile.column - 1), (x0 - 1.5, ym), 90.0),
        ((tile.row, tile.column + 1), (x1 + 3.7, ym), 90.0),
    ):
        if (row, column) in there:
            yield Words((x, y), f"to {tile_name(row, column)}", 2.6, PENCIL, "tiles", "middle", angle, halo=True)


def _foot(text: str, note: str, width: float, units: str) -> Iterator[Item]:
    """The name of a page of a width [mm], a line of 100 mm, and the note."""
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


def _line_up(units: str) -> Iterator[Item]:
    """A line of 100 mm up the page, outside what is kept of it."""
    x, y = UNPRINTED + 1.0, UNPRINTED + FOOT + OVERLAP
    yield line([(x, y), (x, y + CHECK)], _CROSS_STROKE, "tiles")
    for at in (y, y + CHECK):
        yield line([(x - 1.0, at), (x + 1.0, at)], _CROSS_STROKE, "tiles")
    yield Words((x + 3.2, y + CHECK / 2), length_with_unit(CHECK / 1000.0, units), 2.2, PENCIL, "tiles", "middle", 90.0)


def check_sizes(units: str) -> tuple[str, str]:
    """Side and diagonal of the check square, as they are read off a rule."""
    return by_rule(CHECK / 1000.0, units), by_rule(CHECK / 1000.0 * math.sqrt(2.0), units)


def _map_words(units: str, at_home: bool) -> tuple[str, ...]:
    off = "1/64 in" if units in ("in", "ft") else "half a millimetre"
    side, diagonal = check_sizes(units)
    measured = (
        f"Measure this square. Each side and both diagonals: {side} and {diagonal}."
        if at_home
        else f"Measure on every page the line at its foot and the one up its left side: {side} each."
    )
    return (
        "1  Print at 100 %, “actual size”: never “fit to page”.",
        f"2  {measured}",
        f"    More than {off} off: do not cut from these pages.",
        "3  Cut or fold each page along its dashed frame on two sides, lay cross on cross, tape.",
        "    Pages with nothing to saw are left out: draw straight lines on with a straightedge.",
        "4  Check the diagonals of the whole pattern by tape before you cut.",
    )


def _map(drawing: Drawing, parts: tuple[Tile, ...], page: tuple[float, float], at_home: bool, note: str, units: str) -> Drawing:
    """How the tiles lie together, and what to do with them; at home with the check square. page: its width and height [mm]."""
    width, height = page
    told, square = UNPRINTED + FOOT + 34.0, CHECK + 8.0 if at_home else 0.0
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
    if at_home:
        items += _check_square((UNPRINTED + 2.0, told + 8.0), length_with_unit(CHECK / 1000.0, units))
    items += [Words((UNPRINTED, told - 6.0 * k), text, 3.2, INK, "tiles") for k, text in enumerate(_map_words(units, at_home))]
    items += _overview(drawing, parts, (UNPRINTED, told + 8.0 + square, width - UNPRINTED, height - UNPRINTED - 16.0))
    items += list(_foot("Map of the pages", note, width, units))[:2]
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
