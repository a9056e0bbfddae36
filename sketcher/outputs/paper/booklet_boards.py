"""The booklet's pages for the saw: what is cut from which sheet, each board with its figures, and what is of timber."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from sketcher.analysis.cut.boards.nesting import SheetLayout
from sketcher.analysis.cut.boards.straight_cuts import StraightCut, corner_places, straight_cuts
from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Joint, Passage, Pattern
from sketcher.analysis.loading.panel_masses import panel_weights
from sketcher.model.scene import Scene
from sketcher.outputs.drawing.recording import Item, Words, moved
from sketcher.outputs.palette import PENCIL
from sketcher.outputs.paper.booklet_marking import marked, marking_tables, saw_table
from sketcher.outputs.paper.broken_lengths import in_lengths
from sketcher.outputs.paper.page_flow import BODY, LARGE, TABLE, Pages
from sketcher.outputs.paper.pattern_paper import SQUARE_CUT
from sketcher.outputs.paper.sheets_paper import sheet_drawing
from sketcher.outputs.tables.build_lists import why_joined
from sketcher.outputs.wording.quantities import (
    area,
    area_unit,
    length,
    length_with_unit,
    mass_number,
    mass_unit,
    unit_called,
)
from sketcher.outputs.wording.say import listed
from sketcher.outputs.wording.sentences import in_unit, words

STATE = "Write `material` on the panel, or `kg_per_m2` on its sheet under `sheets`."
"""What makes a board's mass known."""

_FINE = 2.6
"""[mm] Lettering of tables where the page holds no larger."""

_BESIDE = ((190.0, TABLE), (133.0, _FINE), (110.0, _FINE))
_ABOVE = ((120.0, TABLE), (95.0, TABLE), (95.0, _FINE), (75.0, _FINE))
_ALONE = ((190.0, TABLE), (165.0, TABLE), (140.0, TABLE), (110.0, _FINE), (80.0, _FINE))
"""[mm] Heights of a board's drawing beside its tables, above them, or on a page without them, with the tables' lettering: the
first that all fits with."""

_SHARE, _UPRIGHT = 0.5, 0.75
"""[1] Width of a drawing beside its tables, of the page's; boards at least so high for their width are drawn so."""

_SHEET = 0.8
"""[1] Width of a sheet's drawing, of the page's: two go on a page with the places of their boards."""

_SHEET_NAME = 14.0
"""[mm] Room for a sheet's name over its drawing and some paper free beneath."""


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
    total = mass_number(sum(masses), units, 1) if all_known else "not known"
    rows.append(["", "all", "", "", area(sum(p.area for p in plan_.patterns), units), total, ""])
    pages.table(["no.", "board", "thick", "box", area_unit(units), mass_unit(units), "from"], rows, "><>>>><")
    if any(pattern.mass_assumed for pattern in plan_.patterns):
        taken = "no material is stated, so okoume marine plywood is taken (published, merchants' data)"
        pages.text(f"{mass_unit(units)}, about: {taken}. {STATE}")
    elif not all_known:
        pages.text(f"{mass_unit(units)}, not known: {STATE}")
    uncounted = left_out_of_weights(plan_, units)
    if all_known and uncounted:
        pages.text(uncounted)


def left_out_of_weights(plan_: BuildPlan, units: str) -> str:
    """What of boards and timber the changes in weight do not count; empty where they count no board, or all."""
    panels = {pattern.panel for pattern in plan_.patterns}
    counted = sum(each.kg for each in panel_weights(plan_.evaluation.layout) if each.name in panels)
    straps = sum(pattern.mass or 0.0 for pattern in plan_.patterns if pattern.kind == "butt strap")
    if counted <= 0.0 or not (straps or plan_.supports):
        return ""
    left_out = [f"straps, {mass_number(straps, units, 1)} {mass_unit(units)}"] if straps else []
    left_out += ["supports"] if plan_.supports else []
    return (
        f"The changes in weight, by which she floats here and in the report, count {mass_number(counted, units, 1)} "
        f"{mass_unit(units)} of boards, without gaps; not in them: {listed(left_out)}. Add what those weigh under `weights`."
    )


def _board_row(pattern: Pattern, units: str) -> list[str]:
    """Name, thickness, the box it is cut from, area and mass."""
    west, south, east, north = pattern.blank.bounds
    size = f"{length(east - west, units)} × {length(north - south, units)}"
    return [pattern.name, length(pattern.thickness, units), size, area(pattern.area, units), _mass(pattern, units) or "not known"]


def _mass(pattern: Pattern, units: str) -> str:
    """Kilograms or pounds; empty where not known."""
    return "" if pattern.mass is None else f"{'about ' if pattern.mass_assumed else ''}{mass_number(pattern.mass, units, 1)}"


