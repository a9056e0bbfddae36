"""The frame loop and the wire: always the newest picture, never a queue, and nothing drawn for nobody."""

from __future__ import annotations

import asyncio
import contextlib
import io
import json
import selectors
import struct
from concurrent.futures import Future
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from aiohttp import ClientSession, web
from aiohttp.test_utils import unused_port
from PIL import Image

from sketcher.web.server import Wire, add_routes
from sketcher.web.view.encoded_picture import Part, Picture
from sketcher.web.view.frame_loop import FrameLoop

pytestmark = pytest.mark.example


def plain(number: int, changed: Part | None = None) -> Picture:
    """A small picture told from others by its quality and its shade."""
    return Picture(np.full((40, 60, 3), number, dtype=np.uint8), number, changed)


@dataclass
class Screen:
    """Stands for the browsers: notes what was drawn and sent."""

    is_ready: bool = True
    is_open: bool = True
    drawn: list[bool] = field(default_factory=list)
    sent: list[str] = field(default_factory=list)
    fail: bool = False
    slowly: bool = False
    applied: list[int] = field(default_factory=list)
    under_way: list[Future[Picture | None]] = field(default_factory=list)

    def draw(self, fine: bool) -> Future[Picture | None]:
        self.drawn.append(fine)
        picture: Future[Picture | None] = Future()
        if self.slowly:
            self.under_way.append(picture)
        elif self.fail:
            picture.set_exception(ZeroDivisionError())
        else:
            picture.set_result(plain(len(self.drawn)))
        return picture

    def loop(self) -> FrameLoop:
        return FrameLoop(
            before=lambda: self.applied.append(len(self.drawn)),
            draw=self.draw,
            parts=dict,
            send=lambda _, picture: self.sent.append("" if picture is None else str(picture.quality)),
            ready=lambda: self.is_ready,
            watching=lambda: self.is_open,
        )


class Leaping(selectors.DefaultSelector):
    """Lets no time pass but what is slept through: a busy machine gives what an idle one gives."""

    now = 0.0

    def select(self, timeout: float | None = None) -> list[tuple[selectors.SelectorKey, int]]:
        happened = super().select(0 if timeout is not None else None)
        self.now += 0.0 if happened or timeout is None else timeout
        return happened


def run(screen: Screen, script: Any) -> None:
    """Play a script beside the frame loop, both by a clock of their own."""

    async def play() -> None:
        loop = screen.loop()
        task = asyncio.create_task(loop.run())
        await script(loop)
        task.cancel()

    clock = Leaping()
    events = asyncio.SelectorEventLoop(clock)
    with pytest.MonkeyPatch.context() as patch, contextlib.closing(events):
        patch.setattr(events, "time", lambda: clock.now)
        patch.setattr("sketcher.web.view.frame_loop.time", SimpleNamespace(perf_counter=lambda: clock.now))
        events.run_until_complete(play())


def test_many_changes_make_one_picture_then_a_fine_one() -> None:
    """A hundred changes at once are one picture; when all rests a finer one follows, once."""
    screen = Screen()

    async def script(loop: FrameLoop) -> None:
        for _ in range(100):
            loop.change()
        await asyncio.sleep(0.5)

    run(screen, script)
    assert screen.drawn == [False, True]
    assert len(screen.sent) == 2


def test_a_slow_browser_gets_no_queue() -> None:
    """While the last picture is not shown at most one more is drawn; it is sent when the browser is ready."""
    screen = Screen(is_ready=False)

    async def script(loop: FrameLoop) -> None:
        for _ in range(20):
            loop.change()
            await asyncio.sleep(0.01)
        assert screen.drawn == [False]
        assert screen.sent == []
        screen.is_ready = True
        loop.free()
        await asyncio.sleep(0.01)
        assert screen.sent[0] == "1"
        assert len(screen.drawn) <= 2

    run(screen, script)


def test_a_browser_gets_as_many_pictures_as_it_shows_sixty_a_second_at_most() -> None:
    """One that has shown the last at once gets the next with the screen's next frame."""
    screen = Screen()

    async def script(loop: FrameLoop) -> None:
        for _ in range(200):
            loop.change()
            await asyncio.sleep(0.005)

    run(screen, script)
    assert 50 <= len(screen.sent) <= 60


def test_the_next_figures_are_worked_out_while_a_picture_is_drawn() -> None:
    """But the next picture is begun only once the last is sent, and no further figures are worked out before that."""
    screen = Screen(slowly=True)

    async def script(loop: FrameLoop) -> None:
        for _ in range(12):
            loop.change()
            await asyncio.sleep(0.01)
        assert screen.applied == [0, 1]
        assert screen.drawn == [False]
        screen.under_way[0].set_result(plain(1))
        await asyncio.sleep(0.02)
        assert screen.sent == ["1"]
        assert screen.drawn == [False, False]

    run(screen, script)


def test_nothing_is_drawn_for_nobody() -> None:
    """With every tab closed the boat is not drawn."""
    screen = Screen(is_open=False)

    async def script(loop: FrameLoop) -> None:
        loop.change()
        await asyncio.sleep(0.3)

    run(screen, script)
    assert screen.drawn == []


def test_a_picture_that_fails_does_not_end_the_loop(caplog: pytest.LogCaptureFixture) -> None:
    """The failure is written down, the figures are sent without it, and the next picture is drawn."""
    screen = Screen(fail=True)

    async def script(loop: FrameLoop) -> None:
        loop.change()
        await asyncio.sleep(0.05)
        assert screen.sent == [""]
        screen.fail = False
        loop.change()
        await asyncio.sleep(0.3)

    run(screen, script)
    assert screen.sent[-1]
    assert "could not be drawn" in caplog.text


