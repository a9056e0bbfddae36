"""Pages of text, tables and figures, set under each other and broken where they must be; each becomes a drawing for the PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from sketcher.outputs.drawing.pdf import measured
from sketcher.outputs.drawing.recording import Area, Drawing, Image, Item, LineStyle, Words, line, moved
from sketcher.outputs.palette import ACCENT, FAINT, INK, PENCIL
from sketcher.outputs.paper.tiles import PAPERS, PaperName
from sketcher.outputs.wording.quantities import shortened

SIDE, TOP, BOTTOM = 18.0, 24.0, 20.0
"""[mm] of paper left free at the sides (room for punched holes), above and below."""

BODY, TABLE, LARGE = 3.5, 3.0, 4.2
"""[mm] heights of lettering: text, tables, and what is read at arm's length with glue on the hands."""

LEADING = 1.4
CELL = 1.2
"""[mm] of paper on each side of a table's cell."""

_RULE = LineStyle(FAINT, 0.15)
_BOX = LineStyle(INK, 0.3)


class Pages:
    """A run of pages being filled from the top. y: the height [mm] of the next line's top."""

    def __init__(self, paper: PaperName, head: str, foot: str) -> None:
        self.paper, self.head, self.foot = paper, head, foot
        self.width, self.height = PAPERS[paper]
        self.left, self.right = SIDE, self.width - SIDE
        self._pages: list[tuple[list[Item], list[Image]]] = []
        self.new_page()

    @property
    def room(self) -> float:
        """Height left on this page [mm]."""
        return self.y - BOTTOM

    @property
    def across(self) -> float:
        """Width of the text [mm]."""
        return self.right - self.left

    def new_page(self) -> None:
        """Begin a page, unless this one is still empty."""
        if not self._pages or self._pages[-1][0] or self._pages[-1][1]:
            self._pages.append(([], []))
        self.y = self.height - TOP

    def need(self, height: float) -> None:
        """Begin a page where less than a height [mm] is left on this one."""
        if self.room < height:
            self.new_page()

    def kept(self, *draws: Callable[[], None]) -> None:
        """Draw what belongs together: on this page if it has room, else on the next, there in the first way that fits."""
        for way in (draws[0], *draws):
            page, items, images, y = len(self._pages), len(self._pages[-1][0]), len(self._pages[-1][1]), self.y
            way()
            if len(self._pages) == page:
                return
            self._back_to(page, items, images, y)
            self.new_page()
        draws[-1]()

    def beside(self, width: float, figure: Sequence[Item], height: float, draw: Callable[[], None]) -> bool:
        """A figure of a width and height [mm], and what is drawn to its right; False, and nothing, where that has no room."""
        if self.room < height:
            return False
        page, items, images, y, left = len(self._pages), len(self._pages[-1][0]), len(self._pages[-1][1]), self.y, self.left
        self.put(*(moved(item, left, y - height) for item in figure))
        self.left += width
        draw()
        self.left = left
        if len(self._pages) > page:
            self._back_to(page, items, images, y)
            return False
        self.y = min(self.y, y - height)
        return True

    def _back_to(self, pages: int, items: int, images: int, y: float) -> None:
        del self._pages[pages:]
        del self._pages[-1][0][items:], self._pages[-1][1][images:]
        self.y = y

    def put(self, *items: Item) -> None:
        """Items where they stand on this page."""
        self._pages[-1][0].extend(items)

    def space(self, height: float) -> None:
        """Leave some paper free [mm]."""
        self.y -= height

    def heading(self, text: str, size: float = 6.0, keep: float = 30.0) -> None:
        """A heading, with so much room [mm] for what follows it on the same page."""
        self.need(size * 2 + keep)
        for row in wrapped(text, self.across, size, bold=True):
            self.put(Words((self.left, self.y - size), row, size, INK, "text", bold=True))
            self.y -= size * LEADING
        self.y -= size * 0.35

    def text(self, text: str, size: float = BODY, colour: str = INK, bold: bool = False, indent: float = 0.0) -> None:
        """A paragraph."""
        for row in wrapped(text, self.across - indent, size, bold):
            self.need(size * LEADING)
            self.put(Words((self.left + indent, self.y - size), row, size, colour, "text", bold=bold))
            self.y -= size * LEADING
        self.y -= size * 0.3

    def caution(self, text: str) -> None:
        """What to mind, in a frame, before the act it belongs to."""
        rows = wrapped(text, self.across - 30.0, BODY)
        height = len(rows) * BODY * LEADING + 3.0
        self.need(height + 2.0)
        top = self.y
        corners = [(self.left, top), (self.right, top), (self.right, top - height), (self.left, top - height)]
        self.put(
            line(corners, LineStyle(ACCENT, 0.4), "text", closed=True),
            Words((self.left + 2.0, top - 2.0 - BODY), "CAUTION", BODY, ACCENT, "text", bold=True),
        )
        for number, row in enumerate(rows):
            self.put(Words((self.left + 24.0, top - 2.0 - BODY - number * BODY * LEADING), row, BODY, INK, "text"))
        self.y -= height + 2.0

    def tick_box(self, size: float = LARGE) -> None:
        """A box to tick, at the left of the line that comes next."""
        x, y = self.left, self.y - size * 1.05
        self.put(line([(x, y), (x + size, y), (x + size, y + size), (x, y + size)], _BOX, "text", closed=True))

    def blanks(self, labels: Sequence[str], columns: int = 2) -> None:
        """Lines to write on, each with its label, side by side."""
        pitch, height = self.across / columns, 9.0
        for start in range(0, len(labels), columns):
            self.need(height)
            for column, label in enumerate(labels[start : start + columns]):
                x = self.left + column * pitch
                self.put(Words((x, self.y - height + 2.0), label, TABLE, PENCIL, "text"))
                after = x + measured(label, TABLE) + 2.0
                self.put(line([(after, self.y - height + 1.2), (x + pitch - 4.0, self.y - height + 1.2)], _RULE, "text"))
            self.y -= height
        self.y -= 2.0

    def figure(self, items: Iterable[Item], height: float) -> None:
        """Items drawn from (0, 0), on a strip of the text's width and a height [mm]."""
        self.need(height)
        self.put(*(moved(item, self.left, self.y - height) for item in items))
        self.y -= height

    def image(self, png: bytes, width: float, height: float) -> None:
        """A picture in the middle of the text's width."""
        self.need(height)
        at = (self.left + (self.across - width) / 2, self.y - height)
        self._pages[-1][1].append(Image(at, width, height, png))
        self.y -= height + 3.0

    def table(
        self, head: Sequence[str], rows: Sequence[Sequence[str]], align: str = "", size: float = TABLE, wide: bool = False
    ) -> None:
        """A table as wide as it needs to be; where that is too wide, the widest columns are broken into lines.

        align: `<` or `>` for each column, left where not said. wide: drawn out to the text's width, to write in.
        """
        if not rows:
            return
        sides = align.ljust(len(head), "<")
        widths = self._column_widths(head, rows, size)
        if wide:
            widths = [width * self.across / sum(widths) for width in widths]
        self._table_head(head, widths, sides, size)
        for row in rows:
            cells = [wrapped(cell, width - 2 * CELL, size) for cell, width in zip(row, widths, strict=True)]
            height = max(len(cell) for cell in cells) * size * LEADING + 0.6
            if self.room < height:
                self.new_page()
                self._table_head(head, widths, sides, size)
            self._table_row(cells, widths, sides, size)
            self.y -= height
            self.put(line([(self.left, self.y), (self.left + sum(widths), self.y)], _RULE, "text"))
        self.y -= 4.0

    def columns(self, head: Sequence[str], rows: Sequence[Sequence[str]], align: str = "", size: float = TABLE) -> None:
        """A long, narrow table in as many columns side by side as the page takes."""
        widths = self._column_widths(head, rows, size)
        count = max(1, int(self.across // (sum(widths) + 6.0)))
        pitch, row_height = self.across / count, size * LEADING + 0.6
        left, start = self.left, 0
        while start < len(rows):
            self.need(5 * row_height)
            top = self.y
            fit = int((self.room - 2 * row_height) // row_height)
            each = min(fit, -(-(len(rows) - start) // count))
            lowest = top
            for column in range(count):
                part = rows[start : start + each]
                if part:
                    self.left, self.y = left + column * pitch, top
                    self.table(head, part, align, size)
                    lowest = min(lowest, self.y)
                    start += len(part)
            self.left, self.y = left, lowest

    def _column_widths(self, head: Sequence[str], rows: Sequence[Sequence[str]], size: float) -> list[float]:
        widths = [
            max(measured(head[k], size, bold=True), *(measured(row[k], size) for row in rows)) + 2 * CELL + 0.5
            for k in range(len(head))
        ]
        least = [
            max(measured(word, size, bold=True) for word in (head[k].split() or [""])) + 2 * CELL + 0.5 for k in range(len(head))
        ]
        while sum(widths) > self.across:
            k = max((k for k in range(len(widths)) if widths[k] > least[k]), key=lambda k: widths[k], default=None)
            if k is None:
                break
            over = sum(widths) - self.across
            widths[k] -= max(min(over, widths[k] * 0.1, widths[k] - least[k]), min(over, 0.1))
        return widths

    def _table_head(self, head: Sequence[str], widths: Sequence[float], sides: str, size: float) -> None:
        cells = [wrapped(cell, width - 2 * CELL, size, bold=True) for cell, width in zip(head, widths, strict=True)]
        rows = max(len(cell) for cell in cells)
        self.need(rows * size * LEADING + 3 * size * LEADING)
        self._table_row(cells, widths, sides, size, bold=True)
        self.y -= rows * size * LEADING + 0.6
        self.put(line([(self.left, self.y), (self.left + sum(widths), self.y)], LineStyle(INK, 0.25), "text"))

    def _table_row(
        self, cells: Sequence[Sequence[str]], widths: Sequence[float], sides: str, size: float, bold: bool = False
    ) -> None:
        x = self.left
        for cell, width, side in zip(cells, widths, sides, strict=True):
            for number, text in enumerate(cell):
                at = (x + CELL if side == "<" else x + width - CELL, self.y - size * 1.1 - number * size * LEADING)
                self.put(Words(at, text, size, INK, "text", "start" if side == "<" else "end", bold=bold))
            x += width

    def drawings(self, title: str) -> list[Drawing]:
        """The pages as drawings, each with the head, the foot and its number."""
        pages = [page for page in self._pages if page[0] or page[1]]
        return [
            Drawing(
                title=f"{title}, page {number}",
                width=self.width,
                height=self.height,
                items=(*items, *self._edges(number, len(pages))),
                images=tuple(images),
            )
            for number, (items, images) in enumerate(pages, 1)
        ]

    def _edges(self, number: int, of: int) -> list[Item]:
        count = f"page {number} of {of}"
        room = self.across - measured(count, TABLE) - 6.0
        head = shortened(self.head, self.across, lambda text: measured(text, TABLE))
        foot = shortened(self.foot, room, lambda text: measured(text, 2.4))
        return [
            Words((self.left, self.height - 14.0), head, TABLE, PENCIL, "text"),
            line([(self.left, self.height - 16.0), (self.right, self.height - 16.0)], _RULE, "text"),
            Words((self.left, 11.0), foot, 2.4, PENCIL, "text"),
            Words((self.right, 11.0), count, TABLE, PENCIL, "text", "end"),
        ]


def wrapped(text: str, width: float, size: float, bold: bool = False) -> list[str]:
    """A text broken into lines no wider than so much [mm]; a word too long for a line is broken too."""
    lines: list[str] = []
    for word in text.split():
        if lines and measured(f"{lines[-1]} {word}", size, bold) <= width:
            lines[-1] += f" {word}"
            continue
        while measured(word, size, bold) > width and len(word) > 1:
            fits = next((n for n in range(len(word) - 1, 0, -1) if measured(word[:n], size, bold) <= width), 1)
            lines.append(word[:fits])
            word = word[fits:]
        lines.append(word)
    return lines or [""]


def page_drawing(drawing: Drawing, width: float, height: float) -> tuple[list[Item], float]:
    """A drawing made smaller, if it must be, to fit a box [mm]: its items from (0, 0) and how high they are."""
    k = min(1.0, width / drawing.width, height / drawing.height)
    return [_shrunk(item, k) for item in drawing.items], drawing.height * k


def _shrunk(item: Item, k: float) -> Item:
    if isinstance(item, Words):
        return replace(item, at=(item.at[0] * k, item.at[1] * k), size=item.size * k)
    changes: dict[str, Any] = {}
    if isinstance(item, Area):
        changes["rings"] = tuple(tuple((x * k, y * k) for x, y in ring) for ring in item.rings)
    else:
        changes["points"] = tuple((x * k, y * k) for x, y in item.points)
    return replace(item, **changes)
