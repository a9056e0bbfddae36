"""Names inside outlines: the largest lettering that fits in a compartment's section, else a number with its meaning beneath."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.outputs.drawing.recording import Item, Spot, Words, text_width

SIZES = (3.0, 2.5, 2.2)
"""Heights of lettering tried, largest first [mm]; nothing in a drawing is written smaller than the last."""
LEADING = 1.35
"""Distance between base lines over the height of the lettering."""
SCANS = 9
"""At how many heights of an outline a place for the words is sought."""
CLEAR = 0.6
"""Paper kept free between words and outline [mm]."""

NUMBER_ROOM = (3.0, 0.5)
"""[mm]: sides of the squares a number is put into; where even the smaller has no room it stands as near as can be."""


@dataclass(frozen=True, slots=True)
class Lettering:
    """middle: of the block of lines [mm]; size: height of the lettering [mm]."""

    middle: Spot
    size: float


def clear_of(outline: shapely.MultiPolygon, taken: shapely.Geometry) -> shapely.MultiPolygon:
    """The part of an outline [mm] that is free; empty where it cannot be found, so that only a number is written."""
    try:
        free = shapely.difference(shapely.make_valid(outline), taken)
    except shapely.errors.GEOSException:
        return shapely.MultiPolygon()
    parts = [part for part in shapely.get_parts(free).tolist() if isinstance(part, shapely.Polygon) and not part.is_empty]
    return shapely.MultiPolygon(parts)


def lettered(items: Sequence[Item]) -> shapely.Geometry:
    """The paper that level, centred words take [mm]."""
    boxes = []
    for item in items:
        if isinstance(item, Words):
            (x, y), half = item.at, text_width(item.text, item.size) / 2
            boxes.append(shapely.box(x - half, y - 0.3 * item.size, x + half, y + 1.1 * item.size))
    return shapely.union_all(boxes)


def ground(words: Words) -> shapely.Polygon:
    """The paper that words take at any angle [mm]."""
    size, width, turn = words.size, text_width(words.text, words.size), np.radians(words.angle)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[words.align]
    axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    level = shapely.box(left, -0.3 * size, left + width, 1.1 * size)
    return shapely.transform(level, lambda flat: flat @ axes + np.array(words.at))


def fit(outline: shapely.MultiPolygon, lines: Sequence[str]) -> Lettering | None:
    """Where a block of lines fits inside an outline [mm], as large as can be; None where even the smallest does not."""
    for size in SIZES:
        width = max(text_width(text, size) for text in lines) + 2 * CLEAR
        height = len(lines) * size * LEADING + 2 * CLEAR
        middle = _roomiest(outline, width, height)
        if middle is not None:
            return Lettering(middle, size)
    return None


def spot_inside(outline: shapely.MultiPolygon) -> Spot:
    """A place well inside the largest part of an outline, for a number."""
    part = max(outline.geoms, key=lambda polygon: polygon.area)
    found = next((spot for side in NUMBER_ROOM if (spot := _roomiest(shapely.MultiPolygon([part]), side, side))), None)
    if found is not None:
        return found
    point = part.representative_point()
    return point.x, point.y


def _roomiest(outline: shapely.MultiPolygon, width: float, height: float) -> Spot | None:
    """The middle of a box of a size inside the outline with most room to its sides; None where there is none."""
    best: tuple[float, Spot] | None = None
    for part in outline.geoms:
        x0, y0, x1, y1 = part.bounds
        if x1 - x0 < width or y1 - y0 < height:
            continue
        levels = [y0 + height / 2 + (y1 - y0 - height) * k / (SCANS - 1) for k in range(SCANS)]
        strips = shapely.box(x0, [y - height / 2 for y in levels], x1, [y + height / 2 for y in levels])
        for level, left_out in zip(levels, shapely.difference(strips, part), strict=True):
            run = _longest_gap(left_out, x0, x1)
            if run[1] - run[0] < width:
                continue
            # A little central rather than a little roomier: words in the middle read best.
            slack = run[1] - run[0] - width - abs(level - (y0 + y1) / 2)
            if best is None or slack > best[0]:
                best = (slack, ((run[0] + run[1]) / 2, level))
    return best[1] if best else None


def _longest_gap(taken: shapely.Geometry, x0: float, x1: float) -> tuple[float, float]:
    """The longest run between x0 and x1 that no part of a geometry lies over."""
    spans = sorted((part.bounds[0], part.bounds[2]) for part in getattr(taken, "geoms", [taken]) if not part.is_empty)
    best, at = (x0, x0), x0
    for low, high in [*spans, (x1, x1)]:
        if low - at > best[1] - best[0]:
            best = (at, low)
        at = max(at, high)
    return best
