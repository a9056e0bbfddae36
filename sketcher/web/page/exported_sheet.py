"""The sheet of drawings as it is taken away from the page: on paper, with its title block."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from datetime import date

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.drawing.recording import Drawing, Item, LineStyle, Words, line
from sketcher.outputs.palette import INK, PENCIL
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.tables.report import waterline_words
from sketcher.outputs.wording.quantities import unit_called
from sketcher.outputs.wording.say import listed
from sketcher.web.state import DamagedCondition, KeptLayout, Look
from sketcher.web.view.drawing_sheet import DrawingSheet

A3 = (420.0, 297.0)
"""[mm]"""
BLOCK = (120.0, 36.0)
"""Width and least height of the title block [mm]."""
ROW = 4.6
"""[mm] from one line in it to the next."""


def exported_sheet(
    evaluation: Evaluation,
    look: Look,
    selected: ObjectRef | None,
    on: date | None = None,
    damaged: DamagedCondition | None = None,
    kept: KeptLayout | None = None,
) -> Drawing:
    """Profile, plan and section on an A3 sheet to a scale that rulers have, cut where the page cuts them, with a title block.

    damaged: the boat with compartments holed, to be drawn as she then floats; kept: a layout in outline where it differs.
    """
    sheet, said = DrawingSheet(size=A3, usual_scale=True), ""
    if damaged is not None:
        evaluation, sheet.before, sheet.water_in = damaged.evaluation, damaged.case.intact, damaged.water_in
        said = f"With a hole in {listed(damaged.case.holed)}: {damaged.case.verdict}"
    drawing = sheet.drawing(evaluation, look, selected)
    outlines: list[Item] = []
    if kept is not None and damaged is None:
        outlines, said = sheet.kept_items(kept.evaluation), f"Dashed: B, {kept.evaluation.scene.name}, {kept.when}"
    title = _title_block(evaluation, sheet.panes[0].placing.scale, on or date.today(), said)
    return replace(drawing, items=(*drawing.items, *outlines, *title))


def _title_block(evaluation: Evaluation, scale: float, on: date, said: str) -> list[Item]:
    """In the lower right corner: layout, boat, what is holed or drawn beside her, waterline, scale and date."""
    scene = evaluation.scene
    lines = [
        row for text in (said, waterline_words(evaluation.water, scene.units, scene.guessed)) for row in textwrap.wrap(text, 62)
    ]
    words = [scene.hull.name, *lines, f"1 : {scale:g}; lengths in {unit_called(scene.units)}; {on.isoformat()}"]
    right, bottom = A3[0] - 8.0, 8.0
    left, top = right - BLOCK[0], bottom + max(BLOCK[1], 13.5 + ROW * len(words))
    frame = line([(left, bottom), (right, bottom), (right, top), (left, top)], LineStyle(INK, 0.35), "title", closed=True)
    name = Words((left + 4.0, top - 7.5), scene.name, 4.2, INK, "title", bold=True)
    return [frame, name, *(Words((left + 4.0, top - 13.5 - ROW * k), text, 2.6, PENCIL, "title") for k, text in enumerate(words))]
