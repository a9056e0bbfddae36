"""The page in other engines than Chromium: every demo is opened, dragged, typed into and undone, and compared with its report.

    sudo apt-get install firefox-esr webkit2gtk-driver xvfb
    .venv/bin/python tests/benchmarks/engines.py                        # both engines, all demo scenes
    .venv/bin/python tests/benchmarks/engines.py webkit marram-forepeak

Firefox is driven by WebDriver BiDi, which it speaks itself; WebKitGTK's browser by its WebDriver. Both take the same W3C
actions, so that a page, a mouse and a keyboard are all there is to each. Ends with 1 where anything is amiss.
"""

from __future__ import annotations

import asyncio
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

import aiohttp

sys.path[:0] = [str(Path(__file__).parents[1] / "support")]

from places import ROOT  # noqa: E402
from served import Served  # noqa: E402

from sketcher.model.demos import demo_folder, demo_scenes  # noqa: E402

SIZE = (1280, 860)
"""Pixels of the window."""
MINI_BROWSERS = Path("/usr/lib").glob("*/webkit2gtk-4*/MiniBrowser")
CONTROL, ENTER, ESCAPE, UP, RIGHT = "\ue009", "\ue007", "\ue00c", "\ue013", "\ue014"
WATCH = """(() => {
    window.complaints = [];
    const say = (it) => complaints.push(String(it.message ?? it.reason));
    for (const kind of ["error", "unhandledrejection"]) addEventListener(kind, say);
    for (const kind of ["error", "warn"]) console[kind] = (...words) => complaints.push(words.join(" "));
})()"""
FIGURES = """Object.fromEntries([...document.querySelectorAll("#side [data-figure]")]
    .map((it) => [it.dataset.figure, it.innerText.trim()]))"""


class Firefox:
    """Firefox without a window, spoken to over its own websocket."""

    def __init__(self) -> None:
        self.folder = tempfile.mkdtemp()
        command = ["firefox-esr", "--headless", "--remote-debugging-port=0", "--profile", self.folder, "--no-remote"]
        self.process = subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
        assert self.process.stderr is not None
        address = next(found[0] for line in self.process.stderr if (found := re.search(r"ws://\S+", line)))
        self.loop = asyncio.new_event_loop()
        self.said: list[str] = []
        self.number = 0
        self.loop.run_until_complete(self._connect(address))
        self.name = self.ask("session.new", capabilities={})["capabilities"]["browserVersion"]
        self.ask("session.subscribe", events=["log.entryAdded"])
        self.context = self.ask("browsingContext.getTree")["contexts"][0]["context"]
        self.ask("browsingContext.setViewport", context=self.context, viewport={"width": SIZE[0], "height": SIZE[1]})

    async def _connect(self, address: str) -> None:
        self.http = aiohttp.ClientSession()
        self.socket = await self.http.ws_connect(f"{address}/session", max_msg_size=0)

    def ask(self, method: str, **values: Any) -> Any:
        return self.loop.run_until_complete(self._ask(method, values))

    async def _ask(self, method: str, values: dict[str, Any]) -> Any:
        self.number += 1
        await self.socket.send_json({"id": self.number, "method": method, "params": values})
        while True:
            answer = await self.socket.receive_json(timeout=120)
            if answer.get("method") == "log.entryAdded" and answer["params"]["level"] in ("error", "warn"):
                self.said.append(answer["params"]["text"])
            if answer.get("id") == self.number:
                if answer["type"] == "error":
                    raise RuntimeError(f"{method}: {answer['message']}")
                return answer["result"]

    def go(self, address: str) -> None:
        self.ask("browsingContext.navigate", context=self.context, url=address, wait="complete")

    def value(self, expression: str) -> Any:
        """What an expression comes to in the page, awaited."""
        told = f"Promise.resolve({expression}).then((it) => JSON.stringify(it ?? null))"
        found = self.ask("script.evaluate", expression=told, target={"context": self.context}, awaitPromise=True)
        if found["type"] == "exception":
            raise RuntimeError(found["exceptionDetails"]["text"])
        return json.loads(found["result"]["value"])

    def act(self, actions: list[dict[str, Any]]) -> None:
        self.ask("input.performActions", context=self.context, actions=actions)

    def complaints(self) -> list[str]:
        self.value("1")
        said, self.said = self.said, []
        return said

    def close(self) -> None:
        self.loop.run_until_complete(self.http.close())
        self.process.terminate()
        self.process.wait(20)
        shutil.rmtree(self.folder, ignore_errors=True)


