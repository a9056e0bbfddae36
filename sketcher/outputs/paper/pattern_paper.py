"""A board's pattern on paper: at true size, or small with its dimensions; the same lines and words for PDF, SVG and DXF."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.results import Mark, Pattern
from sketcher.outputs.drawing.cut_outlines import outline_polygons
from sketcher.outputs.drawing.lettering import LEADING, fit, ground
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
from sketcher.outputs.palette import ACCENT, INK, PENCIL, TIMBER, TIMBER_EDGE, WATER
from sketcher.outputs.wording.quantities import length
from sketcher.outputs.wording.sentences import words as in_words

EDGE = 12.0
"""[mm] of paper about a board at true size."""

SQUARE_CUT = 0.5
"""[deg] An edge that leans less is cut square: no saw is set finer."""

_MARK_STROKES = {
    "centreline": LineStyle(INK, 0.25, (9.0, 1.5, 1.5, 1.5)),
    "waterline": LineStyle(WATER, 0.3, (5.0, 1.5)),
    "level line": LineStyle(PENCIL, 0.2, (2.0, 2.0)),
    "station line": LineStyle(PENCIL, 0.2, (2.0, 2.0)),
    "touches": LineStyle(PENCIL, 0.2, (1.0, 1.0)),
    "stringer": LineStyle(TIMBER, 0.25, (3.0, 1.0)),
    "joint": LineStyle(ACCENT, 0.35, (6.0, 1.5)),
}

OUTLINE = LineStyle(INK, 0.5)
OTHER = LineStyle(INK, 0.25, (4.0, 2.0))
PLANNED = LineStyle(ACCENT, 0.2, (1.0, 1.5))
FINE = LineStyle(PENCIL, 0.15)
DATUMS = ("centreline", "waterline", "level line")
"""Lines that a board is set up by: their names are written even where that crosses another line."""

SMALLEST = 0.65
"""Share of the lettering's height that the name of a line may shrink to."""

LETTERS_INSIDE = (1.9, -1.9, 3.2)
"""How far inside its corner a letter may stand, outside below 0, in heights of the lettering, best first."""


def true_size(pattern: Pattern, units: str = "mm") -> Drawing:
    """The board at true size, with every mark on it; a millimetre on paper is one on the board. units: of its words."""
    west, south, east, north = shapely.total_bounds([pattern.blank, pattern.outline, pattern.other_outline])
    origin = (EDGE - 1000.0 * float(west), EDGE - 1000.0 * float(south))
    placing = PaperPlacing(axes="uv", signs=(1, 1), scale=1.0, origin=origin)
    return Drawing(
        title=in_words(pattern.label, units),
        width=1000.0 * float(east - west) + 2 * EDGE,
        height=1000.0 * float(north - south) + 2 * EDGE,
        items=tuple(board_items(pattern, placing, 5.0, units)),
        placing=placing,
    )


def scale_to_fit(pattern: Pattern, width: float, height: float) -> float:
    """The largest scale in whole numbers, as n of 1 : n, at which the board fits on so much paper [mm]."""
    west, south, east, north = pattern.blank.bounds
    return float(math.ceil(max(1.0, (east - west) * 1000 / width, (north - south) * 1000 / height) - 1e-9))


def small(pattern: Pattern, width: float, height: float, units: str) -> tuple[list[Item], PaperPlacing, float]:
    """The board drawn small on paper of a width and at most a height [mm] from (0, 0), its sizes, corners and lines with it.

    The height that it takes comes last.
    """
    left, right, below, above = 18.0, 20.0, 20.0, 7.0
    n = scale_to_fit(pattern, width - left - right, height - below - above)
    west, south, east, north = (1000.0 / n * edge for edge in pattern.blank.bounds)
    origin = (left + (width - left - right - east - west) / 2, below - south)
    placing = PaperPlacing(axes="uv", signs=(1, 1), scale=n, origin=origin)
    low, high = (west + origin[0], south + origin[1]), (east + origin[0], north + origin[1])
    wide, tall = (east - west) * n / 1000.0, (north - south) * n / 1000.0
    items = list(board_items(pattern, placing, 2.4, units))
    items += dimension(low, (high[0], low[1]), -11.0, length(wide, units), FINE, 3.0)
    items += dimension(low, (low[0], high[1]), 11.0, length(tall, units), FINE, 3.0)
    return items, placing, north - south + below + above


