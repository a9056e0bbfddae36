"""Pages of text, tables and figures, set under each other and broken where they must be, with head, foot and page number."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    Image,
    KeepTogether,
    PageBreakIfNotEmpty,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from sketcher.outputs.drawing.pdf import draw_items, measured, register_fonts
from sketcher.outputs.drawing.recording import Drawing, Item, LineStyle, Spot, Words, line
from sketcher.outputs.fonts import BOLD, REGULAR
from sketcher.outputs.palette import ACCENT, FAINT, INK, PENCIL
from sketcher.outputs.paper.tile_grid import PAPERS, PaperName
from sketcher.outputs.wording.quantities import shortened

SIDE, TOP, BOTTOM = 18.0, 24.0, 20.0
"""[mm] of paper left free at the sides (room for punched holes), above and below."""

FOOT_LINE = 11.0
"""[mm] The base line of a page's foot."""

BODY, TABLE, LARGE = 3.5, 3.0, 4.2
"""[mm] heights of lettering: text, tables, and what is read at arm's length with glue on the hands."""

LEADING = 1.4
CELL = 1.2
"""[mm] of paper on each side of a table's cell."""

ROW_GAP, GUTTER = 0.6, 6.0
"""[mm] below a table's row, and between columns of a page."""

_AFTER = 8.0
"""[mm] of a page left by what is kept on one, so that the space behind it begins no other page."""

TICK = 8.0
"""[mm] from the edge of the text to what stands behind a box to tick."""

_COUNT = "pages"
_ALL = ((0, 0), (-1, -1))
"""A table's cells, first to last."""


class _Strip(Flowable):  # type: ignore[misc]
    """Recorded items drawn from (0, 0) on so much paper [mm]."""

    def __init__(self, items: Iterable[Item], width: float, height: float, scale: float = 1.0) -> None:
        super().__init__()
        self.items, self.width, self.height, self.scale = tuple(items), width * mm, height * mm, scale * mm

    def draw(self) -> None:
        self.canv.scale(self.scale, self.scale)
        draw_items(self.canv, self.items)


class _Line(Flowable):  # type: ignore[misc]
    """A cell's words where one line holds them: as a paragraph of one line lies, in a fifth of its time."""

    def __init__(self, text: str, style: ParagraphStyle) -> None:
        super().__init__()
        self.text, self.style = text, style

    def wrap(self, width: float, _: float) -> tuple[float, float]:
        self.width, self.height = width, self.style.leading
        return width, self.height

    def draw(self) -> None:
        style = self.style
        self.canv.setFillColor(style.textColor)
        self.canv.setFont(style.fontName, style.fontSize)
        base = self.height - style.fontSize
        if style.alignment == TA_RIGHT:
            self.canv.drawRightString(self.width, base, self.text)
        else:
            self.canv.drawString(0.0, base, self.text)


class _Kept(KeepTogether):  # type: ignore[misc]
    """What belongs together on one page."""

    def __init__(self, parts: list[Flowable]) -> None:
        super().__init__(parts)
        self.parts = parts


class _PageCount(Flowable):  # type: ignore[misc]
    """How many pages there are, at a place [mm] on each page: a form that all of them show, filled in at the end."""

    def __init__(self, at: Spot) -> None:
        super().__init__()
        self.at = at

    def draw(self) -> None:
        count = str(self.canv.getPageNumber())
        self.canv.beginForm(_COUNT)
        self.canv.scale(mm, mm)
        draw_items(self.canv, [Words(self.at, count, TABLE, PENCIL, "text")])
        self.canv.endForm()


