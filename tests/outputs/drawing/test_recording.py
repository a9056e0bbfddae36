"""A recorded drawing and what it is replayed to."""

from __future__ import annotations

import io
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from sketcher.model.errors import SketchError
from sketcher.outputs.drawing.pdf import as_pdf
from sketcher.outputs.drawing.recording import Drawing, FilledArea, LineStyle, PaperPlacing, Words, dimension, line, moved
from sketcher.outputs.drawing.svg import as_svg

PEN = LineStyle("#102030", 0.2, (1.0, 0.5))
SVG = "{http://www.w3.org/2000/svg}"


def sheet(*items: FilledArea | Words) -> Drawing:
    """A sheet of 200 x 100 mm with a line 150 mm long, placed 1 : 10."""
    placing = PaperPlacing(axes="xz", signs=(1, 1), scale=10.0, origin=(20.0, 30.0))
    return Drawing(
        title="A sheet", width=200.0, height=100.0, items=(line([(20, 30), (170, 30)], PEN, "hull"), *items), placing=placing
    )


@pytest.mark.property
@given(st.floats(-20, 20), st.floats(-20, 20), st.sampled_from([1.0, 12.5, 50.0]), st.sampled_from([(1, 1), (-1, 1), (1, -1)]))
def test_a_spot_on_paper_leads_back_to_the_boat(u: float, v: float, scale: float, signs: tuple[int, int]) -> None:
    """Where a point of the boat is drawn, there a pointer finds it."""
    placing = PaperPlacing(axes="xy", signs=signs, scale=scale, origin=(17.0, -4.0))
    assert placing.boat(*placing.spot(u, v)) == pytest.approx((u, v), abs=1e-9)


@pytest.mark.closed_form
def test_a_metre_at_1_to_10_is_100_mm_of_paper() -> None:
    """One metre aft is 100 mm to the right, half a metre up 50 mm up."""
    placing = PaperPlacing(axes="xz", signs=(1, 1), scale=10.0, origin=(20.0, 30.0))
    assert placing.spot(1.0, 0.5) == pytest.approx((120.0, 80.0))


@pytest.mark.closed_form
def test_svg_stands_the_right_way_up_in_millimetres() -> None:
    """y runs down in SVG: 30 mm above the foot of a sheet 100 mm high is at 70; the size is said in mm."""
    root = ElementTree.fromstring(as_svg(sheet()))
    assert root.attrib["width"] == "200mm"
    assert root.attrib["viewBox"] == "0 0 200 100"
    assert root.find(f"{SVG}polyline").attrib["points"] == "20,70 170,70"  # type: ignore[union-attr]


@pytest.mark.closed_form
def test_words_in_svg_stand_where_they_were_put() -> None:
    """25 mm above the foot of a sheet 100 mm high is 75 from its top, turned about that very spot."""
    words = Words((40.0, 25.0), "tank", 3.0, "#102030", "names", "middle", 90.0)
    text = ElementTree.fromstring(as_svg(sheet(words))).find(f"{SVG}text")
    assert text is not None
    assert (text.attrib["x"], text.attrib["y"], text.attrib["transform"]) == ("40", "75", "rotate(-90 40 75)")


@pytest.mark.example
def test_svg_tells_a_pointer_where_the_boat_is() -> None:
    """Axes, signs, scale and origin stand on the root, and each item says what it belongs to."""
    tagged = FilledArea((((0, 0), (1, 0), (1, 1)),), "#ffffff", None, "panels", "lid/tank top")
    root = ElementTree.fromstring(as_svg(sheet(tagged)))
    assert [root.attrib[f"data-{key}"] for key in ("axes", "signs", "scale", "origin")] == ["xz", "1 1", "10", "20 30"]
    assert root.find(f"{SVG}path").attrib["data-part"] == "lid/tank top"  # type: ignore[union-attr]


@pytest.mark.property
@given(st.text(max_size=30))
def test_any_name_makes_well_formed_svg(name: str) -> None:
    """Quotes, angle brackets and control characters in a name neither break the file nor become markup."""
    words = Words((5, 5), name, 3.0, "#102030", "names", part=f"compartment/{name}")
    root = ElementTree.fromstring(as_svg(sheet(words)).encode())
    assert [element.tag for element in root] == [f"{SVG}title", f"{SVG}polyline", f"{SVG}text"]


@pytest.mark.closed_form
def test_a_pdf_page_has_the_size_of_the_sheet() -> None:
    """200 x 100 mm are 566.93 x 283.46 points of 1/72 in."""
    page = PdfReader(io.BytesIO(as_pdf([sheet()]))).pages[0]
    assert [float(page.mediabox.width), float(page.mediabox.height)] == pytest.approx(
        [200 / 25.4 * 72, 100 / 25.4 * 72], abs=0.01
    )


@pytest.mark.closed_form
def test_a_line_in_the_pdf_has_its_true_length() -> None:
    """The line of 150 mm, read back through the page's own scale, is 150 mm long."""
    content = PdfReader(io.BytesIO(as_pdf([sheet()]))).pages[0].get_contents()
    assert content is not None
    scale, start, end = 1.0, 0.0, 0.0
    for operands, operator in content.operations:
        if operator == b"cm":
            scale *= float(operands[0])
        elif operator == b"m":
            start = float(operands[0])
        elif operator == b"l":
            end = float(operands[0])
    assert (end - start) * scale / 72 * 25.4 == pytest.approx(150.0, abs=0.01)


@pytest.mark.example
def test_the_same_drawing_gives_the_same_pdf() -> None:
    """No date and no chance number: two prints are the same bytes."""
    assert as_pdf([sheet()]) == as_pdf([sheet()])


@pytest.mark.example
def test_words_in_the_pdf_can_be_searched() -> None:
    """Names are text, accents included, not outlines."""
    words = Words((5, 5), "Kühlfach größer", 3.0, "#102030", "names")
    assert "Kühlfach größer" in PdfReader(io.BytesIO(as_pdf([sheet(words)]))).pages[0].extract_text()


@pytest.mark.example
def test_a_sheet_that_no_pdf_can_hold_is_refused() -> None:
    """Six metres of paper is more than a PDF page may have: the words say what to do."""
    with pytest.raises(SketchError, match="smaller scale"):
        as_pdf([Drawing(title="Long", width=6000.0, height=100.0, items=())])
    with pytest.raises(SketchError, match="nothing to draw"):
        as_pdf([])


@pytest.mark.property
@given(st.floats(0, 360), st.sampled_from([-4.0, 0.0, 4.0]))
def test_a_dimension_is_read_from_below_or_from_the_right(direction: float, aside: float) -> None:
    """Whichever way a dimension runs, its figure never stands on its head."""
    import math

    end = (50 * math.cos(math.radians(direction)), 50 * math.sin(math.radians(direction)))
    text = next(item for item in dimension((0, 0), end, aside, "1250", PEN, 2.2) if isinstance(item, Words))
    turned = (text.angle + 180) % 360 - 180
    assert -90.0 - 1e-6 <= turned <= 90.0 + 1e-6


@pytest.mark.example
def test_a_moved_item_keeps_its_shape() -> None:
    """Lines, areas and words move by the same way."""
    items = [
        line([(0, 0), (3, 4)], PEN, "hull"),
        FilledArea((((0, 0), (1, 0), (0, 1)),), None, PEN, "hull"),
        Words((1, 1), "a", 2, "#000000", "names"),
    ]
    there_and_back = [moved(moved(item, 5.0, -2.0), -5.0, 2.0) for item in items]
    assert there_and_back == items