def _sheets(pages: Pages, plan_: BuildPlan, units: str) -> None:
    say = in_unit(units)

    def sheet(layout: SheetLayout, number: int) -> None:
        drawing = sheet_drawing(layout, number, pages.across * _SHEET, units, plan_.patterns)
        pages.text(f"{say(layout.sheet_name(number))} ({say(layout.stock_name(number))})", LARGE, bold=True)
        pages.shrunk(drawing, pages.most - _SHEET_NAME)
        _on_sheet(pages, plan_, layout, number, units)

    for layout in plan_.sheets:
        for number in range(len(layout.nesting.sheets)):
            pages.kept(partial(sheet, layout, number))
            pages.space(2.0)


def _on_sheet(pages: Pages, plan_: BuildPlan, layout: SheetLayout, number: int, units: str) -> None:
    """Where the boards of a sheet are marked out on it, and the straight cuts that come first."""
    size = layout.nesting.sheets[number].size
    cuts = straight_cuts(layout, number, plan_.evaluation.scene.cutting.kerf)
    if cuts:
        said = "; ".join(f"{k} {_cut_words(cut, size, units)}" for k, cut in enumerate(cuts, 1))
        pages.text(f"Straight cuts first, in this order: {said}. Then along the lines.")
    patterns = {pattern.name: pattern for pattern in plan_.patterns}
    rows = []
    for placed in (each for each in layout.nesting.placed if each.sheet == number):
        pattern = patterns[placed.piece]
        corners = [
            cell
            for place in corner_places(pattern, placed)
            for cell in (place.letter, marked(place.along, units), marked(place.up, units))
        ]
        if corners:
            rows.append([placed.piece, *corners, pattern.other_face if placed.mirrored else pattern.drawn_face])

    def corners_table() -> None:
        pages.text(f"Corners on the sheet, along and up from its lower left corner, in {unit_called(units)}")
        pages.table(["board", "corner", "along", "up", "corner", "along", "up", "face up"], rows, "<<>><>><")

    if rows:
        pages.kept(corners_table)


def _cut_words(cut: StraightCut, size: tuple[float, float], units: str) -> str:
    whole = cut.end - cut.start > size[1 if cut.across else 0] - 1e-6
    run = "" if whole else f", from {marked(cut.start, units)} to {marked(cut.end, units)}"
    return f"{'across' if cut.across else 'along'} at {marked(cut.at, units)}{run}"


def _joints(pages: Pages, plan_: BuildPlan, units: str) -> None:
    pages.heading("Joints", 5.0)
    over = any(j.borne_by for j in plan_.joints)
    rows = []
    for j in plan_.joints:
        row = [j.panel, " + ".join(_of_panel(j, part) for part in j.parts), j.kind, length_with_unit(j.width, units)]
        rows.append([*row, listed([_of_panel(j, name) for name in j.borne_by])] if over else row)
    pages.table(["panel", "parts", "joint", "width", *(["lies over"] if over else [])], rows, "<<<>")
    for panel, why in dict.fromkeys((j.panel, why_joined(j, units)) for j in plan_.joints):
        if why:
            pages.text(f"{panel}: {why}.")
    for reason in dict.fromkeys(j.unborne for j in plan_.joints if j.unborne is not None):
        where = [f"{j.panel}, {listed([_of_panel(j, part) for part in j.parts])}" for j in plan_.joints if j.unborne == reason]
        pages.text(f"No support lies along the joint of {'; '.join(where)}: {words(reason, units)}.")
    if any(j.unborne is not None for j in plan_.joints):
        pages.text("A full strap holds without; to have one there too, add a support under it.")


def _of_panel(joint: Joint, name: str) -> str:
    """The name of a part or of a support without its panel's."""
    return name.removeprefix(f"{joint.panel}, ")


def _routes_below(pages: Pages, plan_: BuildPlan, units: str) -> None:
    """A table of boards for each route below, straps of a width as one."""
    pages.heading("Does each board get inside?", 5.0)
    kinds = {pattern.name: pattern.kind for pattern in plan_.patterns}
    for through, run in dict.fromkeys((p.through, p.run) for p in plan_.passages):
        straight = f" The longest straight line below is {length_with_unit(run, units)}." if run else ""
        pages.text(f"Through {listed(list(through))}.{straight}" if through else "No opening leads inside, so this is not known.")
        mine = [p for p in plan_.passages if (p.through, p.run) == (through, run)]
        rows = [_passage_row(p, units) for p in mine if kinds[p.pattern] != "butt strap"]
        straps = [p for p in mine if kinds[p.pattern] == "butt strap"]
        for sure in dict.fromkeys((p.passes, p.turns) for p in straps):
            alike = [p for p in straps if (p.passes, p.turns) == sure]
            widest, longest = (max(alike, key=lambda p: getattr(p, of)) for of in ("least_width", "length"))
            called = alike[0].pattern if len(alike) == 1 else f"{len(alike)} straps, at most"
            rows.append(_passage_row(replace(widest, pattern=called, length=longest.length), units))
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


