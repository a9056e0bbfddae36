"""Recorded drawings as a PDF at true size: one sheet each, the same bytes every time."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

from sketcher.model.errors import SketchError
from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, Line, LineStyle, Words
from sketcher.outputs.fonts import BOLD, REGULAR, font_files
from sketcher.outputs.palette import PAPER, channels

POINTS_PER_MM = 72.0 / 25.4
MOST_MM = 5000.0
"""[mm]: the largest side of a sheet that readers of PDF are sure to show (200 inches)."""


def as_pdf(drawings: Sequence[Drawing], title: str = "") -> bytes:
    """A PDF of the drawings, a page each, as large as the drawing.

    Raises SketchError for no drawing, or one larger than a PDF page may be.
    """
    if not drawings:
        raise SketchError("there is nothing to draw", "Ask for at least one drawing.")
    for drawing in drawings:
        if max(drawing.width, drawing.height) > MOST_MM:
            raise SketchError(
                f"{drawing.title} would be {max(drawing.width, drawing.height):.0f} mm long; a PDF page ends at {MOST_MM:.0f} mm",
                "Draw it to a smaller scale.",
            )
    from reportlab.pdfgen.canvas import Canvas

    register_fonts()
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(title or drawings[0].title)
    canvas.setCreator("sketcher")
    for drawing in drawings:
        canvas.setPageSize((drawing.width * POINTS_PER_MM, drawing.height * POINTS_PER_MM))
        canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
        draw_items(canvas, drawing.items)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def draw_items(canvas: Any, items: Iterable[Item]) -> None:
    """Items on a canvas of which one unit is a millimetre, from its origin."""
    canvas.setLineJoin(1)
    canvas.setLineCap(1)
    for item in items:
        _draw(canvas, item)


def measured(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is in a PDF [mm]."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    register_fonts()
    return float(stringWidth(text, BOLD if bold else REGULAR, size))


@cache
def register_fonts() -> None:
    """Make the two faces known to the PDF library."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in zip((REGULAR, BOLD), font_files(), strict=True):
        pdfmetrics.registerFont(TTFont(name, file))


def _draw(canvas: Any, item: Item) -> None:
    if isinstance(item, Words):
        _draw_words(canvas, item)
        return
    path = canvas.beginPath()
    rings = (item.points,) if isinstance(item, Line) else item.rings
    for ring in rings:
        if len(ring) < 2:
            continue
        path.moveTo(*ring[0])
        for spot in ring[1:]:
            path.lineTo(*spot)
        if isinstance(item, FilledArea) or item.closed:
            path.close()
    fill = item.fill if isinstance(item, FilledArea) else None
    if fill:
        canvas.setFillColorRGB(*channels(fill))
    if item.stroke:
        _pen(canvas, item.stroke)
    canvas.drawPath(path, stroke=int(item.stroke is not None), fill=int(fill is not None), fillMode=0)


def _draw_words(canvas: Any, item: Words) -> None:
    canvas.saveState()
    canvas.translate(*item.at)
    canvas.rotate(item.angle)
    canvas.setFont(BOLD if item.bold else REGULAR, item.size)
    width = canvas.stringWidth(item.text, BOLD if item.bold else REGULAR, item.size)
    x = {"start": 0.0, "middle": -width / 2, "end": -width}[item.align]
    if item.halo:
        canvas.setStrokeColorRGB(*channels(PAPER))
        canvas.setLineWidth(item.size * 0.22)
        canvas.drawString(x, 0, item.text, mode=1)
    canvas.setFillColorRGB(*channels(item.colour))
    canvas.drawString(x, 0, item.text, mode=0)
    canvas.restoreState()


def _pen(canvas: Any, stroke: LineStyle) -> None:
    canvas.setStrokeColorRGB(*channels(stroke.colour))
    canvas.setLineWidth(stroke.width)
    canvas.setDash(list(stroke.dashes) if stroke.dashes else [])
