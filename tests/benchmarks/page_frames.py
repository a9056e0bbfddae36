"""The page under the hand, measured in one run: pictures shown in a second while a bulkhead is dragged through a scene of
twelve compartments and while she is only turned, what of it the figures take, whether memory stays flat over 2 000 steps,
and how soon the first picture comes.

    python tests/benchmarks/page_frames.py

Before that `drag_costs.py`, which needs no browser, goes through all demo scenes and one of everything. This one needs a browser
(Debian's chromium). It says each figure beside its limit and ends with 1 where one is missed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command itself does
HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2]), str(HERE.parents[1] / "support"), str(HERE.parent)]

from drag_costs import SIZE, misses, take_hold  # noqa: E402
from served import BROWSERS, QUIET, Served  # noqa: E402

from sketcher.model.demos import demo_folder  # noqa: E402
from sketcher.web.app import controller_for  # noqa: E402
from sketcher.web.render_thread import probe_opengl  # noqa: E402

SECONDS, ROUNDS = 3.0, 5
"""Of each kind of movement at a stretch, and how often all are gone through: on a shared machine its speed changes meanwhile."""
WARMING, STEPS = 1000, 2000
REPORTS = 60
"""Times a second that a mouse tells where it is."""
RATIO, HOLED, SHARE, GROWTH, START = 0.8, 0.6, 1 / 3, 3.0, 2.0
"""Least ratios of pictures shown: dragging to turning, and dragging holed to whole; largest share of the figures in a picture's
time; most growth after a thousand steps to warm up [MB]; most multiple of the imports."""

TWELVE = """\
scene: Twelve compartments
hull: ../hulls/marram-29.yaml
units: mm
water: sea
waterline: {forward: 530, after: 505}
centre_of_gravity: {height: 610}
bulkheads:
  collision: {at: 1180, thickness: 18}
  main: {at: 3250, thickness: 18}
  after: {at: 5200, thickness: 18}
lids:
  tank top: {height: 660, from: collision, to: main, thickness: 12}
  sole: {height: 420, from: main, to: after, thickness: 12}
partitions:
  port web: {off_centre: -300, from: collision, to: main, top: tank top, thickness: 9}
  starboard web: {off_centre: 300, from: collision, to: main, top: tank top, thickness: 9}
  port locker: {off_centre: -650, from: main, to: after, bottom: sole, thickness: 9}
  starboard locker: {off_centre: 650, from: main, to: after, bottom: sole, thickness: 9}
  keel web: {off_centre: 0, from: main, to: after, top: sole, thickness: 9}
  after web: {off_centre: 0, from: after, to: transom, thickness: 12}
berths:
  vee berth: {lies_on: tank top, from: collision, to: main, cushion: 100, people: 2, stature: 1880}
"""


def boats(folder: Path) -> Path:
    """A scene of twelve compartments beside copies of the demo hulls."""
    shutil.copytree(demo_folder() / "hulls", folder / "hulls")
    (folder / "scenes").mkdir()
    path = folder / "scenes" / "twelve.yaml"
    path.write_text(TWELVE)
    return path


def first_picture(scene: Path) -> tuple[float, float]:
    """Seconds from the start to the first picture, in a process of its own, and those that the imports alone take."""
    program = (
        "import sys; from pathlib import Path; from concurrent.futures import ThreadPoolExecutor\n"
        "from sketcher.web.app import controller_for; from sketcher.web.render_thread import probe_opengl\n"
        "controller = controller_for(Path(sys.argv[1]), ThreadPoolExecutor(1).submit(probe_opengl))\n"
        f"controller.take({{'do': 'size', 'size': {list(SIZE)}, 'sheet': {list(SIZE)}}})\n"
        "assert controller.picture(False).result() and controller.parts()"
    )
    home = HERE.parents[2]

    def seconds(code: str, *arguments: str) -> float:
        began = time.perf_counter()
        subprocess.run([sys.executable, "-c", code, *arguments], check=True, cwd=home, stderr=subprocess.DEVNULL)
        return time.perf_counter() - began

    ours = [seconds(program, str(scene)) for _ in range(3)]
    theirs = [seconds("import pyvista, aiohttp.web; pyvista.Sphere; import pyvista.plotting") for _ in range(3)]
    return min(ours), min(theirs)


def resident() -> float:
    """Memory of this process [MB]."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return 0.0


def stepped(scene: Path) -> tuple[float, float, float]:
    """Many drag steps without a browser: median milliseconds of the figures and of a whole turn, and growth in memory."""
    controller = controller_for(scene, ThreadPoolExecutor(1).submit(probe_opengl))
    controller.workspace.drag.changed = lambda: None
    at = take_hold(controller, "bulkhead/collision")
    figures, turns = [], []
    before = 0.0
    for step in range(WARMING + STEPS):
        way = 0.0005 * (step % 100 if step % 200 < 100 else 100 - step % 100)
        controller.take({"do": "move", "where": "picture", "at": [at[0] + way, at[1] - way * 0.6]})
        began = time.perf_counter()
        controller.before_picture()
        middle = time.perf_counter()
        drawing = controller.picture(False)
        controller.parts()
        drawing.result()
        figures.append(middle - began)
        turns.append(time.perf_counter() - began)
        if step == WARMING:
            before = resident()
    moved = [number for number, took in enumerate(figures) if took > 1e-3]
    return (
        1000 * median(figures[number] for number in moved),
        1000 * median(turns[number] for number in moved),
        resident() - before,
    )


