"""The page at work in a real browser: looking, dragging, typing, placing, saving, coming back."""

from __future__ import annotations

import contextlib
import io
import json
import signal
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from served import Served, Watched, patient_page

from sketcher.cli import main

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl]

SCENES = ("pellwick-bows", "ternholm-forepeak")
"""Demos of two hulls; those of the others are compared with their reports where they are dragged in."""


def reported(scene: Path) -> dict[str, Any]:
    """What the command line says of a scene's file."""
    with contextlib.redirect_stdout(io.StringIO()) as said:
        assert main(["report", str(scene), "--json"]) == 0
    found: dict[str, Any] = json.loads(said.getvalue())
    return found


def litres(volume: float) -> str:
    return f"{volume * 1000:.0f}"


def agrees(page: Watched, scene: Path) -> None:
    """The page's litres and berth lengths are those of the report of the saved file."""
    report = reported(scene)
    for space in report["compartments"]:
        if space["bounded"]:
            assert page.figure(f"litres/{space['name']}") == litres(space["volume_m3"])
    for berth in report["berths"]:
        assert page.figure(f"berth/{berth['name']}") == f"{berth['length_m'] * 1000:.0f}"


STILL, MOST_SETTLED = 3, 100
"""Looks alike, a twentieth of a second between them, until a page that changes its shape is taken to rest; so many at most."""


def middle(page: Watched, selector: str) -> tuple[float, float]:
    box = page.page.locator(selector).first.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def select(page: Watched, part: str) -> None:
    """Choose a part in the list, and wait until picture and drawings have made room for the curves that come with it."""
    page.press(f'#side tr[data-key="part/{part}"] button')
    seen: list[dict[str, float] | None] = []
    while len(seen) < MOST_SETTLED and (len(seen) < STILL or any(box != seen[-1] for box in seen[-STILL:])):
        page.settle()
        page.page.wait_for_timeout(50)
        grips = page.page.locator("#grips .hold").first
        seen.append(grips.bounding_box() if grips.count() else None)


def save(page: Watched) -> None:
    page.press('#bar button[data-do="save"]')
    page.settle()
    page.page.wait_for_selector("#bar .unsaved", state="hidden")


@pytest.mark.property
@pytest.mark.parametrize("scene", SCENES)
def test_every_demo_opens_with_the_figures_of_its_report(served: Any, open_page: Any, scene: str) -> None:
    """A demo's page shows what its report says, asks no other machine for anything, and complains of nothing."""
    one: Served = served(scene)
    page: Watched = open_page(one.address)
    agrees(page, one.scene)
    assert {urlsplit(url).hostname for url in page.requests if not url.startswith("blob:")} == {"127.0.0.1"}
    assert page.complaints == []
    assert one.stop() == 0


def at_rest(page: Watched, selector: str) -> str:
    """The words of an element once a hand that is held still has been followed, however busy the machine."""
    before, now = "", page.text(selector)
    while not now or now != before:
        page.page.wait_for_timeout(300)
        page.settle()
        before, now = now, page.text(selector)
    return now


@pytest.mark.example
def test_dragging_in_the_picture_changes_berth_and_litres_and_is_undone(served: Any, open_page: Any) -> None:
    """The collision bulkhead is dragged aft in 3D: the berth shortens by what it moved; one undo puts everything back."""
    one: Served = served("marram-forepeak")
    page: Watched = open_page(one.address)
    agrees(page, one.scene)
    berth = int(page.figure("berth/vee berth"))
    select(page, "bulkhead/collision")
    start = middle(page, "#grips [data-grip=whole] .hold")
    page.drag(start, (18, -9), drop=False)
    under_hand = at_rest(page, "#hand")
    page.page.mouse.up()
    page.settle()
    moved = int(page.page.input_value('input[data-field="at"]')) - 1180
    assert moved > 50
    assert moved % 5 == 0
    assert f"+{moved} mm" in under_hand
    assert int(page.figure("berth/vee berth")) == pytest.approx(berth - moved, abs=1)
    save(page)
    agrees(page, one.scene)
    page.press('#bar button[data-do="undo"]')
    page.settle()
    assert page.page.input_value('input[data-field="at"]') == "1180"
    assert int(page.figure("berth/vee berth")) == berth
    assert "Move collision bulkhead" in page.text("#notice")
    assert page.complaints == []


