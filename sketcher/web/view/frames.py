"""The frame loop: at most one picture under way to each browser, always the newest, and a finer one when things rest."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from dataclasses import dataclass, field

log = logging.getLogger(__name__)

LEAST_PAUSE = 0.004
"""Seconds left to the other tasks after each picture, so that events are read between two."""
SHORTEST_FRAME = 1 / 40
"""Seconds: faster pictures than this are not told apart and cost the figures their time."""
REST = 0.2
"""Seconds without a change before the fine picture is drawn."""


@dataclass
class FrameLoop:
    """Calls `before` (apply what is waiting), then `draw(fine)`, and hands the picture to `send`, when something changed.

    at_rest: called after the fine picture. ready: whether any browser has shown the last picture and waits for the next.
    """

    before: Callable[[], None]
    draw: Callable[[bool], bytes]
    send: Callable[[bytes], None]
    ready: Callable[[], bool]
    at_rest: Callable[[], None] = lambda: None
    _wake: asyncio.Event = field(default_factory=asyncio.Event)
    _stopped: bool = False

    def change(self) -> None:
        """Something to be seen has changed."""
        self._wake.set()

    def stop(self) -> None:
        self._stopped = True
        self._wake.set()

    async def run(self) -> None:
        """Draw until stopped."""
        while True:
            await self._wake.wait()
            if self._stopped:
                return
            if not self.ready():
                await asyncio.sleep(LEAST_PAUSE)
                continue
            self._wake.clear()
            began = time.perf_counter()
            self._turn(fine=False)
            await asyncio.sleep(max(LEAST_PAUSE, SHORTEST_FRAME - (time.perf_counter() - began)))
            await self._rest()

    async def _rest(self) -> None:
        """Draw the fine picture if nothing changes for a while."""
        try:
            await asyncio.wait_for(self._wake.wait(), REST)
        except TimeoutError:
            while not self.ready():
                await asyncio.sleep(LEAST_PAUSE)
            self._turn(fine=True)

    def _turn(self, *, fine: bool) -> None:
        """One picture; a failure is written down, and the next is tried: the loop must outlive it."""
        try:
            if not fine:
                self.before()
            self.send(self.draw(fine))
            if fine:
                self.at_rest()
        except Exception:
            log.exception("a picture could not be drawn")
