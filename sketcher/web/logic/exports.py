"""What the page gives to take away: the sheet of drawings, and a picture with its title strip."""

from __future__ import annotations

import re

from sketcher.analysis.results import Evaluation
from sketcher.outputs.drawing import Drawing
from sketcher.outputs.drawing_pdf import as_pdf
from sketcher.outputs.drawing_svg import as_svg
from sketcher.web.state import Look, Part
from sketcher.web.view.drawings import Sheet

A3 = (420.0, 297.0)
"""[mm]"""


def sheet_of(evaluation: Evaluation, look: Look, selected: Part | None) -> Drawing:
    """Profile, plan and section on an A3 sheet, cut where the page cuts them."""
    return Sheet(size=A3).drawing(evaluation, look, selected)


def sheet_svg(evaluation: Evaluation, look: Look, selected: Part | None) -> bytes:
    return as_svg(sheet_of(evaluation, look, selected)).encode()


def sheet_pdf(evaluation: Evaluation, look: Look, selected: Part | None) -> bytes:
    return as_pdf([sheet_of(evaluation, look, selected)], evaluation.scene.name)


def file_stem(name: str) -> str:
    """A scene's name as the stem of a file's name, in plain characters."""
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-").lower()[:60] or "sketch"
