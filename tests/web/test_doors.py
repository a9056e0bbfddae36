"""What strangers send: junk, foreign names, odd cookies, broken forms and upgrades are refused plainly, in one line at most."""

from __future__ import annotations

import asyncio
import contextlib
from typing import Any

import pytest
from aiohttp.test_utils import unused_port

from sketcher.web.access import LONGEST_REMARK, AccessControl, guard
from sketcher.web.app import runner_of
from sketcher.web.server import Wire, add_routes

JUNK = {
    "bytes": b"\x00\xff\x16\x03junk\r\n\r\n",
    "a secure greeting": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(range(256)),
    "another protocol": b"SSH-2.0-x\r\n",
    "a later version": b"GET / HTTP/9.9\r\n\r\n",
    "a broken method": b"G\xe9T / HTTP/1.1\r\n\r\n",
    "no host": b"GET / HTTP/1.1\r\n\r\n",
    "bare line ends": b"GET / HTTP/1.1\nHost: AT\n\n",
}
FOREIGN = ["evil.example", "127.0.0.1:99999", "\xff\xfe", "a" * 5000, "127.0.0.1:\u0663", "[::1", ""]
GETS = {
    "two hosts": ("/", ["Host: evil.example"]),
    "a very long header": ("/", ["X: " + "a" * 70_000]),
    "very many headers": ("/", [f"X{k}: a" for k in range(3000)]),
    "a very long path": ("/" + "a" * 20_000, []),
    "a null in a name": ("/", ["X\x00Y: a"]),
    "no address": ("http://[::1", []),
    "a foreign origin": ("/", ["Origin: http://evil.example"]),
    "an origin of bytes": ("/", ["Origin: \xff"]),
    "a way out of the folder": ("/static/%2e%2e%2fserver.py", []),
    "a download of nothing": ("/download/%00%F0", []),
    "a broken expectation": ("/", ["Expect: bogus"]),
}
COOKIES = [
    "\xff=;;==,",
    'a="unterminated; $Version=1; =x',
    "sketcher_PORT=\udced\udca0\udc80",
    'sketcher_PORT="\\777\\x"',
    "a=b; " * 1500,
]
FORMS = {
    "no parts": ("multipart/form-data; boundary=x", b"garbage"),
    "no boundary": ("multipart/form-data", b"x"),
    "a broken part": ("multipart/form-data; boundary=x", b"--x\r\nBroken header\r\n\r\nabc\r\n--x--\r\n"),
    "a part in no letters known": ("multipart/form-data; boundary=x", b"--x\r\nContent-Type: text/plain; charset=bogus\r\n\r\na"),
    "parts in parts": ("multipart/form-data; boundary=x", b"--x\r\nContent-Type: multipart/mixed; boundary=y\r\n\r\n--y\r\n"),
    "bytes": ("application/x-www-form-urlencoded", b"key=\xff\xfe"),
    "letters not known": ("application/x-www-form-urlencoded; charset=bogus", b"key=%ff"),
    "far too much": ("application/x-www-form-urlencoded", b"key=" + b"a" * 300_000),
    "another kind": ("\xff;;;==", b"a"),
}
UPGRADE = [
    "Upgrade: websocket",
    "Connection: Upgrade",
    "Sec-WebSocket-Version: 13",
    "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
]
WIRES = {
    "nothing of it": [],
    "half of it": UPGRADE[:2],
    "another version": [*UPGRADE[:2], "Sec-WebSocket-Version: 99", UPGRADE[3]],
    "a short key": [*UPGRADE[:3], "Sec-WebSocket-Key: short"],
    "a key of bytes": [*UPGRADE[:3], "Sec-WebSocket-Key: \xff\xff"],
}


class NoPage:
    """Takes nothing and has nothing to download."""

    def take(self, _: dict[str, Any]) -> None: ...
    def download(self, _: str) -> tuple[bytes, str, str] | None:
        return None


def answers(host: str, *sent: bytes) -> list[bytes]:
    """What a page served at a host answers to bytes, each on a connection of its own; AT and PORT in them stand for its own."""
    found: list[bytes] = []

    async def one(port: int, data: bytes) -> bytes:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(data.replace(b"AT", f"127.0.0.1:{port}".encode()).replace(b"PORT", str(port).encode()))
        got = b""
        with contextlib.suppress(ConnectionError, TimeoutError):
            got = await asyncio.wait_for(reader.read(400), 5.0)
        writer.close()
        return got

    async def run() -> None:
        port = unused_port()
        app = guard(AccessControl(host=host, port=port, say=lambda _: None))
        add_routes(app, Wire(lambda: None, lambda: None), NoPage())
        runner = runner_of(app)
        await runner.setup()
        from aiohttp import web

        await web.TCPSite(runner, "127.0.0.1", port).start()
        try:
            found.extend([await one(port, data) for data in sent])
        finally:
            await runner.cleanup()

    asyncio.run(run())
    return found