def board_items(pattern: Pattern, placing: PaperPlacing, size: float, units: str) -> Iterator[Item]:
    """Outline, other face, marks, bevels, grain, corners and label. size: of the lettering [mm]; units: of its words."""
    part = f"pattern/{pattern.name}"
    marks = sorted(pattern.marks, key=lambda each: each.kind != "touches")
    for mark in marks:
        yield from _mark(mark, placing, part)
    names = list(_mark_names(pattern, marks, placing, size, part, units))
    names += _cutout_names(pattern, placing, size, part)
    for ring in _rings(pattern.other_outline):
        yield line(_on_paper(ring, placing), OTHER, "other face", part, closed=True)
    if pattern.planned is not None:
        yield line(_on_paper(pattern.planned.exterior, placing), PLANNED, "planned", part, closed=True)
    if not pattern.outline.is_empty:
        yield line(_on_paper(pattern.outline.exterior, placing), OUTLINE, "outline", part, closed=True)
        for hole in pattern.outline.interiors:
            yield line(_on_paper(hole, placing), OUTLINE, "openings", part, closed=True)
    yield from names
    yield from _bevels(pattern, placing, size, part)
    taken = [ground(item) for item in names if isinstance(item, Words)]
    corners = list(_corners(pattern, placing, size, part, taken))
    yield from corners
    taken += [ground(item) for item in corners if isinstance(item, Words)]
    yield from _label(pattern, placing, size, part, taken, units)


def _rings(area: shapely.Polygon) -> list[shapely.LinearRing]:
    return [] if area.is_empty else [area.exterior, *area.interiors]


def _on_paper(ring: shapely.LinearRing, placing: PaperPlacing) -> list[Spot]:
    points = shapely.get_coordinates(ring)
    return [placing.spot(float(u), float(v)) for u, v in points[:-1]]


def _mark(mark: Mark, placing: PaperPlacing, part: str) -> Iterator[Item]:
    points = [placing.spot(float(u), float(v)) for u, v in mark.line]
    if _is_strip(mark):
        yield FilledArea((tuple(points),), "#efece2", _MARK_STROKES[mark.kind], mark.kind, part)
    else:
        yield line(points, _MARK_STROKES[mark.kind], mark.kind, part)


def _is_strip(mark: Mark) -> bool:
    """Whether a mark is an outline in which another panel lands."""
    return mark.kind == "touches" and len(mark.line) > 3 and math.dist(mark.line[0], mark.line[-1]) < 1e-9


def _mark_names(
    pattern: Pattern, marks: list[Mark], placing: PaperPlacing, size: float, part: str, units: str
) -> Iterator[Words]:
    """Each mark's name once, beside its line where neither a line nor another name runs through it."""
    on_paper = [shapely.LineString([placing.spot(float(u), float(v)) for u, v in mark.line]) for mark in marks]
    rings = [ring for area in (pattern.outline, pattern.other_outline) for ring in _rings(area)]
    rings += [cutout.outline.exterior for cutout in pattern.cutouts]
    fixed = [*on_paper, *(shapely.LinearRing(_on_paper(ring, placing)) for ring in rings)]
    taken: list[shapely.Geometry] = []
    named: set[str] = set()
    for mark, run in zip(marks, on_paper, strict=True):
        text = "" if mark.says is None else in_words(mark.says, units)
        if not text or text in named:
            continue
        name = _mark_name(mark, text, run, [each for each in fixed if each is not run], taken, size)
        if name is not None:
            named.add(text)
            taken.append(ground(name))
            yield replace(name, part=part)


def _mark_name(
    mark: Mark, text: str, run: shapely.LineString, fixed: list[shapely.Geometry], taken: list[shapely.Geometry], size: float
) -> Words | None:
    """A mark's name along its line, smaller where it must be; a datum's over other lines, if nothing else is to be had."""
    if run.length <= text_width(text, size * SMALLEST):
        return None
    colour = PENCIL if mark.kind == "touches" else _MARK_STROKES[mark.kind].colour
    plain = Words((0.0, 0.0), text, size, colour, mark.kind, halo=True)
    sizes = [replace(plain, size=size * share) for share in (1.0, 0.8, SMALLEST)]
    # A strip's outline runs round it: its longest side is what its name stands along.
    side, others = _longest(run), shapely.union_all(fixed + taken)
    name = next(filter(None, (_beside(side, each, run, others) for each in sizes)), None)
    if name is None and mark.kind in DATUMS:
        name = _beside(side, sizes[-1], run, shapely.union_all(taken))
    return name


