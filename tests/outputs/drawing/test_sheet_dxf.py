"""Whole sheets as DXF, read back by ezdxf and put together again by shapely."""

import io
from dataclasses import replace
from itertools import combinations
from typing import Any

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf import path
from pattern_specimens import board
from specimens import box_form, layout_scene

from sketcher.analysis.cut.boards.nesting import SheetLayout, sheet_layouts
from sketcher.analysis.cut.results import Pattern
from sketcher.geometry.flat.arcs import opened_corners, with_arcs
from sketcher.outputs.drawing.sheet_dxf import INSIDE, MARK, OUTSIDE, SHEET, TABS, TEXT, sheet_dxf

NOTCHED = shapely.box(0.0, 0.0, 0.9, 0.5).difference(shapely.box(0.3, 0.3, 0.5, 0.5))
PORT = shapely.Point(0.7, 0.2).buffer(0.075, quad_segs=32)
ROUNDED = shapely.box(0.1, 0.1, 0.2, 0.2).buffer(0.02, quad_segs=16)


def laid() -> tuple[SheetLayout, dict[str, Pattern]]:
    """Four boards on one sheet: two trapezoids with a hole, two with a notch, a round port and a hatch with round corners."""
    area = NOTCHED.difference(PORT).difference(ROUNDED)
    notched = replace(board(), outline=area, other_outline=area, blank=area, area=area.area, marks=())
    boards = [board("a"), board("b"), replace(notched, name="c"), replace(notched, name="d")]
    (layout,), _ = sheet_layouts(layout_scene(box_form()), boards)
    return layout, {each.name: each for each in boards}


def read(data: bytes) -> Any:
    return ezdxf.read(io.StringIO(data.decode())).modelspace()


def areas(space: Any, layer: str) -> list[float]:
    """The areas [mm2] within closed lines: the chords', and beyond each r^2/2 (a - sin a), a being its arc's angle."""
    found = []
    for each in space.query(f"LWPOLYLINE[layer=='{layer}']"):
        x, y, bulge = np.array(each.get_points("xyb")).T
        area = float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2
        angle = 4 * np.arctan(bulge)
        chord = np.hypot(np.roll(x, -1) - x, np.roll(y, -1) - y)
        radius = np.divide(chord, 2 * np.sin(angle / 2), out=np.zeros_like(chord), where=bulge != 0.0)
        found.append(abs(area + float(np.sum(radius**2 / 2 * (angle - np.sin(angle))))))
    return found


def rings(space: Any, layer: str) -> list[shapely.Polygon]:
    """Closed lines of a layer as areas [mm]; ezdxf flattens arcs to some hundredths."""
    found = [path.make_path(each).flattening(0.001) for each in space.query(f"LWPOLYLINE[layer=='{layer}']")]
    return [shapely.Polygon([(p.x, p.y) for p in points]) for points in found]


@pytest.mark.closed_form
def test_boards_read_back_lie_apart_on_their_sheet_as_large_as_they_are() -> None:
    """No two overlap, each lies in its sheet, and its wood, holes taken off, has its own area: arcs make up for chords."""
    layout, patterns = laid()
    space = read(sheet_dxf(layout, 0, patterns))
    outside, inside = rings(space, OUTSIDE), rings(space, INSIDE)
    (sheet,) = rings(space, SHEET)
    assert sheet.bounds == pytest.approx((0.0, 0.0, 2440.0, 1220.0))
    assert (len(outside), len(inside)) == (4, 6)
    assert all(sheet.contains(each) for each in outside)
    wood = [shapely.difference(each, shapely.union_all(inside)) for each in outside]
    assert all(shapely.intersection(one, two).area == 0.0 for one, two in combinations(wood, 2))
    # A polygon of n points in a circle is n/2 sin(2 pi/n) of its radius squared in area, the circle pi.
    chords = (np.pi - 64 * np.sin(np.pi / 64)) * 75.0**2 + (np.pi - 32 * np.sin(np.pi / 32)) * 20.0**2
    wanted = sum(1e6 * each.blank.area - (chords if each.name in "cd" else 0.0) for each in patterns.values())
    assert sum(areas(space, OUTSIDE)) - sum(areas(space, INSIDE)) == pytest.approx(wanted, abs=0.01)


@pytest.mark.closed_form
def test_rounds_are_arcs_of_their_radius() -> None:
    """A port of 150 mm is two half circles; a corner of 20 mm a quarter, its bulge tan(90/4 deg); no straight side bends."""
    layout, patterns = laid()
    polylines = read(sheet_dxf(layout, 0, patterns)).query(f"LWPOLYLINE[layer=='{INSIDE}']")
    bulges = sorted(sorted(round(abs(bulge), 6) for *_, bulge in each.get_points("xyb")) for each in polylines)
    quarter = round(float(np.tan(np.pi / 8)), 6)
    assert bulges == [[0.0] * 4] * 2 + [[0.0] * 4 + [quarter] * 4] * 2 + [[1.0, 1.0]] * 2
    assert all(bulge == 0.0 for *_, bulge in with_arcs(board().outline.exterior))


@pytest.mark.closed_form
def test_a_tool_reaches_into_opened_corners() -> None:
    """Two inner corners of a notch are opened by 6 mm rounds: the corner itself is free."""
    opened = opened_corners(NOTCHED, 0.003)
    for corner in ((0.3, 0.3), (0.5, 0.3)):
        assert not opened.buffer(-1e-6).intersects(shapely.Point(corner))
    # The disc's half beyond the corner's diagonal, less the triangle of the notch in it.
    each = np.pi * 0.003**2 / 2 - 0.003**2
    assert NOTCHED.area - opened.area == pytest.approx(2 * each, rel=0.01)
    assert opened_corners(shapely.box(0.0, 0.0, 1.0, 1.0), 0.003).area == 1.0


@pytest.mark.example
def test_marks_words_and_tabs_stand_on_layers_of_their_own() -> None:
    """The tool's offset is said to be the shop's; marks lie on their boards; tabs only where they are asked for, 8 mm long."""
    layout, patterns = laid()
    plain, tabbed = (read(sheet_dxf(layout, 0, patterns, tabs=tabs)) for tabs in (False, True))
    assert any("offset the tool" in each.dxf.text for each in plain.query(f"TEXT[layer=='{TEXT}']"))
    whole = shapely.union_all(rings(plain, OUTSIDE)).buffer(1e-6)
    marks = [shapely.LineString(each.get_points("xy")) for each in plain.query(f"LWPOLYLINE[layer=='{MARK}']")]
    assert len(marks) == 4
    assert all(whole.contains(mark) for mark in marks)
    assert not plain.query(f"LWPOLYLINE[layer=='{TABS}']")
    tabs = [shapely.LineString(each.get_points("xy")) for each in tabbed.query(f"LWPOLYLINE[layer=='{TABS}']")]
    assert len(tabs) >= 12
    assert [tab.length for tab in tabs] == pytest.approx([8.0] * len(tabs))