@pytest.mark.example
def test_dragging_in_the_profile_does_the_same(served: Any, open_page: Any) -> None:
    """In the profile the bulkhead follows the pointer in steps of 5 mm, or of 1 mm with Shift; Escape puts it back."""
    one: Served = served("marram-forepeak")
    page: Watched = open_page(one.address)
    start = middle(page, '#sheet [data-key="profile"] path[data-part="bulkhead/collision"]')
    start = (start[0], start[1] - 8)
    page.drag(start, (11, 0))
    at = int(page.page.input_value('input[data-field="at"]'))
    assert at > 1180
    assert at % 5 == 0
    page.drag((start[0] + 11, start[1]), (9, 3), drop=False)
    page.page.keyboard.press("Escape")
    page.page.mouse.up()
    page.settle()
    assert int(page.page.input_value('input[data-field="at"]')) == at
    save(page)
    agrees(page, one.scene)
    assert page.complaints == []


@pytest.mark.example
def test_a_panel_is_taken_hold_of_beside_its_thin_line(served: Any, open_page: Any) -> None:
    """Pressed three pixels beside its line in the profile, over bottles that stand there, the bulkhead is what moves."""
    one: Served = served("quillet-filled")
    page: Watched = open_page(one.address)
    agrees(page, one.scene)
    select(page, "bulkhead/collision")
    x, y = middle(page, '#sheet [data-key="profile"] path[data-part="bulkhead/collision"]')
    page.drag((x - 3, y), (25, 0))
    assert int(page.page.input_value('input[data-field="at"]')) > 900
    assert page.complaints == []


@pytest.mark.example
def test_a_number_can_be_typed_in_any_unit(served: Any, open_page: Any) -> None:
    """An owner types inches into a scene in millimetres; nonsense is refused in words, its box marked, and figures stay."""
    page: Watched = open_page(served("marram-forepeak").address)
    select(page, "bulkhead/collision")
    field = 'input[data-field="at"]'
    page.page.fill(field, "48 in")
    page.page.press(field, "Enter")
    page.settle()
    assert page.page.input_value(field) == "1219.2"
    page.page.fill(field, "1,2192 m")
    page.page.press(field, "Enter")
    page.page.wait_for_function("where => document.querySelector(where).value === '1219.2'", arg=field)
    litres_now = page.figure("litres/chain locker")
    page.page.fill(field, "somewhere")
    page.page.press(field, "Enter")
    page.page.wait_for_selector("#selected .refused")
    assert "somewhere" in page.text("#refused-at")
    assert page.page.get_attribute(field, "aria-describedby") == "refused-at"
    assert not page.text("#notice")
    assert page.figure("litres/chain locker") == litres_now
    assert page.page.get_attribute(field, "aria-invalid") == "true"
    page.page.press(field, "Tab")
    page.page.wait_for_selector("#selected .refused", state="detached")
    assert page.page.input_value(field) == "1219.2"
    assert page.page.get_attribute(field, "aria-invalid") is None
    page.page.fill(field, "-5000")
    page.page.press(field, "Enter")
    page.page.wait_for_selector("#refused-at:has-text('lies wholly outside the hull')")
    assert page.figure("litres/chain locker") == litres_now
    page.page.press(field, "Tab")
    page.settle()
    assert page.page.input_value(field) == "1219.2"


