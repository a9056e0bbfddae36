"""Lengths and numbers as people write them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.model.units import (
    STEPS,
    UNITS,
    format_length,
    format_number,
    parse_length,
    parse_litres,
    parse_mass,
    parse_number,
    parse_offset,
)

INCH = Fraction(254, 10_000)
"""[m] exactly: international yard and pound agreement, 1959 (from memory)."""
POUND = Fraction(45_359_237, 10**8)
"""[kg] exactly, by the same agreement (from memory)."""


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("written", "metres"),
    [
        ("1150", Fraction(1150, 1000)),
        ("18 mm", Fraction(18, 1000)),
        ("1.5 m", Fraction(3, 2)),
        ("90cm", Fraction(9, 10)),
        ("6 ft 2 in", 74 * INCH),
        ("6'2\"", 74 * INCH),
        ("6' 2 1/2\"", Fraction(149, 2) * INCH),
        ("6 ft", 72 * INCH),
        ("14 3/8 in", Fraction(115, 8) * INCH),
        ("6′ 2″", 74 * INCH),
        ("−2 in", -2 * INCH),
        ("3/8 in", Fraction(3, 8) * INCH),
        ('14-3/8"', Fraction(115, 8) * INCH),
        ("-2 in", -2 * INCH),
        ("1e3", Fraction(1)),
        ("012", Fraction(12, 1000)),
        (".5", Fraction(1, 2000)),
    ],
)
def test_a_length_is_the_nearest_float_to_what_is_written(written: str, metres: Fraction) -> None:
    """Every way of writing a length gives the float nearest to the exact length, bare numbers in millimetres."""
    assert parse_length(written, "mm") == float(metres)


@pytest.mark.property
@pytest.mark.parametrize(
    "written", ["", "about 3", "12:30", "0x10", "1_000", "nan", "inf", "3 yards", "3/0 in", "1,5", "--3", "6 ft 20", "mm"]
)
def test_what_is_no_length_is_none(written: str) -> None:
    """Texts that other readers might turn into a number are no lengths."""
    assert parse_length(written, "mm") is None


@pytest.mark.example
def test_inches_behind_feet_need_no_mark_where_they_can_only_be_inches() -> None:
    """`6 ft 2` are two inches, as everybody says it; `6 ft 20` leaves open twenty what: it is not guessed."""
    assert parse_length("6 ft 2", "ft") == pytest.approx(74 * INCH, abs=1e-12)
    assert parse_length("6 ft 20", "ft") is None


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("written", "metres"), [("450 port", -0.45), ("450 starboard", 0.45), ("18 in port", -0.4572), ("-450", -0.45)]
)
def test_port_is_negative(written: str, metres: float) -> None:
    """A distance to port is negative, to starboard positive."""
    assert parse_offset(written, "mm") == metres


@pytest.mark.example
def test_a_negative_distance_to_port_is_refused() -> None:
    """`-450 port` would be to port or to starboard: it is neither."""
    assert parse_offset("-450 port", "mm") is None


@pytest.mark.property
@given(st.sampled_from(UNITS), st.integers(-(10**9), 10**9), st.integers(0, 6))
def test_a_written_length_reads_back_as_itself(unit: str, whole: int, decimals: int) -> None:
    """What was written at a unit's step is written again in the same way, whatever the length."""
    text = format_length((parse_length(f"{whole}e-{min(decimals, STEPS[unit])}", unit) or 0.0), unit)
    again = parse_length(text, unit)
    assert again is not None
    assert format_length(again, unit) == text
    assert parse_length(format_length(again, unit), unit) == again


@pytest.mark.property
@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_plain_number_reads_back_as_the_same_float(value: float) -> None:
    """Angles and masses are written so that the very same float comes back."""
    assert parse_number(format_number(value)) == value


@pytest.mark.closed_form
def test_a_length_is_written_short() -> None:
    """No trailing zeros, no minus nothing, at most a micrometre."""
    assert [format_length(x, "mm") for x in (0.905, 0.9055, -1e-9, 0.0123456)] == ["905", "905.5", "0", "12.346"]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("written", "kilograms"),
    [
        ("84", Fraction(84)),
        ("-120 kg", Fraction(-120)),
        ("40 g", Fraction(40, 1000)),
        ("1.2t", Fraction(1200)),
        ("10 lb", 10 * POUND),
        ("4 oz", POUND / 4),
    ],
)
def test_a_mass_is_read_in_any_unit(written: str, kilograms: Fraction) -> None:
    """Bare numbers are kilograms; grams, tonnes, pounds and ounces say so."""
    assert parse_mass(written) == float(kilograms)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("written", "litres"),
    [
        ("2.06", Fraction(206, 100)),
        ("2.06 L", Fraction(206, 100)),
        ("500 ml", Fraction(1, 2)),
        ("0.3 m3", Fraction(300)),
        ("20 US gal", 20 * 231 * (10 * INCH) ** 3),
        ("20 UK gal", 20 * Fraction(454_609, 100_000)),
    ],
)
def test_a_volume_is_read_in_any_unit(written: str, litres: Fraction) -> None:
    """Bare numbers are litres; a gallon is 231 cubic inches in the US and 4.54609 litres in the UK (by law, from memory)."""
    assert parse_litres(written) == float(litres / 1000)


@pytest.mark.property
@pytest.mark.parametrize("written", ["", "3 stone", "40 G", "4 oz 2", "nan kg", "kg", "1,5 kg", "3 mm"])
def test_what_is_no_mass_is_none(written: str) -> None:
    """Units that are not known, or are lengths, are not guessed."""
    assert parse_mass(written) is None
    assert parse_litres(written) is None
