"""The page without a mouse: everything is reached by Tab, worked by keys, and the keyboard is never lost."""

from __future__ import annotations

import difflib
from typing import Any

import pytest
from served import Served, Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.example]

MOST_TABS = 150
AT = '#selected input[data-field="at"]'
JOINT = "#pattern [data-joint='0']"
HELD = "selector => document.activeElement.matches(selector)"


def press(page: Watched, *keys: str) -> None:
    """Press keys, and wait until what they ask for is on the page."""
    for key in keys:
        page.page.keyboard.press(key)
    page.settle()


def has_keyboard(page: Watched, selector: str) -> bool:
    return bool(page.page.evaluate(HELD, selector))


def tab_to(page: Watched, selector: str, key: str = "Tab") -> int:
    """Press Tab until something of this kind has the keyboard; how often."""
    for count in range(1, MOST_TABS):
        page.page.keyboard.press(key)
        if has_keyboard(page, selector):
            return count
    raise AssertionError(f"{selector} is not reached by {key}")


def to_the_part(page: Watched, part: str) -> None:
    """By keys alone: from the margin's tabs to that of the parts, and to one in their list."""
    tab_to(page, "[role=tab]")
    press(page, "Home")
    tab_to(page, f'#parts [data-part="{part}"]')
    press(page, "Enter")


def undo_says(page: Watched) -> str:
    return str(page.page.get_attribute('#bar button[data-do="undo"]', "title"))


def changed_lines(before: str, after: str) -> list[str]:
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in lines if line[0] in "+-" and not line.startswith(("+++", "---"))]


def test_tab_leads_through_all_of_the_page(served: Any, open_page: Any) -> None:
    """Once round from the top, in the order of the page, nothing that can be used is left out, and every stop is seen."""
    page: Watched = open_page(served("quillet-forepeak").address)
    page.page.wait_for_selector("#first:not(:has-text('when your hand rests'))")
    to_the_part(page, "bulkhead/collision")
    page.page.wait_for_selector("#curves:has(.field):not(:has-text('worked out'))")
    page.settle()
    tab_to(page, "body")
    met: list[str] = []
    for _ in range(MOST_TABS):
        page.page.keyboard.press("Tab")
        if has_keyboard(page, "body"):
            break
        where, ring = page.page.evaluate(
            """() => {
                const it = document.activeElement, style = getComputedStyle(it);
                it.dataset.met = "yes";
                return [it.closest("[id]:not(tr)").id, style.outlineStyle];
            }"""
        )
        assert ring != "none", where
        met += [where] if where not in met[-1:] else []
    assert met == [
        "bar",
        "make",
        "picture",
        "grips",
        "controls",
        "meaning",
        "cuts",
        "sheet",
        "sheet-marks",
        "sheet-grips",
        "key",
        "curves",
        "tab-part",
        "panel-part",
        "selected",
        "parts",
    ]
    missed = page.page.evaluate(
        """() => [...document.querySelectorAll("button, input, select, a, summary, [tabindex]")]
            .filter((it) => it.checkVisibility({ visibilityProperty: true }) && it.tabIndex >= 0 && !it.dataset.met)
            .map((it) => it.outerHTML)"""
    )
    assert missed == []


def test_the_margins_tabs_are_turned_by_arrows_and_a_remedy_is_made_by_enter(served: Any, open_page: Any) -> None:
    """WAI-ARIA's tabs: one stop of Tab, arrows go round. What is chosen shows its card; the keyboard is not left behind."""
    page: Watched = open_page(served("quillet-forepeak").address)
    page.page.wait_for_selector("#first:not(:has-text('when your hand rests'))")
    tab_to(page, "[role=tab]")
    shown = lambda: page.page.evaluate("[...document.querySelectorAll('[role=tabpanel]:not([hidden])')].map((it) => it.id)")  # noqa: E731
    for key, name in (("ArrowRight", "part"), ("ArrowLeft", "findings"), ("ArrowLeft", "spaces"), ("End", "findings")):
        press(page, key)
        assert has_keyboard(page, f"#tab-{name}[aria-selected=true]")
        assert page.page.locator("[role=tab][aria-selected=true]").count() == 1
        assert shown() == [f"panel-{name}"]
    assert page.text("#tab-findings .count") == str(page.page.locator("#panel-findings .findings > li").count() + 1)
    tab_to(page, "[data-do=mend]")
    press(page, "Enter")
    assert "Move collision bulkhead 700 to 845 mm" in page.text("#notice")
    assert "Move collision bulkhead 700 to 845 mm" in undo_says(page)
    assert has_keyboard(page, "#panel-findings, #panel-findings *")
    tab_to(page, "#first [data-do=find]", "Shift+Tab")
    press(page, "Enter")
    assert shown() == ["panel-part"]
    assert has_keyboard(page, "#panel-part")
    tab_to(page, "#selected input[aria-label=Name]")
    assert page.complaints == []


