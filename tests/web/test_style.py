"""Can it be read? Contrast of the page's colours by the formula of WCAG 2.1 (relative luminance, success criterion 1.4.3)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from contrast import LEAST, contrast

import sketcher.web
from sketcher.outputs import palette

pytestmark = pytest.mark.closed_form

STATIC = Path(sketcher.web.__file__).parent / "static"
CSS = (STATIC / "page.css").read_text()
COLOURS = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", CSS))


def test_the_formula_gives_the_known_ends() -> None:
    """Black on white is 21, a colour on itself 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == pytest.approx(1.0)


@pytest.mark.parametrize("ground", ["paper", "sheet", "shade", "accent-wash"])
@pytest.mark.parametrize("text", ["ink", "pencil", "accent", "water", "beside"])
def test_text_is_readable_on_every_ground(text: str, ground: str) -> None:
    """Every colour of text on every ground it stands on."""
    assert contrast(COLOURS[text], COLOURS[ground]) >= LEAST


@pytest.mark.parametrize(
    ("text", "ground"), [("#ffffff", "accent"), ("#d5dade", "ink"), ("#ffc9b5", "ink"), ("#666e76", "paper")]
)
def test_light_text_on_dark_and_what_cannot_be_pressed(text: str, ground: str) -> None:
    """The label under the hand, the main button, and buttons that have nothing to do."""
    assert text in CSS or text == "#ffffff"
    assert contrast(text, COLOURS[ground]) >= LEAST


def test_the_page_has_the_colours_of_the_drawings() -> None:
    """Paper, ink, water and accent are those of the palette that drawings and pictures use."""
    assert COLOURS["paper"] == palette.PAPER
    assert COLOURS["ink"] == palette.INK
    assert COLOURS["pencil"] == palette.PENCIL
    assert COLOURS["water"] == palette.WATER
    assert COLOURS["accent"] == palette.ACCENT
    assert COLOURS["beside"] == palette.BESIDE


def test_nothing_is_asked_from_elsewhere() -> None:
    """No file of the page names another machine, but for the name spaces of SVG."""
    for file in STATIC.iterdir():
        found = re.findall(r"(?:https?:)?//[\w.-]+\.\w+", file.read_text().replace("http://www.w3.org/2000/svg", ""))
        assert not found, file.name
