"""The booklet's pages for the saw: what is cut from which sheet, each board with its figures, and the stringers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Bevel, Offset, Passage, Pattern
from sketcher.outputs.drawing.recording import Item, Words, moved
from sketcher.outputs.palette import PENCIL
from sketcher.outputs.paper.page_flow import BODY, LARGE, TABLE, Pages
from sketcher.outputs.paper.pattern_paper import SQUARE_CUT, small
from sketcher.outputs.paper.sheets_paper import sheet_drawing
from sketcher.outputs.tables.build_lists import FREE_END, why_joined
from sketcher.outputs.wording.quantities import area, area_unit, length, length_with_unit, plain, unit_called
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import in_unit, words

STATE = "Write `material` on the panel, or `kg_per_m2` on its sheet under `sheets`."
"""What makes a board's mass known."""

_FINE = 2.7
"""[mm] Lettering of tables where the page holds no larger."""

_BESIDE = ((190.0, TABLE), (133.0, _FINE))
_ABOVE = ((120.0, TABLE), (95.0, TABLE), (95.0, _FINE), (75.0, _FINE), (55.0, _FINE))
"""[mm] Heights of a board's drawing beside its tables or above them, with the tables' lettering: the first that all fits with."""

_SHARE, _UPRIGHT = 0.5, 0.75
"""[1] Width of a drawing beside its tables, of the page's; boards at least so high for their width are drawn so."""

_SHEET_NAME = 14.0
"""[mm] Room for a sheet's name over its drawing and some paper free beneath."""

_ALIKE = 2.5
"""[deg] Bevels that differ by no more are one line of the table, both ends given: a gauge is read to 2 by eye."""


