"""The sheet a picture is composed on: where the boat lies, where the labels stand, and all that is lettered round her."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sketcher.outputs.drawing.label_spreading import LabelBox, Spot, SpreadLabel
from sketcher.outputs.fonts import font_files
from sketcher.outputs.palette import ACCENT, INK, PAPER, PENCIL, WATER
from sketcher.outputs.scene3d.lettering.captions import BAND, FIGURE_SIZE, GAUGE, INSET, LINE, NAME_SIZE, Caption
from sketcher.outputs.scene3d.lettering.picture_key import Key
from sketcher.outputs.wording.quantities import shortened, sized

TITLE_SIZE, SMALL_SIZE = 26, 16
STRIP = 92
"""Pixels: height of the title strip."""
DOT = 5


@dataclass(frozen=True, slots=True)
class Title:
    """name: of the layout; lines: hull, view, waterline and date beneath it."""

    name: str
    lines: tuple[str, str]


class PictureSheet:
    """A canvas drawn `fine` times larger than shown, in pixels as shown; what is drawn later lies on top."""

    def __init__(self, image: Any, fine: int) -> None:
        from PIL import ImageDraw

        self.image = image
        self.fine = fine
        self._draw = ImageDraw.Draw(image)

    def line(self, points: Sequence[Spot], colour: str, width: float) -> None:
        self._draw.line(self._scaled(points), fill=colour, width=max(1, round(width * self.fine)), joint="curve")

    def area(self, points: Sequence[Spot], fill: str | None, edge: str | None = None) -> None:
        self._draw.polygon(self._scaled(points), fill=fill, outline=edge, width=self.fine)

    def box(self, box: LabelBox, fill: str | None, edge: str | None = None, width: float = 1.0) -> None:
        corners = [box.left * self.fine, box.top * self.fine, box.right * self.fine, box.bottom * self.fine]
        self._draw.rectangle(corners, fill=fill, outline=edge, width=max(1, round(width * self.fine)))

    def dot(self, at: Spot, radius: float, fill: str, edge: str) -> None:
        corners = [
            (at[0] - radius) * self.fine,
            (at[1] - radius) * self.fine,
            (at[0] + radius) * self.fine,
            (at[1] + radius) * self.fine,
        ]
        self._draw.ellipse(corners, fill=fill, outline=edge, width=round(1.5 * self.fine))

    def words(self, at: Spot, text: str, size: int, colour: str = INK, bold: bool = False, anchor: str = "ls") -> None:
        """Lettering with its base line at `at`; anchor: `ls` begins there, `rs` ends there, `ms` is centred."""
        face = _face(size * self.fine, bold)
        self._draw.text((at[0] * self.fine, at[1] * self.fine), text, font=face, fill=colour, anchor=anchor)

    def _scaled(self, points: Sequence[Spot]) -> list[Spot]:
        return [(x * self.fine, y * self.fine) for x, y in points]


def measure(text: str, size: int, bold: bool) -> float:
    """Width of a text [pixels]."""
    return float(_face(size, bold).getlength(text))


@cache
def _face(size: int, bold: bool) -> Any:
    from PIL import ImageFont

    return ImageFont.truetype(font_files()[int(bold)], size)


def draw_label(sheet: PictureSheet, label: SpreadLabel, caption: Caption) -> None:
    """The box with its tinted band, for a space a gauge filled as far as the space lies below the water, and the words."""
    box = label.box
    sheet.box(box, PAPER, PENCIL)
    band = LabelBox(box.left, box.top, box.left + BAND, box.bottom)
    sheet.box(band, caption.tint, PENCIL)
    x, y = band.right + INSET, box.top + INSET - 3
    if not caption.thing:
        gauge = LabelBox(x, box.top + INSET, x + GAUGE, box.bottom - INSET)
        _gauge(sheet, gauge, caption.filled)
        x = gauge.right + INSET
    for line in caption.name:
        y += NAME_SIZE * LINE
        sheet.words((x, y), line, NAME_SIZE, bold=True)
    y += FIGURE_SIZE * LINE
    sheet.words((x, y), caption.figures, FIGURE_SIZE)
    if caption.remark:
        sheet.words((x, y + FIGURE_SIZE * LINE), caption.remark, FIGURE_SIZE, ACCENT)


def draw_leader(sheet: PictureSheet, label: SpreadLabel, caption: Caption) -> None:
    """A line from the label to its compartment, with a light edge so that it stands out on any tint."""
    sheet.line([label.start, label.end], PAPER, 3.6)
    sheet.line([label.start, label.end], INK, 1.3)
    sheet.dot(label.end, DOT, caption.tint, INK)


def _gauge(sheet: PictureSheet, box: LabelBox, filled: float | None) -> None:
    """An upright vessel with the water standing in it; crossed out where that is not known."""
    if filled is None:
        sheet.line([(box.left, box.bottom), (box.right, box.top)], PENCIL, 1.0)
    elif filled > 0.0:
        top = box.bottom - max(filled * (box.bottom - box.top), 1.5)
        sheet.box(LabelBox(box.left, top, box.right, box.bottom), WATER)
    sheet.line([(box.left, box.top), (box.left, box.bottom), (box.right, box.bottom), (box.right, box.top)], INK, 1.5)


def draw_title(sheet: PictureSheet, title: Title, width: int, height: int, keys: Sequence[Key]) -> None:
    """The strip along the foot: what is shown at the left, the meaning of the tints at the right."""
    top = height - STRIP
    sheet.line([(0, top), (width, top)], INK, 1.5)
    left = _draw_keys(sheet, width - 24.0, top + 14.0, keys)
    room = left - 2 * 24
    name, size = sized(title.name, room, lambda text, size: measure(text, int(size), True), TITLE_SIZE, SMALL_SIZE)
    sheet.words((24, top + 34), name, int(size), bold=True)
    for k, line in enumerate(title.lines):
        words = shortened(line, room, lambda text: measure(text, SMALL_SIZE, False))
        sheet.words((24, top + 58 + 22 * k), words, SMALL_SIZE, PENCIL)


def _draw_keys(sheet: PictureSheet, right: float, top: float, keys: Sequence[Key]) -> float:
    """The entries in columns of two from the right; returns where the leftmost begins."""
    x = right
    for column in reversed([keys[k : k + 2] for k in range(0, len(keys), 2)]):
        x -= max(measure(key.words, SMALL_SIZE, False) for key in column)
        for k, key in enumerate(column):
            level = top + 34 * k
            sheet.words((x, level + 18), key.words, SMALL_SIZE)
            patch = LabelBox(x - 42, level, x - 8, level + 24)
            if key.width is None:
                sheet.box(patch, key.colour, PENCIL)
            else:
                sheet.line([(patch.left, level + 12), (patch.right, level + 12)], key.colour, key.width)
        x -= 42 + 26
    return x
