"""A served sketch and a real browser for the tests of the page; without a browser they are skipped, in CI they fail."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import DrivenSketch, copied_boats, driven

import sketcher
from sketcher.model.demos import demo_folder

BROWSERS = ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome")
QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
HOME = Path(sketcher.__file__).resolve().parents[1]
STARTING = 60.0
"""Seconds a server may take to say where it is, on a busy machine."""


@dataclass
class Served:
    """A sketch served by a process of its own. boats: the folder its scenes and hulls were copied to."""

    boats: Path
    scene: Path
    arguments: tuple[str, ...] = ()
    process: subprocess.Popen[str] | None = None
    address: str = ""
    said: list[str] = field(default_factory=list)

    def start(self) -> Served:
        """Start serving and wait until it says where."""
        command = [sys.executable, "-m", "sketcher", "open", str(self.scene), "--no-browser", *self.arguments]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=HOME)
        assert self.process.stdout is not None
        limit = time.monotonic() + STARTING
        while time.monotonic() < limit:
            line = self.process.stdout.readline()
            self.said.append(line)
            found = re.search(r"http://\S+", line)
            if found:
                self.address = found[0]
                return self
            if not line:
                break
        raise AssertionError(f"the sketch did not start: {''.join(self.said)}")

    def stop(self, sign: int = signal.SIGINT) -> int:
        """End the server and give back what it ended with."""
        assert self.process is not None
        if self.process.poll() is None:
            self.process.send_signal(sign)
        rest, _ = self.process.communicate(timeout=20)
        self.said.append(rest)
        return self.process.returncode


@pytest.fixture
def boats(tmp_path: Path) -> Path:
    """A copy of the demo scenes and hulls."""
    return copied_boats(tmp_path)


@pytest.fixture
def sketch(boats: Path) -> DrivenSketch:
    """The smallest demo, opened on the page without a browser."""
    return driven(boats / "scenes" / "quillet-forepeak.yaml")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Any]:
    """A function that serves a copy of a demo scene: `served("marram-forepeak")`."""
    started: list[Served] = []
    boats = tmp_path / "boats"
    for folder in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / folder, boats / folder)

    def serve(scene: str, *arguments: str) -> Served:
        path = boats / "scenes" / f"{scene}.yaml"
        started.append(Served(boats, path, arguments).start())
        return started[-1]

    yield serve
    for one in started:
        if one.process is not None and one.process.poll() is None:
            one.stop(signal.SIGKILL)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Debian's Chromium, driven from outside."""
    path = next((path for path in (os.environ.get("CHROMIUM", ""), *BROWSERS) if path and Path(path).exists()), None)
    if path is None:
        word = "no Chromium was found: install it (apt-get install chromium) to test the page itself"
        if os.environ.get("CI"):
            pytest.fail(word)
        pytest.skip(word)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=path, args=QUIET)
        yield chromium
        chromium.close()


@dataclass
class Watched:
    """A page with what it complained of and what it asked for."""

    page: Any
    complaints: list[str]
    requests: list[str]

    def settle(self) -> None:
        """Wait until everything asked so far has been done and is on the page."""
        self.page.wait_for_timeout(60)
        self.page.evaluate("sketch.settled()")

    def text(self, selector: str) -> str:
        return str(self.page.inner_text(selector)).strip()

    def figure(self, key: str) -> str:
        """A figure of the margin, by its mark."""
        return self.text(f'[data-figure="{key}"]')

    def press(self, selector: str) -> None:
        self.page.click(selector)
        self.page.wait_for_timeout(60)

    def drag(self, start: tuple[float, float], by: tuple[float, float], steps: int = 12, drop: bool = True) -> None:
        """Drag with the mouse, slowly enough to be followed."""
        mouse = self.page.mouse
        mouse.move(*start)
        mouse.down()
        for step in range(1, steps + 1):
            mouse.move(start[0] + by[0] * step / steps, start[1] + by[1] * step / steps)
            self.page.wait_for_timeout(40)
        if drop:
            mouse.up()
            self.settle()


@pytest.fixture
def open_page(browser: Any) -> Iterator[Any]:
    """A function that opens an address: `open_page(served.address)`; complaints of any page fail the test at its end."""
    contexts, pages = [], []

    def show(address: str, width: int = 1280, height: int = 800) -> Watched:
        context = browser.new_context(viewport={"width": width, "height": height})
        contexts.append(context)
        watched = Watched(context.new_page(), [], [])
        pages.append(watched)
        watched.page.on("console", lambda m: watched.complaints.append(m.text) if m.type in ("error", "warning") else None)
        watched.page.on("pageerror", lambda error: watched.complaints.append(str(error)))
        watched.page.on("request", lambda request: watched.requests.append(request.url))
        watched.page.goto(address)
        watched.page.wait_for_selector("#picture[data-pictures]", timeout=60_000)
        watched.settle()
        return watched

    yield show
    for context in contexts:
        context.close()
