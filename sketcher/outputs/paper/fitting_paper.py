"""Paper for boards on their way into the boat: a label to stick on each, and a sheet on which the gaps round them are read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import islice

import shapely

from sketcher.analysis.cut.boards.nesting import WIDER_GAP
from sketcher.analysis.cut.fitting import FIRST_READ, ReadPlace, first_of, least_sure, more_putty
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.cut.skin_shift import READING_ERROR
from sketcher.model.cutting import PartReadings
from sketcher.model.scene import Scene
from sketcher.model.units import format_length
from sketcher.outputs.drawing.pdf import measured
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, LineStyle, Spot, Words, line
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.outputs.paper.booklet_marking import marked, strap_place
from sketcher.outputs.paper.page_flow import BODY, Pages
from sketcher.outputs.paper.tile_grid import PAPERS, UNPRINTED, PaperName
from sketcher.outputs.wording.quantities import length_with_unit, mass_number, mass_unit, sized
from sketcher.outputs.wording.sentences import capitalized, words

_SKETCH, _TALL = 62.0, 70.0
"""[mm] Width and height of the sketch that shows where the gaps of a board are read."""

_READ_TO = READING_ERROR * 3**0.5
"""[m] A gap lies no further than this from what is read, as its doubt is worked out by."""

_MOST_ROWS = 30
"""Rows of a table beside a sketch: what stands beside something goes on one page."""

_COLUMNS, _ROWS = 2, 7
"""Labels on a page."""

_LEGIBLE = 3.6
"""[mm] No number on a sketch stands nearer to a more telling one: the table says where its dot lies."""
_PAD = 4.0
_CUT = LineStyle(PENCIL, 0.15, (2.0, 2.0))
_EDGE, _ARROW = LineStyle(INK, 0.3), LineStyle(INK, 0.6)

Numbered = Sequence[tuple[int, Pattern]]
"""Boards with their numbers in the cutting list."""


Places = Mapping[str, Sequence[ReadPlace]]
"""Where gaps are read, by the names of boards."""


def gap_sheet(pages: Pages, numbered: Numbered, places: Places, gap: float, units: str) -> None:
    """Where gaps to shell and deck are read round each board, as planned, with room to write. gap [m]: that was cut for."""
    read = [(number, pattern, points) for number, pattern in numbered if (points := places.get(pattern.name))]
    if not read:
        return
    pages.new_page()
    pages.heading("Gaps as fitted")
    pages.text(_how_read(gap, units))
    for number, pattern, points in read:
        pages.kept(partial(_readings, pages, pattern, points, units, f"{number}  {pattern.name}"))


def gaps_to_read(pages: Pages, pattern: Pattern, points: Sequence[ReadPlace], gap: float, units: str) -> None:
    """The same of one board, on a page of its own."""
    if points:
        pages.heading("Gaps as fitted", 4.5)
        pages.text(_how_read(gap, units))
        _readings(pages, pattern, points, units)


def _how_read(gap: float, units: str) -> str:
    return (
        "Stand the board in its place and read the gap to the skin at each point, with a joggle stick or feeler strips, on both "
        f"faces. Planned: {length_with_unit(gap, units)} everywhere. Nowhere may it touch: plane there. A fillet fills up to "
        f"{length_with_unit(WIDER_GAP, units)}; where it is wider, glue on a strip first."
    )


def as_built_pages(pages: Pages, patterns: Sequence[Pattern], scene: Scene, units: str) -> None:
    """What was read of boards beside what was planned, and what each gap did to the edge of one not cut yet."""
    planned = {pattern.name: pattern for pattern in patterns}
    read = [(planned[each.name], each) for each in scene.as_built if each.name in planned]
    if not read:
        return
    pages.text("As read, beside as planned", bold=True)
    head = ["board", "thickness", mass_unit(units), "gap, mean", "more putty"]
    rows = [_read_row(board, each, scene.cutting.gap, units) for board, each in read]
    pages.table(head, rows, "<<<<>", BODY, wide=True)
    for board, _ in read:
        if board.fits:
            pages.text(f"{board.name}: its edge, moved out, or in where below 0, by the gaps that were read", BODY, bold=True)
            moves = [
                [
                    f"{marked(fit.at[0], units)}, {marked(fit.at[1], units)}",
                    *(finely(value, units) for value in (fit.planned, fit.read, fit.moved)),
                ]
                for fit in board.fits
            ]
            pages.table(["right, up", "planned", "read", "edge moved"], moves, "<>>>", BODY)


def _read_row(board: Pattern, readings: PartReadings, gap: float, units: str) -> list[str]:
    """A board's figures, planned / read; gaps and what fills them once it is cut."""
    gaps = [reading.gap for _, reading in readings.gaps_to] if readings.cut else []
    weights = [readings.planned_kg if readings.planned_kg is not None else board.mass, readings.kg]
    mean = f"{finely(gap, units)} / {finely(sum(gaps) / len(gaps), units)}, widest {finely(max(gaps), units)}" if gaps else ""
    return [
        board.name,
        " / ".join("" if value is None else finely(value, units) for value in (board.thickness, readings.thickness)),
        " / ".join("" if value is None else mass_number(value, units, 2) for value in weights),
        mean,
        f"{1e6 * more_putty(board, readings, gap):.0f} ml" if gaps else "",
    ]


