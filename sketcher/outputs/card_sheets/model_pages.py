"""A card model as pages to print: what to know and the order of gluing first, then the sheets to cut out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sketcher.analysis.cut.card.parts import CardModel
from sketcher.geometry.packing.nesting import Watch
from sketcher.model.errors import SketchError
from sketcher.model.scene import Scene
from sketcher.outputs.card_sheets.card_sheet import (
    AWAY,
    BAR,
    CUT,
    EDGE,
    SKIN_LINE,
    STANDS,
    TOWARDS,
    LaidParts,
    card_sheets,
    footing,
    laid_out,
)
from sketcher.outputs.card_sheets.model_words import faults, judged_whole, left_out, steps
from sketcher.outputs.drawing import pdf
from sketcher.outputs.drawing.recording import Drawing, Item, LineStyle, Words, line
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.outputs.paper.tile_grid import PAPERS, PaperName

_LINE, _TEXT, _SMALL = 5.0, 3.2, 2.6
"""[mm] from line to line, and heights of lettering."""

_LEGEND: tuple[tuple[LineStyle, str], ...] = (
    (CUT, "cut"),
    (AWAY, "score and fold away from you"),
    (TOWARDS, "score and fold towards you"),
    (STANDS, "another part stands here: the one of this number"),
    (SKIN_LINE, "the skin's inside, not cut"),
)


def model_pages(
    scene: Scene, model: CardModel, paper: PaperName, watch: Watch | None = None
) -> tuple[tuple[Drawing, ...], LaidParts]:
    """All pages, and which part is on which sheet. Raises SketchError where a part lies on no sheet of that paper."""
    laid = laid_out(model, paper, watch)
    if laid.nesting.left_out:
        raise SketchError(f"{laid.nesting.left_out[0]!r} does not lie on a sheet", "Take a larger --paper or a larger --scale.")
    foot = f"{scene.hull.name}, 1 : {model.of.scale:g}, card {model.of.card:g} mm"
    return (*_first_pages(scene, model, laid, paper, foot), *card_sheets(model, laid, paper, foot)), laid


def wrapped(text: str, room: float, size: float) -> list[str]:
    """A text in lines no wider than a room [mm]."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and pdf.measured(longer, size) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _first_pages(scene: Scene, model: CardModel, laid: LaidParts, paper: PaperName, foot: str) -> Iterator[Drawing]:
    width, height = PAPERS[paper]
    items, y = _head(scene, model, width, height)
    rows = [(str(number), name, f"sheet {laid.sheets[name] + 1}", does) for number, name, does in steps(model)]
    first = True
    while rows or first:
        if not first:
            items, y = [], height - EDGE - 8.0
        items.append(Words((EDGE, y), "Order of gluing" if first else "Order of gluing, continued", 4.0, INK, "text", bold=True))
        y -= 7.0
        drawn, rows = _rows(rows, y, width)
        items += [*drawn, *footing(foot, width)]
        yield Drawing(title="Card model" if first else "Order of gluing", width=width, height=height, items=tuple(items))
        first = False


def _rows(
    rows: Sequence[tuple[str, str, str, str]], y: float, width: float
) -> tuple[list[Item], list[tuple[str, str, str, str]]]:
    """As many rows as a page takes, and those that are left."""
    items: list[Item] = []
    columns = (EDGE, EDGE + 9.0, EDGE + 66.0, EDGE + 82.0)
    for k, row in enumerate(rows):
        does = wrapped(row[3], width - EDGE - columns[3], _SMALL)
        name = wrapped(row[1], columns[2] - columns[1] - 2.0, _SMALL)
        high = 3.8 * max(len(does), len(name)) + 0.6
        if y - high < EDGE + 12.0:
            return items, list(rows[k:])
        items.append(Words((columns[0], y), row[0], _SMALL, INK, "text", bold=True))
        items += [Words((columns[1], y - 3.8 * n), text, _SMALL, INK, "text") for n, text in enumerate(name)]
        items.append(Words((columns[2], y), row[2], _SMALL, PENCIL, "text"))
        items += [Words((columns[3], y - 3.8 * n), text, _SMALL, INK, "text") for n, text in enumerate(does)]
        y -= high
    return items, []


def _head(scene: Scene, model: CardModel, width: float, height: float) -> tuple[list[Item], float]:
    """Title, the line to check the print by, what the lines mean, what is left out; and where the rest may begin."""
    y = height - EDGE - 8.0
    items: list[Item] = [Words((EDGE, y), f"{scene.hull.name}: card model 1 : {model.of.scale:g}", 6.0, INK, "text", bold=True)]
    y -= 6.0
    items.append(Words((EDGE, y), scene.name, _TEXT, PENCIL, "text"))
    y -= 9.0
    items += [
        line([(EDGE, y), (EDGE + BAR, y)], LineStyle(INK, 0.3), "check"),
        *(
            line([(EDGE + 10.0 * k, y), (EDGE + 10.0 * k, y + (3.0 if k % 5 == 0 else 1.5))], LineStyle(INK, 0.3), "check")
            for k in range(11)
        ),
        Words((EDGE + BAR + 4.0, y), "100 mm. Print at 100 %, never “fit to page”.", _TEXT, ACCENT, "check", bold=True),
    ]
    y -= 8.0
    for style, says in _LEGEND:
        items += [
            line([(EDGE, y + 1.0), (EDGE + 16.0, y + 1.0)], style, "text"),
            Words((EDGE + 20.0, y), says, _TEXT, INK, "text"),
        ]
        y -= _LINE
    y -= 2.0
    said = [
        f"Card {model.of.card:g} mm thick: slots are as wide. The printed face of a panel is its forward, port or upper one, "
        "that of skin its inside.",
        *left_out(scene, model),
        judged_whole(model),
        *(f"Mind: {each}." for each in faults(model)),
    ]
    for text in said:
        for row in wrapped(text, width - 2 * EDGE, _TEXT):
            items.append(Words((EDGE, y), row, _TEXT, INK, "text"))
            y -= _LINE * 0.9
        y -= 1.2
    return items, y - 4.0
