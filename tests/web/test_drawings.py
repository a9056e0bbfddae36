"""The drawings in a real browser: filled paper, type and lines that can be seen, dragged cuts, a measure, a way home."""

from __future__ import annotations

from typing import Any

import pytest
from served import Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.example]

SMALLEST = """() => Math.min(...[...document.querySelectorAll("#sheet text")].map((words) => {
    const { a, b } = words.getScreenCTM();
    return parseFloat(words.getAttribute("font-size")) * Math.hypot(a, b);
}))"""
"""Height of the smallest lettering [pixels]."""
COVERED = """() => [...document.querySelectorAll("#sheet text")].filter((words) => {
    const box = words.getBoundingClientRect(), paper = document.getElementById("paper").getBoundingClientRect();
    return box.left < paper.left - 1 || box.right > paper.right + 1 || box.top < paper.top - 1 || box.bottom > paper.bottom + 1;
}).map((words) => words.textContent)"""
"""Lettering that runs off the paper."""
FOLLOWED = """() => {
    const { width, height } = document.getElementById("sheet").getBoundingClientRect();
    const seen = document.querySelector("#sheet svg").viewBox.baseVal;
    return Math.abs(seen.width * height - seen.height * width) < 0.01 * seen.width * height;
}"""
"""Whether the drawings are on a paper of the shape that there is room for."""
RING = "() => getComputedStyle(document.activeElement).outlineStyle"
ALIKE = """() => [...document.querySelectorAll("#sheet :is(path, polygon, polyline)")]
    .every((line) => getComputedStyle(line).vectorEffect === "non-scaling-stroke")"""

REFUSED = """import("/static/wire.js").then((wire) => {
    wire.send({ do: "nudge", towards: "right" });
    wire.send({ do: "build_folder" });
})"""
"""Asks for what is made of saved work only, which is said in a sentence."""
OVER = """() => {
    const card = document.querySelector("#notice .card").getBoundingClientRect();
    return [...document.querySelectorAll("input, select")].filter((field) => {
        const { x, y, width, height, left, right, top, bottom } = field.getBoundingClientRect();
        const there = document.elementFromPoint(x + width / 2, y + height / 2)?.closest("input, select, #notice");
        return there && left < card.right && card.left < right && top < card.bottom && card.top < bottom;
    }).map((field) => field.outerHTML);
}"""
"""Fields in sight that the sentence lies over."""


def middle(page: Watched, selector: str) -> tuple[float, float]:
    box = page.page.locator(selector).first.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def until_still(page: Watched) -> None:
    """Wait until the paper of the drawings has followed the page's size, and the strip's height what stands in it."""
    for _ in range(2):
        page.settle()
        page.page.wait_for_function(FOLLOWED)


def test_drawings_fill_their_paper_and_can_be_worked_in(served: Any, open_page: Any) -> None:
    """On every screen nothing is smaller than 11 px or runs off; then one page zoomed, cut elsewhere and measured."""
    page: Watched = open_page(served("marram-forepeak").address, 1440, 900)
    for width, height in ((390, 800), (820, 1180), (1024, 768), (1920, 1080)):
        page.page.set_viewport_size({"width": width, "height": height})
        for arrangement in ("both", "drawings"):
            page.page.click(f'#bar [data-arrangement="{arrangement}"]')
            until_still(page)
            where = f"{arrangement} at {width}"
            assert page.page.evaluate(SMALLEST) >= 10.99, where
            assert page.page.evaluate(COVERED) == [], where
            assert page.page.evaluate("(it => it.scrollHeight <= it.clientHeight)(document.getElementById('key'))"), where
            assert page.page.evaluate("(it => it.scrollWidth <= it.clientWidth)(document.getElementById('bar'))"), where
            if page.page.is_visible("[popovertarget=legend]"):
                page.press("[popovertarget=legend]")
                assert "4162 L" in page.text("#legend")
                page.page.keyboard.press("Escape")
    assert page.page.evaluate(ALIKE)
    whole = page.page.get_attribute("#sheet svg", "viewBox")
    page.page.mouse.move(*middle(page, "#sheet"))
    page.page.mouse.wheel(0, -800)
    page.settle()
    assert page.page.get_attribute("#sheet svg", "viewBox") != whole
    page.press('#cuts [data-do="fit"]')
    page.settle()
    assert page.page.get_attribute("#sheet svg", "viewBox") == whole

    heading = '#sheet-section text:has-text("Section at")'
    before = page.page.text_content(heading)
    page.drag(middle(page, '[data-cut$="/section"] circle'), (90, 0))
    assert page.page.text_content(heading) != before
    assert page.page.input_value('#cuts [data-which="section"]') in page.page.text_content(heading)
    assert page.page.evaluate(RING) == "none"

    page.press('#cuts [data-do="measure"]')
    for panel in ("collision", "main"):
        box = page.page.locator(f'#sheet [data-key="profile"] path[data-part="bulkhead/{panel}"]').first.bounding_box()
        page.page.mouse.click(box["x"] + 1, box["y"] + box["height"] / 2)
        page.settle()
    assert "collision to" in page.text("#hand")
    page.page.keyboard.press("ArrowRight")
    page.settle()
    assert "corner of" in page.text("#spoken")
    assert page.page.evaluate(RING) != "none"
    for _ in range(2):
        page.page.keyboard.press("Escape")
    page.settle()
    assert page.page.evaluate("document.body.dataset.placing") == ""
    assert page.complaints == []


def test_what_is_said_lies_over_no_field(served: Any, open_page: Any) -> None:
    """In every arrangement, screen to telephone, the sentence after an edit stands clear of what is typed in or chosen."""
    page: Watched = open_page(served("quillet-forepeak").address)
    page.press('#side tr[data-key="part/bulkhead/collision"] button')
    for width, height in ((1280, 800), (820, 1180), (390, 800)):
        page.page.set_viewport_size({"width": width, "height": height})
        for arrangement in ("both", "boat", "drawings", "hull", "pattern") if width != 820 else ("both", "hull"):
            page.page.click(f'#bar [data-arrangement="{arrangement}"]')
            page.page.evaluate(REFUSED)
            page.settle()
            assert page.page.evaluate(OVER) == [], (width, arrangement)
