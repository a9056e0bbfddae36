"""The sketch served by a process of its own, and a page in a real browser that watches what it complains of."""

from __future__ import annotations

import multiprocessing
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, TextIO

from places import ROOT

from sketcher.__main__ import run

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
STARTING = 180.0
"""Seconds a server may take to say where it is, on a busy machine."""


ENDING = 60.0
"""Seconds it may take to end."""
PATIENCE = 120_000.0
"""[ms] How long a page waits for anything before its test fails; it ends a wait at once that has what it waits for."""
SIZES = ((1280, 800), (1024, 768), (820, 1180))
"""Width and height of a small screen, and of a tablet either way up [pixels]."""
FRAMES = "new Promise((shown) => requestAnimationFrame(() => requestAnimationFrame(shown)))"
"""Until what a page was told stands on its screen, and what it sends once in a frame is sent."""

WARM = multiprocessing.get_context("forkserver")
WARM.set_forkserver_preload(["sketcher.web.app", "pyvista.plotting", "PIL.JpegImagePlugin", "sketcher.cli.command_line"])


@dataclass
class Served:
    """A sketch served by the command in a process of its own. boats: the folder its scenes and hulls were copied to."""

    boats: Path
    scene: Path
    arguments: tuple[str, ...] = ()
    process: Any = None
    address: str = ""
    said: list[str] = field(default_factory=list)

    def start(self) -> Served:
        """Start serving and wait until it says where."""
        self.output = self._begun(["open", str(self.scene), "--no-browser", *self.arguments])
        limit = time.monotonic() + STARTING
        while time.monotonic() < limit:
            line = self.output.readline()
            self.said.append(line)
            found = re.search(r"http://\S+", line)
            if found:
                self.address = found[0]
                return self
            if not line:
                break
        self.stop(signal.SIGKILL)
        raise AssertionError(f"the sketch did not start: {''.join(self.said)}")

    def stop(self, sign: int = signal.SIGINT) -> int:
        """End the server, if it still runs, and give back what it ended with."""
        with suppress(ProcessLookupError):
            os.kill(self.process.pid, sign)
        with self.output:
            self.said += self.output
        return self._ended()

    def _begun(self, arguments: list[str]) -> TextIO:
        """The process begun; what it says."""
        command = [sys.executable, "-m", "sketcher", *arguments]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=ROOT)
        output: TextIO = self.process.stdout
        return output

    def _ended(self) -> int:
        ended: int = self.process.wait(ENDING)
        return ended


class WarmServed(Served):
    """The same command in a copy of a process that has imported everything: what it takes to import is paid once."""

    def _begun(self, arguments: list[str]) -> TextIO:
        reader, writer = WARM.Pipe(duplex=False)
        self.process = WARM.Process(target=_run, args=(arguments, writer))
        self.process.start()
        writer.close()
        with reader:
            return os.fdopen(os.dup(reader.fileno()))

    def _ended(self) -> int:
        self.process.join(ENDING)
        ended: int = self.process.exitcode
        return ended


def _run(arguments: list[str], writer: Connection) -> None:
    """The command in this process, what it says and complains of written to a pipe."""
    for stream in (1, 2):
        os.dup2(writer.fileno(), stream)
    sys.stdout, sys.stderr = (os.fdopen(stream, "w") for stream in (1, 2))
    sys.argv = ["sketcher", *arguments]
    run()


def patient_page(browser: Any, **of: Any) -> Any:
    """A page of its own that bears a slow machine. of: what the browser is told of its screen."""
    context = browser.new_context(**of)
    context.set_default_timeout(PATIENCE)
    return context.new_page()


@dataclass
class Watched:
    """A page with what it complained of and what it asked for."""

    page: Any
    complaints: list[str]
    requests: list[str]

    def settle(self) -> None:
        """Wait until everything asked so far has been done and is on the page."""
        self.page.evaluate(f"{FRAMES}.then(() => sketch.settled()).then(() => {FRAMES})")

    def sizes(self) -> Iterator[int]:
        """Show the page on a screen, then on a tablet either way up; its width each time."""
        for width, height in SIZES:
            self.page.set_viewport_size({"width": width, "height": height})
            self.settle()
            yield width

    def text(self, selector: str) -> str:
        return str(self.page.inner_text(selector)).strip()

    def figure(self, key: str) -> str:
        """A figure of the margin, by its mark."""
        return self.text(f'[data-figure="{key}"]')

    def press(self, selector: str) -> None:
        """Click on something; in the margin, once the tab that it is in is turned to."""
        hidden = "it => it.closest('[role=tabpanel][hidden]')?.getAttribute('aria-labelledby') ?? ''"
        tab = self.page.locator(selector).first.evaluate(hidden)
        if tab:
            self.page.click(f"#{tab}")
        self.page.click(selector)
        self.page.evaluate(FRAMES)

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
