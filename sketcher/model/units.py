"""Lengths, volumes, masses and numbers as people write them, and back: SI inside, the file's own unit outside.

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

_IN_SI: dict[str, tuple[int, int]] = {
    "mm": (1, 1000),
    "cm": (1, 100),
    "m": (1, 1),
    "in": (254, 10_000),
    "ft": (3048, 10_000),
    "litres": (1, 1000),
    "ml": (1, 1_000_000),
    "m3": (1, 1),
    "US gal": (3_785_411_784, 10**12),
    "UK gal": (454_609, 10**8),
    "kg": (1, 1),
    "g": (1, 1000),
    "t": (1000, 1),
    "lb": (45_359_237, 10**8),
    "oz": (45_359_237, 16 * 10**8),
}
"""Metres, cubic metres or kilograms in a unit as a fraction. Inch and pound: exact since 1959; gallons: 231 cubic inches in the
US, 4.54609 litres in the UK, exactly by law."""

_VOLUMES = {name: name for name in ("litres", "ml", "m3", "US gal", "UK gal")} | {
    "l": "litres",
    "L": "litres",
    "litre": "litres",
    "m³": "m3",
}
_MASSES = {name: name for name in ("kg", "g", "t", "lb", "oz")} | {"lbs": "lb"}
"""What may stand behind a volume or a mass, and the unit it means. A bare gallon is two things, so it is none."""

STEPS: dict[str, int] = {"mm": 3, "cm": 4, "m": 6, "in": 4, "ft": 5, "litres": 6}
"""Decimals kept when a length is written in a unit: steps of 0.001 to 0.003 mm."""

_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?"
_PLAIN = re.compile(rf"([+-]?)({_NUMBER})\Z")
# What few files hold is kept as text, which is compiled when it is first met.
_WITH_UNIT = rf"([+-]?)\s*({_NUMBER})\s*(mm|cm|m|in|ft|\"|')\Z"
_AMOUNT = rf"([+-]?)\s*({_NUMBER})\s*([^\W\d_][\w ]*|)\Z"
_FRACTION_INCHES = r"([+-]?)\s*(?:(\d{1,9})[\s-]+)?(\d{1,4})/(\d{1,4})\s*(in|\")\Z"
_FEET_INCHES = (
    rf"([+-]?)\s*(\d{{1,9}})\s*(?:ft|')[\s-]*(?:({_NUMBER})|(?:(\d{{1,9}})[\s-]+)?(\d{{1,4}})/(\d{{1,4}}))\s*(in|\"|'')?\Z"
)
_INCHES_IN_A_FOOT = 12
"""Fewer than these behind feet are inches though nothing says so; as many or more may be anything."""
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

    >>> parse_length("6 ft 2 in", "mm"), parse_length("5 ft 10", "mm"), parse_length("14 3/8 in", "mm"), parse_length("450", "mm")
    (1.8796, 1.778, 0.365125, 0.45)
    >>> parse_length("16 1/4", "in"), parse_length("16 1/4", "mm")
    (0.41275, None)
    """
    text = text.translate(_AS_TYPED_ELSEWHERE).strip()
    if text[:1].isalpha():
        return None
    if match := _PLAIN.match(text):
        return _in_si(match[1], match[2], unit)
    if match := re.match(_WITH_UNIT, text):
        return _in_si(match[1], match[2], _MARKS.get(match[3], match[3]))
    if match := re.match(_FRACTION_INCHES, text if unit != "in" or text[-1:] in ("n", '"') else f"{text} in"):
        return _inches(match[1], 0, match[2] or "0", match[3], match[4])
    if match := re.match(_FEET_INCHES, text):
        sign, feet, inches, whole, above, below, mark = match.groups()
        if mark is None and float(inches or whole or 0) >= _INCHES_IN_A_FOOT:
            return None
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
    """A volume [m3] from a bare number of litres, or from one with its unit; None where the text spells none.

    >>> parse_litres("2.06"), parse_litres("500 ml"), parse_litres("10 UK gal"), parse_litres("10 gal")
    (0.00206, 0.0005, 0.0454609, None)
    """
    return _amount(text, "litres", _VOLUMES)


def parse_mass(text: str) -> float | None:
    """A mass [kg] from a bare number of kilograms, or from one with its unit; None where the text spells none.

    >>> parse_mass("84"), parse_mass("40 g"), parse_mass("1.2 t"), parse_mass("10 lb"), parse_mass("3 stone")
    (84.0, 0.04, 1200.0, 4.5359237, None)
    """
    return _amount(text, "kg", _MASSES)


def _amount(text: str, bare: str, units: dict[str, str]) -> float | None:
    match = re.match(_AMOUNT, text.translate(_AS_TYPED_ELSEWHERE).strip())
    unit = None if match is None else units.get(match[3].strip()) if match[3] else bare
    return None if match is None or unit is None else _in_si(match[1], match[2], unit)


_PER_METRE: dict[str, float] = {"mm": 1000.0, "cm": 100.0, "m": 1.0, "in": 1 / 0.0254, "ft": 1 / 0.3048}
_DECIMALS: dict[str, int] = {"mm": 0, "cm": 1, "m": 3, "in": 2, "ft": 3}
"""Decimals of an example length: as a tape is read in that unit."""


def example_length(metres: float, unit: str) -> str:
    """A length of an example in `unit`, as a tape is read in it."""
    return format_length(round(metres * _PER_METRE[unit], _DECIMALS[unit]) / _PER_METRE[unit], unit)


def tape_step(unit: str) -> float:
    """The finest step [m] that is marked on a tape in a unit: a millimetre, or a sixteenth of an inch."""
    return 0.0254 / 16 if unit in ("in", "ft") else 0.001


def format_length(metres: float, unit: str) -> str:
    """The shortest decimal in `unit`, rounded to its step in `STEPS`; reading it back gives the nearest such length.

    >>> format_length(0.905, "mm"), format_length(0.3651, "in"), format_length(-1e-9, "mm")
    ('905', '14.374', '0')
    """
    numerator, denominator = _IN_SI[unit]
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


def as_unit(text: str) -> Unit:
    """The text as a `Unit`. Raises KeyError where it is none."""
    if text not in UNITS:
        raise KeyError(text)
    return text


def _trim(text: str) -> str:
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _in_si(sign: str, digits: str, unit: str) -> float | None:
    numerator, denominator = _IN_SI[unit]
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
