"""A layout on one page to pin up or to send: profile and plan to one true scale, picture, waterline, table, what to mind."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.recording import Item, LineStyle, Words, line, moved
from sketcher.outputs.drawing.views import SCALES, heading, placing_of, plan_height, profile_place, view_items
from sketcher.outputs.palette import INK, PENCIL
from sketcher.outputs.paper.page_flow import BODY, GUTTER, TABLE, Pages
from sketcher.outputs.paper.tile_grid import PaperName
from sketcher.outputs.tables.first import LEVELS, NOTHING_GRAVE, if_holed, tally, verdict
from sketcher.outputs.tables.report import fit_in_words, water_words, waterline_words
from sketcher.outputs.wording.known_spaces import known_spaces
from sketcher.outputs.wording.quantities import counted, length_with_unit, litres, shortened, unit_called
from sketcher.outputs.wording.sentences import capitalized

LARGEST = (168.0, 136.0)
"""Width and height [mm] that the drawings may take, with what stands beside and beneath them."""
ROOM_LEFT, ROOM_RIGHT, ROOM_BELOW, HEADING = 27.0, 7.0, 25.0, 8.0
"""[mm] kept beside the drawings, beneath the plan, and over each of them."""
LETTERS = 2.4
"""Height [mm] of what is written on the drawings' strip."""
KEY_ACROSS, KEY_ROWS = 105, 4
"""Characters in a row of what the numbers in the drawings mean, and its rows: of more spaces the table tells."""
LEAST_ACROSS = 144.0
"""[mm] that such a row takes, and the words over the line that the scale is checked by."""
FOOT = 9.0
"""[mm] at the strip's foot for the line that the scale is checked by."""
PICTURES = (66.0, 52.0, 40.0, 31.0)
"""Heights of the picture [mm], the largest first."""
SAID = ((4, 9999), (3, 9999), (2, 9999), (1, 9999), (1, 300))
"""Lines of the verdict, and characters of each paragraph: as much as the page takes is said."""
MOST_SPACES, MOST_BERTHS = 14, 6
"""Compartments and berths in the tables: the smallest of more are left to the report."""
CHECK = {"in": (101.6, "4 in"), "ft": (101.6, "4 in")}
"""Length [mm] and name of the line that tells whether a printer kept the scale; without an entry 100 mm."""


@dataclass(frozen=True, eq=False)
class _Drawn:
    """Profile over plan: items from (0, 0), and the width and height of the strip they stand on [mm]."""

    items: tuple[Item, ...]
    width: float
    height: float


def one_page(
    evaluation: Evaluation,
    cases: Sequence[FloodingCase],
    units: str,
    on: date,
    picture: bytes | None = None,
    plan_at: float | None = None,
) -> bytes:
    """The page as a PDF, lying on its long side: A4, or letter where lengths are told in inches or feet.

    cases: each space holed by itself, their findings being among the evaluation's; picture: a PNG; plan_at: the plan's height
    [m], None: where it shows most.
    """
    paper: PaperName = "letter" if units in CHECK else "a4"
    told = replace(evaluation, scene=replace(evaluation.scene, units=units))
    scene = evaluation.scene
    pages = Pages(paper, f"{scene.name}, {scene.hull.name}", f"made {on.isoformat()}", flat=True)
    drawn = _to_scale(told, plan_height(evaluation) if plan_at is None else plan_at, units)
    heights = PICTURES if picture is not None else (0.0,)
    pages.kept(*(partial(_fill, pages, told, cases, drawn, high, said, picture) for said in SAID for high in heights))
    return pages.pdf(scene.name)


def _to_scale(evaluation: Evaluation, plan_at: float, units: str) -> _Drawn:
    """At the largest usual scale at which they fit their part of the page."""
    low, high = evaluation.layout.hull.outside.bounds
    length, breadth, depth = ((high - low) * 1000.0).tolist()
    across, up = LARGEST[0] - ROOM_LEFT - ROOM_RIGHT, LARGEST[1] - ROOM_BELOW - FOOT - 2 * HEADING
    fitting = (float(n) for n in SCALES if length / n <= across and (breadth + depth) / n <= up)
    n = next(fitting, float(SCALES[-1]))
    plan_foot = FOOT + ROOM_BELOW
    profile_foot = plan_foot + breadth / n + HEADING
    items: list[Item] = list(_check_line(n, units))
    key: dict[int, str] = {}
    views: tuple[tuple[Kind, float, float], ...] = (
        ("profile", profile_place(evaluation), profile_foot),
        ("plan", plan_at, plan_foot),
    )
    for kind, at, foot in views:
        at_zero = placing_of(kind, n)
        v = "xyz".index(at_zero.axes[1])
        x, y = at_zero.spot(float(low[0]), float(low[v]))
        placing = placing_of(kind, n, (ROOM_LEFT - x, foot - y))
        found, numbers = view_items(evaluation, kind, at, placing, beneath=kind == "plan")
        top = foot + (depth if kind == "profile" else breadth) / n
        words = capitalized(heading(evaluation, kind, at, units))
        items += [*found, Words((0.0, top + 3.0), words, LETTERS, PENCIL, "heading")]
        key |= numbers
    height = profile_foot + depth / n + HEADING
    entries = ";  ".join(f"{number} {words}" for number, words in sorted(key.items()))
    rows = textwrap.wrap(entries, KEY_ACROSS, max_lines=KEY_ROWS, placeholder=" …")
    items += [Words((0.0, -4.0 * k - 3.0), text, LETTERS, INK, "names") for k, text in enumerate(rows)]
    beneath = 4.0 * len(rows)
    width = max(ROOM_LEFT + length / n + ROOM_RIGHT, LEAST_ACROSS)
    return _Drawn(tuple(moved(item, 0.0, beneath) for item in items), width, height + beneath)


