"""The frame loop: at most one picture under way to each browser, always the newest, and a finer one when things rest."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field

from sketcher.web.view.encoded_picture import Picture

log = logging.getLogger(__name__)

LEAST_PAUSE = 0.001
"""Seconds left to the other tasks after each picture, so that events are read between two."""
SHORTEST_FRAME = 1 / 60
"""Seconds: more pictures than that no screen shows; a browser that shows fewer asks for fewer."""
REST = 0.2
"""Seconds without a change before the fine picture is drawn."""


@dataclass
class FrameLoop:
    """When something changed: calls `before` (apply what is waiting), begins to `draw(fine)`, works out the page's `parts`
    meanwhile, and hands both to `send`.

    While a picture is being drawn `before` is called for the next, as late as it may be: what it took last time before the
    picture is done. A picture is sent once a browser is `ready` for it; while none is `watching` nothing is drawn. at_rest:
    called after the fine picture.
    """

    before: Callable[[], None]
    draw: Callable[[bool], Future[Picture | None]]
    parts: Callable[[], dict[str, str]]
    send: Callable[[dict[str, str], Picture | None], None]
    ready: Callable[[], bool]
    watching: Callable[[], bool]
    at_rest: Callable[[], None] = lambda: None
    _wake: asyncio.Event = field(default_factory=asyncio.Event)
    _freed: asyncio.Event = field(default_factory=asyncio.Event)
    _drawing: Future[Picture | None] | None = None
    _sending: asyncio.Task[None] | None = None
    _begun: float = 0.0
    _drew: float = 0.0
    _lead: float = 0.0

    def change(self) -> None:
        """Something to be seen may have changed."""
        self._wake.set()
        self._freed.set()

    def free(self) -> None:
        """A browser has shown its picture, or left."""
        self._freed.set()

    async def run(self) -> None:
        """Draw until cancelled."""
        try:
            while True:
                await self._wake.wait()
                self._wake.clear()
                if not self.watching():
                    continue
                await self._turn(fine=False)
                due = self._begun + max(SHORTEST_FRAME, self._drew) - self._lead
                await asyncio.sleep(max(LEAST_PAUSE, due - time.perf_counter()))
                await self._rest()
        finally:
            if self._sending is not None:
                self._sending.cancel()

    async def _rest(self) -> None:
        """Draw the fine picture if nothing changes for a while."""
        try:
            await asyncio.wait_for(self._wake.wait(), REST)
        except TimeoutError:
            await self._turn(fine=True)

    async def _turn(self, *, fine: bool) -> None:
        """One picture and the page's parts; a failure is written down, and the next is tried: the loop must outlive it."""
        try:
            if self._drawing is None or self._drawing.done():
                await self._sent()
            if not fine:
                began = time.perf_counter()
                self.before()
                self._lead = time.perf_counter() - began
            await self._sent()
            self._begun = time.perf_counter()
            self._drawing = self.draw(fine)
            self._drawing.add_done_callback(self._note)
            self._sending = asyncio.create_task(self._send(self._drawing, self.parts()))
            if fine:
                await self._sent()
                self.at_rest()
        except Exception:
            log.exception("a turn of the page failed")

    def _note(self, _: Future[Picture | None]) -> None:
        """A picture is drawn; told by the thread that drew it."""
        self._drew = time.perf_counter() - self._begun

    async def _send(self, drawing: Future[Picture | None], parts: dict[str, str]) -> None:
        """Hand over a picture, once it is drawn and a browser is ready for it, with the parts that belong to it."""
        picture = await _drawn(drawing)
        while self.watching() and not self.ready():
            self._freed.clear()
            await self._freed.wait()
        self.send(parts, picture)

    async def _sent(self) -> None:
        """Until the last picture is handed over."""
        sending, self._sending = self._sending, None
        if sending is not None:
            await sending


async def _drawn(drawing: Future[Picture | None]) -> Picture | None:
    """The picture once it is drawn; nothing where that fails, so that the figures still follow."""
    try:
        return await asyncio.wrap_future(drawing)
    except Exception:
        log.exception("a picture could not be drawn")
        return None
