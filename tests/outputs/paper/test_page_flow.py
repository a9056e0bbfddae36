"""Pages filled with text, tables and figures, as a reader of the PDF finds them."""

from __future__ import annotations

import io
from functools import partial

import pypdf
import pytest

from sketcher.outputs.drawing.recording import LineStyle, Words, line
from sketcher.outputs.paper.page_flow import Pages

FIGURE = (
    line([(0.0, 0.0), (40.0, 0.0), (40.0, 100.0)], LineStyle("#000000", 0.2), "text"),
    Words((2.0, 50.0), "a figure", 3.0, "#000000", "text"),
)


def texts(pages: Pages) -> list[str]:
    """The words of each page."""
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pages.pdf("Booklet"))).pages]


@pytest.fixture
def pages() -> Pages:
    return Pages("a4", "the head", "the foot")


@pytest.mark.example
def test_a_long_table_repeats_its_head_and_loses_no_row(pages: Pages) -> None:
    """Three hundred rows over some pages: each page has head, foot, number and the table's head; no row is lost."""
    pages.table(["board", "millimetres"], [[f"board {k}", f"r{k:03}"] for k in range(300)], "<>")
    found = texts(pages)
    assert len(found) > 3
    assert all("the head" in text and "the foot" in text and "millimetres" in text for text in found)
    assert all(f"page {k} of {len(found)}" in " ".join(text.split()) for k, text in enumerate(found, 1))
    assert [word for text in found for word in text.split() if word[0] == "r" and word[1:].isdigit()] == [
        f"r{k:03}" for k in range(300)
    ]


@pytest.mark.property
@pytest.mark.parametrize("words", ["", "of a width that leaves room for one column only, " * 3])
@pytest.mark.slow
def test_columns_are_read_down_one_page_before_the_next(pages: Pages, words: str) -> None:
    """A thousand rows side by side stand in order, page by page; too wide for two columns, below each other."""
    pages.text("above")
    pages.columns(["at", "face"], [[f"r{k:03}", words] for k in range(1000)], "><")
    found = [word for text in texts(pages) for word in text.split() if word[0] == "r" and word[1:].isdigit()]
    assert found == [f"r{k:03}" for k in range(1000)]


@pytest.mark.example
def test_what_is_kept_stands_on_one_page_in_the_first_way_that_fits(pages: Pages) -> None:
    """Of three ways the first is too tall for any page and the second goes whole to the next; nothing of the first is left."""

    def way(name: str, height: float) -> None:
        pages.heading(f"{name} begins")
        pages.figure(FIGURE, height)
        pages.text(f"{name} ends")

    pages.figure(FIGURE, 150.0)
    pages.kept(partial(way, "tall", 300.0), partial(way, "middle", 200.0), partial(way, "small", 10.0))
    first, second = texts(pages)
    assert "begins" not in first
    assert "middle begins" in second
    assert "middle ends" in second
    assert "tall" not in first + second


@pytest.mark.example
def test_what_fits_no_page_runs_over_to_the_next(pages: Pages) -> None:
    """Kept text longer than a page, and a cell longer than a page, are printed whole."""
    pages.kept(partial(pages.text, "word " * 3000 + "end of text"))
    pages.table(["note"], [["cell " * 6000 + "end of cell"]])
    whole = " ".join(" ".join(texts(pages)).split())
    assert whole.count("word") == 3000
    assert whole.count("cell") == 6001
    assert "end of text" in whole


@pytest.mark.example
def test_a_figure_and_what_stands_beside_it_share_a_page(pages: Pages) -> None:
    """A figure with a table to its right takes the greater height of the two, and goes whole to the next page."""
    pages.figure(FIGURE, 200.0)
    pages.beside(60.0, FIGURE, 100.0, partial(pages.table, ["m", "kg"], [[f"row {k}", "1"] for k in range(9)]))
    pages.text("beneath")
    first, second = texts(pages)
    assert "row" not in first
    assert all(word in second for word in ("a figure", "row 0", "row 8", "beneath"))


@pytest.mark.property
@pytest.mark.parametrize("name", ["<b>bold</b> & <i", "a" * 300, "  "])
def test_names_are_printed_as_they_stand(pages: Pages, name: str) -> None:
    """No name is taken for markup, in text, table, heading or caution; one longer than a line is broken, none makes an error."""
    pages.heading(name)
    pages.text(name)
    pages.caution(name)
    pages.ticked(name)
    pages.blanks(("label",))
    pages.table([name], [[name]])
    found = "".join("".join(texts(pages)).split())
    assert found.count("".join(name.split()) or "label") >= (6 if name.strip() else 1)


@pytest.mark.example
def test_an_empty_page_is_not_printed(pages: Pages) -> None:
    """Two new pages one after the other are one."""
    pages.text("one")
    pages.new_page()
    pages.new_page()
    pages.text("two")
    assert len(texts(pages)) == 2
