"""Messages that fail, and messages that no page of ours sends."""

from __future__ import annotations

from typing import Any

import pytest
from driven_sketch import COLLISION, DrivenSketch
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sketcher.web.handlers.registry import HANDLERS

words = st.one_of(st.none(), st.booleans(), st.floats(), st.text(max_size=12), st.lists(st.floats(), max_size=3))
names = st.sampled_from(["at", "part", "where", "field", "value", "name", "factor", "size", "sheet", "view", "towards", "kind"])


@pytest.mark.example
def test_a_failure_of_our_own_is_said_and_leaves_the_scene(sketch: DrivenSketch, monkeypatch: pytest.MonkeyPatch) -> None:
    """No traceback reaches the page; the scene stays as it was."""

    def fail(_: object) -> None:
        raise ZeroDivisionError

    before = sketch.scene
    monkeypatch.setattr(sketch.session, "evaluate", fail)
    sketch.ask("set", part=COLLISION, field="at", value="815")
    assert sketch.notice is not None
    assert "failed" in sketch.notice.text
    assert sketch.scene is before


@pytest.mark.property
@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(sorted(set(HANDLERS) - {"save", "save_as", "new", "open"})), st.dictionaries(names, words, max_size=4))
def test_no_message_breaks_the_page(sketch: DrivenSketch, do: str, values: dict[str, Any]) -> None:
    """Whatever a page sends, the sketch answers with a page."""
    sketch.controller.take({**values, "do": do})
    sketch.controller.before_picture()
    assert sketch.parts()["bar"]
    assert sketch.notice is None or "failed" not in sketch.notice.text
