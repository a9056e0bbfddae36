"""Where the sketch listens, and how it ends."""

from __future__ import annotations

import asyncio
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from places import ROOT
from served import Served

from sketcher.model.errors import SketchError
from sketcher.web.app import FIRST_PORT, listen, serve
from sketcher.web.controller import Controller
from sketcher.web.render_thread import OnThisThread


@pytest.mark.example
def test_a_taken_port_is_answered_by_the_next_free_one() -> None:
    """Without a wish for a port, the next one that can be had is taken."""
    first = listen("127.0.0.1", None)
    second = listen("127.0.0.1", None)
    try:
        ports = [one.getsockname()[1] for one in (first, second)]
        assert ports[0] >= FIRST_PORT
        assert ports[1] > ports[0]
    finally:
        first.close()
        second.close()


@pytest.mark.example
def test_a_wished_port_that_is_taken_is_a_clear_word() -> None:
    """The port that was asked for is not exchanged for another; the error names it."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(SketchError, match=f"port {port} on 127.0.0.1 can be had"):
            listen("127.0.0.1", port)


@pytest.mark.property
@pytest.mark.parametrize("port", [-1, 70_000])
def test_a_port_that_is_none_is_a_clear_word(port: int) -> None:
    """There are 65535 ports."""
    with pytest.raises(SketchError, match=f"there is no port {port}"):
        listen("127.0.0.1", port)


@pytest.mark.property
@pytest.mark.slow
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM])
def test_the_sketch_ends_cleanly(served: Any, sign: int) -> None:
    """Ctrl-C ends it with a word and no traceback, and the port is free again."""
    one = served("quillet-forepeak", kind=Served)
    assert one.stop(sign) == 0
    said = "".join(one.said)
    assert "The sketch is closed." in said
    assert "Traceback" not in said


@pytest.mark.example
def test_a_scene_that_cannot_be_read_is_an_error_in_words(tmp_path: Path) -> None:
    """A missing file is said as the other commands say it."""
    done = subprocess.run(
        [sys.executable, "-m", "sketcher", "open", str(tmp_path / "none.yaml"), "--no-browser"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert done.returncode == 2
    assert "none.yaml" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.example
def test_pictures_are_drawn_by_the_thread_that_serve_was_called_in(boats: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some systems allow windows only in the main thread; pages are served from another."""
    threads: list[threading.Thread] = []

    async def run(controller: Controller, *_: object) -> None:
        assert controller.painter is not None
        drawing = asyncio.wrap_future(controller.painter.thread.submit(threading.current_thread))
        threads.extend([await drawing, threading.current_thread()])

    monkeypatch.setattr("sketcher.web.app._run", run)
    monkeypatch.setattr("sketcher.web.app.signal.signal", lambda *_: None)
    serve(str(boats / "scenes" / "quillet-forepeak.yaml"), open_browser=False)
    assert threads[0] is threading.current_thread()
    assert threads[1] is not threads[0]


@pytest.mark.example
def test_a_picture_that_nobody_waits_for_any_more_ends_nothing() -> None:
    """Cancelled while it waits, as when the sketch ends, it is not drawn, and what was asked for after it is."""
    here, drawn = OnThisThread(), []
    here.submit(drawn.append, "cancelled").cancel()
    here.submit(drawn.append, "waited for")
    here.shutdown()
    here.work()
    assert drawn == ["waited for"]
