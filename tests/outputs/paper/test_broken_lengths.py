"""Long narrow boards drawn small: in lengths that fill the paper."""

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from pattern_specimens import board

from sketcher.analysis.cut.results import Pattern
from sketcher.outputs.drawing.lettering import ground
from sketcher.outputs.drawing.recording import FilledArea, Item, Words
from sketcher.outputs.paper.broken_lengths import in_lengths

WIDTH, HEIGHT = 174.0, 190.0


def plank(wide: float, high: float) -> Pattern:
    area = shapely.box(0.0, 0.0, wide, high)
    corners = tuple(zip("ABCD", ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), strict=True))
    return replace(
        board(), outline=area, other_outline=area, blank=area, marks=(), bevels=(), cutouts=(), corners=corners, grain=None
    )


def reach(items: list[Item]) -> tuple[float, float, float, float]:
    """West, south, east and north of what is drawn [mm]."""
    spots = [
        np.asarray(ground(item).exterior.coords)
        if isinstance(item, Words)
        else np.concatenate([np.array(ring) for ring in (item.rings if isinstance(item, FilledArea) else (item.points,))])
        for item in items
    ]
    every = np.concatenate(spots)
    return (*every.min(axis=0), *every.max(axis=0))


@pytest.mark.property
@pytest.mark.parametrize(("wide", "high"), [(2.4, 0.075), (2.4, 0.3), (1.2, 0.2), (0.075, 2.4), (0.3, 2.4), (0.2, 1.2)])
def test_a_long_narrow_board_fills_its_paper(wide: float, high: float) -> None:
    """Broken in lengths it comes out at least 1.3 times as large as whole, within its paper, and says what it is in all."""
    items, said, taken = in_lengths(plank(wide, high), WIDTH, HEIGHT, "mm")
    west, south, east, north = reach(items)
    assert west >= 0.0
    assert south >= 0.0
    assert east <= WIDTH
    assert north <= taken <= HEIGHT
    scale, count, whole = map(int, re.fullmatch(r"1 : (\d+) in (\d) lengths, (\d+) mm in all", said).groups())
    room = WIDTH - 38.0 if wide > high else HEIGHT - 27.0
    assert whole == round(1000 * max(wide, high))
    assert 1.3 * scale <= 1000 * max(wide, high) / room + 1.3
    assert count > 1
    lengths = [shapely.LinearRing(item.points) for item in items if not isinstance(item, Words) and item.layer == "outline"]
    bounds = np.array([ring.bounds for ring in lengths])
    drawn = (bounds[:, 2:] - bounds[:, :2])[:, 0 if wide > high else 1]
    assert drawn.sum() * scale == pytest.approx(1000 * max(wide, high))


@pytest.mark.example
def test_a_board_that_is_no_plank_is_drawn_whole() -> None:
    """600 by 300 mm on 174 mm of paper, 38 of them for its sizes: 1 to 5."""
    _, said, _ = in_lengths(board(), WIDTH, HEIGHT, "mm")
    assert said == "1 : 5"


@pytest.mark.property
@pytest.mark.parametrize(("wide", "labelled"), [(0.15, False), (0.6, True)])
def test_a_small_drawings_name_lies_on_its_board_or_is_left_to_the_heading(wide: float, labelled: bool) -> None:
    """On a pointed board 600 mm high a name has room where it is wide enough; else none is written over its edge."""
    area = shapely.Polygon([(0.0, 0.0), (wide, 0.6), (0.0, 0.6)])
    corners = tuple(zip("ABC", ((0.0, 0.0), (wide, 0.6), (0.0, 0.6)), strict=True))
    tip = replace(plank(wide, 0.6), outline=area, other_outline=area, blank=area, corners=corners)
    items, _, _ = in_lengths(tip, WIDTH / 2, 110.0, "mm")
    (outline,) = [shapely.Polygon(item.points) for item in items if not isinstance(item, Words) and item.layer == "outline"]
    names = [ground(item) for item in items if isinstance(item, Words) and item.layer == "label"]
    assert bool(names) == labelled
    assert all(outline.contains(name) for name in names)
