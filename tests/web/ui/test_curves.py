"""In a real browser: curves along a part's range fill, a click puts the part there, undone again; stages are chosen and seen."""

from __future__ import annotations

from typing import Any

import pytest
from served import Served, WarmServed, Watched

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.gl, pytest.mark.example]

AT = '#selected [data-field="at"]'


def cursor(page: Watched) -> float:
    """Where the cursor stands in the first field, in shares of its width."""
    return float(
        page.page.evaluate(
            """() => {
                const field = document.querySelector("#curves .field").getBoundingClientRect();
                const here = document.querySelector("#curves .here").getBoundingClientRect();
                return (here.x + here.width / 2 - field.x) / field.width;
            }"""
        )
    )


def test_a_click_in_the_curves_puts_the_part_there(quillet: Watched) -> None:
    """A bulkhead selected, its curves fill; clicked, it stands there; keys go on from it; undone by name. The cursor follows."""
    quillet.press('#parts [data-part="bulkhead/collision"]')
    quillet.page.wait_for_selector("#curves .field polyline[data-part^='figure/']", timeout=60_000)
    quillet.settle()
    assert quillet.page.input_value(AT) == "700"
    edges = quillet.page.eval_on_selector("#curves .fields", "it => [Number(it.dataset.left), Number(it.dataset.right)]")
    share = edges[0] + 0.4 * (edges[1] - edges[0])
    assert cursor(quillet) < share - 0.05
    box = quillet.page.locator("#curves .field").first.bounding_box()
    quillet.page.mouse.click(box["x"] + share * box["width"], box["y"] + 0.4 * box["height"])
    quillet.settle()
    put = float(quillet.page.input_value(AT))
    assert put > 900
    assert cursor(quillet) == pytest.approx(share, abs=0.01)
    assert quillet.text("#curves [role=slider]") == f"{put:g} mm"
    quillet.page.focus("#curves [role=slider]")
    quillet.page.keyboard.press("ArrowRight")
    quillet.settle()
    assert float(quillet.page.input_value(AT)) == put + 5
    for name in (f"Move collision bulkhead {put:g} to {put + 5:g} mm", f"Move collision bulkhead 700 to {put:g} mm"):
        assert name in quillet.page.get_attribute('#bar button[data-do="undo"]', "title")
        quillet.page.click('#bar button[data-do="undo"]')
        quillet.settle()
    assert quillet.page.input_value(AT) == "700"
    before, grip = cursor(quillet), quillet.page.locator('#grips [data-grip="whole"]').first.bounding_box()
    start = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    quillet.drag(start, (25, -12), drop=False)
    quillet.settle()
    assert cursor(quillet) > before + 0.01, "it does not follow the hand"
    quillet.page.keyboard.press("Escape")
    quillet.page.mouse.up()
    quillet.settle()
    assert cursor(quillet) == pytest.approx(before, abs=1e-3)
    quillet.page.click("#curves .fold")
    quillet.settle()
    assert quillet.page.locator("#curves .field").count() == 0
    assert quillet.complaints == []


def test_nothing_of_the_curves_runs_off_or_is_too_small(quillet: Watched) -> None:
    """Wide or narrow: no scrolling sideways, letters of 11 pixels at least; where there is no room they come when asked for."""
    quillet.press('#parts [data-part="bulkhead/collision"]')
    for width in (1440, 1024, 390):
        quillet.page.set_viewport_size({"width": width, "height": 844})
        quillet.settle()
        if quillet.page.locator("#curves .field").count() == 0:
            quillet.page.click("#curves .fold")
        quillet.page.wait_for_selector("#curves .field text", timeout=60_000)
        quillet.settle()
        seen = quillet.page.evaluate(
            """() => {
                const it = document.getElementById("curves");
                const heights = [...it.querySelectorAll(".field > svg:first-child")].map((svg) =>
                    2.4 * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width);
                return [it.scrollWidth - it.clientWidth, document.body.scrollWidth - innerWidth, Math.min(...heights)];
            }"""
        )
        assert seen[0] <= 0, width
        assert seen[1] <= 0, width
        assert seen[2] >= 11.0, width


def test_a_stage_is_chosen_and_seen(served: Any, open_page: Any) -> None:
    """Before the lid comes its line is not in the profile, its name not in the list; the title says so; then all is back."""
    server = served("quillet-forepeak", kind=Staged)
    page = open_page(server.address)
    lid = '#sheet [data-part="lid/berth top"]'
    assert page.page.locator(lid).count() > 0
    page.press("#stages button:first-child")
    page.page.wait_for_selector("#bar h1:has-text('after this winter')")
    page.settle()
    assert page.page.locator(lid).count() == 0
    assert "Changes and the build are of the whole layout" in page.text("#stages p")
    page.page.focus("#stages button:last-child")
    page.page.keyboard.press("Enter")
    page.settle()
    assert page.page.locator(lid).count() > 0
    assert "after this winter" not in page.page.title()
    assert page.complaints == []


class Staged(WarmServed):
    """The scene's lid and berth come next year."""

    def start(self) -> Served:
        text = self.scene.read_text(encoding="utf-8").replace("to: main, thickness: 9}", "to: main, thickness: 9, stage: 2}")
        self.scene.write_text(text + "stages: {1: this winter, 2: next year}\n", encoding="utf-8")
        return super().start()