def _longest(run: shapely.LineString) -> tuple[Spot, Spot]:
    points = list(run.coords)
    start, end = max(pairwise(points), key=lambda side: math.dist(*side))
    return (start, end) if (start[0], start[1]) <= (end[0], end[1]) else (end, start)


def _beside(side: tuple[Spot, Spot], words: Words, own: shapely.Geometry, others: shapely.Geometry) -> Words | None:
    """Words along a line, above it or below, at the first place from its start that is clear; None where there is none."""
    (x, y), (x2, y2) = side
    run, width = math.dist(*side), text_width(words.text, words.size)
    if run < width:
        return None
    direction = ((x2 - x) / run, (y2 - y) / run)
    angle = math.degrees(math.atan2(direction[1], direction[0]))
    for aside in (0.4, -1.2):
        for along in np.arange(min(2.0 * words.size, (run - width) / 2), run - width + 1e-9, words.size):
            at = (
                x + direction[0] * along - direction[1] * aside * words.size,
                y + direction[1] * along + direction[0] * aside * words.size,
            )
            tried = replace(words, at=(float(at[0]), float(at[1])), angle=angle)
            box = ground(tried)
            if not box.intersects(others) and not box.buffer(-0.25 * words.size).intersects(own):
                return tried
    return None


def _cutout_names(pattern: Pattern, placing: PaperPlacing, size: float, part: str) -> Iterator[Words]:
    """Each opening's name in it; a notch's only where there is room for it."""
    k = 1000.0 / placing.scale
    for cutout in pattern.cutouts:
        there = shapely.intersection(cutout.outline, pattern.blank.convex_hull)
        if there.is_empty:
            continue
        west, _, east, _ = there.bounds
        spot = there.representative_point()
        x, y = placing.spot(spot.x, spot.y)
        if cutout.kind == "opening" or (east - west) * k > text_width(cutout.name, size):
            height = max(size * 0.6, min(size, size * (east - west) * k / text_width(cutout.name, size)))
            yield Words((x, y - height * 0.36), cutout.name, height, INK, "openings", "middle", halo=True, part=part)


def _bevels(pattern: Pattern, placing: PaperPlacing, size: float, part: str) -> Iterator[Item]:
    """A tick across the edge and the degrees beside it, wherever there is room for them; square edges have none."""
    taken: list[Spot] = []
    ring = pattern.outline if not pattern.outline.is_empty else pattern.blank
    for bevel in pattern.bevels:
        if abs(bevel.angle) < SQUARE_CUT:
            continue
        x, y = placing.spot(*bevel.at)
        if any(math.dist((x, y), spot) < size * 3.2 for spot in taken):
            continue
        taken.append((x, y))
        out = _outward(ring, bevel.at)
        tick = [(x + sign * out[0] * size / 2, y + sign * out[1] * size / 2) for sign in (-1, 1)]
        yield line(tick, FINE, "bevels", part)
        text = f"{bevel.angle:+.0f}°".replace("-", "−")
        reach = size * 0.9 + text_width(text, size) / 2 * abs(out[0])
        at = (x + out[0] * reach, y + out[1] * (size * 1.3) - size * 0.36)
        yield Words(at, text, size, INK, "bevels", "middle", halo=True, part=part)


def _outward(area: shapely.Polygon, at: tuple[float, float]) -> tuple[float, float]:
    """The direction out of an outline at a point of it."""
    exterior = area.exterior
    along = exterior.project(shapely.Point(at))
    step = min(0.005, exterior.length / 100)
    before, after = (exterior.interpolate((along + shift) % exterior.length) for shift in (-step, step))
    dx, dy = after.x - before.x, after.y - before.y
    run = math.hypot(dx, dy) or 1.0
    sign = 1.0 if exterior.is_ccw else -1.0
    return sign * dy / run, -sign * dx / run


