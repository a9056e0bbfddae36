"""A served sketch and a real browser for the tests of the page; without a browser they are skipped, in CI they fail."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from driven_sketch import DrivenSketch, copied_boats, driven
from served import BROWSERS, QUIET, Served, WarmServed, Watched, patient_page

from sketcher.model.demos import demo_folder


@pytest.fixture
def boats(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh copy of the demo scenes and hulls, always in one place: what is known of a scene stays known."""
    folder = tmp_path_factory.getbasetemp() / "boats"
    shutil.rmtree(folder, ignore_errors=True)
    return copied_boats(folder)


@pytest.fixture
def sketch(boats: Path) -> DrivenSketch:
    """The smallest demo, opened on the page without a browser."""
    return driven(boats / "scenes" / "quillet-forepeak.yaml")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Any]:
    """A function that serves a copy of a demo scene: `served("marram-forepeak")`. kind: how its process is begun."""
    yield from _serving(tmp_path / "boats")


def _serving(boats: Path) -> Iterator[Any]:
    started: list[Served] = []
    for folder in ("scenes", "hulls"):
        shutil.copytree(demo_folder() / folder, boats / folder)

    def serve(scene: str, *arguments: str, kind: type[Served] = WarmServed) -> Served:
        path = boats / "scenes" / f"{scene}.yaml"
        started.append(kind(boats, path, arguments).start())
        return started[-1]

    yield serve
    for one in started:
        if not one.output.closed:
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


@pytest.fixture(scope="session")
def idle_pages(browser: Any) -> list[Any]:
    """Blank pages that wait for the next test: a process for each page of its own would take longer than most tests."""
    return []


@pytest.fixture
def open_page(browser: Any, idle_pages: list[Any]) -> Iterator[Any]:
    """A function that opens an address: `open_page(served.address)`; complaints of any page fail the test at its end."""
    yield from _opening(browser, idle_pages)


@pytest.fixture(scope="module")
def quillet(browser: Any, idle_pages: list[Any], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    """One page of the smallest demo for those tests of a module that need none as it opens."""
    boats = tmp_path_factory.mktemp("quillet") / "boats"
    with contextmanager(_serving)(boats) as serve, contextmanager(_opening)(browser, idle_pages) as show:
        yield show(serve("quillet-forepeak").address)


@pytest.fixture(scope="module")
def bare(browser: Any, idle_pages: list[Any], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    """A page of the smallest hull with nothing in it yet."""
    boats = tmp_path_factory.mktemp("bare") / "boats"
    with contextmanager(_serving)(boats) as serve, contextmanager(_opening)(browser, idle_pages) as show:
        (boats / "scenes" / "bare.yaml").write_text("scene: Bare\nhull: ../hulls/quillet-21.yaml\nunits: mm\n")
        yield show(serve("bare").address)


def _opening(browser: Any, idle: list[Any]) -> Iterator[Any]:
    opened: list[tuple[Any, dict[str, Any]]] = []

    def show(address: str, width: int = 1280, height: int = 800) -> Watched:
        page = idle.pop() if idle else patient_page(browser)
        watched = Watched(page, [], [])
        heard = {
            "console": lambda m: watched.complaints.append(m.text) if m.type in ("error", "warning") else None,
            "pageerror": lambda error: watched.complaints.append(str(error)),
            "request": lambda request: watched.requests.append(request.url),
        }
        for event, note in heard.items():
            page.on(event, note)
        opened.append((page, heard))
        page.set_viewport_size({"width": width, "height": height})
        page.goto(address)
        page.wait_for_selector("#picture[data-pictures]")
        watched.settle()
        return watched

    yield show
    for page, heard in opened:
        for event, note in heard.items():
            page.remove_listener(event, note)
        page.goto("about:blank")
        idle.append(page)
