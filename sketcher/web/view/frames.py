"""The frame loop: at most one picture under way to each browser, always the newest, and a finer one when things rest."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field

log = logging.getLogger(__name__)

LEAST_PAUSE = 0.001
"""Seconds left to the other tasks after each picture, so that events are read between two."""
SHORTEST_FRAME = 1 / 25
"""Seconds: a picture as often as in the cinema. More would cost two cores what the figures need while something is dragged."""
REST = 0.2
"""Seconds without a change before the fine picture is drawn."""


@dataclass
class FrameLoop:
    """When something changed: calls `before` (apply what is waiting), begins to `draw(fine)`, works out the page's `parts`
    meanwhile, and hands both to `send`.

    The next picture is drawn while the browsers show the last one, and sent once one of them is `ready` for it; while none is
    `watching` nothing is drawn. at_rest: called after the fine picture.
    """

    before: Callable[[], None]
    draw: Callable[[bool], Future[bytes]]
    parts: Callable[[], dict[str, str]]
    send: Callable[[dict[str, str], bytes], None]
    ready: Callable[[], bool]
    watching: Callable[[], bool]
    at_rest: Callable[[], None] = lambda: None
    _wake: asyncio.Event = field(default_factory=asyncio.Event)
    _freed: asyncio.Event = field(default_factory=asyncio.Event)

    def change(self) -> None:
        """Something to be seen may have changed."""
        self._wake.set()
        self._freed.set()

    def free(self) -> None:
        """A browser has shown its picture, or left."""
        self._freed.set()

    async def run(self) -> None:
        """Draw until cancelled."""
        while True:
            await self._wake.wait()
            self._wake.clear()
            if not self.watching():
                continue
            began = time.perf_counter()
            await self._turn(fine=False)
            await asyncio.sleep(max(LEAST_PAUSE, SHORTEST_FRAME - (time.perf_counter() - began)))
            await self._rest()

    async def _rest(self) -> None:
        """Draw the fine picture if nothing changes for a while."""
        try:
            await asyncio.wait_for(self._wake.wait(), REST)
        except TimeoutError:
            await self._turn(fine=True)

    async def _turn(self, *, fine: bool) -> None:
        """One picture and the page's parts; a failure is written down, and the next is tried: the loop must outlive it."""
        try:
            if not fine:
                self.before()
            drawing = self.draw(fine)
            parts = self.parts()
            picture = await _drawn(drawing)
            while self.watching() and not self.ready():
                self._freed.clear()
                await self._freed.wait()
            self.send(parts, picture)
            if fine:
                self.at_rest()
        except Exception:
            log.exception("a turn of the page failed")


async def _drawn(drawing: Future[bytes]) -> bytes:
    """The picture once it is drawn; nothing where that fails, so that the figures still follow."""
    try:
        return await asyncio.wrap_future(drawing)
    except Exception:
        log.exception("a picture could not be drawn")
        return b""
