"""Patterns at true size on pages, read back by another library than the one that wrote them."""

import ctypes
from dataclasses import replace

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from pattern_specimens import OUTLINE, board

from sketcher.analysis.cut.results import Mark
from sketcher.analysis.findings import Length, Phrase
from sketcher.outputs.drawing.lettering import ground
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.drawing.recording import Drawing, Line, Words
from sketcher.outputs.paper.pattern_paper import EDGE, small, true_size
from sketcher.outputs.paper.tile_grid import FOOT, OVERLAP, PAPERS, UNPRINTED, PaperName, home_paper, tile_name, tiles
from sketcher.outputs.paper.tiles import tiled
from sketcher.outputs.paper.word_places import shape_of

MM = 25.4 / 72.0
"""Millimetres in a point: an inch is 25.4 mm and 72 points by definition."""

TENTH = 0.1

Box = tuple[float, float, float, float]


def boxes(data: bytes) -> list[list[Box]]:
    """What the middle of the pen spans in each path of each page [mm]: left, bottom, right, top."""
    document = pdfium.PdfDocument(data)
    pages = [
        [span(item) for item in page.get_objects() if item.type == pdfium.raw.FPDF_PAGEOBJ_PATH]  # type: ignore[attr-defined]
        for page in document
    ]
    document.close()
    return pages


def span(path: pdfium.PdfObject) -> Box:
    """The box of a path's own points, put on the page by its matrix."""
    matrix, points = path.get_matrix(), []
    x, y = ctypes.c_float(), ctypes.c_float()
    for k in range(pdfium.raw.FPDFPath_CountSegments(path.raw)):
        segment = pdfium.raw.FPDFPath_GetPathSegment(path.raw, k)
        pdfium.raw.FPDFPathSegment_GetPoint(segment, x, y)
        points.append(matrix.on_point(x.value, y.value))
    across, up = [p[0] * MM for p in points], [p[1] * MM for p in points]
    return min(across), min(up), max(across), max(up)


@pytest.mark.closed_form
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_check_square_measures_100_mm(paper: PaperName) -> None:
    """On the map of the pages stands a square of 100.0 mm, as another reader measures it."""
    first = boxes(as_pdf(tiled(true_size(board()), paper)))[0]
    sizes = [(right - left, top - bottom) for left, bottom, right, top in first]
    squares = [size for size in sizes if size == pytest.approx((100.0, 100.0), abs=2.0)]
    assert len(squares) >= 3
    assert all(size == pytest.approx((100.0, 100.0), abs=0.01) for size in squares)


@pytest.mark.closed_form
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_pages_laid_together_show_the_board_at_true_size(paper: PaperName) -> None:
    """The board's lines on all pages, laid cross on cross, span 600.0 by 300.0 mm: her own size, from her own lower left."""
    drawing = true_size(board())
    parts = tiles(drawing, paper)
    pages = boxes(as_pdf(tiled(drawing, paper)))
    assert len(pages) == len(parts) + 1
    assert len(parts) > 4
    found = []
    # Page frames, crosses and bars reach out of the board, or lie wholly in it: neither moves its edges.
    whole = shapely.box(EDGE, EDGE, EDGE + 600.0, EDGE + 300.0).buffer(TENTH)
    for tile, page in zip(parts, pages[1:], strict=True):
        dx, dy = tile.low[0] - UNPRINTED, tile.low[1] - UNPRINTED - FOOT
        placed = [shapely.box(left + dx, bottom + dy, right + dx, top + dy) for left, bottom, right, top in page]
        found += [box for box in placed if box.within(whole)]
    west, south, east, north = shapely.total_bounds(found)
    assert (west, south) == pytest.approx((EDGE, EDGE), abs=TENTH)
    assert (east - west, north - south) == pytest.approx((600.0, 300.0), abs=TENTH)


