"""The wire between the browsers and the sketch: each turn is one message with what changed on the page and the newest picture.

A browser answers each turn once it is shown; until then it gets no other, so nothing ever queues behind a slow one.
"""

from __future__ import annotations

import asyncio
import json
import logging
import struct
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any, Protocol

from aiohttp import WSMsgType, web

from sketcher.web.logic.hull.drawn_page import MOST_BYTES, drawn_page
from sketcher.web.view.encoded_picture import Picture

log = logging.getLogger(__name__)

Message = dict[str, Any]
LONGEST_MESSAGE = 64 * 1024
"""Bytes of one message from a page: the longest is a pasted name or number."""
STATIC_TYPES = {"css": "text/css", "js": "text/javascript", "svg": "image/svg+xml"}


class PageSource(Protocol):
    """What the wire serves: takes messages, gives the page's parts and files to download."""

    def take(self, message: Message) -> None: ...
    def download(self, what: str) -> tuple[bytes, str, str] | None: ...


@dataclass(eq=False)
class Browser:
    """One open page: whether it has shown its last turn, and what it was sent."""

    socket: web.WebSocketResponse
    ready: bool = True
    sent: dict[str, str] = field(default_factory=dict)
    picture: int = -1


@dataclass
class Wire:
    """All open pages, and what each of them should show. wake: called when a page asks something; free: when one is ready."""

    wake: Callable[[], None]
    free: Callable[[], None]
    browsers: set[Browser] = field(default_factory=set)
    parts: dict[str, str] = field(default_factory=dict)
    picture: Picture | None = None
    number: int = 0
    _sending: set[asyncio.Task[None]] = field(default_factory=set)

    def any_open(self) -> bool:
        return bool(self.browsers)

    def any_ready(self) -> bool:
        return any(browser.ready for browser in self.browsers)

    def show(self, parts: dict[str, str], picture: Picture | None) -> None:
        """Set what the pages show; those that are ready are sent what is new to them."""
        self.parts = parts
        if picture is not None and picture.is_new:
            self.picture, self.number = picture, self.number + 1
        for browser in self.browsers:
            self.send_turn(browser)

    def send_turn(self, browser: Browser) -> None:
        """Send a page what is new to it, if it is ready and anything is."""
        changed = {name: text for name, text in self.parts.items() if browser.sent.get(name) != text}
        picture = self.picture if browser.picture != self.number else None
        if not browser.ready or not (changed or picture):
            return
        browser.ready = False
        browser.sent = dict(self.parts)
        at, drawn = None, b""
        if picture is not None:
            # What changed since the picture before is enough for a page that shows that.
            follows = browser.picture == self.number - 1
            at, drawn = (picture.at, picture.part) if follows else (None, picture.whole)
        head = json.dumps({"parts": changed, "picture": None if picture is None else self.number, "at": at}).encode()
        browser.picture = self.number
        turn = struct.pack("<I", len(head)) + head + drawn
        task = asyncio.get_running_loop().create_task(self._send(browser, turn))
        self._sending.add(task)
        task.add_done_callback(self._sending.discard)

    async def _send(self, browser: Browser, turn: bytes) -> None:
        try:
            await browser.socket.send_bytes(turn)
        except (ConnectionError, RuntimeError):
            self.browsers.discard(browser)

    def shown(self, browser: Browser) -> None:
        browser.ready = True
        self.send_turn(browser)
        self.free()

    async def close(self) -> None:
        for browser in tuple(self.browsers):
            await browser.socket.close(code=1001, message=b"ended")


async def talk(request: web.Request, wire: Wire, source: PageSource) -> web.WebSocketResponse:
    """One page's conversation, from its opening to its end."""
    socket = web.WebSocketResponse(max_msg_size=LONGEST_MESSAGE, heartbeat=20.0, compress=False)
    try:
        await socket.prepare(request)
    except ValueError:
        raise web.HTTPBadRequest(text="This opens no wire.") from None
    browser = Browser(socket)
    wire.browsers.add(browser)
    wire.send_turn(browser)
    wire.wake()
    try:
        async for raw in socket:
            if raw.type is not WSMsgType.TEXT:
                continue
            message = read_message(raw.data)
            if message is None:
                log.warning("a page sent something that is no message")
            elif message["do"] == "shown":
                wire.shown(browser)
            else:
                source.take(message)
                wire.wake()
    finally:
        wire.browsers.discard(browser)
        wire.free()
    return socket


def read_message(text: str) -> Message | None:
    """A message from a page: a JSON object with the word `do`; anything else is None, however deeply it is nested."""
    try:
        message = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return message if isinstance(message, dict) and isinstance(message.get("do"), str) else None


def add_routes(app: web.Application, wire: Wire, source: PageSource) -> None:
    """The page, its files, the wire and the downloads."""
    static = {item.name: item.read_bytes() for item in files("sketcher.web").joinpath("static").iterdir() if item.is_file()}

    async def page(_: web.Request) -> web.Response:
        return web.Response(body=static["index.html"], content_type="text/html", charset="utf-8")

    async def file(request: web.Request) -> web.Response:
        name = request.match_info["name"]
        if name not in static:
            raise web.HTTPNotFound(text="No such file.")
        kind = STATIC_TYPES.get(name.rsplit(".", 1)[-1], "application/octet-stream")
        return web.Response(body=static[name], content_type=kind, charset="utf-8")

    async def wired(request: web.Request) -> web.WebSocketResponse:
        return await talk(request, wire, source)

    async def download(request: web.Request) -> web.Response:
        answer = source.download(request.match_info["what"])
        if answer is None:
            raise web.HTTPNotFound(text="There is nothing of that name to download.")
        body, kind, name = answer
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return web.Response(body=body, content_type=kind, headers=headers)

    async def drawn(request: web.Request) -> web.Response:
        data = bytearray()
        async for part in request.content.iter_any():
            data += part
            if len(data) > MOST_BYTES:
                raise web.HTTPRequestEntityTooLarge(max_size=MOST_BYTES, actual_size=len(data))
        picture = await asyncio.get_running_loop().run_in_executor(None, drawn_page, bytes(data))
        if picture is None:
            raise web.HTTPUnsupportedMediaType(text="This is no PDF that can be drawn.")
        return web.Response(body=picture, content_type="image/png")

    app.router.add_get("/", page)
    app.router.add_post("/drawn", drawn)
    app.router.add_get("/static/{name}", file)
    app.router.add_get("/wire", wired)
    app.router.add_get("/download/{what}", download)