@pytest.mark.example
def test_a_lid_is_added_where_the_owner_points_and_renamed(served: Any, open_page: Any) -> None:
    """A lid placed by pointing into the profile divides a space; renamed, it is saved under its name."""
    one: Served = served("quillet-forepeak")
    page: Watched = open_page(one.address)
    page.press('#make [data-value="lid"]')
    x, y = middle(page, '#sheet [data-key="profile"] path[data-part="compartment/saloon"]')
    page.page.mouse.click(x - 20, y)
    page.page.wait_for_selector(".selected input[aria-label=Name]")
    page.page.fill("input[aria-label=Name]", "table")
    page.page.press("input[aria-label=Name]", "Enter")
    page.page.wait_for_selector('tr[data-key="part/lid/table"]')
    save(page)
    assert any(line.startswith("  table: {height:") for line in one.scene.read_text().splitlines())
    agrees(page, one.scene)


@pytest.mark.example
def test_two_tabs_show_one_truth(served: Any, open_page: Any) -> None:
    """What is changed in one tab is changed in the other."""
    one: Served = served("quillet-forepeak")
    first: Watched = open_page(one.address)
    second: Watched = open_page(one.address)
    select(first, "bulkhead/collision")
    first.page.fill('input[data-field="at"]', "800")
    first.page.press('input[data-field="at"]', "Enter")
    first.settle()
    second.page.wait_for_selector("#bar .unsaved")
    second.settle()
    assert second.figure("litres/forepeak") == first.figure("litres/forepeak")


@pytest.mark.example
def test_a_crash_loses_nothing(served: Any, open_page: Any) -> None:
    """The server is killed with unsaved work; started again it offers the work, and the page comes back by itself."""
    one: Served = served("quillet-forepeak", "--port", "8471")
    page: Watched = open_page(one.address)
    select(page, "bulkhead/collision")
    page.page.fill('input[data-field="at"]', "815")
    page.page.press('input[data-field="at"]', "Enter")
    page.settle()
    litres_then = page.figure("litres/forepeak")
    one.stop(signal.SIGKILL)
    page.page.wait_for_selector("#ended:not([hidden])")
    assert "Nothing is lost" in page.text("#ended")
    one.start()
    page.page.wait_for_selector('dialog [data-do="recover"][data-take="yes"]')
    page.page.click('dialog [data-do="recover"][data-take="yes"]')
    page.page.wait_for_selector("#bar .unsaved")
    page.settle()
    assert page.figure("litres/forepeak") == litres_then
    assert not page.page.is_visible("#ended")
    save(page)
    agrees(page, one.scene)


@pytest.mark.example
def test_a_file_changed_elsewhere_is_not_overwritten(served: Any, open_page: Any) -> None:
    """Somebody edits the file meanwhile: saving says so, and their change stands."""
    one: Served = served("quillet-forepeak")
    page: Watched = open_page(one.address)
    select(page, "bulkhead/collision")
    page.page.fill('input[data-field="at"]', "800")
    page.page.press('input[data-field="at"]', "Enter")
    page.page.wait_for_selector("#bar .unsaved")
    theirs = one.scene.read_text().replace("at: 700", "at: 720")
    one.scene.write_text(theirs)
    page.press('#bar button[data-do="save"]')
    page.page.wait_for_selector("dialog h2")
    assert "changed elsewhere" in page.text("dialog h2")
    assert one.scene.read_text() == theirs


@pytest.mark.example
def test_a_file_changed_elsewhere_is_asked_about_once_a_number_is_typed(served: Any, open_page: Any) -> None:
    """The question waits for the number, and the next Enter answers it with what loses no work."""
    one: Served = served("quillet-forepeak")
    page: Watched = open_page(one.address)
    select(page, "bulkhead/collision")
    page.page.fill('input[data-field="at"]', "80")
    one.scene.write_text(one.scene.read_text().replace("at: 700", "at: 720"))
    page.page.wait_for_selector("dialog", state="attached")
    assert not page.page.is_visible("dialog")
    page.page.keyboard.type("0")
    page.page.keyboard.press("Enter")
    page.page.wait_for_selector("dialog h2")
    assert page.page.evaluate("document.activeElement.innerText") == "Keep working here"
    page.page.keyboard.press("Enter")
    page.page.wait_for_selector("dialog", state="detached")
    assert page.page.input_value('input[data-field="at"]') == "800"
    page.page.wait_for_selector("#bar .unsaved")


