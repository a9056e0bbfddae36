"""Everything that is carried to the boat as files: booklet, patterns at true size, drawings for machines, tables, solids."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from datetime import date

from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Pattern
from sketcher.model.errors import SketchError, nearest
from sketcher.outputs.drawing.dxf import as_dxf
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.drawing.sheet_dxf import sheet_dxf
from sketcher.outputs.drawing.svg import as_svg
from sketcher.outputs.paper.booklet import boards_alone, booklet, scene_fingerprint, stamp
from sketcher.outputs.paper.booklet_marking import told_in_a_line
from sketcher.outputs.paper.fitting_paper import board_labels
from sketcher.outputs.paper.pattern_paper import true_size
from sketcher.outputs.paper.sheets_paper import sheet_drawing
from sketcher.outputs.paper.tile_grid import PaperName, home_paper
from sketcher.outputs.paper.tiles import tiled
from sketcher.outputs.paper.timber.support_wraps import SUPPORT_ENDS, support_wraps
from sketcher.outputs.scene3d.solid_files import as_glb, as_stl, boards_as_cut, solids
from sketcher.outputs.tables import build_lists
from sketcher.outputs.tables.costs import costs_of
from sketcher.outputs.wording.sentences import words

_SHEET_WIDTH = 400.0
"""[mm] across which a sheet with its boards is drawn in a file of its own."""


def build_files(
    plan: BuildPlan,
    paper: PaperName = "a4",
    units: str | None = None,
    on: date | None = None,
    picture: bool = True,
    boards: Sequence[str] = (),
    tool: float | None = None,
    tabs: bool = False,
) -> Iterator[tuple[str, bytes]]:
    """Each file's path inside the folder and its content, one after another as they are made.

    on: the date on the paper, else today; picture: whether the booklet's cover shows the boat, which needs OpenGL: where there
    is none, it does without. boards: names of boards, or of panels for all their boards, of which alone patterns and pages are
    made; empty: everything. tool [m], tabs: of the sheets' DXF, whose sharp inner corners are opened for such a tool. Raises
    SketchError where nothing is planned or no board is so called.
    """
    scene = plan.evaluation.scene
    if not plan.patterns and not plan.stringers:
        planned = any(shape.panel.built == "planned" for shape in plan.evaluation.layout.panels)
        raise SketchError(
            "there is nothing to build: the gaps leave nothing of any panel"
            if planned
            else "there is nothing to build: no panel is planned",
            "Check `gap` under `cutting`." if planned else "Panels that are `built: planned`, as new ones are, are cut.",
            scene.file,
        )
    day, unit = on or date.today(), units or scene.units
    read_on = home_paper(paper, unit)
    chosen = chosen_boards(plan, boards)
    if boards:
        yield "booklet.pdf", boards_alone(plan, chosen, read_on, unit, day)
    else:
        yield "booklet.pdf", booklet(plan, read_on, unit, day, _cover(plan, unit) if picture else None)
    note = f"{scene.name}, {scene.hull.name}; {stamp(scene, day)}"
    numbered = [(number, pattern) for number, pattern in enumerate(plan.drawn, 1) if pattern in chosen]
    if numbered:
        yield "labels.pdf", as_pdf(list(board_labels(numbered, read_on, note, unit)), "Labels")
    yield from _patterns(plan, chosen, paper, note, unit)
    if boards:
        return
    if plan.supports:
        yield SUPPORT_ENDS, as_pdf(list(support_wraps(plan.supports, read_on, note, unit)), "Ends of supports")
    for layout in plan.sheets:
        for number in range(len(layout.nesting.sheets)):
            sheet = sheet_drawing(layout, number, _SHEET_WIDTH, unit, plan.patterns)
            # A file's name is the sheet's in millimetres: 1/2 in is no name for a file.
            name = f"sheets/{_file_name(words(layout.sheet_name(number)))}"
            yield f"{name}.svg", as_svg(sheet).encode()
            yield f"{name}.dxf", sheet_dxf(layout, number, {each.name: each for each in plan.patterns}, unit, tool, tabs)
    for name, text in tables(plan, unit):
        yield f"lists/{name}.csv", text.encode()
    yield from _solids(plan)


def chosen_boards(plan: BuildPlan, names: Sequence[str]) -> tuple[Pattern, ...]:
    """The boards of these names, all where there is none. Raises SketchError with the nearest right name."""
    for name in names:
        if not any(name.casefold() in (each.name.casefold(), each.panel.casefold()) for each in plan.drawn):
            known = [called for each in plan.drawn for called in (each.panel, each.name)]
            near = nearest(name, known)
            raise SketchError(
                f"there is no board called `{name}`",
                f"Did you mean `{near}`?" if near else f"Panels with boards: {', '.join(dict.fromkeys(known[::2]))}.",
            )
    wanted = {name.casefold() for name in names}
    return tuple(each for each in plan.drawn if not wanted or {each.name.casefold(), each.panel.casefold()} & wanted)


def _patterns(plan: BuildPlan, chosen: Sequence[Pattern], paper: PaperName, note: str, unit: str) -> Iterator[tuple[str, bytes]]:
    """The boards' drawings at true size, on paper but for those that need none. note: at the foot of each page."""
    names = distinct_names([pattern.name for pattern in plan.drawn])
    for pattern, name in zip(plan.drawn, names, strict=True):
        if pattern not in chosen:
            continue
        drawing = true_size(pattern, unit)
        if not told_in_a_line(pattern):
            pages = tiled(drawing, paper, note, unit)
            on = "a roll" if paper == "roll" else paper.upper()
            yield f"patterns/{name}, true size on {on}.pdf", as_pdf(pages, drawing.title)
        yield f"patterns/{name}.svg", as_svg(drawing).encode()
        yield f"patterns/{name}.dxf", as_dxf(drawing)


