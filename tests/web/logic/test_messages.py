"""Messages from a page, which may be anyone's."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.messages import BadMessageError, MessageFields
from sketcher.web.server import read_message

anything = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=500), lambda inner: st.lists(inner, max_size=3)
)


@pytest.mark.property
@given(anything)
def test_a_number_is_finite_and_within_limits_or_refused(value: object) -> None:
    """No message brings in a number that is none, or beyond the limits."""
    try:
        number = MessageFields({"value": value}).number("value", 0.0, 1.0)
    except BadMessageError:
        return
    assert 0.0 <= number <= 1.0


@pytest.mark.property
@pytest.mark.parametrize("value", [10**400, -(10**400), "9" * 400, "1e999"])
def test_a_number_too_large_for_any_length_is_refused(value: object) -> None:
    """A whole number of 400 digits is as little a length as a word is."""
    with pytest.raises(BadMessageError, match="value is no number"):
        MessageFields({"value": value}).number("value")


@pytest.mark.property
@given(anything)
def test_a_text_is_short_or_refused(value: object) -> None:
    """No message brings in a text longer than any name."""
    try:
        text = MessageFields({"value": value}).text("value")
    except BadMessageError:
        return
    assert len(text) <= 400


@pytest.mark.property
@given(anything)
def test_a_pair_is_two_numbers_or_refused(value: object) -> None:
    """A place is two finite numbers."""
    try:
        first, second = MessageFields({"at": value}).pair("at", -1, 2)
    except BadMessageError:
        return
    assert -1 <= first <= 2
    assert -1 <= second <= 2


@pytest.mark.property
@pytest.mark.parametrize(
    ("mark", "part"),
    [
        ("bulkhead/collision", ObjectRef("bulkhead", "collision")),
        ("lid/a/b", ObjectRef("lid", "a/b")),
        ("hull/x", None),
        ("lid/", None),
        ("lid", None),
        (3, None),
    ],
)
def test_a_part_is_named_by_kind_and_name(mark: object, part: ObjectRef | None) -> None:
    """A mark on the page names a part, or nothing."""
    assert MessageFields({"part": mark}).object_ref() == part


@pytest.mark.example
def test_a_choice_is_one_of_those_offered() -> None:
    """Any other word is refused, and says what there is."""
    with pytest.raises(BadMessageError, match="none of plan, profile"):
        MessageFields({"view": "__class__"}).choice("view", ("plan", "profile"))


@pytest.mark.property
@pytest.mark.parametrize("text", ["", "{", "[]", "3", '"do"', '{"do": 3}', "{}", "null", "[" * 60_000])
def test_what_is_no_message_is_no_message(text: str) -> None:
    """Only an object with a word to do is a message."""
    assert read_message(text) is None


@pytest.mark.example
def test_a_message_is_read() -> None:
    """An object with a word to do is a message."""
    assert read_message(json.dumps({"do": "undo"})) == {"do": "undo"}
