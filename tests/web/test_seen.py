"""What must be seen in a real browser: nothing covered, cut off or left open that an owner needs next."""

from __future__ import annotations

from typing import Any

import pytest
from served import Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.example]


def select(page: Watched, part: str) -> None:
    page.press(f'#side tr[data-key="part/{part}"] button')
    page.settle()


def box_of(page: Watched, selector: str) -> dict[str, float]:
    found: dict[str, float] = page.page.locator(selector).first.bounding_box()
    return found


def test_what_can_be_done_with_a_part_stays_in_sight_with_all_its_fields_open(served: Any, open_page: Any) -> None:
    """The card scrolls under its buttons, which can be clicked where they stand."""
    page: Watched = open_page(served("marram-forepeak").address, 1280, 800)
    select(page, "bulkhead/collision")
    page.press(".selected summary")
    card, deed = box_of(page, ".selected"), box_of(page, '.selected [data-do="delete"]')
    assert page.page.evaluate("(it => it.scrollHeight > it.clientHeight)(document.querySelector('.selected'))")
    assert deed["y"] + deed["height"] <= card["y"] + card["height"]
    middle = (deed["x"] + deed["width"] / 2, deed["y"] + deed["height"] / 2)
    assert page.page.evaluate("([x, y]) => document.elementFromPoint(x, y).dataset.do", middle) == "delete"


def test_every_first_value_is_read_whole(quillet: Watched) -> None:
    """A tie, and a freeboard, fit their field; how a freeboard is measured stands beneath it."""
    page = quillet
    for part, field, text in (
        ("bulkhead/collision", "at", "main - 2000"),
        ("waterline/waterline", "bow", "890.125"),
    ):
        select(page, part)
        page.page.fill(f'.selected [data-field="{field}"]', text)
        page.page.keyboard.press("Enter")
        page.settle()
        page.press(".selected h2")
        value, width, room = page.page.eval_on_selector(
            f'.selected [data-field="{field}"]', "it => [it.value, it.scrollWidth, it.clientWidth]"
        )
        assert value == text
        assert width <= room
    page.page.select_option('.selected [data-field="stated"]', "freeboards")
    page.page.wait_for_selector(".selected small:has-text('plumb')")
    assert page.complaints == []


def test_the_menu_closes_when_a_drawing_is_taken(quillet: Watched) -> None:
    """So that the next click is on the page."""
    page = quillet
    page.press("#bar [popovertarget]")
    with page.page.expect_download() as taken:
        page.page.click("#menu a[href='/download/drawings.svg']")
    assert taken.value.suggested_filename.endswith(".svg")
    assert not page.page.is_visible("#menu")


def test_a_joint_is_chosen_within_its_column_on_a_tablet(quillet: Watched) -> None:
    """The list of ways to add one does not reach over the figures beside it."""
    page = quillet
    page.page.set_viewport_size({"width": 1024, "height": 768})
    page.settle()
    select(page, "bulkhead/collision")
    page.press('#bar button[data-arrangement="pattern"]')
    page.settle()
    column, choice = box_of(page, "#boards"), box_of(page, "#boards select")
    assert choice["x"] + choice["width"] <= column["x"] + column["width"]


def test_no_words_run_into_others_in_keys_and_hands(quillet: Watched) -> None:
    """What a key is called ends before what it does begins."""
    page = quillet
    page.page.keyboard.press("?")
    page.page.wait_for_selector("dialog[open]")
    spare = page.page.evaluate(
        """() => Math.min(...[...document.querySelectorAll("dialog tr")].map((row) => {
            const words = document.createRange();
            words.selectNodeContents(row.cells[1]);
            const ends = [...row.querySelector("kbd").getClientRects()].map((box) => box.right);
            return words.getBoundingClientRect().left - Math.max(...ends);
        }))"""
    )
    assert spare > 2


def test_the_pictures_choices_and_its_key_are_at_hand(served: Any, open_page: Any) -> None:
    """Cut on the centreline at first; the key names the spaces, by water how they stand to it, and their use; pulled apart, all
    names stay in the picture; on a telephone the key waits behind its word."""
    page: Watched = open_page(served("marram-forepeak").address, 1280, 800)
    choice = page.page.locator('#controls select[data-do="cut"]')
    assert choice.input_value() == "near"
    key = page.page.locator("#meaning li")
    assert {"chain locker", "saloon", "hull, cut", "below the waterline"} <= set(key.all_inner_texts())
    page.page.select_option('#controls select[data-do="tinted_by"]', "water")
    page.settle()
    assert {"above the water", "crosses the waterline"} <= set(key.all_inner_texts())
    page.page.locator('#controls input[data-do="apart"]').fill("1")
    page.settle()
    picture = box_of(page, "#picture")
    for text in page.page.locator("#labels text").all():
        box = text.bounding_box()
        assert box is not None
        assert picture["x"] <= box["x"]
        assert box["x"] + box["width"] <= picture["x"] + picture["width"] + 1
    small: Watched = open_page(served("marram-forepeak").address, 390, 844)
    assert not small.page.locator("#meaning li").first.is_visible()
    small.press("#meaning summary")
    assert small.page.locator("#meaning li").first.is_visible()