def finely(metres: float, units: str) -> str:
    """A length as read, to a tenth of a millimetre or a thousandth of an inch, with its unit."""
    if units == "in":
        return f"{round(metres / 0.0254, 3):g} in"
    return f"{format_length(round(metres, 4), units)} {units}"


def _readings(pages: Pages, pattern: Pattern, points: Sequence[ReadPlace], units: str, title: str = "") -> None:
    if title:
        pages.text(title, BODY, bold=True)
    if sure := _sureness(pattern, points, units):
        pages.text(sure)
    if points[0].board != pattern.name:
        right, up = (f"{marked(a - b, units)} {units}" for a, b in zip(points[0].at, points[0].here, strict=True))
        pages.text(
            f"Numbers, right and up are those of the whole {points[0].board}, as on its other parts, on the page and in the list "
            f"as built: this part's own zero lies {right} to the right and {up} up from there."
        )
    items, height = _sketch(pattern, points)
    rows = [
        [str(each.number), f"{marked(each.at[0], units)}, {marked(each.at[1], units)}", each.against, "", ""] for each in points
    ]
    head = ["point", "right, up", "gap to", f"{pattern.drawn_face} face", f"{pattern.other_face} face"]
    for start in range(0, len(rows), _MOST_ROWS):
        drawn, high = (items, height) if start == 0 else ([], 0.0)
        pages.beside(_SKETCH, drawn, high, partial(pages.table, head, rows[start : start + _MOST_ROWS], "><<<<", BODY, wide=True))


def _sureness(pattern: Pattern, points: Sequence[ReadPlace], units: str) -> str:
    """To what a board's edge is known once its most telling gaps are read, and once all are, and where worst."""
    first = first_of(points, lambda each: each.edge)
    worst, left = (least_sure(pattern, [(each.edge, each.here) for each in some]) for some in (first, points))
    if worst is None or left is None:
        return ""
    shift = [a - b for a, b in zip(points[0].at, points[0].here, strict=True)]
    place = ", ".join(marked(value + by, units) for value, by in zip(worst.at, shift, strict=True))
    more = "" if len(first) == len(points) else f"; all {len(points)} within {finely(left.within, units)}"
    return (
        f"In the order of what they tell. Read to {length_with_unit(_READ_TO, units)}, the first {FIRST_READ} to each leave the "
        f"edge known within {finely(worst.within, units)} (19 times in 20) where it is known worst, at {place}{more}."
    )