def _corners(pattern: Pattern, placing: PaperPlacing, size: float, part: str, taken: list[shapely.Polygon]) -> Iterator[Item]:
    """The corners that diagonals are measured between: a dot on each, its letter close by, clear of other names."""
    middle = pattern.blank.centroid
    cx, cy = placing.spot(middle.x, middle.y)
    for letter, corner in pattern.corners:
        x, y = placing.spot(*corner)
        away = math.hypot(cx - x, cy - y) or 1.0
        dot = [(x + size / 5 * math.cos(turn), y + size / 5 * math.sin(turn)) for turn in np.linspace(0, 2 * math.pi, 13)[:-1]]
        yield FilledArea((tuple(dot),), ACCENT, None, "diagonals", part)
        reaches = [
            (x + (cx - x) / away * size * inside, y + (cy - y) / away * size * inside - size * 0.36) for inside in LETTERS_INSIDE
        ]
        tries = [Words(at, letter, size * 1.2, ACCENT, "diagonals", "middle", bold=True, halo=True, part=part) for at in reaches]
        yield next((words for words in tries if not shapely.intersects(ground(words), taken).any()), tries[0])


def _label(
    pattern: Pattern, placing: PaperPlacing, size: float, part: str, taken: list[shapely.Polygon], units: str
) -> Iterator[Item]:
    """What the board is, which face is drawn and which way it stands, where nothing else is drawn; the grain beneath it."""
    lines = [in_words(pattern.label, units)]
    if placing.scale == 1.0:
        # No line is to be wider than a page at true size.
        lines += [
            *in_words(pattern.up, units).split("; "),
            *in_words(pattern.forward, units).split("; "),
            *([f"to {pattern.hand}; do not turn over"] if pattern.hand else []),
        ]
    k = 1000.0 / placing.scale
    grain = ["", ""] if pattern.grain is not None else []
    lettering = None
    # `fit` tries a few sizes about its own largest: paper is scaled so that this is the size wanted here.
    # A small drawing stands under a heading that says as much: better no words than some over an edge, or too small to read.
    small = placing.scale != 1.0
    for said, share in [*((lines, 1.5),) * small, (lines, 1.0), (lines, 0.6), ([] if small else lines, 0.35)]:
        ratio = 3.0 / (size * share)
        free = shapely.difference(pattern.blank.buffer(-size * 0.8 / k), _drawn_on(pattern, size / k))
        free = shapely.transform(free, lambda flat: flat * k + np.array(placing.origin))
        clear = shapely.difference(free, shapely.union_all(taken))
        paper = shapely.transform(clear, lambda flat, by=ratio: flat * by)
        lettering = fit(outline_polygons(paper), [*said, *grain] or [""])
        if lettering is not None:
            break
    lines = said
    if lettering is None:
        spot = placing.spot(*pattern.blank.representative_point().coords[0])
        (x, y), height = spot, size
    else:
        (x, y), height = (lettering.middle[0] / ratio, lettering.middle[1] / ratio), lettering.size / ratio
    rows = len(lines) + len(grain)
    top = y + ((rows - 1) / 2 * LEADING - 0.36) * height
    for number, text in enumerate(lines):
        yield Words(
            (x, top - number * height * LEADING), text, height, INK, "label", "middle", bold=number == 0, halo=True, part=part
        )
    if pattern.grain is not None:
        yield from _grain_arrow((x, top - (len(lines) + 0.4) * height * LEADING), pattern.grain, height, part)


def _drawn_on(pattern: Pattern, clear: float) -> shapely.Geometry:
    """What is drawn inside a board, with some paper about it [m]."""
    lines = [shapely.LineString(mark.line).buffer(clear) for mark in pattern.marks if len(mark.line) > 1]
    return shapely.union_all([*lines, *(cutout.outline.buffer(clear) for cutout in pattern.cutouts)])


def _grain_arrow(at: Spot, direction: tuple[float, float], size: float, part: str) -> Iterator[Item]:
    u, v = direction
    # An upright arrow has the two lines kept for it beneath the label.
    half = size * (3.0 if abs(u) > abs(v) else 1.1)
    ends = [(at[0] + sign * u * half, at[1] + sign * v * half) for sign in (-1, 1)]
    stroke = LineStyle(TIMBER, 0.3)
    yield line(ends, stroke, "grain", part)
    for (x, y), sign in zip(ends, (-1, 1), strict=True):
        for side in (-1, 1):
            barb = (x - sign * (u - side * v * 0.5) * size * 0.6, y - sign * (v + side * u * 0.5) * size * 0.6)
            yield line([(x, y), barb], stroke, "grain", part)
    yield Words(
        (at[0] + abs(v) * size * 2.0, at[1] + size * 0.4),
        "grain",
        size * 0.9,
        TIMBER_EDGE,
        "grain",
        "middle",
        halo=True,
        part=part,
    )