@pytest.mark.property
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_tiles_cover_the_outline_and_overlap(paper: PaperName) -> None:
    """Every bit of the outline is on some page, and neighbouring pages share a strip as wide as promised."""
    drawing = true_size(board())
    parts = tiles(drawing, paper)
    shown = shapely.union_all([shapely.box(*tile.low, *tile.high) for tile in parts])
    edge = shapely.transform(OUTLINE.exterior, lambda flat: flat * 1000.0 + drawing.placing.origin)  # type: ignore[union-attr]
    assert shown.covers(edge)
    by_place = {(tile.row, tile.column): tile for tile in parts}
    for (row, column), tile in by_place.items():
        if (row, column + 1) in by_place:
            assert tile.high[0] - by_place[row, column + 1].low[0] == pytest.approx(OVERLAP)
        if (row + 1, column) in by_place:
            assert by_place[row + 1, column].high[1] - tile.low[1] == pytest.approx(OVERLAP)


@pytest.mark.property
@pytest.mark.parametrize("paper", ["a4", "letter", "a3"])
def test_pages_have_their_papers_size_and_keep_inside_it(paper: PaperName) -> None:
    """Pages are as large as the paper, upright or lying, and no line stands where printers cannot print."""
    data = as_pdf(tiled(_lids(1.0), paper))
    document = pdfium.PdfDocument(data)
    sizes = [tuple(side * MM for side in page.get_size()) for page in document]
    document.close()
    assert len(sizes) > 2
    for number, (size, page) in enumerate(zip(sizes, boxes(data), strict=True)):
        assert sorted(size) == pytest.approx(PAPERS[paper if number else home_paper(paper, "mm")], abs=0.01)
        for left, bottom, right, top in page:
            assert min(left, bottom, size[0] - right, size[1] - top) > UNPRINTED - 1.0


def _lids(wide: float) -> Drawing:
    """A lid so wide and half as deep [m], with a line across its middle and a hole of 100 mm there."""
    area = shapely.box(0.0, 0.0, wide, wide / 2).difference(shapely.Point(wide / 2, wide / 4).buffer(0.05))
    marks = (
        Mark(kind="waterline", line=np.array([(0.0, wide / 4 + 0.1), (wide, wide / 4 + 0.1)]), says=Phrase("waterline-mark")),
    )
    return true_size(replace(board(), outline=area, other_outline=area, blank=area, marks=marks, bevels=(), corners=()))


@pytest.mark.example
def test_pages_with_nothing_to_saw_are_left_out() -> None:
    """Of a lid of 2.4 by 1.2 m with a hole in its middle, pages hold edge and hole, all joined; no name is lost for it."""
    drawing = _lids(2.4)
    parts = tiles(drawing)
    shown = [shapely.box(*tile.low, *tile.high) for tile in parts]
    sawn = [shape_of(item) for item in drawing.items if isinstance(item, Line) and item.layer in ("outline", "openings")]
    assert all(shapely.union_all(shown).covers(line) for line in sawn)
    places = {(tile.row, tile.column) for tile in parts}
    rows, columns = (max(at) + 1 for at in zip(*places, strict=True))
    assert len(parts) < 0.7 * rows * columns
    reached, fresh = set(), {min(places)}
    while fresh:
        reached |= fresh
        fresh = {(r + a, c + b) for r, c in fresh for a, b in ((0, 1), (1, 0), (0, -1), (-1, 0))} & places - reached
    assert reached == places
    wanted = sorted(item.text for item in drawing.items if isinstance(item, Words))
    on_pages = [item for page in tiled(drawing)[1:] for item in page.items if isinstance(item, Words) and item.layer != "tiles"]
    assert sorted(item.text for item in on_pages) == wanted


@pytest.mark.closed_form
@pytest.mark.parametrize(("paper", "size"), [("a0", (1189.0, 841.0)), ("roll", (1044.0, 841.0))])
def test_a_large_page_holds_a_whole_board_with_lines_to_check_it_by(paper: PaperName, size: tuple[float, float]) -> None:
    """A lid of 1000 by 500 mm stands whole on a page without a map, with 100.0 mm across and up; a roll ends beyond it."""
    pages = tiled(_lids(1.0), paper)
    assert [(page.width, page.height) for page in pages] == [pytest.approx(size)]
    (page,) = boxes(as_pdf(pages))
    spans = [(round(right - left, 2), round(top - bottom, 2)) for left, bottom, right, top in page]
    assert {(1000.0, 500.0), (100.0, 0.0), (0.0, 100.0)} <= set(spans)


