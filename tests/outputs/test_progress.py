import io
import sys

import pytest

from sketcher.outputs import progress
from sketcher.outputs.progress import Counting, Deadline


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.example
def test_long_work_tells_a_terminal_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a while the number placed stands on the terminal, once more each time, and is wiped at the end."""
    monkeypatch.setattr(progress, "QUIET", 0.0)
    monkeypatch.setattr(sys, "stderr", Terminal())
    counting = Counting()
    assert counting(120)
    assert counting(240)
    counting.done()
    written = sys.stderr.getvalue()  # type: ignore[attr-defined]
    assert "120 bottles placed so far; Ctrl-C ends the work" in written
    assert written.endswith("\r")


@pytest.mark.example
def test_nothing_is_said_to_a_file_or_in_short_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no one looks, or nothing takes long, no word is written."""
    for quiet, stream in ((0.0, io.StringIO()), (60.0, Terminal())):
        monkeypatch.setattr(progress, "QUIET", quiet)
        monkeypatch.setattr(sys, "stderr", stream)
        counting = Counting()
        counting(5)
        counting.done()
        assert stream.getvalue() == ""


@pytest.mark.example
def test_a_deadline_stops_when_it_is_past() -> None:
    """A page's patience ends; until then work goes on."""
    assert Deadline(60.0)(1)
    assert not Deadline(-1.0)(1)


@pytest.mark.example
def test_a_deadline_is_counted_from_the_first_question(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was done before bottles are placed does not eat into the time for them."""
    now = [100.0]
    monkeypatch.setattr(progress, "monotonic", lambda: now[0])
    deadline = Deadline(4.0)
    now[0] = 110.0
    assert deadline(0)
    now[0] = 113.9
    assert deadline(50)
    now[0] = 114.0
    assert not deadline(60)