def board_pages(
    pages: Pages, pattern: Pattern, title: str, scene: Scene, units: str, readings: Callable[[], None] | None = None
) -> bool:
    """One board on one page, if it can be with a drawing that fills its share; else its drawing, with its tables behind it.

    readings: draws where its gaps are read, on the page of its tables where there is room; whether it was drawn.
    """

    def figures(size: float, tables: bool) -> None:
        _facts(pages, pattern, units)
        saw_table(pages, pattern, units, size)
        if tables:
            marking_tables(pages, pattern, scene.cutting.offsets, scene.units, units, size)

    def below(whole: bool, most: float, size: float) -> None:
        _board_head(pages, pattern, title, units)
        pages.figure(*_drawn(pattern, pages.across, most, units))
        figures(size, whole)

    def beside(all_beside: bool, most: float, size: float) -> None:
        _board_head(pages, pattern, title, units)
        width = pages.across * _SHARE
        items, height = _drawn(pattern, width, most, units)
        pages.beside(width, items, height, partial(figures, size, all_beside))
        if not all_beside:
            marking_tables(pages, pattern, scene.cutting.offsets, scene.units, units, size)

    west, south, east, north = pattern.blank.bounds
    upright = north - south > (east - west) * _UPRIGHT
    ways = [partial(beside, all_beside, *way) for all_beside in (False, True) for way in _BESIDE] if upright else []
    if pages.kept_if_whole(*ways, *(partial(below, True, *way) for way in _ABOVE)):
        pages.space(4.0)
        return False
    pages.new_page()
    pages.kept(*(partial(below, False, *way) for way in _ALONE))
    tables = partial(marking_tables, pages, pattern, scene.cutting.offsets, scene.units, units)

    def page_behind(size: float) -> None:
        tables(size)
        if readings is not None:
            readings()

    if readings is not None and pages.kept_if_whole(partial(page_behind, TABLE), partial(page_behind, _FINE)):
        return True
    tables(TABLE)
    pages.space(4.0)
    return False


def _board_head(pages: Pages, pattern: Pattern, title: str, units: str) -> None:
    pages.heading(title, 6.5, 60.0)
    made = ", ".join([pattern.kind, *([pattern.material] if pattern.material else [])])
    pages.text(f"{made}, {length_with_unit(pattern.thickness, units)} thick. Drawn: the {pattern.drawn_face} face.", BODY)
    ways = [words(pattern.up, units), words(pattern.forward, units)]
    if pattern.hand:
        ways.append(f"it is for {pattern.hand}: never turn it over")
    pages.text(". ".join(f"{way[:1].upper()}{way[1:]}" for way in ways) + ".", BODY)


def _drawn(pattern: Pattern, width: float, height: float, units: str) -> tuple[list[Item], float]:
    """A board's drawing on so much paper [mm] at most, its scale beneath it, and how high that is."""
    items, scale, height = in_lengths(pattern, width, height, units)
    note = Words((0.0, 3.0), f"Drawn {scale}; do not measure from this page.", 2.6, PENCIL, "text")
    return [*(moved(item, 0.0, 7.0) for item in items), note], height + 9.0


def _facts(pages: Pages, pattern: Pattern, units: str) -> None:
    """Facts about a board that its lines do not show."""
    touches = [f"Touches: {', '.join(pattern.touches)}."] if pattern.touches else []
    if pattern.notes or touches:
        pages.text(" ".join([*(words(note, units) for note in pattern.notes), *touches]))
    if pattern.diagonals:
        said = ", ".join(f"{d.name} {length_with_unit(d.length, units)}" for d in pattern.diagonals)
        pages.text(f"Check by tape: {said}.", LARGE, bold=True)
    mass = f", {_mass(pattern, units)} {mass_unit(units)}" if pattern.mass is not None else ""
    pages.text(
        f"{area(pattern.area, units, 3)} {area_unit(units)}{mass}. Whole line: {pattern.drawn_face} face; "
        f"dashed: {pattern.other_face} face. {_bevel_legend(pattern)}"
    )


def _bevel_legend(pattern: Pattern) -> str:
    if not any(abs(bevel.angle) >= SQUARE_CUT for bevel in pattern.bevels):
        return "All edges are cut square."
    return (
        f"Degrees at the edge: how far it leans off square. +: the {pattern.drawn_face} face is the longer, "
        f"−: the {pattern.other_face} face."
    )