@dataclass
class Source:
    """Notes what it was asked."""

    taken: list[dict[str, Any]] = field(default_factory=list)

    def take(self, message: dict[str, Any]) -> None:
        self.taken.append(message)

    def download(self, what: str) -> tuple[bytes, str, str] | None:
        return (b"PDF", "application/pdf", "a.pdf") if what == "drawings.pdf" else None


def talk(script: Any) -> Source:
    """Serve a wire and let the script talk to it as a page does."""
    source = Source()

    async def play() -> None:
        port = unused_port()
        wire = Wire(wake=lambda: None, free=lambda: None)
        app = web.Application()
        add_routes(app, wire, source)
        runner = web.AppRunner(app)
        await runner.setup()
        await web.TCPSite(runner, "127.0.0.1", port).start()
        async with ClientSession() as session:
            await script(wire, session, f"http://127.0.0.1:{port}")
        await wire.close()
        await runner.cleanup()

    asyncio.run(play())
    return source


def read_turn(data: bytes) -> tuple[dict[str, Any], bytes]:
    (length,) = struct.unpack("<I", data[:4])
    head: dict[str, Any] = json.loads(data[4 : 4 + length])
    return head, data[4 + length :]


def test_a_page_gets_only_what_is_new_and_only_when_it_is_ready() -> None:
    """The second turn waits for the first to be shown, and brings only the part that changed and the newest picture."""

    async def script(wire: Wire, session: ClientSession, at: str) -> None:
        socket = await session.ws_connect(f"{at}/wire")
        await asyncio.sleep(0.05)
        wire.show({"bar": "one", "side": "same"}, plain(1))
        head, picture = read_turn(await socket.receive_bytes())
        assert head["parts"] == {"bar": "one", "side": "same"}
        assert picture == plain(1).whole
        wire.show({"bar": "two", "side": "same"}, plain(2))
        wire.show({"bar": "three", "side": "same"}, plain(3))
        await socket.send_json({"do": "shown"})
        head, picture = read_turn(await socket.receive_bytes())
        assert head["parts"] == {"bar": "three"}
        assert picture == plain(3).whole

    talk(script)


def test_a_page_that_shows_the_picture_before_gets_what_changed() -> None:
    """Of a page that missed one the whole is drawn; where nothing changed no picture is sent."""
    changed = (20, 3, 40, 15)

    async def script(wire: Wire, session: ClientSession, at: str) -> None:
        socket = await session.ws_connect(f"{at}/wire")
        await asyncio.sleep(0.05)
        wire.show({}, plain(1))
        assert read_turn(await socket.receive_bytes())[0]["at"] is None
        await socket.send_json({"do": "shown"})
        await asyncio.sleep(0.05)
        wire.show({}, plain(2, changed))
        head, picture = read_turn(await socket.receive_bytes())
        assert head["at"] == [16, 0]
        assert picture == plain(2, changed).part
        with Image.open(io.BytesIO(picture)) as part:
            assert part.size == (32, 16)
        wire.show({}, plain(3, changed))
        wire.show({}, plain(4, changed))
        await socket.send_json({"do": "shown"})
        head, picture = read_turn(await socket.receive_bytes())
        assert head["at"] is None
        assert picture == plain(4).whole
        await socket.send_json({"do": "shown"})
        await asyncio.sleep(0.05)
        wire.show({"bar": "same picture"}, plain(5, (0, 0, 0, 0)))
        head, picture = read_turn(await socket.receive_bytes())
        assert (head["picture"], picture) == (None, b"")

    talk(script)


def test_a_second_page_gets_the_whole_at_once() -> None:
    """A tab opened later shows the same as the first."""

    async def script(wire: Wire, session: ClientSession, at: str) -> None:
        wire.show({"bar": "one"}, plain(1))
        wire.show({"bar": "one"}, plain(2, (0, 0, 20, 20)))
        socket = await session.ws_connect(f"{at}/wire")
        head, picture = read_turn(await socket.receive_bytes())
        assert head["parts"] == {"bar": "one"}
        assert picture == plain(2).whole

    talk(script)


def test_messages_reach_the_sketch_and_nonsense_does_not() -> None:
    """What is no message is passed over, and the conversation goes on."""

    async def script(wire: Wire, session: ClientSession, at: str) -> None:
        socket = await session.ws_connect(f"{at}/wire")
        for text in ("nonsense", "[]", '{"do": 3}', '{"do": "undo"}'):
            await socket.send_str(text)
        await asyncio.sleep(0.1)

    assert talk(script).taken == [{"do": "undo"}]


def test_files_of_the_page_are_given_and_no_others() -> None:
    """The page's own files, by name; nothing else of the disk."""

    async def script(wire: Wire, session: ClientSession, at: str) -> None:
        for name, status in (("page.js", 200), ("page.css", 200), ("icon.svg", 200), ("..%2Fapp.py", 404), ("app.py", 404)):
            async with session.get(f"{at}/static/{name}") as answer:
                assert answer.status == status, name
        async with session.get(f"{at}/download/drawings.pdf") as answer:
            assert answer.headers["Content-Disposition"] == 'attachment; filename="a.pdf"'
        async with session.get(f"{at}/download/other") as answer:
            assert answer.status == 404

    talk(script)