def cutting_pages(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """The list of boards, what to buy, each sheet with its boards on it, joints, and whether each board goes below."""
    if not plan_.patterns:
        return
    _cutting_list(pages, plan_, units)
    _to_buy(pages, plan_, units)
    _sheets(pages, plan_, units)
    if plan_.joints:
        _joints(pages, plan_, units)
    if plan_.passages:
        _routes_below(pages, plan_, units)


def _cutting_list(pages: Pages, plan_: BuildPlan, units: str) -> None:
    pages.heading("Cutting list", keep=60.0)
    where = {
        placed.piece: words(layout.sheet_name(placed.sheet), units) for layout in plan_.sheets for placed in layout.nesting.placed
    }
    rows = [
        [str(number), *_board_row(pattern, units), where.get(pattern.name, "no sheet holds it")]
        for number, pattern in enumerate(plan_.patterns, 1)
    ]
    masses = [pattern.mass for pattern in plan_.patterns if pattern.mass is not None]
    all_known = len(masses) == len(plan_.patterns)
    total = plain(sum(masses), 1) if all_known else "not known"
    rows.append(["", "all", "", "", area(sum(p.area for p in plan_.patterns), units), total, ""])
    pages.table(["no.", "board", "thick", "box", area_unit(units), "kg", "from"], rows, "><>>>><")
    if any(pattern.mass_assumed for pattern in plan_.patterns):
        pages.text("kg, about: no material is stated, so okoume marine plywood is taken (published, merchants' data). " + STATE)
    elif not all_known:
        pages.text(f"kg, not known: {STATE}")


def _board_row(pattern: Pattern, units: str) -> list[str]:
    """Name, thickness, the box it is cut from, area and mass."""
    west, south, east, north = pattern.blank.bounds
    size = f"{length(east - west, units)} × {length(north - south, units)}"
    return [pattern.name, length(pattern.thickness, units), size, area(pattern.area, units), _mass(pattern) or "not known"]


def _mass(pattern: Pattern) -> str:
    """Kilograms; empty where not known."""
    return "" if pattern.mass is None else f"{'about ' if pattern.mass_assumed else ''}{plain(pattern.mass, 1)}"


def _sheets(pages: Pages, plan_: BuildPlan, units: str) -> None:
    say = in_unit(units)
    for layout in plan_.sheets:
        for number in range(len(layout.nesting.sheets)):
            drawing = sheet_drawing(layout, number, pages.across, units)
            pages.need(min(drawing.height + _SHEET_NAME, pages.most))
            pages.text(f"{say(layout.sheet_name(number))} ({say(layout.stock_name(number))})", LARGE, bold=True)
            pages.shrunk(drawing, pages.most - _SHEET_NAME)
            pages.space(4.0)


def _joints(pages: Pages, plan_: BuildPlan, units: str) -> None:
    pages.heading("Joints", 5.0)
    rows = [[j.panel, " + ".join(j.parts), j.kind, length_with_unit(j.width, units), why_joined(j, units)] for j in plan_.joints]
    pages.table(["panel", "parts", "joint", "width", "why"], rows, "<<<><")


def _routes_below(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """A table of boards for each route below."""
    pages.heading("Does each board get inside?", 5.0)
    for through, run in dict.fromkeys((p.through, p.run) for p in plan_.passages):
        straight = f" The longest straight line below is {length_with_unit(run, units)}." if run else ""
        pages.text(f"Through {listed(list(through))}.{straight}" if through else "No opening leads inside, so this is not known.")
        rows = [_passage_row(p, units) for p in plan_.passages if (p.through, p.run) == (through, run)]
        pages.table(["board", "least width", "widest that passes", "passes", "length", "turns"], rows, "<>><><")


def _passage_row(passage: Passage, units: str) -> list[str]:
    said = {True: "yes", False: "NO", None: "not known"}
    widest = length(passage.room, units) if passage.room else ""
    width, run = length(passage.least_width, units), length(passage.length, units)
    return [passage.pattern, width, widest, said[passage.passes], run, said[passage.turns]]


def _to_buy(pages: Pages, plan_: BuildPlan, units: str) -> None:
    for layout in plan_.sheets:
        nesting = layout.nesting
        bought = ", ".join(f"{count} of {words(name, units)}" for name, count in layout.bought) or "none"
        share = f"{100 * nesting.share:.0f} % of their area is used, {100 * nesting.best_share:.0f} % at most"
        title = words(layout.stuff, units)
        text = (
            f"{title}: to buy {bought}. {share} with the fewest sheets that area alone allows." if nesting.sheets else f"{title}:"
        )
        if nesting.left_out:
            text += f" No sheet holds {', '.join(nesting.left_out)}."
        pages.text(text)
    pages.space(2.0)


def board_pages(pages: Pages, pattern: Pattern, number: int, of: int, units: str) -> None:
    """One board on one page, if it can be: its drawing with sizes, and what is to be marked and checked on it."""

    def board(most: float, size: float, beside: bool) -> None:
        _board_head(pages, pattern, f"Board {number} of {of}: {pattern.name}", units)
        width = pages.across * (_SHARE if beside else 1.0)
        items, height = _drawn(pattern, width, most, units)
        if beside:
            pages.beside(width, items, height, partial(_figures, pages, pattern, units, size))
        else:
            pages.figure(items, height)
            _figures(pages, pattern, units, size)
        _offsets(pages, pattern, units, size)
        pages.space(4.0)

    west, south, east, north = pattern.blank.bounds
    upright = north - south > (east - west) * _UPRIGHT
    beside = [partial(board, *way, True) for way in _BESIDE] if upright else []
    pages.kept(*beside, *(partial(board, *way, False) for way in _ABOVE))


def _board_head(pages: Pages, pattern: Pattern, title: str, units: str) -> None:
    pages.heading(title, 6.5, 60.0)
    made = ", ".join([pattern.kind, *([pattern.material] if pattern.material else [])])
    pages.text(f"{made}, {length_with_unit(pattern.thickness, units)} thick. Drawn: the {pattern.drawn_face} face.", LARGE)
    ways = [words(pattern.up, units), words(pattern.forward, units)]
    if pattern.hand:
        ways.append(f"it is for {pattern.hand}: never turn it over")
    pages.text(". ".join(f"{way[:1].upper()}{way[1:]}" for way in ways) + ".", LARGE)


def _figures(pages: Pages, pattern: Pattern, units: str, size: float) -> None:
    _facts(pages, pattern, units)
    _bevels(pages, pattern, units, size)


def _drawn(pattern: Pattern, width: float, height: float, units: str) -> tuple[list[Item], float]:
    """A board's drawing on so much paper [mm] at most, its scale beneath it, and how high that is."""
    items, placing, height = small(pattern, width, height, units)
    note = Words((0.0, 3.0), f"Drawn 1 : {placing.scale:g}; do not measure from this page.", 2.6, PENCIL, "text")
    return [*(moved(item, 0.0, 7.0) for item in items), note], height + 9.0


def _facts(pages: Pages, pattern: Pattern, units: str) -> None:
    """Facts about a board that its lines do not show."""
    touches = [f"Touches: {', '.join(pattern.touches)}."] if pattern.touches else []
    if pattern.notes or touches:
        pages.text(" ".join([*(words(note, units) for note in pattern.notes), *touches]))
    if pattern.diagonals:
        said = ", ".join(f"{d.name} {length_with_unit(d.length, units)}" for d in pattern.diagonals)
        pages.text(f"Check by tape: {said}.", LARGE, bold=True)
    mass = f", {_mass(pattern)} kg" if pattern.mass is not None else ""
    pages.text(
        f"{area(pattern.area, units, 3)} {area_unit(units)}{mass}. Whole line: {pattern.drawn_face} face; "
        f"dashed: {pattern.other_face} face. {_bevel_legend(pattern)}"
    )


def _bevel_legend(pattern: Pattern) -> str:
    if not any(abs(bevel.angle) >= SQUARE_CUT for bevel in pattern.bevels):
        return "All edges are cut square."
    return (
        f"Degrees at the edge: how far it leans off square. +: the {pattern.drawn_face} face is the longer, "
        f"−: the {pattern.other_face} face. Saw to the longer face's line, then plane to the other's."
    )


def _offsets(pages: Pages, pattern: Pattern, units: str, size: float) -> None:
    """Where both outlines cross lines at even steps."""
    if not pattern.offsets:
        return
    up = pattern.offsets_along == "v"
    pages.heading("To mark out by hand", 4.5, 25.0)
    base = "centreline" if any(mark.kind == "centreline" for mark in pattern.marks) and up else None
    if up:
        zero = f"through this board's lowest point, square to {'its centreline' if base else 'its height'}"
        across = "from the centreline, − to the left" if base else "from an upright through its point furthest left"
        pages.text(
            f"Base line: {zero}. Lines at even steps up from it; on each, the outline lies so far {across}, in "
            f"{unit_called(units)}."
        )
    else:
        pages.text(
            "Base line: through this board's lowest point, along its length. Lines square to it at even steps from the point "
            f"furthest left; on each, the outline lies so far up from the base line, in {unit_called(units)}."
        )
    other = {round(row.along, 6): row for row in pattern.other_offsets}
    rows = []
    for row in pattern.offsets:
        match = other.pop(round(row.along, 6), None)
        rows.append((row.along, [length(row.along, units), _crossings(row, units), _crossings(match, units)]))
    rows += [(row.along, [length(row.along, units), "", _crossings(row, units)]) for row in other.values()]
    head = ["at", f"{pattern.drawn_face} face", f"{pattern.other_face} face"]
    cells = [cells for _, cells in sorted(rows, key=lambda entry: entry[0])]
    if all(one == other for _, one, other in cells):
        pages.columns(["at", "both faces"], [row[:2] for row in cells], ">>", size)
    else:
        pages.columns(head, cells, ">>>", size)


def _crossings(row: Offset | None, units: str) -> str:
    return "" if row is None else "; ".join(length(value, units) for value in row.across)


def _bevels(pages: Pages, pattern: Pattern, units: str, size: float) -> None:
    """The places where a bevel is set, along the drawn outline; runs of one angle are one line."""
    leaning = [bevel for bevel in pattern.bevels if abs(bevel.angle) >= SQUARE_CUT]
    if not leaning:
        return
    pages.heading("Bevels", 4.5, 20.0)
    head = ["from (right, up)", "to (right, up)", "off square °", "gauge °", "against"]
    pages.columns(head, bevel_rows(pattern.bevels, units), ">>>><", size)


def bevel_rows(bevels: Sequence[Bevel], units: str) -> list[list[str]]:
    """The lines of a board's table of bevels: from where to where, off square and as a gauge reads it, against what."""
    rows = []
    for run in _runs(bevels):
        first, last = run[0], run[-1]
        places = [f"{length(b.at[0], units)}, {length(b.at[1], units)}" for b in (first, last)]
        angles = sorted({round(b.angle) for b in run}, key=abs)
        ends = angles[:: max(1, len(angles) - 1)]
        leans, gauges = (" to ".join(words) for words in ([_signed(a) for a in ends], [str(90 - a) for a in ends]))
        rows.append([places[0], places[1] if len(run) > 1 else "the same", leans, gauges, first.against])
    return rows


def _runs(bevels: Sequence[Bevel]) -> list[list[Bevel]]:
    """Bevels that follow one another against the same and change by no more than a gauge is read to."""
    runs: list[list[Bevel]] = []
    for bevel in bevels:
        angles = [each.angle for each in runs[-1]] if runs else []
        if runs and runs[-1][0].against == bevel.against and max(*angles, bevel.angle) - min(*angles, bevel.angle) <= _ALIKE:
            runs[-1].append(bevel)
        else:
            runs.append([bevel])
    return runs


def _signed(angle: int) -> str:
    return f"{angle:+d}".replace("-", "−") if angle else "0"


def stringer_pages(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """Each stringer's lengths, curve and end cuts."""
    if not plan_.stringers:
        return
    pages.heading("Stringers and bearers", keep=60.0)
    rows = []
    for s in plan_.stringers:
        size = f"{length(s.width, units)} × {length(s.depth, units)}"
        radius = "straight" if s.least_radius is None else length(s.least_radius, units)
        lengths = [length(value, units) for value in (s.length, s.chord, s.curve_depth)]
        rows.append([s.name, size, *lengths, radius, f"{s.twist:+.0f}", "yes" if s.bends else "NO"])
    head = ["stringer", "width × depth", "length along hull", "chord", "depth of curve", "least radius", "twist °", "bends cold"]
    pages.table(head, rows, "<>>>>>>>")
    rows = [[s.name, end.place or FREE_END, plain(end.side, 0), plain(end.face, 0)] for s in plan_.stringers for end in s.ends]
    pages.table(["stringer", "end at", "on its upper face °", "on the hull's face °"], rows, "<<>>")
    pages.text(
        "Angles in the wood as a bevel gauge reads them: upper face from the outer edge, hull's face from the upper edge.", BODY
    )
    for s in plan_.stringers:
        if not s.bends:
            pages.text(f"{s.name}: Too thick to bend cold: laminate it from thinner strips.")
