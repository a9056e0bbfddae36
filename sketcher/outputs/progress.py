"""Progress of the placing of bottles, and an end to it where there is no time."""

from __future__ import annotations

import sys
from time import monotonic

QUIET = 2.0
"""Seconds of work of which nothing is said."""


class Counting:
    """A watch that tells a terminal, after a while, how many are placed; whoever has waited enough presses Ctrl-C."""

    def __init__(self) -> None:
        self.since, self.told = monotonic(), False

    def __call__(self, placed: int) -> bool:
        if sys.stderr.isatty() and monotonic() - self.since > QUIET:
            sys.stderr.write(f"\r{placed} bottles placed so far; Ctrl-C ends the work ")
            sys.stderr.flush()
            self.told = True
        return True

    def done(self) -> None:
        """Wipe the line that was written, if any."""
        if self.told:
            sys.stderr.write("\r" + " " * 60 + "\r")


class Deadline:
    """A watch that stops so many seconds after it was first asked: a page must not stand still for long."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds
        self.end: float | None = None

    def __call__(self, placed: int) -> bool:
        if self.end is None:
            self.end = monotonic() + self.seconds
        return monotonic() < self.end
