"""Pattern and build at work in a real browser: beside the boat, live, dragged and taken away."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

import pytest
from served import Served, Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl]

HEIGHT = "#boards section[data-key='board/collision'] tr[data-key='Over all']"


def show(page: Watched, arrangement: str) -> None:
    page.press(f'#bar button[data-arrangement="{arrangement}"]')
    page.settle()


def middle(page: Watched, selector: str) -> tuple[float, float]:
    """Where something is once it stands still: a picture may arrive late on a busy machine, and its handle with it."""
    before = None
    while True:
        box = page.page.locator(selector).first.bounding_box()
        if box == before:
            return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        before = box
        page.page.wait_for_timeout(500)


@pytest.mark.example
def test_the_pattern_follows_the_bulkhead_and_its_joint_the_hand(served: Any, open_page: Any) -> None:
    """Dragged in 3D, the board's size changes before the hand lets go; its joint is dragged on the drawing, typed, undone."""
    one: Served = served("marram-forepeak")
    page: Watched = open_page(one.address)
    page.press('#side tr[data-key="part/bulkhead/collision"] button')
    show(page, "pattern")
    before, drawn = page.text(HEIGHT), page.page.inner_html("#pattern")
    page.drag(middle(page, "#grips [data-grip=whole] .hold"), (12.0, -6.0), drop=False)
    page.page.wait_for_function("([where, was]) => document.querySelector(where).innerText.trim() !== was", arg=[HEIGHT, before])
    assert page.page.inner_html("#pattern") != drawn
    page.page.mouse.up()
    page.settle()
    page.drag(middle(page, "#pattern .joint-hold circle"), (25.0, 40.0))
    page.page.wait_for_selector("#boards .unit:text('as stated')")
    page.page.fill("#boards input", "70 cm")
    page.page.keyboard.press("Enter")
    page.settle()
    undo = page.page.get_attribute('#bar button[data-do="undo"]', "title")
    assert "Move joint of collision" in undo
    assert "to 700 mm" in undo
    for _ in range(3):
        page.press('#bar button[data-do="undo"]')
    page.settle()
    assert page.text(HEIGHT) == before
    assert page.complaints == []


@pytest.mark.example
def test_the_build_is_worked_out_read_and_taken_away(quillet: Watched) -> None:
    """Unasked, once its page is open: sheets drawn, a list as CSV, the folder as a ZIP; no other machine is asked."""
    page = quillet
    show(page, "build")
    page.page.wait_for_selector("#build figure svg")
    with page.page.expect_download() as taken:
        page.page.click("#build a[href$='cutting%20list.csv']")
    assert taken.value.path().read_text("utf-8").startswith("board,panel,kind")
    page.press('#build button[data-do="build_folder"]')
    page.page.wait_for_selector("#build a[href='/download/build.zip']")
    with page.page.expect_download() as taken:
        page.page.click("#build a[href='/download/build.zip']")
    assert taken.value.path().read_bytes()[:2] == b"PK"
    assert {urlsplit(url).hostname for url in page.requests if not url.startswith("blob:")} == {"127.0.0.1"}
    assert page.complaints == []


@pytest.mark.example
def test_pattern_and_build_fit_on_screen_and_tablet(quillet: Watched) -> None:
    """Nothing hangs over the page's edge, the pattern has room, and everything that can be used has a name."""
    page = quillet
    for arrangement in ("build", "pattern"):
        show(page, arrangement)
        nameless = page.page.evaluate(
            """() => [...document.querySelectorAll('#cutting :is(button, input, select, a), #build :is(button, a)')]
            .filter((it) => it.offsetParent && !it.textContent.trim() && !it.ariaLabel && !it.labels?.length).length"""
        )
        assert nameless == 0
        for _ in page.sizes():
            assert page.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
            if arrangement == "pattern":
                box = page.page.locator("#pattern svg").bounding_box()
                assert box["width"] > 300
                assert box["height"] > 250
    assert page.complaints == []
