"""Lengths and numbers as people write them, and back: metres inside, the file's own unit outside.

Reading is exact: a decimal is turned into whole numbers and divided once, so that every writing of a length gives the one
nearest float. Writing keeps to a step of a micrometre or a little more (`STEPS`), finer than any tape or saw.
"""

from __future__ import annotations

import math
import re
from typing import Literal, get_args

Unit = Literal["mm", "cm", "m", "in", "ft"]
UNITS: tuple[Unit, ...] = get_args(Unit)

LENGTH_LIMIT = 1000.0
"""[m]: longer than any boat; a length beyond it is a slip in the unit or an exponent."""

_METRES: dict[str, tuple[int, int]] = {
    "mm": (1, 1000),
    "cm": (1, 100),
    "m": (1, 1),
    "in": (254, 10_000),
    "ft": (3048, 10_000),
    "litres": (1, 1000),
}
"""Metres in a unit (cubic metres in a litre) as a fraction; the inch is 25.4 mm exactly since 1959."""

STEPS: dict[str, int] = {"mm": 3, "cm": 4, "m": 6, "in": 4, "ft": 5, "litres": 6}
"""Decimals kept when a length is written in a unit: steps of 0.001 to 0.003 mm."""

_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
_PLAIN = re.compile(rf"([+-]?)({_NUMBER})\Z")
# What few files hold is kept as text, which is compiled when it is first met.
_WITH_UNIT = rf"([+-]?)\s*({_NUMBER})\s*(mm|cm|m|in|ft|\"|')\Z"
_FRACTION_INCHES = r"([+-]?)\s*(?:(\d{1,9})[\s-]+)?(\d{1,4})/(\d{1,4})\s*(in|\")\Z"
_FEET_INCHES = (
    rf"([+-]?)\s*(\d{{1,9}})\s*(?:ft|')[\s-]*(?:({_NUMBER})|(?:(\d{{1,9}})[\s-]+)?(\d{{1,4}})/(\d{{1,4}}))\s*(?:in|\"|'')\Z"
)
_SIDE = re.compile(r"(.+?)\s+(port|starboard)\Z")
_MARKS = {'"': "in", "'": "ft"}
_AS_TYPED_ELSEWHERE = str.maketrans({"’": "'", "′": "'", "”": '"', "″": '"', "−": "-", "\u00a0": " "})
"""Quotes, primes and a minus as telephones and word processors put them."""


def parse_number(text: str) -> float | None:
    """The plain decimal number a text spells, or None; `inf`, `nan`, `0x10`, `1_000` and `12:30` are no numbers.

    >>> parse_number("012"), parse_number("1e3"), parse_number("12:30")
    (12.0, 1000.0, None)
    """
    match = _PLAIN.match(text.strip())
    if match is None:
        return None
    value = float(text.strip())
    return value if math.isfinite(value) else None


def parse_length(text: str, unit: str) -> float | None:
    """A length [m] from text: a bare number in `unit`, or with its own unit; None where the text spells no length.

    >>> parse_length("6 ft 2 in", "mm"), parse_length("14 3/8 in", "mm"), parse_length("450", "mm")
    (1.8796, 0.365125, 0.45)
    """
    text = text.translate(_AS_TYPED_ELSEWHERE).strip()
    if text[:1].isalpha():
        return None
    if match := _PLAIN.match(text):
        return _metres(match[1], match[2], unit)
    if match := re.match(_WITH_UNIT, text):
        return _metres(match[1], match[2], _MARKS.get(match[3], match[3]))
    if match := re.match(_FRACTION_INCHES, text):
        return _inches(match[1], 0, match[2] or "0", match[3], match[4])
    if match := re.match(_FEET_INCHES, text):
        sign, feet, inches, whole, above, below = match.groups()
        return _inches(sign, int(feet), inches or whole or "0", above or "0", below or "1")
    return None


def parse_offset(text: str, unit: str) -> float | None:
    """A distance off the centreline [m], starboard positive: a length, or one followed by `port` or `starboard`.

    >>> parse_offset("450 port", "mm"), parse_offset("450 starboard", "mm"), parse_offset("-450", "mm")
    (-0.45, 0.45, -0.45)
    """
    match = _SIDE.match(text.strip())
    if match is None:
        return parse_length(text, unit)
    value = parse_length(match[1], unit)
    if value is None or value < 0.0 or match[1].lstrip().startswith("-"):
        return None
    return -value if match[2] == "port" else value


def parse_litres(text: str) -> float | None:
    """A volume [m3] from a bare number of litres."""
    match = _PLAIN.match(text.strip())
    return None if match is None else _metres(match[1], match[2], "litres")


def format_length(metres: float, unit: str) -> str:
    """The shortest decimal in `unit`, rounded to its step in `STEPS`; reading it back gives the nearest such length.

    >>> format_length(0.905, "mm"), format_length(0.3651, "in"), format_length(-1e-9, "mm")
    ('905', '14.374', '0')
    """
    numerator, denominator = _METRES[unit]
    return _trim(f"{metres * denominator / numerator:.{STEPS[unit]}f}")


def format_litres(volume: float) -> str:
    """A volume [m3] as litres, to a millionth of a litre."""
    return format_length(volume, "litres")


def format_number(value: float) -> str:
    """The shortest decimal that reads back as the same float, without an exponent where that is readable.

    >>> format_number(3.0), format_number(0.55), format_number(1e-9)
    ('3', '0.55', '1e-09')
    """
    text = repr(float(value))
    return _trim(text) if "e" not in text else text


def is_unit(text: str) -> bool:
    return text in UNITS


def as_unit(text: str) -> Unit:
    """The text as a `Unit`. Raises KeyError where it is none."""
    if text not in UNITS:
        raise KeyError(text)
    return text


def _trim(text: str) -> str:
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _metres(sign: str, digits: str, unit: str) -> float | None:
    numerator, denominator = _METRES[unit]
    above, below = _ratio(digits)
    return _signed(sign, above * numerator, below * denominator)


def _inches(sign: str, feet: int, whole: str, above: str, below: str) -> float | None:
    """Feet, inches and a fraction of an inch as metres; None for a fraction over nothing."""
    if int(below) == 0:
        return None
    whole_above, whole_below = _ratio(whole)
    numerator = (feet * 12 * whole_below + whole_above) * int(below) + int(above) * whole_below
    return _signed(sign, numerator * 254, whole_below * int(below) * 10_000)


def _ratio(digits: str) -> tuple[int, int]:
    """An unsigned decimal as a fraction of whole numbers."""
    mantissa, _, exponent = digits.lower().partition("e")
    whole, _, decimals = mantissa.partition(".")
    power = int(exponent or "0") - len(decimals)
    number = int((whole + decimals) or "0")
    return (number * 10**power, 1) if power >= 0 else (number, 10**-power)


def _signed(sign: str, numerator: int, denominator: int) -> float | None:
    try:
        value = numerator / denominator
    except OverflowError:
        return None
    return -value if sign == "-" and value else value