def _check_line(scale: float, units: str) -> Iterator[Item]:
    """The scale, and a line to hold a rule to: printed smaller or larger, no length on the page is true."""
    long, called = CHECK.get(units, (100.0, "100 mm"))
    yield line([(0.0, 3.6), (0.0, 2.0), (long, 2.0), (long, 3.6)], LineStyle(INK, 0.2), "text")
    words = f"Drawn 1 : {scale:g}. Print at full size, not fitted to the page: this line is then {called} long."
    yield Words((0.0, 4.6), words, LETTERS, INK, "text")


def _fill(
    pages: Pages,
    evaluation: Evaluation,
    cases: Sequence[FloodingCase],
    drawn: _Drawn,
    high: float,
    said: tuple[int, int],
    picture: bytes | None,
) -> None:
    """Drawings at the left, beside them all else. high: of the picture [mm]; said: of `SAID`."""
    scene, units = evaluation.scene, evaluation.scene.units
    pages.text(scene.name, 6.0, bold=True)
    afloat = f"{water_words(scene.water_density)}; {waterline_words(evaluation.water, units, scene.guessed)}"
    pages.text(f"{scene.hull.name}; {afloat}; lengths in {unit_called(units)}", TABLE, PENCIL)

    def beside() -> None:
        if picture is not None:
            pages.image(picture, high)
        _spaces(pages, evaluation)
        _berths(pages, evaluation, units)
        _to_mind(pages, evaluation, cases, *said)

    pages.beside(drawn.width + GUTTER, drawn.items, drawn.height, beside)


def _spaces(pages: Pages, evaluation: Evaluation) -> None:
    known = list(known_spaces(evaluation))
    told = sorted(known, key=lambda space: -(space.volume or 0.0))[:MOST_SPACES]
    rows = [
        [
            each.name,
            litres(each.volume) if each.volume is not None else f"over {litres(each.at_least)}",
            litres(each.below) if each.below is not None else "not known",
            "yes" if each.space.watertight else "no",
        ]
        for each in known
        if each in told
    ]
    pages.table(["compartment", "litres", "below water", "tight"], rows, "<>><", size=2.7)
    if len(known) > len(told):
        pages.text(f"{counted(len(known) - len(told), 'smaller compartment')}: see the report.", 2.7, PENCIL)


def _berths(pages: Pages, evaluation: Evaluation, units: str) -> None:
    for berth in evaluation.berths[:MOST_BERTHS]:
        clear = length_with_unit(berth.length, units)
        pages.text(f"{capitalized(berth.name)}: clear length {clear}; {fit_in_words(berth, units)}.", 2.7)
    more = len(evaluation.berths) - MOST_BERTHS
    if more > 0:
        pages.text(f"{counted(more, 'more berth')}: see the report.", 2.7, PENCIL)


def _to_mind(pages: Pages, evaluation: Evaluation, cases: Sequence[FloodingCase], lines: int, most: int) -> None:
    """What the owner must know first, and what one hole does."""
    said, units = verdict(evaluation.findings, evaluation.scene.units), evaluation.scene.units
    grave = [finding for finding in evaluation.findings if finding.severity != "note"]
    pages.text(f"First: {tally(grave) if grave else NOTHING_GRAVE}", BODY, bold=True)
    for told in said.lines[:lines]:
        pages.text(shortened(f"{LEVELS[told.level]}: {told.text}", most, len), 2.7)
    more = len(said.left) + len(said.lines[lines:])
    if more:
        pages.text(f"{more} more in the report.", 2.7, PENCIL)
    for number, text in enumerate(if_holed(evaluation, cases, units)):
        pages.text(shortened(text if number else f"If one space is holed: {text}", most, len), 2.7)
    pages.text("Volumes and balance in still water, as good as the measurements; no word of strength.", 2.4, PENCIL)
