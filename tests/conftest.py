"""Settings for every test: the same cases on every machine, and one thread to a worker.

`HYPOTHESIS_PROFILE=explore` searches at random instead, and longer where a test sets no number of its own.
"""

import os
import sys
from collections.abc import Callable
from types import FrameType
from typing import Any

for _library in ("OPENBLAS", "OMP"):
    os.environ.setdefault(f"{_library}_NUM_THREADS", "1")
# Compiled bytecode is kept, by processes too that tests start: an installed command has it, and what pytest makes of the tests
# is half of what it takes to collect them.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

import pytest  # noqa: E402
from hypothesis import settings  # noqa: E402

settings.register_profile("same", derandomize=True, database=None, deadline=None, max_examples=20)
settings.register_profile("explore", database=None, deadline=None, max_examples=1000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


@pytest.fixture
def calls_made() -> Callable[[Callable[[], Any]], int]:
    """A function that does something and counts the calls of Python functions it makes: work on any machine, however busy."""

    def count(work: Callable[[], Any]) -> int:
        calls = 0

        def note(frame: FrameType, event: str, argument: Any) -> None:
            nonlocal calls
            calls += event == "call"

        before = sys.getprofile()
        sys.setprofile(note)
        try:
            work()
        finally:
            sys.setprofile(before)
        return calls

    return count


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Only the fast set's coverage is measured, as `.ci/run` says, that of the page and of generated inputs left out: these go
    the same ways over and over. Tests in a browser come last.

    The browser's driver keeps an event loop in its process, beside which no test can run its own.
    """
    for item in items:
        marked = any(item.get_closest_marker(name) for name in ("slow", "browser"))
        if marked or "web" in item.path.parts or getattr(item.obj, "is_hypothesis_test", False):  # type: ignore[attr-defined]
            item.add_marker("no_cover")
    last = [item for item in items if item.get_closest_marker("browser") is not None]
    # The longest files first, so that no worker is left alone with one at the end.
    last.sort(key=lambda item: -item.path.stat().st_size)
    items[:] = [item for item in items if item.get_closest_marker("browser") is None] + last
