"""Who is let in, and what a page may load."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

import pytest
from aiohttp import ClientSession, web
from aiohttp.test_utils import unused_port

from sketcher.web.access import AccessControl, guard, is_loopback, page_rules

Ask = Callable[[ClientSession, str], Awaitable[None]]


def asked(host: str, ask: Ask, **wanted: str) -> list[str]:
    """Serve a word under access control, let `ask` send requests, and give back what was printed."""
    said: list[str] = []

    async def run() -> None:
        port = unused_port()
        access = AccessControl(host=host, port=port, say=said.append, **wanted)
        app = guard(access)

        async def inside(_: web.Request) -> web.Response:
            return web.Response(text="inside")

        app.router.add_get("/", inside)
        app.router.add_get("/wire", inside)
        app.router.add_post("/enter", inside)
        runner = web.AppRunner(app)
        await runner.setup()
        await web.TCPSite(runner, "127.0.0.1", port).start()
        try:
            async with ClientSession() as session:
                await ask(session, f"127.0.0.1:{port}")
        finally:
            await runner.cleanup()

    asyncio.run(run())
    return said


@pytest.mark.property
@pytest.mark.parametrize("host", ["127.0.0.1", "::1", "[::1]", "localhost", "127.3.2.1"])
def test_own_machine_is_told_from_others(host: str) -> None:
    """An address that only this machine reaches needs no key."""
    assert is_loopback(host)


@pytest.mark.property
@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.7", "example.org", ""])
def test_other_addresses_are_not_taken_for_own(host: str) -> None:
    """Anything else does."""
    assert not is_loopback(host)


@pytest.mark.example
def test_a_foreign_name_in_host_is_misdirected() -> None:
    """A page that points its own name at this machine gets nothing."""

    async def ask(session: ClientSession, at: str) -> None:
        for name in ("evil.example", f"evil.example:{at.split(':')[1]}", "127.0.0.1:1", "", "[::1"):
            async with session.get(f"http://{at}/", headers={"Host": name}) as answer:
                assert answer.status == 421

    asked("127.0.0.1", ask)


@pytest.mark.example
def test_a_foreign_origin_is_refused() -> None:
    """Another site's page may neither load nor open the wire; a program that states no origin may not open it either."""

    async def ask(session: ClientSession, at: str) -> None:
        async with session.get(f"http://{at}/", headers={"Origin": "http://evil.example"}) as answer:
            assert answer.status == 403
        async with session.get(f"http://{at}/wire") as answer:
            assert answer.status == 403
        async with session.get(f"http://{at}/wire", headers={"Origin": "null"}) as answer:
            assert answer.status == 403
        async with session.get(f"http://{at}/wire", headers={"Origin": f"http://{at}"}) as answer:
            assert answer.status == 200

    asked("127.0.0.1", ask)


@pytest.mark.example
def test_loopback_needs_no_key_and_says_the_page_rules() -> None:
    """On this machine the page opens at once, and may load nothing from elsewhere."""

    async def ask(session: ClientSession, at: str) -> None:
        async with session.get(f"http://{at}/") as answer:
            assert await answer.text() == "inside"
            policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert f"ws://{at}" in policy

    asked("127.0.0.1", ask)


@pytest.mark.example
def test_beyond_the_loopback_nothing_is_told_without_the_key() -> None:
    """Without the key, or with a wrong one, there is neither page nor wire."""

    async def ask(session: ClientSession, at: str) -> None:
        for path in ("/", "/?key=wrong", "/?key="):
            async with session.get(f"http://{at}{path}") as answer:
                assert answer.status == 401
                assert "inside" not in await answer.text()
        async with session.get(f"http://{at}/wire", headers={"Origin": f"http://{at}"}) as answer:
            assert answer.status == 401
        cookie = {"Cookie": f"sketcher_{at.split(':')[1]}=guess"}
        async with session.get(f"http://{at}/", headers=cookie) as answer:
            assert answer.status == 401

    asked("0.0.0.0", ask)


@pytest.mark.example
def test_a_key_opens_once_and_the_next_is_printed() -> None:
    """The key is exchanged for a cookie that no script can read; a second browser needs the next key."""

    async def ask(session: ClientSession, at: str) -> None:
        async with session.get(f"http://{at}/?key=first", allow_redirects=False) as answer:
            assert answer.status == 303
            cookie = answer.headers["Set-Cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        value = cookie.split(";")[0]
        async with ClientSession() as other:
            async with other.get(f"http://{at}/", headers={"Cookie": value}) as answer:
                assert await answer.text() == "inside"
            async with other.get(f"http://{at}/?key=first") as answer:
                assert answer.status == 401

    said = asked("0.0.0.0", ask, key="first")
    assert len(said) == 1
    assert "first" not in said[0]


@pytest.mark.example
def test_the_form_takes_the_key_too() -> None:
    """A key typed into the form opens as well as one in the address."""

    async def ask(session: ClientSession, at: str) -> None:
        headers = {"Origin": f"http://{at}"}
        async with session.post(f"http://{at}/enter", data={"key": " first "}, headers=headers, allow_redirects=False) as answer:
            assert answer.status == 303

    asked("0.0.0.0", ask, key="first")


@pytest.mark.example
def test_a_machine_is_known_beyond_the_loopback_by_number_and_by_its_own_name() -> None:
    """A name can be pointed elsewhere by a stranger, a number cannot."""
    access = AccessControl(host="0.0.0.0", port=8029)
    assert access.knows_host("192.168.1.7:8029")
    assert access.knows_host("[fe80::1]:8029")
    assert not access.knows_host("boat.example:8029")


@pytest.mark.example
def test_rules_name_the_host_they_are_for() -> None:
    """The page may talk to where it came from and nowhere else."""
    assert "connect-src 'self' ws://127.0.0.1:8029;" in page_rules("127.0.0.1:8029")["Content-Security-Policy"]
    assert "connect-src 'self' ws://[::1]:8029;" in page_rules("[::1]:8029")["Content-Security-Policy"]


@pytest.mark.property
@pytest.mark.parametrize(
    "stated",
    [
        "x;script-src *@127.0.0.1:8029",
        "user@127.0.0.1:8029",
        "127.0.0.1:8029;script-src *",
        "127.0.0.1:8029/",
        "127.0.0.1:8029\n",
        "[::1%;script-src *]:8029",
        "127.0.0.1:080029",
    ],
)
def test_a_host_that_says_more_than_name_and_port_is_not_ours(stated: str) -> None:
    """It would be repeated in the page's rules, and could loosen them."""
    assert not AccessControl(host="127.0.0.1", port=8029).knows_host(stated)
    assert not AccessControl(host="0.0.0.0", port=8029).knows_host(stated)
    assert "script-src *" not in page_rules(stated)["Content-Security-Policy"]