class WebKit:
    """WebKitGTK's small browser on a screen that nobody sees, spoken to by its WebDriver."""

    def __init__(self) -> None:
        self.helpers: list[subprocess.Popen[bytes]] = []
        number, port = _free_port() % 1000 + 100, _free_port()
        self._start("Xvfb", f":{number}", "-screen", "0", "1600x1200x24", "-nolisten", "tcp")
        self._start("WebKitWebDriver", f"--port={port}", DISPLAY=f":{number}")
        self.base = f"http://127.0.0.1:{port}"
        browser = {"binary": str(next(MINI_BROWSERS)), "args": ["--automation"]}
        wanted = {"capabilities": {"alwaysMatch": {"webkitgtk:browserOptions": browser}}}
        until = time.monotonic() + 20
        while True:
            try:
                made = self.ask("POST", "/session", wanted)
                break
            except OSError:
                if time.monotonic() > until:
                    raise
                time.sleep(0.2)
        self.name = made["capabilities"]["browserVersion"]
        self.base += f"/session/{made['sessionId']}"
        self.ask("POST", "/timeouts", {"script": 120_000, "pageLoad": 60_000})
        self.ask("POST", "/window/rect", {"x": 0, "y": 0, "width": SIZE[0], "height": SIZE[1]})

    def _start(self, *command: str, **more: str) -> None:
        silent = subprocess.DEVNULL
        self.helpers.append(subprocess.Popen(command, stdout=silent, stderr=silent, env=os.environ | more))

    def ask(self, method: str, path: str, values: dict[str, Any] | None = None) -> Any:
        data = None if values is None else json.dumps(values).encode()
        with urlopen(Request(self.base + path, data, {"Content-Type": "application/json"}, method=method), timeout=150) as answer:
            return json.load(answer)["value"]

    def go(self, address: str) -> None:
        self.ask("POST", "/url", {"url": address})
        self.value(WATCH)

    def value(self, expression: str) -> Any:
        """What an expression comes to in the page, awaited."""
        told = f"const done = arguments[0]; Promise.resolve({expression}).then(done, (it) => done({{ failed: String(it) }}))"
        found = self.ask("POST", "/execute/async", {"script": told, "args": []})
        if isinstance(found, dict) and "failed" in found:
            raise RuntimeError(found["failed"])
        return found

    def act(self, actions: list[dict[str, Any]]) -> None:
        self.ask("POST", "/actions", {"actions": actions})

    def complaints(self) -> list[str]:
        said: list[str] = self.value("complaints.splice(0)")
        return said

    def close(self) -> None:
        self.ask("DELETE", "")
        for helper in reversed(self.helpers):
            helper.terminate()
            helper.wait(20)


Browser = Firefox | WebKit
ENGINES = {"firefox": Firefox, "webkit": WebKit}


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def drag(browser: Browser, start: list[float], by: tuple[float, float]) -> None:
    """Drag with the mouse, slowly enough to be followed."""
    spots = [(round(start[0] + by[0] * step / 10), round(start[1] + by[1] * step / 10)) for step in range(11)]
    moves = [{"type": "pointerMove", "x": x, "y": y, "duration": 40} for x, y in spots]
    actions = [moves[0], {"type": "pointerDown", "button": 0}, *moves[1:], {"type": "pointerUp", "button": 0}]
    browser.act([{"type": "pointer", "id": "mouse", "parameters": {"pointerType": "mouse"}, "actions": actions}])
    browser.value("sketch.settled()")