def test_a_panel_is_chosen_typed_nudged_undone_and_saved(served: Any, open_page: Any) -> None:
    """As one line of the file; and a lid added: the keyboard stays where one works, undoing works from the field typed in."""
    one: Served = served("quillet-forepeak")
    before = one.scene.read_text()
    page: Watched = open_page(one.address)
    to_the_part(page, "bulkhead/collision")
    tab_to(page, AT, "Shift+Tab")
    press(page, "Control+a", *"760", "Enter")
    assert has_keyboard(page, AT)
    assert "to 760 mm" in undo_says(page)
    press(page, "Control+z")
    assert page.page.input_value(AT) == "700"
    press(page, "Control+y")
    assert page.page.input_value(AT) == "760"
    press(page, "Control+a", *"77", "Control+z")
    assert page.page.input_value(AT) != "700"
    press(page, "Escape")
    tab_to(page, "#picture", "Shift+Tab")
    press(page, "ArrowRight", "Shift+ArrowLeft")
    assert page.page.input_value(AT) == "764"
    tab_to(page, AT)
    press(page, "Control+a", *"780", "Control+s")
    page.page.wait_for_selector("#bar .unsaved", state="hidden")
    assert changed_lines(before, one.scene.read_text()) == [
        "-  collision: {at: 700, thickness: 12}",
        "+  collision: {at: 780, thickness: 12}",
    ]
    assert has_keyboard(page, AT)
    tab_to(page, '#make [data-value="lid"]', "Shift+Tab")
    press(page, "Enter")
    assert has_keyboard(page, "#picture")
    press(page, "Enter")
    assert has_keyboard(page, "#picture")
    assert "Add lid" in undo_says(page)
    height = float(page.page.input_value('#selected input[data-field="height"]'))
    press(page, "ArrowUp")
    assert float(page.page.input_value('#selected input[data-field="height"]')) == height + 5
    assert page.complaints == []


def test_a_question_gives_the_keyboard_back(served: Any, open_page: Any) -> None:
    """Put away by Escape or its button, it leaves one where one was; called up from the menu, at the menu's button."""
    page: Watched = open_page(served("quillet-forepeak").address)
    tab_to(page, '#controls [data-view="plan"]')
    for key in ("Escape", "Enter"):
        page.page.keyboard.press("?")
        page.page.wait_for_selector("dialog[open]")
        assert has_keyboard(page, "dialog *")
        press(page, key)
        page.page.wait_for_selector("dialog", state="detached")
        assert has_keyboard(page, '[data-view="plan"]')
    more = "#bar [popovertarget=menu]"
    tab_to(page, more, "Shift+Tab")
    press(page, "Enter", "Escape")
    assert not page.page.is_visible("#menu")
    assert has_keyboard(page, more)
    for key in ("Escape", "Enter"):
        page.page.keyboard.press("Enter")
        tab_to(page, "#menu [data-name=keys]")
        page.page.keyboard.press("Enter")
        page.page.wait_for_selector("dialog[open]")
        press(page, key)
        page.page.wait_for_selector("dialog", state="detached")
        assert has_keyboard(page, more)
    assert page.complaints == []


