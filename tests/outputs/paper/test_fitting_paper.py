"""Labels and the sheet of gaps, read back from their PDFs."""

import io
import re
from dataclasses import replace
from math import dist

import pypdf
import pytest
from pattern_specimens import OUTLINE, board
from scene_specimens import demo_scene

from sketcher.analysis.cut.fits import Fit
from sketcher.analysis.cut.fitting import read_places, reading_points
from sketcher.analysis.cut.results import Bevel, Pattern
from sketcher.model.cutting import GapReading, PartReadings
from sketcher.model.files.scene_file import read_scene
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.paper.fitting_paper import as_built_pages, board_labels, gap_sheet
from sketcher.outputs.paper.page_flow import Pages


def _edged(step: float) -> Pattern:
    """The board with a bevel so often [m] all round, its lower edge on a panel, its upper one on the deck."""
    ring = OUTLINE.exterior
    places = [ring.interpolate(k * step) for k in range(int(ring.length / step))]
    edges = ["panel" if at.y < 1e-6 else "deck" if at.y > 0.3 - 1e-6 else "hull" for at in places]
    bevels = [
        Bevel(at=(at.x, at.y), along=k * step, angle=10.0, against=edge, edge=edge)  # type: ignore[arg-type]
        for k, (at, edge) in enumerate(zip(places, edges, strict=True))
    ]
    return replace(board(), bevels=tuple(bevels))


@pytest.mark.property
@pytest.mark.parametrize("step", [0.01, 0.05, 0.13])
def test_gaps_are_read_along_shell_and_deck(step: float) -> None:
    """Points lie on hull and deck alone, so often that no bevel lies further than 250 mm from one along the same."""
    pattern = _edged(step)
    points = reading_points(pattern)
    assert {each.edge for each in points} == {"hull", "deck"}
    for bevel in pattern.bevels:
        assert bevel.edge == "panel" or min(dist(bevel.at, each.at) for each in points if each.edge == bevel.edge) < 0.25


@pytest.mark.example
def test_the_sheet_of_gaps_has_a_row_to_write_in_for_each_point() -> None:
    """Both faces have a column, each point its place; the gap planned is said in the reader's unit."""
    pages = Pages("a4", "head", "foot")
    pattern = _edged(0.05)
    gap_sheet(pages, [(3, pattern)], read_places(pattern, [pattern]), 0.006, "in")
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pages.pdf("gaps"))).pages)
    assert "In the order of what they tell. Read to 1/16 in, the first 12 to each leave" in " ".join(text.split())
    assert "Planned: 1/4 in everywhere" in text
    assert "after face" in text
    assert "forward face" in text
    assert len(re.findall(r"^(?:hull|deck)$", text, re.MULTILINE)) == len(reading_points(pattern))


@pytest.mark.example
def test_each_board_has_one_label() -> None:
    """Fifteen boards take two pages; each label tells number, name, thickness, face, and which layout it belongs to."""
    boards = [(k, replace(board(f"lid {k}"), hand="port" if k == 2 else "")) for k in range(1, 16)]
    pages = pypdf.PdfReader(io.BytesIO(as_pdf(list(board_labels(boards, "letter", "layout code 1234", "mm"))))).pages
    assert len(pages) == 2
    text = "\n".join(page.extract_text() for page in pages)
    for k, _ in boards:
        assert len(re.findall(rf"^{k}  lid {k}$", text, re.MULTILINE)) == 1
    assert text.count("12 mm, okoume") == text.count("This is the after face") == text.count("layout code 1234") == 15
    assert text.count("For port: never turn it over") == 1


@pytest.mark.example
def test_what_was_read_stands_beside_what_was_planned() -> None:
    """A cut board: thickness, mass, mean and widest gap, putty; one not cut yet: what each gap moved its edge by."""
    fits = (Fit(at=(0.2, 0.0), read=0.009, planned=0.006, moved=0.0035),)
    side = replace(_edged(0.05), name="side", fits=fits)
    read = PartReadings(
        name="collision",
        cut=True,
        kg=0.9,
        thickness=0.0125,
        gaps=(GapReading(at=(0.2, 0.0), gap=0.008), GapReading(at=(0.3, 0.3), gap=0.012)),
    )
    scene = replace(read_scene(demo_scene("marram-two-tanks")), as_built=(read, PartReadings(name="side", gaps=read.gaps)))
    pages = Pages("a4", "head", "foot")
    as_built_pages(pages, [_edged(0.05), side], scene, "mm")
    text = " ".join(pypdf.PdfReader(io.BytesIO(pages.pdf("read"))).pages[0].extract_text().split())
    assert "12 mm / 12.5 mm" in text
    assert re.search(r"0\.8\S* / 0\.9", text)
    assert "6 mm / 10 mm, widest 12 mm" in text
    # The upper edge, 0.6 m, and both sides, 0.316 m each, 4 mm wider by 12 mm of thickness.
    assert abs(int(re.search(r"(\d+) ml", text)[1]) - 1e6 * 0.004 * 0.012 * (0.6 + 2 * 0.316)) < 4  # type: ignore[index]
    assert re.search(r"side: its edge, moved .* 6 mm 9 mm 3\.5 mm", text)


@pytest.mark.example
def test_more_gaps_than_a_page_has_lines_are_printed() -> None:
    """Forty-two points in a sheet of American paper: each has its row, whatever page that comes on."""
    pages = Pages("letter", "head", "foot")
    pattern = _edged(0.05)
    points = reading_points(pattern)
    assert len(points) > 40
    gap_sheet(pages, [(3, pattern)], read_places(pattern, [pattern]), 0.006, "mm")
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pages.pdf("gaps"))).pages)
    assert [k for k in range(1, len(points) + 1) if f"\n{k}\n" not in text] == []