def shown_in_a_second(page: Any, start: tuple[float, float], reach: tuple[float, float]) -> float:
    """Pictures that a browser showed in a second while a hand went to and fro."""
    mouse = page.mouse
    mouse.move(*start)
    mouse.down()
    count = "Number(document.getElementById('picture').dataset.pictures)"
    mouse.move(start[0] + 2, start[1])
    page.wait_for_timeout(600)
    first, began, step = page.evaluate(count), time.perf_counter(), 0
    while time.perf_counter() - began < SECONDS:
        step += 1
        share = abs(step % 80 - 40) / 40
        mouse.move(start[0] + reach[0] * share, start[1] + reach[1] * share)
        page.wait_for_timeout(1000 / REPORTS)
    rate = (page.evaluate(count) - first) / (time.perf_counter() - began)
    mouse.up()
    page.evaluate("sketch.settled()")
    return float(rate)


def turn_rate(page: Any) -> float:
    """Pictures in a second while she is only turned, taken hold of beside her at the foot of the picture."""
    box = page.locator("#picture").bounding_box()
    rate = shown_in_a_second(page, (box["x"] + 12, box["y"] + box["height"] - 12), (240, -40))
    page.click('button[data-view="quarter"]')
    return rate


def drag_rate(page: Any) -> float:
    """Pictures in a second while the collision bulkhead goes to and fro; it is put back."""
    page.click("#tab-part")
    page.click('#side tr[data-key="part/bulkhead/collision"] button')
    page.wait_for_selector("#grips [data-grip=whole]")
    page.wait_for_timeout(500)
    box = page.locator("#grips [data-grip=whole] .hold").bounding_box()
    rate = shown_in_a_second(page, (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2), (60, -34))
    undo = page.locator('#bar [data-do="undo"]')
    if undo.get_attribute("aria-disabled") != "true":
        undo.click()
    page.evaluate("sketch.settled()")
    return rate


def holed_rate(page: Any) -> float:
    """The same with a space holed; it is made whole again."""
    page.click("#tab-spaces")
    page.click("#side .spaces tbody tr:nth-child(2) button")
    page.click('.selected [data-do="hole"]')
    page.wait_for_selector(".flood")
    rate = drag_rate(page)
    page.click("#tab-spaces")
    page.click('[data-do="close_holes"]')
    page.evaluate("sketch.settled()")
    return rate


def in_browser(scene: Path) -> list[tuple[float, float, float]]:
    """In each round, pictures in a second: dragging the collision bulkhead, only turning her, and dragging with a space holed."""
    from playwright.sync_api import sync_playwright

    served = Served(scene.parents[1], scene).start()
    try:
        with sync_playwright() as driver:
            path = next(path for path in BROWSERS if Path(path).exists())
            browser = driver.chromium.launch(executable_path=path, args=QUIET)
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.goto(served.address)
            page.wait_for_selector("#picture[data-pictures]")
            page.evaluate("sketch.settled()")
            rounds = []
            for _ in range(ROUNDS):
                turning, dragging, holed = turn_rate(page), drag_rate(page), holed_rate(page)
                rounds.append((dragging, turning, holed))
            browser.close()
    finally:
        served.stop()
    return rounds


def main() -> int:
    missed = misses()
    with tempfile.TemporaryDirectory() as folder:
        scene = boats(Path(folder))
        spaces = controller_for(scene, None).workspace.session.evaluation.layout.compartments
        print(f"{len(spaces)} compartments, {sum(len(space.mesh.triangles) for space in spaces)} triangles")
        start, imports = first_picture(scene)
        figures, turn, growth = stepped(scene)
        rounds = in_browser(scene)
    dragging, turning, holed = (median(rates) for rates in zip(*rounds, strict=True))
    to_turning, of_whole = (median(ratios) for ratios in zip(*((d / t, h / d) for d, t, h in rounds), strict=True))
    print("dragging to turning, round by round:", ", ".join(f"{d:.1f}/{t:.1f}" for d, t, _ in rounds))
    rows = [
        (f"pictures a second: dragging {dragging:.1f}, turning {turning:.1f}; ratio", to_turning, ">=", RATIO),
        (f"dragging with a space holed {holed:.1f} a second; of the whole boat's", of_whole, ">=", HOLED),
        (f"figures {figures:.1f} ms of a picture's {1000 / dragging:.1f} ms; share", figures * dragging / 1000, "<=", SHARE),
        (f"memory over {STEPS} steps, MB more", growth, "<=", GROWTH),
        (f"first picture after {start:.2f} s, the imports alone {imports:.2f} s; ratio", start / imports, "<=", START),
    ]
    print(f"a turn without a browser takes {turn:.1f} ms")
    for words, value, sense, limit in rows:
        kept = value >= limit if sense == ">=" else value <= limit
        missed += not kept
        print(f"{'ok  ' if kept else 'MISS'} {words} {value:.2f} (limit {sense} {limit:.2f})")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
