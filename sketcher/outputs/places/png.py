"""A recorded drawing as a picture of pixels."""

from __future__ import annotations

import io
from functools import cache
from itertools import pairwise
from typing import Any

from sketcher.outputs.drawing.recording import Drawing, FilledArea, Item, Line, LineStyle, Spot, Words
from sketcher.outputs.fonts import font_files
from sketcher.outputs.palette import PAPER

PER_MM, FINE = 8.0, 2
"""Pixels for a millimetre; and how many times finer it is drawn, so that edges are smooth."""


def drawing_png(drawing: Drawing) -> bytes:
    """A drawing as PNG, its paper behind it."""
    from PIL import Image, ImageDraw
    from PIL.PngImagePlugin import PngInfo

    per = PER_MM * FINE
    image = Image.new("RGB", (round(drawing.width * per), round(drawing.height * per)), PAPER)
    canvas = ImageDraw.Draw(image)
    for item in drawing.items:
        _draw(image, canvas, item, drawing.height, per)
    small = image.resize((image.width // FINE, image.height // FINE), Image.Resampling.LANCZOS)
    info, out = PngInfo(), io.BytesIO()
    info.add_text("Software", "sketcher")
    small.save(out, "PNG", pnginfo=info)
    return out.getvalue()


def _draw(image: Any, canvas: Any, item: Item, height: float, per: float) -> None:
    def pixel(spot: Spot) -> Spot:
        return spot[0] * per, (height - spot[1]) * per

    if isinstance(item, Words):
        _letter(image, item, pixel(item.at), per)
    elif isinstance(item, FilledArea):
        for ring in item.rings:
            canvas.polygon([pixel(spot) for spot in ring], fill=item.fill)
            if item.stroke:
                _stroke(canvas, [pixel(spot) for spot in (*ring, ring[0])], item.stroke, per)
    elif isinstance(item, Line):
        points = (*item.points, item.points[0]) if item.closed else item.points
        _stroke(canvas, [pixel(spot) for spot in points], item.stroke, per)


def _stroke(canvas: Any, points: list[Spot], stroke: LineStyle, per: float) -> None:
    width = max(1, round(stroke.width * per))
    if not stroke.dashes:
        canvas.line(points, fill=stroke.colour, width=width, joint="curve")
        return
    for piece in _dashed(points, [dash * per for dash in stroke.dashes]):
        canvas.line(piece, fill=stroke.colour, width=width)


def _dashed(points: list[Spot], dashes: list[float]) -> list[list[Spot]]:
    """A line's drawn pieces: dashes run on round its corners."""
    pieces: list[list[Spot]] = []
    turn, left, drawn = 0, dashes[0], True
    for (x0, y0), (x1, y1) in pairwise(points):
        run = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        at = 0.0
        while at < run:
            by = min(left, run - at)
            if drawn:
                ends = (at, at + by) if run else (0.0, 0.0)
                pieces.append([(x0 + (x1 - x0) * end / run, y0 + (y1 - y0) * end / run) for end in ends])
            at, left = at + by, left - by
            if left <= 1e-9:
                turn, drawn = turn + 1, not drawn
                left = dashes[turn % len(dashes)]
    return pieces


def _letter(image: Any, item: Words, at: Spot, per: float) -> None:
    from PIL import Image, ImageDraw

    font = _font(item.bold, round(item.size * per))
    anchor = {"start": "ls", "middle": "ms", "end": "rs"}[item.align]
    halo = round(item.size * 0.11 * per) if item.halo else 0
    if not item.angle:
        ImageDraw.Draw(image).text(
            at, item.text, fill=item.colour, font=font, anchor=anchor, stroke_width=halo, stroke_fill=PAPER
        )
        return
    side = 2 * int(font.getlength(item.text)) + 4 * font.size
    words = Image.new("RGBA", (side, side), (0, 0, 0, 0))
    ImageDraw.Draw(words).text(
        (side / 2, side / 2), item.text, fill=item.colour, font=font, anchor=anchor, stroke_width=halo, stroke_fill=PAPER
    )
    turned = words.rotate(item.angle)
    image.paste(turned, (round(at[0] - side / 2), round(at[1] - side / 2)), turned)


@cache
def _font(bold: bool, size: int) -> Any:
    from PIL import ImageFont

    return ImageFont.truetype(str(font_files()[1 if bold else 0]), size)
