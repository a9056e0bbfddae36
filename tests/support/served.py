"""The sketch served by a process of its own, and a page in a real browser that watches what it complains of."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from places import ROOT

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
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=ROOT)
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
