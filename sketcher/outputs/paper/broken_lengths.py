"""A board drawn small so that it fills its paper: a long narrow one in lengths, one beside the other, broken where they part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.results import Mark, Pattern
from sketcher.geometry.flat.regions import polygons
from sketcher.outputs.drawing.recording import Item, PaperPlacing, dimension, line
from sketcher.outputs.paper.pattern_paper import FINE, board_items, small
from sketcher.outputs.wording.quantities import length, length_with_unit

_MOST = 6
"""Lengths that one board is drawn in at most."""

_WORTH = 1.3
"""[1] By how much a board must come out larger in one more length."""

_NARROW = 4.0
"""[1] A board no longer than this for its width is drawn whole."""

_LEFT, _RIGHT, _BELOW, _ABOVE = 18.0, 20.0, 20.0, 7.0
_BETWEEN = 16.0
"""[mm] of paper about the whole, for dimensions and bevels, and between two lengths."""

_WAVE = 1.2
"""[mm] How far a break's line swings to either side."""


def in_lengths(pattern: Pattern, width: float, height: float, units: str) -> tuple[list[Item], str, float]:
    """The board drawn on paper of a width and at most a height [mm] from (0, 0); what its scale is, and its height."""
    west, south, east, north = pattern.blank.bounds
    axis = 0 if east - west >= north - south else 1
    long, short = sorted((1000.0 * (east - west), 1000.0 * (north - south)), reverse=True)
    along, across = (width - _LEFT - _RIGHT, height - _BELOW - _ABOVE)[:: 1 if axis == 0 else -1]
    rooms = [across - k * _BETWEEN for k in range(_MOST)]
    scales = [max(long / k / along, k * short / room) if room > 0.0 else np.inf for k, room in enumerate(rooms, 1)]
    count = 1
    while long > _NARROW * short and count < _MOST and scales[count] * _WORTH <= scales[count - 1]:
        count += 1
    parts = _cut(pattern, axis, count) if count > 1 else []
    if len(parts) < 2:
        items, placing, taken = small(pattern, width, height, units)
        return items, f"1 : {placing.scale:g}", taken
    scale = float(np.ceil(scales[count - 1]))
    drawn = [item for each in _laid(parts, axis, scale, units, short) for item in each]
    taken = (count * short / scale + (count - 1) * _BETWEEN if axis == 0 else long / count / scale) + _BELOW + _ABOVE
    said = f"1 : {scale:g} in {count} lengths, {length_with_unit(long / 1000.0, units)} in all"
    return drawn, said, taken


def _cut(pattern: Pattern, axis: int, count: int) -> list[Pattern]:
    """A board in so many lengths; none where one of them is in several pieces."""
    bounds = pattern.blank.bounds
    edges = np.linspace(bounds[axis], bounds[axis + 2], count + 1)
    parts = []
    for low, high in pairwise(edges.tolist()):
        far = 1e3
        window = shapely.box(low, -far, high, far) if axis == 0 else shapely.box(-far, low, far, high)
        areas = [polygons(shapely.intersection(area, window)) for area in (pattern.outline, pattern.other_outline, pattern.blank)]
        if any(len(area) != 1 for area in areas):
            return []
        parts.append(
            replace(
                pattern,
                outline=areas[0][0],
                other_outline=areas[1][0],
                blank=areas[2][0],
                marks=tuple(mark for each in pattern.marks for mark in _within(each, window)),
                bevels=tuple(bevel for bevel in pattern.bevels if low <= bevel.at[axis] <= high),
                cutouts=tuple(cutout for cutout in pattern.cutouts if cutout.outline.intersects(window)),
                corners=tuple(corner for corner in pattern.corners if low - 1e-9 <= corner[1][axis] <= high + 1e-9),
            )
        )
    return parts


def _within(mark: Mark, window: shapely.Polygon) -> Iterator[Mark]:
    for part in shapely.get_parts(shapely.intersection(shapely.LineString(mark.line), window)).tolist():
        if part.geom_type == "LineString" and part.length > 0.0:
            yield replace(mark, line=np.asarray(part.coords))


def _laid(parts: list[Pattern], axis: int, scale: float, units: str, short: float) -> Iterator[list[Item]]:
    """Each length's items: from above downward, or from left to right, in the order in which they follow one another."""
    whole = np.array([part.blank.bounds for part in parts])
    low = whole[:, :2].min(axis=0) * 1000.0 / scale
    step = short / scale + _BETWEEN
    for k, part in enumerate(parts):
        west, south, east, north = (1000.0 / scale * edge for edge in part.blank.bounds)
        at = (
            (_LEFT - west, _BELOW + (len(parts) - 1 - k) * step - low[1])
            if axis == 0
            else (_LEFT + k * step - low[0], _BELOW - south)
        )
        placing = PaperPlacing(axes="uv", signs=(1, 1), scale=scale, origin=at)
        items = list(board_items(part, placing, 2.4, units))
        items += dimension(
            (west + at[0], south + at[1]),
            (east + at[0], south + at[1]),
            -7.0,
            length((east - west) * scale / 1000.0, units),
            FINE,
            3.0,
        )
        items += dimension(
            (west + at[0], south + at[1]),
            (west + at[0], north + at[1]),
            9.0,
            length((north - south) * scale / 1000.0, units),
            FINE,
            3.0,
        )
        box = (west + at[0], south + at[1], east + at[0], north + at[1])
        items += [_break(box, axis, far) for far in (False, True) if (k + 1 < len(parts) if far else k > 0)]
        yield items


def _break(box: tuple[float, float, float, float], axis: int, far: bool) -> Item:
    """A wave over the end of a length at which the next one follows."""
    west, south, east, north = box
    over = np.linspace(-2.0, (north - south if axis == 0 else east - west) + 2.0, 25)
    swing = _WAVE * np.sin(np.linspace(0.0, 4.0 * np.pi, 25))
    edge = (east if far else west) if axis == 0 else (north if far else south)
    points = np.stack([edge + swing, south + over] if axis == 0 else [west + over, edge + swing], axis=1)
    return line([(float(x), float(y)) for x, y in points], FINE, "break")
