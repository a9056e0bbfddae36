"""Who may use the page: the Host and Origin a browser states, a key beyond the loopback, and what a page may load.

Every request is checked here, websocket and static files included. A name in Host that is not ours would let a foreign page
reach this machine by changing its own address; a foreign Origin would let it open the websocket. What is no request is refused in
plain words, and told in one line of the log.
"""

from __future__ import annotations

import hmac
import ipaddress
import logging
import re
import secrets
import socket
import sys
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from html import escape
from typing import Any
from urllib.parse import parse_qs

from aiohttp import web
from aiohttp.http_exceptions import HttpProcessingError

LONGEST_FORM = 16 * 1024
"""Bytes of a form that is sent: the key's field alone."""
LONGEST_REMARK = 160
"""Characters that the log keeps of what is wrong with a request."""

RequestHandler = Callable[[web.Request], Awaitable[web.StreamResponse]]

KEY_FORM = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Key needed</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="/static/page.css"></head>
<body class="door"><main><h1>This sketch asks for a key</h1><p>{message}</p>
<form method="post" action="/enter"><label for="key">Key</label><input id="key" name="key" autocomplete="off" autofocus>
<button>Enter</button></form></main></body></html>"""


def is_loopback(host: str) -> bool:
    """Whether an address to listen on can be reached from this machine only."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


_HOST = re.compile(r"(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+))(?::([0-9]{1,5}))?", re.IGNORECASE)
"""A name or an address, in brackets where it has colons, and a port: nothing that could go on to say more in a header."""


def split_host(stated: str) -> tuple[str, int]:
    """A Host header as (name in small letters, port); brackets of an IPv6 address are taken off. Anything else is ("", 80)."""
    found = _HOST.fullmatch(stated)
    if found is None:
        return "", 80
    address, name, port = found.groups()
    return (address or name).lower(), int(port or 80)


@dataclass(kw_only=True)
class AccessControl:
    """What is asked of each request. host, port: where the server listens; say: called with a fresh key to print.

    The key is good for one browser: it is exchanged for a cookie, and the next key is printed.
    """

    host: str
    port: int
    say: Callable[[str], None] = print
    key: str = field(default_factory=lambda: secrets.token_urlsafe(12))
    secret: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    @property
    def needs_key(self) -> bool:
        return not is_loopback(self.host)

    @property
    def cookie(self) -> str:
        """Cookies are shared by all ports of a host, so the port is in the name."""
        return f"sketcher_{self.port}"

    def knows_host(self, stated: str) -> bool:
        """Whether a Host header names this server: an address or our own name, and our port.

        Beyond the loopback any numeric address is taken: a name can be pointed elsewhere by a stranger, a number cannot.
        """
        name, port = split_host(stated)
        if port != self.port:
            return False
        if not self.needs_key:
            return is_loopback(name)
        try:
            ipaddress.ip_address(name)
        except ValueError:
            return name in {self.host.lower(), socket.gethostname().lower(), "localhost"}
        return True

    def knows_origin(self, origin: str | None, stated_host: str, *, required: bool) -> bool:
        """Whether a request comes from our own page; a websocket and a POST must say so, a plain GET need not."""
        if origin is None:
            return not required
        return origin == f"http://{stated_host}"

    def has_entered(self, request: web.Request) -> bool:
        return not self.needs_key or _same(request.cookies.get(self.cookie, ""), self.secret)

    def try_key(self, offered: str) -> bool:
        """Take the key if it is the right one, and print the next."""
        if not _same(offered.strip(), self.key):
            return False
        self.key = secrets.token_urlsafe(12)
        self.say(f"A browser came in. Key for the next one: {self.key}")
        return True

    def admit(self) -> web.Response:
        """Send a browser that gave the right key to the sketch, with its cookie."""
        response = web.Response(status=303, headers={"Location": "/"})
        response.set_cookie(self.cookie, self.secret, httponly=True, samesite="Strict", path="/")
        return response

    async def ask_for_key(self, request: web.Request) -> web.StreamResponse:
        """Ask for the key, or take it where the request brings one."""
        offered = request.query.get("key")
        if request.path == "/enter" and request.method == "POST":
            offered = await _typed_key(request)
        if offered is not None and self.try_key(offered):
            return self.admit()
        message = "That key is not the one." if offered else "It is printed where the sketcher was started."
        return web.Response(status=401, text=KEY_FORM.format(message=escape(message)), content_type="text/html")

    def check(self, request: web.Request) -> None:
        """Raise 421 for a Host that is not ours and 403 for a foreign Origin."""
        stated = request.headers.get("Host", "")
        if not self.knows_host(stated):
            raise web.HTTPMisdirectedRequest(text="This address is not the sketcher's.")
        required = request.method != "GET" or request.path == "/wire"
        if not self.knows_origin(request.headers.get("Origin"), stated, required=required):
            raise web.HTTPForbidden(text="Only the sketcher's own page may ask this.")


def _same(offered: str, secret: str) -> bool:
    """Whether a word is the secret one, in a time that does not tell how much of it is right."""
    return hmac.compare_digest(offered.encode(errors="replace"), secret.encode())


async def _typed_key(request: web.Request) -> str:
    """The key in a form as our own page sends it. Raises 415 for another kind of form and 400 for a broken one."""
    if request.content_type != "application/x-www-form-urlencoded":
        raise web.HTTPUnsupportedMediaType(text="Send the key as the sketcher's own page does.")
    try:
        fields = parse_qs((await request.read()).decode())
    except (web.RequestPayloadError, HttpProcessingError, ValueError):
        raise web.HTTPBadRequest(text="The form cannot be read.") from None
    return fields.get("key", [""])[0]


class OneLine(logging.LoggerAdapter[logging.Logger]):
    """Log messages of the server, each in one line without a traceback: most of it is what others sent."""

    def log(self, level: int, msg: object, *args: object, exc_info: Any = None, **_: Any) -> None:
        problem = sys.exc_info()[1] if exc_info is True else exc_info
        said = str(msg) % args if args else str(msg)
        if isinstance(problem, BaseException):
            said += f": {type(problem).__name__}: {problem}"
        shown = "".join(c if c.isprintable() else "?" for c in " ".join(said.split()))
        self.logger.log(level, "%s", shown[:LONGEST_REMARK])


def page_rules(stated_host: str) -> dict[str, str]:
    """Headers that keep the page to itself: nothing from elsewhere is loaded, asked or framed."""
    name, port = split_host(stated_host)
    host = f"[{name}]" if ":" in name else name
    policy = (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; "
        f"connect-src 'self' ws://{host}:{port}; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    )
    return {
        "Content-Security-Policy": policy,
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Cache-Control": "no-store",
    }


PUBLIC = frozenset({"/static/page.css", "/static/icon.svg"})
"""What the page that asks for the key is made of."""


def guard(access: AccessControl) -> web.Application:
    """An application whose every request is checked."""

    @web.middleware
    async def checked(request: web.Request, handler: RequestHandler) -> web.StreamResponse:
        access.check(request)
        if access.has_entered(request) or request.path in PUBLIC:
            return await handler(request)
        return await access.ask_for_key(request)

    async def rules(request: web.Request, response: web.StreamResponse) -> None:
        stated = request.headers.get("Host", "")
        response.headers.update(page_rules(stated if access.knows_host(stated) else "localhost"))
        response.headers.popall("Server", None)

    app = web.Application(middlewares=[checked], client_max_size=LONGEST_FORM)
    app.on_response_prepare.append(rules)
    return app