def request(line: str, *headers: str, body: bytes = b"", host: str = "AT") -> bytes:
    text = "\r\n".join([f"{line} HTTP/1.1", f"Host: {host}", *headers, "", ""])
    return b"".join(c.encode("utf-8", "surrogateescape") if ord(c) > 0xFF else c.encode("latin-1") for c in text) + body


def refused(answer: bytes, *, or_closed: bool = False) -> bool:
    """Whether an answer is one of the refusals that blame the asker."""
    return (answer.split(b" ")[1:2] != [] and answer.split(b" ")[1].startswith(b"4")) or (or_closed and answer == b"")


@pytest.fixture(autouse=True)
def quiet(caplog: pytest.LogCaptureFixture) -> Any:
    """After each test: the log has short single lines without a traceback."""
    yield
    for record in caplog.records:
        assert record.exc_info is None, record.exc_text
        assert "\n" not in record.getMessage()
        assert len(record.getMessage()) <= LONGEST_REMARK


@pytest.mark.property
@pytest.mark.parametrize("host", ["127.0.0.1", "0.0.0.0"])
@pytest.mark.parametrize("junk", JUNK.values(), ids=JUNK)
def test_junk_is_refused_or_hung_up_on(junk: bytes, host: str, caplog: pytest.LogCaptureFixture) -> None:
    """What is no request of HTTP at all."""
    (answer,) = answers(host, junk)
    assert refused(answer, or_closed=True), answer
    assert len(caplog.records) <= 1


@pytest.mark.property
@pytest.mark.parametrize("host", ["127.0.0.1", "0.0.0.0"])
@pytest.mark.parametrize("name", FOREIGN, ids=range(len(FOREIGN)))
def test_a_foreign_host_is_refused(name: str, host: str) -> None:
    """However it is written."""
    (answer,) = answers(host, request("GET /", host=name))
    assert refused(answer), answer


@pytest.mark.property
@pytest.mark.parametrize("host", ["127.0.0.1", "0.0.0.0"])
@pytest.mark.parametrize(("path", "headers"), GETS.values(), ids=GETS)
def test_a_broken_request_is_refused(path: str, headers: list[str], host: str) -> None:
    """Long, foreign, broken, or for what is not there."""
    (answer,) = answers(host, request(f"GET {path}", *headers))
    assert refused(answer), answer


@pytest.mark.property
@pytest.mark.parametrize("cookie", COOKIES, ids=range(len(COOKIES)))
def test_an_odd_cookie_lets_nobody_in(cookie: str) -> None:
    """Beyond this machine the key is asked for; on it, where no cookie counts, the page comes."""
    sent = request("GET /", f"Cookie: {cookie}")
    (answer,) = answers("0.0.0.0", sent)
    assert answer.startswith(b"HTTP/1.1 401 "), answer
    (answer,) = answers("127.0.0.1", sent)
    assert answer.startswith(b"HTTP/1.1 200 "), answer


@pytest.mark.property
@pytest.mark.parametrize("host", ["127.0.0.1", "0.0.0.0"])
@pytest.mark.parametrize(("kind", "body"), FORMS.values(), ids=FORMS)
def test_a_broken_form_is_refused(kind: str, body: bytes, host: str) -> None:
    """Only the form of our own page is read, and only so much of it."""
    headers = ["Origin: http://AT", f"Content-Type: {kind}", f"Content-Length: {len(body)}"]
    plain, packed = answers(
        host,
        request("POST /enter", *headers, body=body),
        request("POST /enter", *headers, "Content-Encoding: gzip", body=body),
    )
    assert refused(plain), plain
    assert refused(packed), packed


@pytest.mark.property
@pytest.mark.parametrize("headers", WIRES.values(), ids=WIRES)
def test_a_wrong_upgrade_is_refused(headers: list[str]) -> None:
    """A wire opens only as a browser opens it."""
    (answer,) = answers("127.0.0.1", request("GET /wire", "Origin: http://AT", *headers))
    assert refused(answer), answer


@pytest.mark.example
def test_what_the_wire_is_sent_that_is_no_message_ends_it_quietly() -> None:
    """Frames unmasked, of kinds that are none, too long, or of broken letters: the wire closes or goes on, nothing is thrown."""
    frames = [
        b"\xff\xff\xff\xff",
        b"\x81\x05hello",
        b"\x81" + b"\xff" * 10,
        b"\x81\x85\0\0\0\0\xff\xfe\xfd\xfc\xfb",
        b"\x88\x81\0\0\0\0\1",
    ]
    for answer in answers("127.0.0.1", *(request("GET /wire", "Origin: http://AT", *UPGRADE, body=frame) for frame in frames)):
        assert answer.startswith(b"HTTP/1.1 101 "), answer
