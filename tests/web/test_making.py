"""Adding in a real browser, from the bar: by the mouse and by keys, and how many of them it takes."""

from __future__ import annotations

from typing import Any

import pytest
from served import FRAMES, Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.example]

PROFILE = '#sheet [data-key="profile"] path[data-part="compartment/{}"]'
WAITING = "() => document.body.dataset.placing"
FOCUS = "() => document.activeElement.id"


def in_space(page: Watched, name: str, across: float = 0.5, up: float = 0.5) -> tuple[float, float]:
    """A place in a space of the profile, in shares of its box."""
    box = page.page.locator(PROFILE.format(name)).first.bounding_box()
    return box["x"] + across * box["width"], box["y"] + (1 - up) * box["height"]


def selected(page: Watched) -> tuple[str, str]:
    """Kind and name of what is selected."""
    page.settle()
    kind = page.text("#selected h2").split("\n")[0].lower()
    return kind, page.page.input_value("#selected input[aria-label=Name]")


def test_a_panel_is_chosen_shown_placed_and_left_by_the_mouse(served: Any, open_page: Any) -> None:
    """Its outline goes with the pointer in all views, its figures beside it; a click places it, Escape leaves the next."""
    page: Watched = open_page(served("quillet-forepeak").address)
    page.press('#make [data-value="bulkhead"]')
    place = in_space(page, "saloon", 0.3)
    page.page.mouse.move(*place)
    page.page.wait_for_selector("#hand [data-corner=pointer] :text('aft of it')")
    page.page.wait_for_function("() => !document.querySelector('#hand').innerText.includes('…')")
    card = page.page.locator("#hand .card").bounding_box()
    assert card["x"] - place[0] == pytest.approx(28, abs=1)
    assert page.page.locator("#labels .ghost.face").count() == 2
    assert page.page.locator("#sheet-ghost .ghost.face").count() == 6
    assert page.page.get_attribute('#make [data-value="bulkhead"]', "aria-pressed") == "true"
    page.page.mouse.click(*place)
    assert selected(page) == ("bulkhead", "bulkhead")
    assert page.page.evaluate(WAITING) == ""
    assert page.page.locator(".ghost").count() == 0
    page.page.mouse.move(*in_space(page, "saloon"))
    page.page.keyboard.press("l")
    page.page.wait_for_selector("#hand [data-corner=pointer] :text('under it')")
    page.page.keyboard.press("Escape")
    page.settle()
    assert page.page.evaluate(WAITING) == ""
    assert selected(page) == ("bulkhead", "bulkhead")
    assert page.complaints == []


def test_a_panel_is_chosen_moved_placed_and_left_by_keys(served: Any, open_page: Any) -> None:
    """By its letter or by Tab and Enter; the menu's letters choose in the menu; what waits is read out once the keys rest."""
    page: Watched = open_page(served("quillet-forepeak").address)
    keyboard = page.page.keyboard
    keyboard.press("b")
    keyboard.press("ArrowRight")
    page.page.wait_for_function("() => document.getElementById('spoken').innerText.includes('aft of it')")
    assert page.page.evaluate(FOCUS) == "picture"
    keyboard.press("Enter")
    assert selected(page) == ("bulkhead", "bulkhead")
    page.page.focus('#make [data-value="lid"]')
    keyboard.press("Enter")
    page.settle()
    assert (page.page.evaluate(WAITING), page.page.evaluate(FOCUS)) == ("lid", "picture")
    keyboard.press("ArrowUp")
    keyboard.press("Enter")
    assert selected(page) == ("lid", "lid")
    keyboard.press("m")
    page.page.wait_for_selector("#more:popover-open")
    keyboard.press("w")
    page.settle()
    assert not page.page.is_visible("#more")
    assert page.page.evaluate(WAITING) == "weight"
    keyboard.press("Escape")
    page.settle()
    assert page.page.evaluate(WAITING) == ""
    assert page.complaints == []


@pytest.mark.parametrize(
    ("what", "where", "comes"),
    [
        ("bulkhead", ("saloon", 0.3, 0.4), "bulkhead"),
        ("lid", ("saloon", 0.3, 0.3), "lid"),
        ("berth", ("cabin", 0.5, 0.2), "berth"),
        ("opening", ("saloon", 0.2, 0.97), "hatch"),
    ],
)
def test_each_takes_two_clicks(quillet: Watched, what: str, where: tuple[str, float, float], comes: str) -> None:
    """One to choose and one to place; a hatch 450 x 450 in the deck is there without a figure typed."""
    page = quillet
    page.page.click(f'#make [data-value="{what}"]')
    page.page.evaluate(FRAMES)
    page.page.mouse.click(*in_space(page, *where))
    assert selected(page) == (what, comes)
    if what == "opening":
        assert page.page.input_value('#selected [data-field="through"]') == "deck"
        assert page.page.input_value('#selected [data-field="size"]').strip("[]") == "450, 450"
    page.press('#bar button[data-do="undo"]')
    page.settle()
    assert page.complaints == []


def test_the_bar_is_in_sight_on_every_screen(quillet: Watched) -> None:
    """From a large screen to a telephone, where it is a row: each of its buttons whole, and large enough to be hit (24 px)."""
    page = quillet
    for width, height in ((1440, 900), (1024, 768), (390, 800)):
        page.page.set_viewport_size({"width": width, "height": height})
        page.settle()
        assert page.page.evaluate("document.documentElement.scrollWidth") <= width
        for button in page.page.locator("#make > button").all():
            box = button.bounding_box()
            assert min(box["width"], box["height"]) >= 24
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= width
            assert box["y"] + box["height"] <= height


@pytest.mark.parametrize(
    ("where", "key", "field", "by"), [("#grips", "rake", "rake", (40, -20)), ("#sheet", "whole", "at", (30, 0))]
)
def test_a_handle_is_dragged_by_the_mouse_and_moved_by_keys(
    quillet: Watched, where: str, key: str, field: str, by: tuple[float, float]
) -> None:
    """In the picture and in a drawing: its figure is told under the hand, one step takes it back, Escape gives a drag up."""
    page, value = quillet.page, f'#selected input[data-field="{field}"]'
    quillet.press('#parts [data-part="bulkhead/collision"]')
    quillet.settle()
    grip, before = page.locator(f'{where} [data-grip="{key}"]').first, page.input_value(value)
    box = grip.locator(".hold").bounding_box()
    assert min(box["width"], box["height"]) >= 24
    at = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    quillet.drag(at, by, 4, drop=False)
    page.wait_for_selector("#hand .lead")
    page.keyboard.press("Escape")
    page.mouse.up()
    quillet.settle()
    assert page.input_value(value) == before
    quillet.drag(at, by, 4)
    assert float(page.input_value(value)) > float(before)
    page.keyboard.press("Control+z")
    quillet.settle()
    assert page.input_value(value) == before
    grip.focus()
    page.keyboard.press("ArrowRight")
    quillet.settle()
    assert float(page.input_value(value)) > float(before)
    assert page.evaluate("document.activeElement.dataset.grip") == key
    page.keyboard.press("Control+z")
    quillet.settle()
    assert quillet.complaints == []