def press(browser: Browser, selector: str) -> None:
    browser.value(f"document.querySelector({json.dumps(selector)}).scrollIntoView({{ block: 'center' }})")
    drag(browser, middle(browser, selector), (0.0, 0.0))


def strike(browser: Browser, keys: str, held: str = "") -> None:
    """Strike keys one after the other, with one held down."""
    struck = [{"type": kind, "value": key} for key in keys for kind in ("keyDown", "keyUp")]
    if held:
        struck = [{"type": "keyDown", "value": held}, *struck, {"type": "keyUp", "value": held}]
    browser.act([{"type": "key", "id": "keys", "actions": struck}])


def middle(browser: Browser, selector: str) -> list[float]:
    """The middle of something, in pixels of the page."""
    box = f"document.querySelector({json.dumps(selector)}).getBoundingClientRect()"
    found: list[float] = browser.value(f"(({{ x, y, width, height }}) => [x + width / 2, y + height / 2])({box})")
    return found


def wait_for(browser: Browser, condition: str, seconds: float = 60.0) -> None:
    until = time.monotonic() + seconds
    while not browser.value(condition):
        if time.monotonic() > until:
            raise TimeoutError(condition)
        time.sleep(0.1)


def reported(scene: Path) -> dict[str, str]:
    """Litres and berths of a scene's file as the page writes them."""
    command = [sys.executable, "-m", "sketcher", "report", str(scene), "--json"]
    report = json.loads(subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stdout)
    spaces = {f"litres/{s['name']}": f"{s['volume_m3'] * 1000:.0f}" for s in report["compartments"] if s["bounded"]}
    return spaces | {f"berth/{each['name']}": f"{each['length_m'] * 1000:.0f}" for each in report["berths"]}


def unlike(browser: Browser, scene: Path) -> list[str]:
    """Where the page says something else than the report of the file."""
    shown = browser.value(FIGURES)
    return [f"{key}: page {shown.get(key)}, report {said}" for key, said in reported(scene).items() if shown.get(key) != said]


def work_on(browser: Browser, one: Served) -> Iterator[str]:
    """Work on a scene as an owner would; what is amiss."""
    browser.go(one.address)
    wait_for(browser, "!!document.querySelector('#picture[data-pictures]') && !!window.sketch")
    browser.value("sketch.settled()")
    yield from unlike(browser, one.scene)
    begun = browser.value(FIGURES)
    row = browser.value("""document.querySelector('#parts [data-part^="bulkhead/"]').dataset.part""")
    press(browser, "#tab-part")
    browser.value("sketch.settled()")
    press(browser, f'#parts [data-part="{row}"]')
    field = '#selected input[data-field="at"]'
    place = f"Number(document.querySelector({json.dumps(field)}).value)"
    places = [browser.value(place)]
    drag(browser, middle(browser, "#grips [data-grip=whole] .hold"), (24.0, -12.0))
    places.append(browser.value(place))
    line = middle(browser, f'#sheet [data-key="profile"] path[data-part="{row}"]')
    drag(browser, [line[0], line[1] - 8], (12.0, 0.0))
    places.append(browser.value(place))
    press(browser, field)
    typed = places[0] + 40
    strike(browser, "a", CONTROL)
    strike(browser, f"{typed:g}{ENTER}")
    browser.value("sketch.settled()")
    places.append(browser.value(place))
    if len(set(places)) != 4 or places[3] != typed:
        yield f"{row} stood at {places}, typed {typed:g}"
    strike(browser, "s", CONTROL)
    wait_for(browser, "document.body.dataset.unsaved === 'false'")
    yield from unlike(browser, one.scene)
    yield from cut_in_parts(browser)
    strike(browser, "zzzzzz", CONTROL)
    browser.value("sketch.settled()")
    after = browser.value(FIGURES)
    yield from (f"{key}: {was} before, {after.get(key)} once undone" for key, was in begun.items() if after.get(key) != was)
    yield from ask_and_put_away(browser)
    yield from (f"complains: {said}" for said in browser.complaints())
    if browser.value("document.body.dataset.unsaved === 'true'"):
        strike(browser, "s", CONTROL)
        wait_for(browser, "document.body.dataset.unsaved === 'false'")
    # A page left open would complain that its sketch is gone.
    browser.go("about:blank")


