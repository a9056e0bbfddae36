"""The page of the build: boards on their sheets, what to buy, and the lists to read and take away."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from urllib.parse import quote

from sketcher.analysis.cut.boards.nesting import SheetLayout
from sketcher.analysis.cut.plan import BuildPlan
from sketcher.analysis.cut.results import Pattern
from sketcher.analysis.sources import SOURCES
from sketcher.geometry.caching import remembered
from sketcher.model.scene import Scene
from sketcher.model.units import UNITS
from sketcher.outputs.drawing.recording import Words
from sketcher.outputs.drawing.svg import as_svg
from sketcher.outputs.paper.sheets_paper import sheet_drawing
from sketcher.outputs.paper.tile_grid import PaperName
from sketcher.outputs.wording.kinds import kinds
from sketcher.outputs.wording.quantities import area, area_unit, length, length_with_unit, plain
from sketcher.outputs.wording.sentences import capitalized
from sketcher.outputs.wording.sentences import words as in_words
from sketcher.web.state import BuildState, PageState
from sketcher.web.ui.html import Markup, button, join, tag
from sketcher.web.ui.margin.findings import kind_item

SHEET_WIDTH = 111.0
"""[mm] of paper across which a sheet is drawn on the page: at its least width there, 560 pixels, lettering is 11 pixels high."""
LEAST_TYPE = 2.2
"""[mm]: height of the smallest lettering there."""
PAPER_WORDS: dict[PaperName, str] = {
    "a4": "A4",
    "letter": "Letter",
    "a3": "A3",
    "a1": "A1, printed by a shop",
    "a0": "A0, printed by a shop",
    "roll": "a roll as wide as A0, printed by a shop",
}
OPEN_LISTS = ("shopping list", "cutting list")
MOST_ROWS = 300
"""Rows of a list on the page; a longer one is for a spreadsheet."""
FIRST_LISTS = ("shopping list", "cutting list", "order of work", "seams", "leak tests", "joints", "ways below")


def build_part(state: PageState) -> Markup:
    """The whole page of the build; nothing while another page is seen."""
    if state.look.arrangement != "build":
        return Markup("")
    now = state.build
    head = tag("div", tag("h2", "Build"), *_head(now, unsaved=state.unsaved), class_="head")
    if now.plan is None:
        return head
    if not now.plan.patterns and not now.plan.stringers:
        return join(head, tag("p", "No panel is planned, so there is nothing to cut. New ones are, until built."))
    units = state.evaluation.scene.units
    noticed, sheets = _noticed(now.plan, state.evaluation.scene), _sheets(now.plan, units)
    grave = any(finding.severity != "note" for finding in now.plan.findings)
    body = (*((noticed, sheets) if grave else (sheets, noticed)), _lists(now.plan, units, current=now.current))
    return join(head, tag("div", *body, class_="made" if now.current else "made old"))


def _noticed(plan: BuildPlan, scene: Scene) -> Markup | None:
    found = [kind_item(kind, scene) for kind in kinds(plan.findings)]
    return tag("section", tag("h2", "Noticed"), tag("ul", *found, class_="findings"), data_key="noticed") if found else None


def _head(now: BuildState, *, unsaved: bool) -> list[Markup | None]:
    """What is under way or can be done, and whether what is shown is of the layout as it stands."""
    if now.doing == "plan":
        words = (
            f"Boards are laid on sheets in several orders: {now.done} of at most {now.most} placings"
            if now.most
            else "Patterns are found…"
        )
        bar = tag("progress", value=now.done, max=max(now.most, 1), aria_label="How far it is")
        return [tag("p", words, role="status"), bar, button("Stop, keep the best so far", "build_stop", class_="plain")]
    if now.doing == "folder":
        return [
            tag("p", "Booklet, patterns and drawings are written…", role="status"),
            tag("progress"),
            button("Stop", "build_stop", class_="plain"),
        ]
    problem = tag("p", now.problem, class_="problem", role="alert") if now.problem else None
    if now.plan is None:
        words = "Once you rest, every planned panel is cut, laid on sheets, and what bonds it worked out, beside your work."
        return [problem, tag("p", words), button("Work it out", "build", class_="main")]
    if not now.current:
        words = "The layout has changed since: do not cut by these; they are worked out again once you rest."
        return [problem, tag("p", words, class_="problem", role="status"), button("Work it out again", "build", class_="main")]
    stopped = "Stopped early: with more time fewer sheets might do. " if now.stopped else ""
    said = tag("p", f"{stopped}Of the layout as it stands. Check by tape in the boat before you cut.")
    return [problem, said, *_folder(now, unsaved=unsaved)]


def _folder(now: BuildState, *, unsaved: bool) -> list[Markup | None]:
    """The folder that is carried to the boat, made from the saved file."""
    if now.plan is None or not (now.plan.patterns or now.plan.stringers):
        return []
    again = button("Work it out again", "build", class_="plain") if now.stopped else None
    if now.folder:
        words = f"Take the build folder ({plain(now.folder / 1e6, 1)} MB, ZIP)"
        return [again, tag("a", words, href="/download/build.zip", download=True, class_="plain"), _paper(now)]
    if unsaved:
        return [again, tag("p", "Save first: booklet and patterns name the file that they are made of.", class_="small")]
    return [
        again,
        button("Make the build folder", "build_folder", class_="main", title="Booklet, true-size patterns, DXF, lists"),
        _paper(now),
    ]


def _paper(now: BuildState) -> Markup:
    """What the patterns at true size are printed on."""
    options = [tag("option", word, value=name, selected=name == now.paper) for name, word in PAPER_WORDS.items()]
    return tag("label", "Patterns on ", tag("select", *options, data_do="build_paper", data_key="paper"), class_="small")


@remembered(2)
def _sheets(plan: BuildPlan, units: str) -> Markup:
    """Every sheet with its boards, and what remains of it."""
    drawn = [
        tag(
            "figure",
            Markup(_drawing(layout, number, units, plan.patterns)),
            tag("figcaption", _sheet_words(layout, number, units)),
        )
        for layout in plan.sheets
        for number in range(len(layout.nesting.sheets))
    ]
    left = [name for layout in plan.sheets for name in layout.nesting.left_out]
    missing = tag("p", f"On no sheet: {', '.join(left)}.", class_="problem") if left else None
    return tag("section", tag("h2", "Sheets"), missing, tag("div", *drawn, class_="sheets"), data_key="sheets")


def _drawing(layout: SheetLayout, number: int, units: str, patterns: tuple[Pattern, ...]) -> str:
    drawing = sheet_drawing(layout, number, SHEET_WIDTH, units, patterns)
    items = (replace(item, size=max(item.size, LEAST_TYPE)) if isinstance(item, Words) else item for item in drawing.items)
    return as_svg(replace(drawing, items=tuple(items)), standalone=False)


def _sheet_words(layout: SheetLayout, number: int, units: str) -> Markup:
    stock, left = layout.nesting.sheets[number], layout.offcuts[number]
    share = sum(placed.outline.area for placed in layout.nesting.placed if placed.sheet == number) / (
        stock.size[0] * stock.size[1]
    )
    source = "to buy" if stock.count is None else "at hand"
    rest = f"{length(left[0], units)} × {length_with_unit(left[1], units)} left over" if left else "nothing worth keeping left"
    size = f"{length(stock.size[0], units)} × {length_with_unit(stock.size[1], units)}"
    words = f"{size}, {source}; {plain(100 * share, 0)} % used, {rest}"
    return join(tag("strong", in_words(layout.sheet_name(number), units)), tag("span", words))


@remembered(2)
def _lists(plan: BuildPlan, units: str, *, current: bool) -> Markup:
    """The lists, those that are looked at most first; they can be taken away while they are of the layout as it stands."""
    from sketcher.outputs.paper.build_files import tables_in_mm

    found = dict(tables_in_mm(plan, units))
    names = [*(name for name in FIRST_LISTS if name in found), *(name for name in found if name not in FIRST_LISTS)]
    return join(*(_list(name, found[name], units, current=current) for name in names))


def _list(name: str, text: str, units: str, *, current: bool) -> Markup:
    head, *rows = csv.reader(text.splitlines())
    take = tag("a", "Take it as CSV", href=f"/download/{quote(name)}.csv", download=True) if current else None
    if "source" in head:
        at = head.index("source")
        rows = [[*row[:at], SOURCES[row[at]].title if row[at] in SOURCES else row[at], *row[at + 1 :]] for row in rows]
    if units != "mm":
        head, rows = _in_units(head, rows, units)
    body = [tag("tr", *(_cell(value) for value in row)) for row in rows[:MOST_ROWS]]
    more = tag("p", f"{len(rows) - MOST_ROWS} more rows in the CSV.", class_="small") if len(rows) > MOST_ROWS else None
    columns = [tag("th", _column(word), scope="col", class_=_kind(rows, k)) for k, word in enumerate(head)]
    table = tag("div", tag("table", tag("thead", tag("tr", *columns)), tag("tbody", *body)), class_="wide", tabindex=0)
    title = tag("summary", tag("span", capitalized(name), class_="name"), tag("span", f"{len(rows)}", class_="unit"))
    return tag(
        "details",
        title,
        tag("p", take, class_="small") if take else None,
        table,
        more,
        open=name in OPEN_LISTS,
        data_key=f"list/{name}",
    )


def _in_units(head: list[str], rows: list[list[str]], units: str) -> tuple[list[str], list[list[str]]]:
    """A list's columns of millimetres, and of square metres where feet are read, in the reader's units."""
    lengths = {k for k, word in enumerate(head) if word.endswith("_mm")}
    areas = {k for k, word in enumerate(head) if word.endswith("_m2")} if area_unit(units) != "m²" else set()

    def cell(k: int, value: str) -> str:
        if not value or k not in lengths | areas:
            return value

        def told(number: re.Match[str]) -> str:
            return length(float(number[0]) / 1000.0, units) if k in lengths else area(float(number[0]), units)

        # A cell may hold several numbers: `138.7 to 273.7; 721.2 to 808.5`.
        return re.sub(r"-?\d+(?:\.\d+)?", told, value)

    heads = [re.sub("_mm$", f"_{units}", word) if k in lengths else word for k, word in enumerate(head)]
    heads = [re.sub("_m2$", "_sqft", word) if k in areas else word for k, word in enumerate(heads)]
    return heads, [[cell(k, value) for k, value in enumerate(row)] for row in rows]


def _column(word: str) -> str:
    """A column's head in words, its unit behind it: `width_mm` is `width, mm`."""
    *words, last = word.split("_")
    units = {"deg": "°", "m2": "m²", "sqft": "sq ft", **{unit: unit for unit in (*UNITS, "kg", "ml", "s")}}
    return f"{' '.join(words)}, {units[last]}" if words and last in units and words[-1] != "per" else " ".join((*words, last))


def _kind(rows: list[list[str]], k: int) -> str | None:
    return "number" if any(row[k] for row in rows) and all(_is_number(row[k]) for row in rows if row[k]) else None


def _cell(value: str) -> Markup:
    return tag("td", value, class_="number" if _is_number(value) else None)


def _is_number(value: str) -> bool:
    """Whether a cell holds a number, fractions of an inch included."""
    try:
        float(value)
    except ValueError:
        return any(c.isdigit() for c in value) and all(c in "0123456789 -/'\"" for c in value)
    return True