def test_title_steps_and_b_are_worked_by_keys(served: Any, open_page: Any) -> None:
    """Another title, taken back in the list of steps; a layout kept as B and gone over to: the keyboard stays where one works."""
    page: Watched = open_page(served("quillet-forepeak").address)
    title, steps = "#bar h1 button", "#bar [data-name=steps]"
    tab_to(page, title)
    press(page, "Enter")
    page.page.wait_for_selector("dialog[data-key=title][open]")
    press(page, *"Mine", "Enter")
    page.page.wait_for_selector("dialog", state="detached")
    assert page.text("#bar h1") == "Mine"
    assert has_keyboard(page, title)
    tab_to(page, '#bar [data-arrangement="compare"]')
    press(page, "Enter")
    tab_to(page, "#compare [data-do=keep_beside]")
    press(page, "Enter")
    assert has_keyboard(page, "#compare [data-key=keep]")
    tab_to(page, steps, "Shift+Tab")
    press(page, "Enter")
    page.page.wait_for_selector("dialog[data-key=steps][open]")
    assert has_keyboard(page, "dialog [aria-current=step]")
    press(page, "Tab", "Enter")
    page.page.wait_for_selector("dialog", state="detached")
    assert page.text("#bar h1") == "Quillet 21, forepeak, first layout"
    assert has_keyboard(page, steps)
    tab_to(page, "#compare [data-do=go_over]")
    press(page, "Enter")
    assert page.text("#bar h1") == "Mine"
    assert undo_says(page).startswith("Undo: Go over to B, Mine")
    assert page.complaints == []


def test_single_characters_can_be_turned_off(served: Any, open_page: Any) -> None:
    """WCAG 2.1.4: who speaks to the machine turns them off; arrows and Escape still work, and the browser remembers it."""
    page: Watched = open_page(served("quillet-forepeak").address)
    to_the_part(page, "bulkhead/collision")
    press(page, "?")
    page.page.wait_for_selector("dialog[open]")
    tab_to(page, "#letters", "Shift+Tab")
    press(page, "Space", "Escape")
    page.page.wait_for_selector("dialog", state="detached")
    for again in (False, True):
        if again:
            page.page.reload()
            page.page.wait_for_selector("#picture[data-pictures]")
            page.settle()
        press(page, "d", "?")
        assert "duplicate" not in undo_says(page).lower()
        assert not page.page.is_visible("dialog")
    at = float(page.page.input_value(AT))
    press(page, "ArrowRight")
    assert float(page.page.input_value(AT)) == at + 5
    assert page.text("#spoken").startswith(f"collision {at + 5:.0f} mm")
    page.page.evaluate("import('/static/wire.js').then((wire) => wire.send({ do: 'dialog', name: 'keys' }))")
    page.page.wait_for_selector("dialog[open]")
    assert not page.page.is_checked("#letters")
    page.page.check("#letters")
    press(page, "Escape")
    page.page.wait_for_selector("dialog", state="detached")
    press(page, "d")
    assert "duplicate" in undo_says(page).lower()
    assert page.complaints == []


def test_joints_and_papers_are_worked_by_keys(served: Any, open_page: Any) -> None:
    """A joint is added, reached and nudged on the pattern, and keeps the keyboard; plus and minus magnify the paper."""
    page: Watched = open_page(served("quillet-forepeak").address)
    to_the_part(page, "bulkhead/collision")
    tab_to(page, '#bar [data-arrangement="pattern"]')
    press(page, "Enter")
    tab_to(page, "#boards select")
    press(page, "ArrowDown")
    page.page.wait_for_selector(JOINT)
    tab_to(page, JOINT, "Shift+Tab")
    before = float(page.page.input_value("#boards input"))
    towards = {"x": ("ArrowLeft", "ArrowRight"), "y": ("ArrowDown", "ArrowUp")}[page.page.get_attribute(JOINT, "data-way")]
    press(page, towards[1])
    first = float(page.page.input_value("#boards input")) - before
    assert abs(first) == 5
    press(page, *[towards[1]] * 3, *[f"Shift+{towards[0]}"] * 2)
    assert float(page.page.input_value("#boards input")) - before == pytest.approx(first / 5 * 18)
    assert has_keyboard(page, JOINT)
    assert page.page.input_value("#selected input[data-field=at]") == "700"
    whole = page.page.get_attribute("#pattern svg", "viewBox")
    press(page, "+")
    assert page.page.get_attribute("#pattern svg", "viewBox") != whole
    press(page, "-")
    assert page.page.get_attribute("#pattern svg", "viewBox") == whole
    assert page.complaints == []