@pytest.mark.property
@pytest.mark.parametrize(
    ("before", "after"), [("", "<small>gone</small>"), ("<small>why</small>", ""), ("<p>a</p>", "<small>b</small><p>c</p>")]
)
def test_what_is_half_typed_stays_as_the_page_is_drawn_anew(quillet: Watched, before: str, after: str) -> None:
    """Whatever comes or goes before a number's table, and whatever it now says itself, the next digit follows the typed ones."""
    row = '<table><tr><td><input type="text" data-do="hull_nothing" data-key="number" value="{}"></td></tr></table>'
    quillet.page.evaluate(
        "html => document.body.insertAdjacentHTML('beforeend', `<div id=tried><h3>Station</h3>${html}</div>`)",
        before + row.format("34.5"),
    )
    number = "#tried input"
    draw = (
        "html => import('/static/morph.js').then(({morph}) => morph(document.getElementById('tried'), `<h3>Station</h3>${html}`))"
    )
    quillet.page.focus(number)
    quillet.page.locator(number).select_text()
    quillet.page.evaluate(draw, after + row.format("14.5"))
    quillet.page.keyboard.type("46 5")
    quillet.page.evaluate(draw, before + row.format("24.5"))
    quillet.page.keyboard.type("/8")
    typed = quillet.page.input_value(number)
    quillet.page.evaluate("document.getElementById('tried').remove()")
    assert typed == "46 5/8"


@pytest.mark.example
def test_a_new_scenes_file_is_called_as_the_scene_is(quillet: Watched) -> None:
    """Until its own name is typed, which then stays."""
    page = quillet
    page.page.evaluate("import('/static/wire.js').then((wire) => wire.send({ do: 'dialog', name: 'new' }))")
    page.page.fill("dialog input[name=name]", "Void, 2nd try")
    assert page.page.input_value("dialog input[name=file]") == "void-2nd-try.yaml"
    page.page.fill("dialog input[name=file]", "mine.yaml")
    page.page.fill("dialog input[name=name]", "Other")
    assert page.page.input_value("dialog input[name=file]") == "mine.yaml"
    page.page.keyboard.press("Escape")
    page.page.wait_for_selector("dialog", state="detached")


@pytest.mark.example
def test_a_wrong_key_is_refused_and_the_right_one_opens(served: Any, browser: Any) -> None:
    """Beyond the loopback nobody reads or edits without the key that was printed."""
    one: Served = served("quillet-forepeak", "--host", "0.0.0.0")
    key = one.address.split("key=")[1]
    place = one.address.split("?")[0]
    page = patient_page(browser)
    assert page.goto(f"{place}?key=wrong").status == 401
    page.fill("#key", key)
    page.click("button")
    page.wait_for_selector("#picture[data-pictures]")
    page.context.close()
    stranger = patient_page(browser)
    assert stranger.goto(one.address).status == 401
    stranger.context.close()


@pytest.mark.example
def test_everything_fits_on_screen_and_tablet(quillet: Watched) -> None:
    """Nothing makes the page scroll sideways, and the boat, the drawings and the figures are all to be seen."""
    page = quillet
    page.press("#tab-spaces")
    for width in page.sizes():
        assert page.page.evaluate("document.documentElement.scrollWidth") <= width
        for part in ("#picture", "#sheet svg", '[data-figure="litres/saloon"]'):
            box = page.page.locator(part).first.bounding_box()
            assert box is not None
            assert box["x"] + box["width"] <= width + 1


@pytest.mark.example
def test_a_holed_space_is_answered_in_a_sentence(quillet: Watched) -> None:
    """Holed, the page says what becomes of her before it gives figures; the hole closed, all of it is gone."""
    page = quillet
    page.press('#side tr[data-key="compartment/berth space"] button')
    page.press('.selected [data-do="hole"]')
    page.settle()
    assert page.figure("verdict").startswith("She floats")
    assert int(page.figure("flood/water").split()[0]) > 100
    page.press('[data-do="close_holes"]')
    page.settle()
    assert not page.page.is_visible(".flood")
    assert page.complaints == []
