"""Makes the README's pictures of a boat and of the page at work: `python .pictures/make.py` with a browser (Debian's
chromium) installed.

`quarter.png` is what the command draws; each other one is a screenshot of a demo, made by doing what an owner would do. Look
at them before they are committed.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parent / "tests" / "support")]

from playwright.sync_api import sync_playwright  # noqa: E402
from served import BROWSERS, QUIET, Served  # noqa: E402

import sketcher  # noqa: E402
from sketcher.model.demos import demo_folder  # noqa: E402

SIZE = {"width": 1280, "height": 800}
SETTLED = 3000
"""Milliseconds until the fine picture stands, on a busy machine."""


def rest(page: Any) -> None:
    page.evaluate("sketch.settled()")
    page.wait_for_timeout(SETTLED)


def whole(page: Any) -> None:
    """The page as it opens."""


def dragging(page: Any) -> None:
    """The collision bulkhead under the hand."""
    page.click("#tab-part")
    page.click('#side tr[data-key="part/bulkhead/collision"] button')
    rest(page)
    box = page.locator("#grips circle.spot").first.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 11):
        page.mouse.move(x + step * 1.2, y - step * 0.7)
        page.wait_for_timeout(60)


def holed(page: Any) -> None:
    """A space holed: the answer in a sentence, the water where it then stands."""
    page.click("#tab-spaces")
    page.click('#side tr[data-key="compartment/forward void"] button')
    page.click('[data-do="hole"]')


def drawings(page: Any) -> None:
    """The drawings alone, cut through what is selected."""
    page.click('[data-arrangement="drawings"]')
    page.click("#tab-part")
    page.click('#side tr[data-key="part/lid/tank top"] button')


def pattern(page: Any) -> None:
    """What to cut of the collision bulkhead, beside the boat."""
    page.click('[data-arrangement="pattern"]')
    page.click("#tab-part")
    page.click('#side tr[data-key="part/bulkhead/collision"] button')


PICTURES: dict[str, tuple[str, Callable[[Any], None]]] = {
    "page.png": ("marram-two-tanks", whole),
    "dragging.png": ("marram-forepeak", dragging),
    "holed.png": ("marram-forepeak", holed),
    "drawings.png": ("marram-forepeak", drawings),
    "pattern.png": ("quillet-forepeak", pattern),
}


def main() -> None:
    forepeak = sketcher.evaluate(demo_folder() / "scenes" / "marram-forepeak.yaml")
    (HERE / "quarter.png").write_bytes(sketcher.picture(forepeak, "quarter"))
    print(HERE / "quarter.png")
    chromium = next(path for path in BROWSERS if Path(path).exists())
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=QUIET)
        for name, (scene, act) in PICTURES.items():
            boats = Path(folder) / name
            for part in ("scenes", "hulls"):
                shutil.copytree(demo_folder() / part, boats / part)
            served = Served(boats, boats / "scenes" / f"{scene}.yaml").start()
            try:
                page = browser.new_page(viewport=SIZE)
                page.goto(served.address)
                page.wait_for_selector("#picture[data-pictures]")
                rest(page)
                act(page)
                rest(page)
                page.screenshot(path=HERE / name)
                page.close()
            finally:
                served.stop()
            print(HERE / name)
        browser.close()


if __name__ == "__main__":
    main()