_IN_LISTS = {"cm": (10.0, 2), "m": (1000.0, 4), "in": (25.4, 3), "ft": (304.8, 4)}
"""Millimetres in a unit (an inch: exactly, since 1959), and decimals of lengths in lists, as fine as tenths of a millimetre."""
_LENGTH = re.compile(r"-?\d+(?:\.\d+)?")


def _list_in(text: str, unit: str) -> str:
    """A list whose lengths are in millimetres with its columns `_mm` in another unit, and so called.

    >>> _list_in("board,gap_mm,kg\\nmain,11.1,2.1\\n", "in")
    'board,gap_in,kg\\nmain,0.437,2.1\\n'
    """
    if unit not in _IN_LISTS:
        return text
    head, *rows = csv.reader(io.StringIO(text))
    lengths = {k for k, name in enumerate(head) if name.endswith("_mm")}
    return build_lists.as_table(
        [f"{name[:-3]}_{unit}" if k in lengths else name for k, name in enumerate(head)],
        ([_cell_in(cell, unit) if k in lengths else cell for k, cell in enumerate(row)] for row in rows),
    )


def _cell_in(cell: str, unit: str) -> str | float:
    """Each length of a cell in another unit; a single one stays a number."""
    size, places = _IN_LISTS[unit]
    if _LENGTH.fullmatch(cell):
        return round(float(cell) / size, places) + 0.0
    return _LENGTH.sub(lambda number: f"{float(number[0]) / size:.{places}f}", cell)


def tables(plan: BuildPlan, unit: str = "mm") -> Iterator[tuple[str, str]]:
    """Each list's name and its text as CSV, in `unit`; lists in which nothing would stand are left out."""
    for name, text in tables_in_mm(plan, unit):
        yield name, _list_in(text, unit)


