"""The picture to take away: what the page shows, twice the size, with its names, a scale and a title strip."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date

from PIL import Image

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.palette import INK, PAPER
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.lettering.picture_key import Key
from sketcher.outputs.scene3d.lettering.picture_sheet import STRIP, PictureSheet, Title, draw_title
from sketcher.outputs.tables.report import waterline_words
from sketcher.web.state import Label
from sketcher.web.view.encoded_picture import Pixels

ENLARGED = 2
NAME_SIZE, LINE = 12, 13
BAR_LEFT, BAR_UP = 24.0, 22.0
"""Pixels of the page from the left and the foot of the picture to the scale."""
STRIP_WIDTH = 1400
"""Pixels that the title strip is composed on: its longest line and the meaning of the tints stand side by side."""


def printed(
    pixels: Pixels, evaluation: Evaluation, camera: Camera, labels: Sequence[Label], keys: Sequence[Key], on: date
) -> bytes:
    """A PNG of pixels (h, w, 3) that are ENLARGED times as many as the page shows, with everything lettered round them.

    keys: what its colours mean.
    """
    height = pixels.shape[0] // ENLARGED
    strip = _title_strip(evaluation, camera, keys, on, pixels.shape[1])
    whole = Image.new("RGB", (pixels.shape[1], pixels.shape[0] + strip.height), PAPER)
    whole.paste(Image.fromarray(pixels), (0, 0))
    whole.paste(strip, (0, pixels.shape[0]))
    sheet = PictureSheet(whole, ENLARGED)
    for label in labels:
        _draw_label(sheet, label)
    _draw_scale(sheet, camera, height)
    out = io.BytesIO()
    whole.save(out, "PNG")
    return out.getvalue()


def _title_strip(evaluation: Evaluation, camera: Camera, keys: Sequence[Key], on: date, across: int) -> Image.Image:
    """Name, boat, waterline, view and date, and what the tints mean; as wide as the picture."""
    strip = Image.new("RGB", (STRIP_WIDTH * ENLARGED, STRIP * ENLARGED), PAPER)
    units = evaluation.scene.units
    lines = (
        f"{evaluation.scene.hull.name}; {waterline_words(evaluation.water, units, evaluation.scene.guessed)}",
        f"{_view_words(camera)}; {on.isoformat()}",
    )
    title = Title(evaluation.scene.name, lines)
    draw_title(PictureSheet(strip, ENLARGED), title, STRIP_WIDTH, STRIP, keys)
    return strip.resize((across, round(strip.height * across / strip.width)), Image.Resampling.LANCZOS)


def _draw_label(sheet: PictureSheet, label: Label) -> None:
    x, y = label.at
    if label.leader is not None:
        sheet.line([label.leader, label.anchor], PAPER, 2.6)
        sheet.line([label.leader, label.anchor], INK, 0.9)
        sheet.dot(label.anchor, 3.0, label.tint, INK)
    for number, words in enumerate(label.lines):
        at = (x, y + number * LINE)
        for dx, dy in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            sheet.words((at[0] + dx, at[1] + dy), words, NAME_SIZE, PAPER, bold=number == 0)
        sheet.words(at, words, NAME_SIZE, bold=number == 0)


def _draw_scale(sheet: PictureSheet, camera: Camera, height: int) -> None:
    """A bar of a round length across the picture: the projection is parallel, so it holds anywhere on it."""
    metres = next((step for step in (5.0, 2.0, 1.0, 0.5, 0.2) if step * height / camera.height <= 220), 0.1)
    x, y = BAR_LEFT, height - BAR_UP
    long = metres * height / camera.height
    sheet.line([(x, y - 5), (x, y), (x + long, y), (x + long, y - 5)], INK, 1.5)
    sheet.words((x + long / 2, y - 5), f"{metres:g} m", NAME_SIZE, anchor="ms")


def _view_words(camera: Camera) -> str:
    """From where one looks, in words."""
    names = {(90.0, 0.0): "profile from port", (90.0, 90.0): "plan from above", (0.0, 0.0): "from ahead"}
    found = names.get((round(camera.azimuth, 3), round(camera.elevation, 3)))
    if found:
        return found
    end = "bow" if camera.azimuth < 90.0 or camera.azimuth > 270.0 else "stern"
    side = "port" if 0.0 < camera.azimuth < 180.0 else "starboard"
    return f"seen from the {end}, {side} side, {camera.elevation:.0f}° up"
