"""A whole sheet with its boards as DXF (millimetres) for a shop's machine: what is cut outside, inside, marked, written.

The tool's offset is left to the shop, which knows its tool; tabs are places drawn, not gaps in the line, for the same reason.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely

from sketcher.analysis.cut.boards.nesting import SheetLayout
from sketcher.analysis.cut.results import Pattern
from sketcher.geometry.flat.arcs import opened_corners, tab_places, with_arcs
from sketcher.geometry.flat.no_fit import turned
from sketcher.geometry.mesh import Floats
from sketcher.geometry.packing.nesting import Placed
from sketcher.outputs.drawing.dxf import dxf_of
from sketcher.outputs.wording.sentences import words

OUTSIDE, INSIDE, MARK, TEXT, SHEET, TABS = "cut outside", "cut inside", "mark", "text", "sheet", "tabs"
_COLOURS = {OUTSIDE: 7, INSIDE: 1, MARK: 5, TEXT: 3, SHEET: 8, TABS: 6}

TAB, TABS_APART = 0.008, 0.400
"""[m] Length of a tab, and how far they are apart at most."""

_NOTE = (
    "Millimetres. Lines are the edge of the wood: offset the tool by its radius, outward on 'cut outside', into the hole on 'cut "
    "inside'. Edges are cut square here; bevels are planed afterwards by the booklet."
)


def sheet_dxf(
    layout: SheetLayout,
    number: int,
    patterns: Mapping[str, Pattern],
    unit: str = "mm",
    tool: float | None = None,
    tabs: bool = False,
) -> bytes:
    """One sheet as DXF, from its lower left corner, arcs as arcs. patterns: by name; unit: of the words in it.

    tool [m]: diameter of a tool for which sharp inner corners are opened; tabs: whether places for tabs are drawn.
    """

    def draw(space: Any) -> None:
        along, across = layout.nesting.sheets[number].size
        _ring(space, SHEET, shapely.box(0.0, 0.0, along, across).exterior)
        _words(space, (0.0, -0.03), f"{words(layout.sheet_name(number), unit)}. {_NOTE}", 0.012)
        for placed in layout.nesting.placed:
            if placed.sheet == number:
                _board(space, placed, patterns[placed.piece], unit, tool, tabs)

    return dxf_of(_COLOURS, draw)


def _board(space: Any, placed: Placed, pattern: Pattern, unit: str, tool: float | None, tabs: bool) -> None:
    area = placed.outline if tool is None else opened_corners(placed.outline, tool / 2)
    _ring(space, OUTSIDE, area.exterior)
    for hole in area.interiors:
        _ring(space, INSIDE, hole)
    for tab in tab_places(area.exterior, TAB, TABS_APART) if tabs else ():
        _line(space, TABS, np.asarray(tab.coords))
    for mark in pattern.marks:
        _line(space, MARK, turned(mark.line, placed.turn, placed.mirrored) + placed.at)
    under = f"{pattern.drawn_face} face down, marks on it" if placed.mirrored else f"{pattern.drawn_face} face up"
    spot = area.representative_point()
    _words(space, (spot.x, spot.y), f"{words(pattern.label, unit)}; {under}", 0.012)


def _ring(space: Any, layer: str, ring: shapely.LinearRing) -> None:
    points = [(1000.0 * x, 1000.0 * y, bulge) for x, y, bulge in with_arcs(ring)]
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": layer})


def _line(space: Any, layer: str, points: Floats) -> None:
    space.add_lwpolyline((1000.0 * points).tolist(), dxfattribs={"layer": layer})


def _words(space: Any, at: tuple[float, float], text: str, height: float) -> None:
    style = {"layer": TEXT, "style": "lettering"}
    space.add_text(text, height=1000.0 * height, dxfattribs=style).set_placement((1000.0 * at[0], 1000.0 * at[1]))