@pytest.mark.example
def test_each_tile_names_itself_and_its_neighbours() -> None:
    """A page tells its own name and those of the pages beside it."""
    document = pdfium.PdfDocument(as_pdf(tiled(true_size(board()), "a4", "made today")))
    words = [page.get_textpage().get_text_range() for page in document]
    document.close()
    assert "A1" in words[1]
    assert "to A2" in words[1]
    assert "to A1" in words[2]
    assert all("made today" in text for text in words)
    assert [tile_name(row, 0) for row in (0, 25, 26, 52)] == ["A1", "Z1", "AA1", "BA1"]


@pytest.mark.example
def test_words_stand_whole_on_one_page_and_on_no_other() -> None:
    """Names over the middle of a board 1.2 m wide, where pages meet, are moved until one page holds each of them whole."""
    wide = replace(board(), outline=shapely.box(-0.6, 0.0, 0.6, 0.5), other_outline=shapely.box(-0.6, 0.0, 0.6, 0.5))
    drawing = true_size(replace(wide, blank=wide.outline, bevels=(), corners=()))
    wanted = sorted(item.text for item in drawing.items if isinstance(item, Words))
    pages = tiled(drawing, "a4")[1:]
    found = [item for page in pages for item in page.items if isinstance(item, Words) and item.layer != "tiles"]
    assert sorted(item.text for item in found) == wanted
    for page in pages:
        for item in page.items:
            if isinstance(item, Words) and item.layer != "tiles":
                west, south, east, north = ground(item).bounds
                assert min(west, south, page.width - east, page.height - north) > UNPRINTED


@pytest.mark.example
def test_no_line_runs_through_a_marks_name() -> None:
    """Centreline, waterline and a lid's place cross each other; their names stand beside their own lines, clear of the others."""
    lines = {
        "centreline": [(0, 0), (0, 0.3)],
        "waterline": [(-0.2, 0.05), (0.2, 0.05)],
        "level line": [(-0.25, 0.22), (0.25, 0.22)],
    }
    says = {
        "centreline": Phrase("centreline-mark"),
        "waterline": Phrase("waterline-mark"),
        "level line": Phrase("level-mark", {"at": Length(0.42)}),
    }
    marks = tuple(
        Mark(kind=kind, line=shapely.get_coordinates(shapely.LineString(line)), says=says[kind])  # type: ignore[arg-type]
        for kind, line in lines.items()
    )
    drawing = true_size(replace(board(), marks=marks))
    drawn = {
        item.layer: shapely.LineString(item.points) for item in drawing.items if isinstance(item, Line) and item.layer in lines
    }
    named = {item.layer: ground(item) for item in drawing.items if isinstance(item, Words) and item.layer in lines}
    assert named.keys() == lines.keys()
    for layer, box in named.items():
        assert not any(box.intersects(run) for other, run in drawn.items() if other != layer)
        assert not any(box.intersects(other) for name, other in named.items() if name != layer)


@pytest.mark.property
@pytest.mark.parametrize("height", [0.02, 0.03])
def test_a_corners_letter_covers_no_lines_name(height: float) -> None:
    """On a board whose waterline runs close by its corners, the letters at the corners stand clear of its name."""
    line = np.array([(-0.2 - height / 3, height), (0.2 + height / 3, height)])
    marked = replace(board(), marks=(Mark(kind="waterline", line=line, says=Phrase("waterline-mark")),))
    words = [item for item in small(marked, 90.0, 70.0, "mm")[0] if isinstance(item, Words)]
    named = next(ground(item) for item in words if item.text.startswith("waterline"))
    letters = [ground(item) for item in words if item.layer == "diagonals" and len(item.text) == 1]
    assert len(letters) == 4
    assert not any(letter.intersects(named) for letter in letters)


@pytest.mark.example
def test_a_short_waterline_keeps_its_name() -> None:
    """Drawn small, a line that a board is set up by is named, in smaller lettering or across another line if need be."""
    short = Mark(kind="waterline", line=np.array([[-0.07, 0.1], [0.07, 0.1]]), says=Phrase("waterline-mark"))
    middle = Mark(kind="centreline", line=np.array([[0.0, 0.0], [0.0, 0.6]]), says=Phrase("centreline-mark"))
    items, *_ = small(replace(board(), marks=(short, middle)), 130.0, 100.0, "mm")
    assert {"waterline", "centreline"} <= {item.text for item in items if isinstance(item, Words)}