class Pages:
    """A run of pages being filled from the top. across: width of the text [mm]; most: height of a page's text [mm].

    flat: the paper lies on its long side.
    """

    def __init__(self, paper: PaperName, head: str, foot: str, *, flat: bool = False) -> None:
        self.head, self.foot = head, foot
        self.width, self.height = sorted(PAPERS[paper], reverse=flat)
        self.across, self.most = self.width - 2 * SIDE, self.height - TOP - BOTTOM
        self._parts: list[Flowable] = []
        register_fonts()

    def new_page(self) -> None:
        """Begin a page, unless this one is still empty."""
        self._parts.append(PageBreakIfNotEmpty())

    def need(self, height: float) -> None:
        """Begin a page where less than a height [mm] is left on this one."""
        self._parts.append(CondPageBreak(height * mm))

    def space(self, height: float) -> None:
        """Leave some paper free [mm]."""
        self._parts.append(Spacer(0.0, height * mm))

    def kept(self, *draws: Callable[[], None]) -> None:
        """Draw what belongs together on one page, in the first way that fits on one; in the last where none does."""
        for draw in draws:
            part = self._drawn(draw)
            if self._whole(part):
                break
        self._parts.append(_Kept(part))

    def kept_if_whole(self, *draws: Callable[[], None]) -> bool:
        """Draw what belongs together in the first way that fits on one page; nothing, and False, where none does."""
        for draw in draws:
            part = self._drawn(draw)
            if self._whole(part):
                self._parts.append(_Kept(part))
                return True
        return False

    def _whole(self, part: list[Flowable]) -> bool:
        return bool(_grid([[part]], [self.across]).wrap(0.0, 0.0)[1] <= (self.most - _AFTER) * mm)

    def beside(self, width: float, figure: Sequence[Item], height: float, draw: Callable[[], None]) -> None:
        """A figure of a width and height [mm], and what is drawn to its right, on one page."""
        self.across -= width
        part = self._drawn(draw)
        self._parts.append(_grid([[_Strip(figure, width, height), part]], [width, self.across]))
        self.across += width

    def _drawn(self, draw: Callable[[], None]) -> list[Flowable]:
        """What a function draws, taken off the pages again, without its places to break a page."""
        start = len(self._parts)
        draw()
        part = [each for each in self._parts[start:] if not isinstance(each, CondPageBreak)]
        del self._parts[start:]
        # What is kept within what is kept needs no keeping of its own.
        return [own for each in part for own in (each.parts if isinstance(each, _Kept) else [each])]

    def heading(self, text: str, size: float = 6.0, keep: float = 30.0) -> None:
        """A heading, with so much room [mm] for what follows it on the same page."""
        self.need(size * 2 + keep)
        self.text(text, size, bold=True)

    def text(self, text: str, size: float = BODY, colour: str = INK, bold: bool = False, indent: float = 0.0) -> None:
        """A paragraph."""
        self._parts.append(_paragraph(text, size, colour, bold, indent=indent))

    def caution(self, text: str) -> None:
        """What to mind, in a frame, before the act it belongs to."""
        row = [_paragraph("Warning", BODY, ACCENT, bold=True), _paragraph(text, BODY)]
        frame = [("BOX", *_ALL, 0.4 * mm, ACCENT), ("LEFTPADDING", *_ALL, 2.0 * mm), ("TOPPADDING", *_ALL, 1.0 * mm)]
        self._parts.append(_grid([row], [24.0, self.across - 24.0], *frame, after=2.0))

    def ticked(self, text: str, size: float = LARGE, bold: bool = False) -> None:
        """A paragraph behind a box to tick."""
        corners = [(0.0, 0.0), (size, 0.0), (size, size), (0.0, size)]
        box = _Strip([line(corners, LineStyle(INK, 0.3), "text", closed=True)], size, size)
        self._parts.append(_grid([[box, _paragraph(text, size, bold=bold)]], [TICK, self.across - TICK]))

    def blanks(self, labels: Sequence[str], columns: int = 2) -> None:
        """Lines to write on, each with its label, side by side."""
        names = [max((measured(label, TABLE) for label in labels[k::columns]), default=0.0) + GUTTER for k in range(columns)]
        widths = [width for name in names for width in (name, self.across / columns - name)]
        cells = [[cell for label in labels[k : k + columns] for cell in (label, "")] for k in range(0, len(labels), columns)]
        lettering = [("FONT", *_ALL, REGULAR, TABLE * mm), ("TEXTCOLOR", *_ALL, PENCIL), ("VALIGN", *_ALL, "BOTTOM")]
        lettering += [("LEFTPADDING", (1, 0), (-1, -1), GUTTER / 2 * mm)]
        lines = [("LINEBELOW", (k, 0), (k, -1), 0.15 * mm, FAINT) for k in range(1, 2 * columns, 2)]
        self._parts.append(_grid(cells, widths, *lettering, *lines, after=4.0, height=9.0))

    def figure(self, drawing: Iterable[Item], height: float, scale: float = 1.0) -> None:
        """Items drawn from (0, 0), on a strip of the text's width and a height [mm]; scale: how much smaller they are drawn."""
        self._parts.append(_Strip(drawing, self.across, height, scale))

    def shrunk(self, drawing: Drawing, height: float) -> None:
        """A drawing made smaller, if it must be, to fit the text's width and a height [mm]."""
        scale = min(1.0, self.across / drawing.width, height / drawing.height)
        self.figure(drawing.items, drawing.height * scale, scale)

    def image(self, png: bytes, height: float) -> None:
        """A picture in the middle of the text's width, as large as that and a height [mm] allow."""
        picture = Image(io.BytesIO(png), kind="proportional", width=self.across * mm, height=height * mm)
        self._parts += [picture, Spacer(0.0, 3.0 * mm)]

    def table(
        self,
        head: Sequence[str],
        rows: Sequence[Sequence[str]],
        align: str = "",
        size: float = TABLE,
        wide: bool = False,
        low: bool = False,
    ) -> None:
        """A table as wide as it needs to be; where that is too wide, the widest columns are broken into lines.

        align: `<` or `>` for each column, left where not said. wide: drawn out to the text's width, to write in. low:
        no row is nearly as high as a page, so none needs to be parted between two.
        """
        if not rows:
            return
        widths = self._column_widths(head, rows, size)
        if wide:
            widths = [width * self.across / sum(widths) for width in widths]
        self.need(5 * size * LEADING)
        self._parts.append(_table(head, rows, widths, align, size, low))

    def columns(self, head: Sequence[str], rows: Sequence[Sequence[str]], align: str = "", size: float = TABLE) -> None:
        """A long, narrow table in as many columns side by side as the page takes."""
        widths = self._column_widths(head, rows, size)
        count = int(self.across // (sum(widths) + GUTTER))
        if count < 2:
            self.table(head, rows, align, size)
            return
        # Rows of tables so narrow are of one line each.
        most = count * (int(self.most / (size * LEADING + ROW_GAP)) - 4)
        for start in range(0, len(rows), most):
            part = rows[start : start + most]
            each = -(-len(part) // count)
            tables = [_table(head, part[k : k + each], widths, align, size) for k in range(0, len(part), each)]
            self._parts.append(_grid([tables], [self.across / count] * len(tables)))

    def _column_widths(self, head: Sequence[str], rows: Sequence[Sequence[str]], size: float) -> list[float]:
        """The width of each column [mm]; where there is too little room the widest are narrowed, none below its longest word."""
        edges = 2 * CELL + 0.5
        widths = [
            max(measured(name, size, bold=True), *(measured(row[k], size) for row in rows)) + edges for k, name in enumerate(head)
        ]
        least = [max((measured(word, size, bold=True) for word in name.split()), default=0.0) + edges for name in head]
        while sum(widths) > self.across:
            k = max((k for k in range(len(widths)) if widths[k] > least[k]), key=lambda k: widths[k], default=None)
            if k is None:
                break
            over = sum(widths) - self.across
            widths[k] -= max(min(over, widths[k] * 0.1, widths[k] - least[k]), min(over, 0.1))
        return widths

    def pdf(self, title: str) -> bytes:
        """The pages as a PDF, each with the head, the foot and its number."""
        out = io.BytesIO()
        paper = (self.width * mm, self.height * mm)
        document = BaseDocTemplate(out, pagesize=paper, title=title, creator="sketcher", invariant=1, pageCompression=1)
        frame = Frame(SIDE * mm, BOTTOM * mm, self.across * mm, self.most * mm, *[0.0] * 4)
        document.addPageTemplates(PageTemplate(frames=[frame], onPage=self._edges))
        document.build([*self._parts, _PageCount((self._number_ends + 1.0, FOOT_LINE))])
        return out.getvalue()

    @property
    def _number_ends(self) -> float:
        """Where a page's own number ends [mm], with room for how many there are behind it."""
        return self.width - SIDE - measured(" 000", TABLE)

    def _edges(self, canvas: Any, document: Any) -> None:
        number, right = f"page {document.page} of", self.width - SIDE
        head = shortened(self.head, self.across, lambda text: measured(text, TABLE))
        room = self._number_ends - SIDE - measured(number, TABLE) - GUTTER
        foot = shortened(self.foot, room, lambda text: measured(text, 2.4))
        items: list[Item] = [
            Words((SIDE, self.height - 14.0), head, TABLE, PENCIL, "text"),
            line([(SIDE, self.height - 16.0), (right, self.height - 16.0)], LineStyle(FAINT, 0.15), "text"),
            Words((SIDE, FOOT_LINE), foot, 2.4, PENCIL, "text"),
            Words((self._number_ends, FOOT_LINE), number, TABLE, PENCIL, "text", "end"),
        ]
        canvas.saveState()
        canvas.scale(mm, mm)
        draw_items(canvas, items)
        canvas.restoreState()
        canvas.doForm(_COUNT)


@cache
def _style(size: float, colour: str, bold: bool, right: bool, indent: float) -> ParagraphStyle:
    return ParagraphStyle(
        "",
        fontName=BOLD if bold else REGULAR,
        fontSize=size * mm,
        leading=size * LEADING * mm,
        textColor=colour,
        alignment=TA_RIGHT if right else TA_LEFT,
        leftIndent=indent * mm,
        spaceAfter=size * 0.3 * mm,
    )


def _paragraph(
    text: str, size: float, colour: str = INK, bold: bool = False, right: bool = False, indent: float = 0.0
) -> Paragraph:
    # An empty paragraph would have no height to write in.
    return Paragraph(escape(text) or "\u00a0", _style(size, colour, bold, right, indent))


def _cell(text: str, width: float, size: float, bold: bool, right: bool) -> Flowable:
    """A table's cell, so much [mm] wide within its edges: one line, or a paragraph of more."""
    style = _style(size, INK, bold, right, 0.0)
    plain = text != "" and text == " ".join(text.split())
    if plain and stringWidth(text, style.fontName, style.fontSize) < width * mm:
        return _Line(text, style)
    return _paragraph(text, size, bold=bold, right=right)


def _table(
    head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float], align: str, size: float, low: bool = False
) -> Table:
    """A table with its head repeated on each page and a rule below each row."""
    sides = [side == ">" for side in align.ljust(len(head))]
    cells = [
        [_cell(text, wide - 2 * CELL, size, row is head, right) for text, wide, right in zip(row, widths, sides, strict=True)]
        for row in (head, *rows)
    ]
    padding = [("LEFTPADDING", *_ALL, CELL * mm), ("RIGHTPADDING", *_ALL, CELL * mm), ("BOTTOMPADDING", *_ALL, ROW_GAP * mm)]
    rules = [("LINEBELOW", *_ALL, 0.15 * mm, FAINT), ("LINEBELOW", (0, 0), (-1, 0), 0.25 * mm, INK)]
    return _grid(cells, widths, *padding, *rules, after=4.0, head=1, parted=not low)


def _grid(
    cells: Sequence[Sequence[Any]],
    widths: Sequence[float],
    *style: Any,
    after: float = 0.0,
    height: float | None = None,
    head: int = 0,
    parted: bool = False,
) -> Table:
    """Cells of widths [mm] side by side, row below row, without edges unless a style says so."""
    bare = [("VALIGN", *_ALL, "TOP"), *((f"{side}PADDING", *_ALL, 0.0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM"))]
    return Table(
        cells,
        [width * mm for width in widths],
        None if height is None else height * mm,
        style=[*bare, *style],
        hAlign="LEFT",
        repeatRows=head,
        splitInRow=int(parted),
        spaceAfter=after * mm,
    )