def _sketch(pattern: Pattern, points: Sequence[ReadPlace]) -> tuple[list[Item], float]:
    """A board's outline on so much paper [mm], its reading points numbered, and how high it is."""
    west, south, east, north = pattern.blank.bounds
    room = 5.0
    scale = min((_SKETCH - 3 * room) / (east - west), (_TALL - 2 * room) / (north - south))

    def spot(at: Sequence[float]) -> Spot:
        return room + scale * (at[0] - west), room + scale * (at[1] - south)

    area = pattern.outline if not pattern.outline.is_empty else pattern.blank
    items: list[Item] = [line(map(spot, ring.coords), _EDGE, "outline") for ring in (area.exterior, *area.interiors)]
    middle = spot(area.centroid.coords[0])
    lettered: list[Spot] = []
    for each in points:
        x, y = spot(each.here)
        dot = tuple((x + a, y + b) for a, b in ((-0.7, 0.0), (0.0, -0.7), (0.7, 0.0), (0.0, 0.7)))
        items.append(FilledArea((dot,), ACCENT, None, "text"))
        away = max(shapely.Point(x, y).distance(shapely.Point(middle)), 1e-6)
        at = (x + 2.8 * (x - middle[0]) / away, y + 2.8 * (y - middle[1]) / away - 0.9)
        if all(shapely.Point(at).distance(shapely.Point(other)) >= _LEGIBLE for other in lettered):
            lettered.append(at)
            items.append(Words(at, str(each.number), 2.4, ACCENT, "text", "middle", halo=True))
    return items, scale * (north - south) + 2 * room


def board_labels(numbered: Numbered, paper: PaperName, note: str, units: str) -> Iterator[Drawing]:
    """Pages of labels to cut apart, one for each board, stuck on its drawn face. note: which layout they belong to."""
    width, height = PAPERS[paper]
    wide, high = (width - 2 * UNPRINTED) / _COLUMNS, (height - 2 * UNPRINTED) / _ROWS
    waiting = iter(numbered)
    while page := list(islice(waiting, _COLUMNS * _ROWS)):
        items: list[Item] = []
        for k, (number, pattern) in enumerate(page):
            low = (UNPRINTED + wide * (k % _COLUMNS), height - UNPRINTED - high * (k // _COLUMNS + 1))
            corners = [low, (low[0] + wide, low[1]), (low[0] + wide, low[1] + high), (low[0], low[1] + high)]
            items += [line(corners, _CUT, "labels", closed=True), *_label(low, wide, high, number, pattern, note, units)]
        yield Drawing(title="Labels", width=width, height=height, items=tuple(items))


def _label(low: Spot, wide: float, high: float, number: int, pattern: Pattern, note: str, units: str) -> Iterator[Item]:
    x, top, room = low[0] + _PAD, low[1] + high - _PAD, wide - 2 * _PAD - 9.0
    made = ", ".join([length_with_unit(pattern.thickness, units), *([pattern.material] if pattern.material else [])])
    strap = strap_place(pattern)
    goes = (
        ["Stick this on the face that is not glued", capitalized(strap)]
        if strap
        else [
            f"This is the {pattern.drawn_face} face",
            *(capitalized(words(way, units)) for way in (pattern.up, pattern.forward)),
        ]
    )
    lines = [(f"{number}  {pattern.name}", 5.0, True), *((text, 3.2, False) for text in (made, *goes))]
    if pattern.hand:
        lines.append((f"For {pattern.hand}: never turn it over", 3.2, True))
    y = top
    for text, size, bold in lines:
        shown, height = sized(text, room, partial(measured, bold=bold), size, 1.8)
        y -= size * 1.25
        yield Words((x, y), shown, height, INK, "labels", bold=bold)
    yield Words((x, low[1] + 2.0), note, sized(note, room, measured, 2.0, 1.2)[1], PENCIL, "labels")
    right, foot, tip = low[0] + wide - _PAD - 3.0, low[1] + _PAD + 3.0, low[1] + high - _PAD
    yield line([(right, foot), (right, tip)], _ARROW, "labels")
    yield line([(right - 2.0, tip - 4.0), (right, tip), (right + 2.0, tip - 4.0)], _ARROW, "labels")
    yield Words((right - 1.6, (foot + tip) / 2), "up, as drawn", 2.2, INK, "labels", "middle", 90.0)
