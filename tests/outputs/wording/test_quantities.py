"""Numbers as people read them."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.analysis.findings import Finding
from sketcher.model.units import parse_length
from sketcher.outputs.wording.quantities import (
    by_severity,
    length,
    length_with_unit,
    litres,
    plain,
    share,
    shortened,
    table,
    wrap,
)

LENGTHS = st.floats(-30.0, 30.0, allow_nan=False)


@pytest.mark.property
@given(LENGTHS, st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_a_printed_length_reads_back_to_what_a_rule_can_show(metres: float, unit: str) -> None:
    """A printed length, read back, is within half a millimetre, or half of a sixteenth of an inch."""
    finest = 0.0254 / 16 if unit in ("in", "ft") else 0.001
    text = length(metres, unit)
    back = parse_length(text if unit == "ft" else f"{text} {unit}", unit)
    assert back is not None
    assert back == pytest.approx(metres, abs=finest / 2 + 1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("metres", "unit", "text"),
    [
        (0.905, "mm", "905"),
        (0.9054, "cm", "90.5"),
        (0.9054, "m", "0.905"),
        (0.365125, "in", "14 3/8"),
        (0.0015875, "in", "1/16"),
        (1.8796, "ft", "6'2\""),
        (0.2682875, "ft", '10 9/16"'),
        (-0.45, "mm", "-450"),
        (-0.0001, "mm", "0"),
        (-0.0001, "in", "0"),
        (None, "mm", "not known"),
    ],
)
def test_lengths_are_printed_as_a_rule_shows_them(metres: float | None, unit: str, text: str) -> None:
    """Millimetres whole, inches in sixteenths brought to lowest terms, feet with their marks; no minus before nothing."""
    assert length(metres, unit) == text


@pytest.mark.closed_form
def test_feet_carry_their_own_marks() -> None:
    """A length in feet needs no unit behind it, one in inches does."""
    assert length_with_unit(1.8796, "ft") == "6'2\""
    assert length_with_unit(0.365125, "in") == "14 3/8 in"


@pytest.mark.closed_form
def test_a_trace_of_water_is_not_printed_as_none() -> None:
    """A third of a litre shows as less than one, no litres as 0."""
    assert litres(0.0003) == "<1"
    assert litres(0.0) == "0"
    assert litres(0.31249) == "312"
    assert litres(None) == "not known"


@pytest.mark.closed_form
def test_only_all_is_a_hundred_per_cent() -> None:
    """A space all but full prints more than 99 per cent, and rounding noise does not make a full one look unfilled."""
    assert share(2.999, 3.0) == ">99 %"
    assert share(2.3244, 2.3244000000000002) == "100 %"
    assert share(0.0001, 3.0) == "<1 %"
    assert share(0.0, 3.0) == "0 %"
    assert share(None, 3.0) == "not known"


@pytest.mark.property
@given(st.floats(-1e6, 1e6), st.integers(0, 4))
def test_no_number_is_printed_as_minus_nothing(value: float, decimals: int) -> None:
    """However small a negative number, `-0` is never printed."""
    assert not re.fullmatch(r"-0\.?0*", plain(value, decimals))


@pytest.mark.closed_form
def test_findings_that_stop_come_first_and_keep_their_order() -> None:
    """Stop, then warn, then note; within each as they were found."""
    found = [Finding(code=str(k), severity=severity, object="") for k, severity in enumerate(["note", "warn", "stop", "warn"])]
    assert [finding.code for finding in by_severity(found)] == ["2", "1", "3", "0"]


@pytest.mark.property
@given(st.lists(st.tuples(st.text("abc d", max_size=50), st.text("0123456789", min_size=1, max_size=9)), min_size=1, max_size=6))
def test_figures_in_a_table_end_in_one_column(rows: list[tuple[str, str]]) -> None:
    """However long or many-worded the names, the figures at the right all end at the same place."""
    lines = table(("name", "litres"), rows, "<>", name_width=20)
    assert len({len(line) for line in lines if line[-1].isdigit()}) == 1


@pytest.mark.closed_form
def test_a_paragraph_hangs_from_its_mark() -> None:
    """The first line begins with the mark, the following ones stand beneath the words."""
    assert wrap("one two three four", 14, "     ", "  !  ") == ["  !  one two", "     three", "     four"]


@pytest.mark.property
@given(st.text(min_size=1, max_size=40), st.integers(1, 50))
def test_a_shortened_text_fits_its_room(text: str, room: int) -> None:
    """However narrow the room: what is cut fits, and what fits is not cut."""
    assert len(shortened(text, room, len)) <= room
    if len(text) <= room:
        assert shortened(text, room, len) == text
