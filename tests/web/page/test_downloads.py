"""Files that are taken away from the page."""

from __future__ import annotations

import io

import pypdf
import pytest
from driven_sketch import COLLISION, DrivenSketch


@pytest.mark.example
def test_one_page_to_print_is_of_the_layout_as_it_stands(sketch: DrivenSketch) -> None:
    """Edited and not saved, holed or not: the page tells the bulkhead's new place, and the boat unholed."""
    sketch.ask("set", part=COLLISION, field="at", value="815")
    sketch.ask("hole", part="compartment/forepeak")
    found = sketch.controller.download("page.pdf")
    assert found is not None
    assert found[1:] == ("application/pdf", "quillet-21-forepeak-first-layout-page.pdf")
    (page,) = pypdf.PdfReader(io.BytesIO(found[0])).pages
    text = page.extract_text()
    assert "collision 815" in text
    assert "flooded" not in text
    assert 'href="/download/page.pdf"' in sketch.parts()["bar"]