def cut_in_parts(browser: Browser) -> Iterator[str]:
    """A joint is added on the pattern, dragged, and nudged by the arrow key of the way it moves; the panel stays."""
    press(browser, "#bar [data-arrangement=pattern]")
    wait_for(browser, "!!document.querySelector('#boards select')")
    choose = "(it) => { it.selectedIndex = 1; it.dispatchEvent(new Event('change', { bubbles: true })); }"
    browser.value(f"({choose})(document.querySelector('#boards select'))")
    wait_for(browser, "document.querySelector('#boards h2 .unit')?.innerText === 'as stated'")
    browser.value("sketch.settled()")
    joint, field = "#pattern [data-joint='0']", "document.querySelector('#boards input[data-number=\"0\"]').value"
    upright = browser.value(f"document.querySelector({json.dumps(joint)}).dataset.way === 'x'")
    places = [browser.value(field)]
    drag(browser, middle(browser, f"{joint} circle"), (20.0, 0.0) if upright else (0.0, 20.0))
    places.append(browser.value(field))
    strike(browser, RIGHT if upright else UP)
    browser.value("sketch.settled()")
    places.append(browser.value(field))
    if len(set(places)) != 3:
        yield f"the joint stood at {places}"
    press(browser, "#bar [data-arrangement=both]")
    browser.value("sketch.settled()")


def ask_and_put_away(browser: Browser) -> Iterator[str]:
    """Menu and dialog are put away by Escape, and the keyboard goes back to the menu's button."""
    menu, more = "document.querySelector(':popover-open')", "#bar [popovertarget]"
    press(browser, more)
    if not browser.value(f"!!{menu}"):
        yield "no menu opens"
    strike(browser, ESCAPE)
    if browser.value(f"!!{menu}"):
        yield "the menu stays open"
    press(browser, more)
    press(browser, "#menu [data-name=keys]")
    wait_for(browser, "!!document.querySelector('dialog[open]')")
    strike(browser, ESCAPE)
    wait_for(browser, "!document.querySelector('dialog')")
    if not browser.value(f"document.activeElement.matches({json.dumps(more)})"):
        yield "the keyboard is lost after a dialog"


@contextmanager
def served(scene: str) -> Iterator[Served]:
    """A copy of a demo scene, served."""
    with tempfile.TemporaryDirectory() as folder:
        for part in ("scenes", "hulls"):
            shutil.copytree(demo_folder() / part, Path(folder) / part)
        one = Served(Path(folder), Path(folder) / "scenes" / f"{scene}.yaml").start()
        try:
            yield one
        finally:
            one.stop()


def main(words: list[str]) -> int:
    engines = [word for word in words if word in ENGINES] or list(ENGINES)
    scenes = [word for word in words if word not in ENGINES] or [path.stem for path in demo_scenes()]
    amiss = 0
    for engine in engines:
        browser = ENGINES[engine]()
        try:
            for scene in scenes:
                began = time.monotonic()
                with served(scene) as one:
                    found = list(work_on(browser, one))
                amiss += len(found)
                took = time.monotonic() - began
                print(f"{engine} {browser.name}, {scene}: {'; '.join(found) or 'as it should be'}, {took:.0f} s")
        finally:
            browser.close()
    return 1 if amiss else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
