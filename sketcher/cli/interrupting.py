"""Work that Ctrl-C ends with what is done: the first asks it to stop, the second is as ever."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def until_interrupted(what: str) -> Iterator[Callable[[int, int], bool]]:
    """A watch that tells how far it is on a terminal, and stops at the first Ctrl-C. what: is under way, in words."""
    import signal

    asked = False

    def stop(*_: object) -> None:
        nonlocal asked
        asked = True
        signal.signal(signal.SIGINT, before)

    def watch(done: int, total: int) -> bool:
        if sys.stderr.isatty():
            how_far = f"{100 * done // total} %" if total else f"{done} so far"
            print(f"\r{what}: {how_far}", end="", file=sys.stderr)
        return not asked

    try:
        before = signal.signal(signal.SIGINT, stop)
    except ValueError:
        # Only the main thread may listen for signals.
        yield watch
        return
    try:
        yield watch
    finally:
        signal.signal(signal.SIGINT, before)
        if sys.stderr.isatty():
            print("\r\033[K", end="", file=sys.stderr)
