"""A boat measured in a real browser: from an empty folder by tape, counted; a section traced; outlines dragged."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

import pytest
from PIL import Image
from places import ROOT
from served import FRAMES, Served, patient_page

from sketcher.analysis.evaluate import evaluate
from sketcher.analysis.ready.typical_forms import first_guess
from sketcher.model.files.scene_file import read_scene
from sketcher.model.units import format_length

MOST = 250
"""Keys and clicks, a figure that is typed counting as one: eight stations of six points, deck, stem and transom."""


class BareServed(Served):
    """The command `open` with no scene named, begun in a folder of its own."""

    def _begun(self, arguments: list[str]) -> TextIO:
        del arguments
        command = [sys.executable, "-m", "sketcher", "open", "--no-browser"]
        with_code = {**os.environ, "PYTHONPATH": str(ROOT)}
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=self.boats, env=with_code
        )
        output: TextIO = self.process.stdout
        return output


@dataclass
class Hands:
    """Counts what a person does on a page: clicks, keys, and figures typed."""

    page: Any
    done: int = 0
    characters: int = 0

    def click(self, selector: str) -> None:
        self.page.click(selector)
        self.done += 1

    def key(self, name: str) -> None:
        self.page.keyboard.press(name)
        self.done += 1

    def type(self, text: str, then: str) -> None:
        """A name or figure typed over what stands there, and a key."""
        self.page.keyboard.type(text)
        self.done += 1
        self.characters += len(text) - 1
        self.key(then)


@pytest.fixture
def empty_folder(tmp_path: Path) -> Iterator[Served]:
    one = BareServed(tmp_path, tmp_path / "none.yaml").start()
    yield one
    if not one.output.closed:
        one.stop(signal.SIGKILL)


def mm(metres: float) -> str:
    return format_length(metres, "mm")


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.gl
@pytest.mark.example
def test_from_an_empty_folder_to_a_first_report(empty_folder: Served, open_page: Any) -> None:
    """Eight stations of six points, stem, transom and deck are typed as a notebook has them; the saved hull says just that."""
    notebook = first_guess("Teal", "full bow", "mm", (6.5, 2.26, 1.08))
    page = open_page(empty_folder.address)
    hands = Hands(page.page)
    hands.click('dialog [data-name="new boat"]')
    page.page.wait_for_selector('form[data-do="new_boat"]')
    hands.type("Teal", "Tab")
    hands.key("Tab")
    hands.key("Tab")
    for figure in ("6400", "2200", "1050", "950"):
        hands.type(figure, "Tab")
    hands.type("700", "Enter")
    page.page.wait_for_selector('input[data-field="stations.1.at"]:focus')
    for station in notebook.stations:
        hands.type(mm(station.at), "Enter")
        if station is notebook.stations[0]:
            # Who reads the centreline's 0 from the notebook is asked, and types the height in the same place.
            height = page.text("#typing")
            hands.type("0", "Enter")
            assert "the half-breadth is 0 and is not asked" in height
            assert page.text("#typing").startswith("0 as the height of point 1?")
            assert page.page.evaluate("document.activeElement.dataset.field") == "stations.1.points.1.2"
        numbers = [number for point in station.points for number in point][1:]
        for number in numbers:
            hands.type(mm(number), "Enter")
    for number in (number for point in notebook.stem for number in point):
        hands.type(mm(number), "Enter")
    hands.type("12", "Enter")
    # Her transom is flat across.
    hands.key("Enter")
    for figure in ("60", "18"):
        hands.type(figure, "Enter")
    hands.click('#bar [data-do="save"]')
    page.page.wait_for_selector("body[data-unsaved=false]")
    hands.click('#bar [data-arrangement="both"]')
    page.settle()
    page.page.evaluate(FRAMES)
    scene = read_scene(empty_folder.boats / "teal.yaml")
    assert [(s.at, s.points, s.guessed) for s in scene.hull.stations] == [(s.at, s.points, ()) for s in notebook.stations]
    assert scene.hull.stem == notebook.stem
    assert (scene.hull.transom_rake, scene.hull.deck.camber, scene.hull.deck.thickness) == (12.0, 0.06, 0.018)
    report = evaluate(scene)
    assert report.floating.displacement is not None
    assert "points-guessed" not in [finding.code for finding in report.findings]
    assert "Teal, first layout" in page.text("#bar")
    print(f"{hands.done} keys and clicks, a figure counting as one; {hands.done + hands.characters} with each of its digits")
    assert hands.done <= MOST


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.gl
@pytest.mark.example
def test_big_keys_type_and_one_key_takes_what_is_likely(served: Any, browser: Any) -> None:
    """On a tablet a number is typed by the page's own keys, and a 3 read as an 8 is put right by Y, from the keyboard."""
    one: Served = served("quillet-forepeak")
    page = patient_page(browser, viewport={"width": 820, "height": 1180}, has_touch=True, is_mobile=True)
    page.goto(one.address)
    page.tap('#bar [data-arrangement="hull"]')
    box = 'input[data-field="stations.4.points.5.1"]'
    page.tap(box)
    for key in ("6", "8", "9", "next"):
        page.tap(f'#keypad button:text-is("{key}")')
    page.wait_for_selector(f'{box}[value="689"]')
    assert page.evaluate("document.activeElement.dataset.field") == "stations.4.points.5.2"
    page.wait_for_selector('#hull .likely:has-text("a 3 read as an 8?")')
    page.focus(box)
    page.keyboard.press("y")
    page.wait_for_selector(f'{box}[value="639"]')
    page.wait_for_selector("#hull .likely", state="detached")
    page.context.close()


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.gl
@pytest.mark.example
def test_a_section_is_traced_on_a_pdf(served: Any, open_page: Any, tmp_path: Path) -> None:
    """Two marked corners give the scale, a click a point of the station, to the pixel; by arrows and Enter another."""
    plan = tmp_path / "plan.pdf"
    Image.new("RGB", (600, 400), "white").save(plan)
    page = open_page(served("quillet-forepeak").address)
    page.page.click("text=Hull")
    page.page.click("text=Trace her sections on a picture")
    page.page.set_input_files("#trace-file", plan)
    picture = page.page.locator("#trace-picture img")
    picture.wait_for()
    size = picture.bounding_box()

    def click(right: float, down: float) -> None:
        page.page.click("#trace-paper", position={"x": right * size["width"], "y": down * size["height"]})
        page.settle()

    click(0.25, 0.75)
    click(0.75, 0.75)
    for field, text in (("2.1", "1000"), ("2.2", "0")):
        page.page.fill(f'[data-field="{field}"]', text)
        page.page.keyboard.press("Tab")
        page.settle()
    click(0.4, 0.5)
    points = page.page.locator(".station.chosen tbody tr").count()
    assert page.page.locator("details.tracing svg polyline").count() > 4
    values = page.page.eval_on_selector_all(
        ".station.chosen input[data-field*=points]", "all => all.map((one) => Number(one.value))"
    )
    # A click lands on a whole pixel of the screen, which shows the plan smaller.
    pixel = 2000 / size["width"]
    assert min(abs(value - 300) for value in values) <= pixel
    page.page.focus("#trace-paper")
    for key in ("Shift+ArrowUp", "Shift+ArrowUp", "Enter"):
        page.page.keyboard.press(key)
    page.settle()
    assert page.page.locator(".station.chosen tbody tr").count() == points + 1


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.gl
@pytest.mark.example
def test_an_outline_is_dragged_by_hand_and_by_keys(served: Any, open_page: Any) -> None:
    """The stem's second point goes where the hand lets go of it, to the pixel; a sheer by arrows and Enter; each is one step."""
    page = open_page(served("quillet-forepeak").address)
    page.page.click("text=Hull")
    ring = page.page.locator('figure.profile circle[data-pull="stem.2"]')
    ring.wait_for()

    def value(field: str) -> float:
        return float(page.page.input_value(f'input[data-field="{field}"]'))

    aft, height = value("stem.2.1"), value("stem.2.2")
    box, frame = ring.bounding_box(), page.page.locator("figure.profile svg").bounding_box()
    pixels = frame["width"] / 200.0 * float(page.page.get_attribute("figure.profile svg", "data-frame").split()[2]) / 1000.0
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.page.mouse.move(x, y)
    page.page.mouse.down()
    page.page.mouse.move(x + 10, y - 10, steps=3)
    assert page.page.locator("figure.profile polyline.pulled").count() == 1
    page.page.mouse.up()
    page.settle()
    assert value("stem.2.1") - aft == pytest.approx(10 / pixels, abs=1 / pixels)
    assert value("stem.2.2") - height == pytest.approx(10 / pixels, abs=1 / pixels)
    edge = value("stations.1.points.5.2")
    page.page.focus('figure.profile circle[data-pull="stations.1.points.5"]')
    for key in ("ArrowUp", "ArrowUp", "Enter"):
        page.page.keyboard.press(key)
    page.settle()
    assert value("stations.1.points.5.2") == edge + 10
    assert page.page.evaluate("document.activeElement.dataset.pull") == "stations.1.points.5"
    for before in ((aft + 10 / pixels, edge), (aft, edge)):
        page.page.click('#bar [data-do="undo"]')
        page.settle()
        assert (value("stem.2.1"), value("stations.1.points.5.2")) == pytest.approx(before, abs=1 / pixels)
