"""The messages that a page may send, and what handles them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import sketcher.web
from sketcher.web.handlers.registry import HANDLERS, KINDS

pytestmark = pytest.mark.example

WEB = Path(sketcher.web.__file__).parent
SOURCES = "\n".join(path.read_text("utf-8") for path in sorted((*(WEB / "ui").rglob("*.py"), *(WEB / "static").glob("*.js"))))


def test_every_message_is_handled_in_one_place() -> None:
    """No two kinds of message share a word."""
    words = [word for kind in KINDS for word in kind]
    assert sorted(words) == sorted(HANDLERS)


def test_every_message_that_the_page_sends_is_handled() -> None:
    """What its markup and its scripts ask for by name; that a turn was shown is between the page and the server."""
    sent = set(re.findall(r'\b(?:data_)?do(?:=|: )"(\w+)"', SOURCES))
    assert len(sent) > 20
    assert sent - {"shown"} <= set(HANDLERS)


def test_no_handler_waits_for_a_message_that_is_never_sent() -> None:
    """Each word stands somewhere in the page's markup or scripts."""
    assert [word for word in HANDLERS if f'"{word}"' not in SOURCES] == []
