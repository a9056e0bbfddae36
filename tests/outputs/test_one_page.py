"""A layout on one page to print."""

from __future__ import annotations

import ctypes
import io
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest

from sketcher.analysis.evaluate import evaluate, with_all_holes
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.flooding.results import FloodingCase
from sketcher.model.demos import demo_folder
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.one_page import one_page
from sketcher.outputs.palette import TIMBER
from sketcher.outputs.tables.first import if_holed

POINTS = 72 / 25.4
"""Points of a PDF in a millimetre."""
DAY = date(2026, 12, 1)


@cache
def judged() -> tuple[Evaluation, tuple[FloodingCase, ...]]:
    return with_all_holes(evaluate(read_scene(Path(demo_folder()) / "scenes" / "quillet-forepeak.yaml")))


def the_page(evaluation: Evaluation, cases: tuple[FloodingCase, ...], units: str = "mm") -> Any:
    (page,) = pypdf.PdfReader(io.BytesIO(one_page(evaluation, cases, units, DAY))).pages
    return page


def uprights(page: Any) -> list[float]:
    """The left edges [mm] of what is filled with a panel's colour and stands upright, as the PDF draws it."""
    found = set()
    for each in page.get_objects([raw.FPDF_PAGEOBJ_PATH]):
        colour, filled, drawn = [ctypes.c_uint() for _ in range(4)], ctypes.c_int(), ctypes.c_int()
        raw.FPDFPath_GetDrawMode(each.raw, ctypes.byref(filled), ctypes.byref(drawn))
        raw.FPDFPageObj_GetFillColor(each.raw, *map(ctypes.byref, colour))
        left, low, right, high = each.get_bounds()
        timber = filled.value and "#{:02x}{:02x}{:02x}".format(*(part.value for part in colour[:3])) == TIMBER
        if timber and right - left < 2 * POINTS < high - low:
            found.add(round(left / POINTS, 2))
    return sorted(found)


@pytest.mark.closed_form
def test_the_scale_that_is_stated_is_true() -> None:
    """Bulkheads at 700 and 2700 mm stand 2000 / 50 = 40 mm apart on the paper, and the line to check the printer by is 100 mm."""
    page = pdfium.PdfDocument(one_page(*judged(), "mm", DAY))[0]
    assert "Drawn 1 : 50." in page.get_textpage().get_text_bounded()
    edges = uprights(page)
    # The box round each is wider by half a pen of 0.2 mm, more where its ends are sharp.
    assert edges[-1] - edges[0] == pytest.approx(40.0, abs=0.1)
    assert len(edges) <= 4
    boxes = [each.get_bounds() for each in page.get_objects([raw.FPDF_PAGEOBJ_PATH])]
    # The box round it is wider by a pen of 0.2 mm at each end.
    assert any(right - left == pytest.approx(100.4 * POINTS, abs=0.1) for left, _, right, _ in boxes)


@pytest.mark.example
def test_the_page_tells_waterline_litres_berths_and_what_to_mind() -> None:
    """A4 on its long side: what an owner pins up, and what to mind first."""
    page = the_page(*judged())
    assert [float(side) / POINTS for side in page.mediabox[2:]] == pytest.approx([297, 210], abs=0.1)
    text = " ".join(page.extract_text().split())
    berth = "Vee berth: clear length 1988 mm; fits."
    told = if_holed(*judged(), "mm")
    assert len(told) > 2
    for said in (*told, "waterline 268 mm", "forepeak 184 <1 yes", berth, "First: 3 warnings", "If one space"):
        assert said in text
    assert "made 2026-12-01" in text


@pytest.mark.example
def test_in_inches_it_is_a_letter_page_with_a_line_of_four_inches() -> None:
    """8 1/2 by 11 in, and every length in inches."""
    page = the_page(*judged(), "in")
    assert [float(side) / 72 for side in page.mediabox[2:]] == pytest.approx([11, 8.5])
    text = page.extract_text()
    assert "this line is then 4 in long" in text
    assert "mm" not in text.replace("mm²", "")


@pytest.mark.example
def test_a_boat_of_many_spaces_and_warnings_still_takes_one_page() -> None:
    """Forty spaces, each with a long name, and twenty warnings: the smallest and the rest are left to the report."""
    boat, cases = judged()
    spaces = [replace(space, name=f"{space.name} behind the locker {k}") for k in range(10) for space in boat.layout.compartments]
    warnings = [finding for finding in boat.findings if finding.severity == "warn"] * 7
    layout = replace(boat.layout, compartments=tuple(spaces), adjoining=())
    many = replace(boat, layout=layout, immersion=boat.immersion * 10, findings=tuple(warnings))
    text = the_page(many, cases).extract_text()
    assert "26 smaller compartments: see the report." in text
    assert "more in the report." in text