def tables_in_mm(plan: BuildPlan, unit: str) -> Iterator[tuple[str, str]]:
    """The same with their columns `_mm` still in millimetres, words in `unit`."""
    scene = plan.evaluation.scene
    yield "cutting list", build_lists.cutting_list(plan.patterns, unit)
    yield "offsets", build_lists.offsets_table(plan.drawn, scene.cutting, scene.units)
    yield "bevels", build_lists.bevels_table(plan.drawn)
    yield "diagonals", build_lists.diagonals_table(plan.drawn)
    yield "places", build_lists.places_table(plan.drawn)
    yield (
        "as built",
        build_lists.as_built_table([(each, plan.read_places.get(each.name, ())) for each in plan.patterns], scene.cutting),
    )
    yield "sheets", build_lists.sheets_table(plan.sheets, unit)
    wanted: list[tuple[str, bool, Callable[[], str]]] = [
        ("stringers", bool(plan.stringers), lambda: build_lists.stringers_table(plan.stringers)),
        ("stringer backs", bool(plan.stringers), lambda: build_lists.backs_table(plan.stringers)),
        ("supports", bool(plan.supports), lambda: build_lists.supports_table(plan.supports)),
        ("cleats", bool(plan.cleats), lambda: build_lists.cleats_table(plan.cleats)),
        ("joints", bool(plan.joints), lambda: build_lists.joints_table(plan.joints, unit)),
        ("ways below", bool(plan.passages), lambda: build_lists.passages_table(plan.passages)),
        ("order of work", bool(plan.steps), lambda: build_lists.order_of_work(plan.steps, unit)),
        ("leak tests", bool(plan.leak_tests), lambda: build_lists.leak_tests_table(plan.leak_tests, unit)),
    ]
    for name, there, made in wanted:
        if there:
            yield name, made()
    if plan.bonding is not None:
        yield "seams", build_lists.seams_table(plan.bonding)
        yield "lay-up", build_lists.lay_up_table(plan.bonding)
        if plan.bonding.screws:
            yield "screws", build_lists.screws_table(plan.bonding)
    if plan.purchases:
        scene = plan.evaluation.scene
        costs = costs_of(plan.purchases, scene.prices, scene.units) if scene.prices.of else None
        yield "shopping list", build_lists.shopping_list(plan.purchases, unit, costs)


def _solids(plan: BuildPlan) -> Iterator[tuple[str, bytes]]:
    """Hull, panels and spaces as they are planned, and the boards as they are cut."""
    parts, boards = list(solids(plan.evaluation)), list(boards_as_cut(plan.patterns))
    yield "solids/boat.glb", as_glb(parts)
    yield "solids/boards as cut.glb", as_glb(boards)
    fingerprint = scene_fingerprint(plan.evaluation.scene)
    names = distinct_names([f"{part.kind}, {part.name}" for part in (*parts, *boards)])
    for part, name in zip((*parts, *boards), names, strict=True):
        yield f"solids/{name}.stl", as_stl(part.mesh, f"{part.name}; {fingerprint}")


def _cover(plan: BuildPlan, unit: str) -> bytes | None:
    from sketcher.outputs.scene3d.picture import picture_if_drawn

    return picture_if_drawn(plan.evaluation, unit)


def distinct_names(names: list[str]) -> list[str]:
    """Names as files may have them, numbered where two would be the same.

    >>> distinct_names(["tank top", "Tank/top", "tank: top"])
    ['tank top', 'Tank top (2)', 'tank top (3)']
    """
    distinct: list[str] = []
    taken: dict[str, int] = {}
    for name in names:
        safe = _file_name(name)
        key = safe.casefold()
        taken[key] = taken.get(key, 0) + 1
        distinct.append(safe if taken[key] == 1 else f"{safe} ({taken[key]})")
    return distinct


def _file_name(name: str) -> str:
    """A name without what file systems refuse; letters of any alphabet stay."""
    kept = "".join(c if c not in '<>:"/\\|?*' and unicodedata.category(c)[0] != "C" else " " for c in name)
    return re.sub(r"\s+", " ", kept).strip(" .")[:80] or "board"
