"""Where words stand on a drawing that is cut into pages: each whole on one page, clear of lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from sketcher.geometry.flat.regions import polygons
from sketcher.outputs.drawing.lettering import ground
from sketcher.outputs.drawing.recording import FilledArea, Item, Line, Spot, Words, moved

_TOGETHER = ("label", "grain")
"""Layers that are moved as one."""

_STEPS = np.arange(-180.0, 181.0, 6.0)
"""[mm] Words are moved by so much to stand on one page: no further than a page is wide, if they can be."""

_FAR = np.concatenate([np.arange(-1500.0, -180.0, 30.0), _STEPS, np.arange(210.0, 1501.0, 30.0)])
"""[mm] The same where pages without a line are left out: to the next one along the line."""

_ASIDE = (-24.0, -18.0, -12.0, -6.0, 6.0, 12.0, 18.0, 24.0)
"""[mm] off their line, where that runs along what two pages share."""

_ANY_WAY = [(float(x), float(y)) for x in _STEPS[::2] for y in _STEPS[::2]]
_FAR_ANY_WAY = [(float(x), float(y)) for x in _FAR[::2] for y in _FAR[::2]]
_STAY = (0.0, 0.0)


def with_words_on_one_page(items: Sequence[Item], rooms: Sequence[shapely.Polygon]) -> Iterator[Item]:
    """Items with their words moved so that each stands whole in one room. rooms: what one page alone shows, for each page [mm].

    Words move along their line to where nothing runs through them; a board's label, with its arrow, any way.
    """
    label = [item for item in items if item.layer in _TOGETHER]
    words = [item for item in items if item.layer not in _TOGETHER and isinstance(item, Words)]
    drawn = [item for item in items if item.layer not in _TOGETHER and not isinstance(item, Words)]
    lines = shapely.union_all(
        [shapely.boundary(shape_of(item)) if isinstance(item, FilledArea) else shape_of(item) for item in drawn]
    )
    placed = [moved(each, *_step_along(each, lines, rooms)) for each in words]
    yield from drawn
    yield from placed
    if label:
        taken = shapely.union_all([lines, *map(_paper, placed)])
        step = _label_step(label, taken, _boards(drawn), rooms)
        yield from (moved(item, *step) for item in label)


def shape_of(item: Line | FilledArea) -> shapely.Geometry:
    """A line, or the outline of an area as a polygon [mm]."""
    if isinstance(item, FilledArea):
        return shapely.Polygon(item.rings[0])
    points = [*item.points, item.points[0]] if item.closed else item.points
    return shapely.LineString(points)


def _paper(item: Item) -> shapely.Geometry:
    return ground(item) if isinstance(item, Words) else shape_of(item)


def _boards(drawn: Sequence[Line | FilledArea]) -> list[shapely.Polygon]:
    outlines = [item for item in drawn if isinstance(item, Line) and item.layer == "outline"]
    return [shapely.Polygon(item.points) for item in outlines if len(item.points) > 2]


def _step_along(words: Words, lines: shapely.Geometry, rooms: Sequence[shapely.Polygon]) -> Spot:
    """By how much words are moved along their line, else off it too."""
    turn = np.radians(words.angle)
    along = [(float(t * np.cos(turn)), float(t * np.sin(turn))) for t in _STEPS]
    aside = [(x - t * float(np.sin(turn)), y + t * float(np.cos(turn))) for x, y in along for t in _ASIDE]
    far = [(float(t * np.cos(turn)), float(t * np.sin(turn))) for t in _FAR]
    place = ground(words)
    return next(filter(None, (_least_step(place, steps, lines, rooms) for steps in (along, aside, far))), _STAY)


def _label_step(
    label: Sequence[Item], taken: shapely.Geometry, boards: Sequence[shapely.Polygon], rooms: Sequence[shapely.Polygon]
) -> Spot:
    """By how much a label is moved as one: to a place on its board if one is free, else anywhere on a page."""
    block = shapely.box(*shapely.union_all([_paper(item) for item in label]).bounds)
    on_board = [part for room in rooms for board in boards for part in polygons(shapely.intersection(room, board))]
    tries = ((_ANY_WAY, on_board), (_FAR_ANY_WAY, on_board), (_ANY_WAY, rooms))
    return next(filter(None, (_least_step(block, steps, taken, where) for steps, where in tries)), _STAY)


def _least_step(
    area: shapely.Polygon, steps: Sequence[Spot], lines: shapely.Geometry, rooms: Sequence[shapely.Polygon]
) -> Spot | None:
    """The least of some steps [mm] that brings an area into one room, clear of lines if one does; None where no room takes it."""
    by = np.array(sorted(steps, key=lambda step: step[0] ** 2 + step[1] ** 2))
    places = shapely.polygons(shapely.get_coordinates(area.exterior)[None] + by[:, None])
    inside = np.zeros(len(by), dtype=bool)
    for room in rooms:
        inside |= shapely.contains(room, places)
    held = np.flatnonzero(inside)
    if not len(held):
        return None
    clear = next((k for k in held.tolist() if not places[k].intersects(lines)), held[0])
    return float(by[clear, 0]), float(by[clear, 1])
