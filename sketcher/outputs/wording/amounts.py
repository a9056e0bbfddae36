"""Amounts of goods as they are sold: by the metre or the foot, square metres or feet, litres, kilograms, or by number."""

from __future__ import annotations

from sketcher.analysis.findings import Area, Length, Mass, Volume
from sketcher.outputs.wording.quantities import plain
from sketcher.outputs.wording.say import SQUARE_FOOT

_FOOT = 0.3048
Amount = Length | Area | Volume | Mass | int


def sold(amount: Amount, unit: str) -> tuple[float, str]:
    """An amount as a number, and what goods are sold by where the reader measures in `unit`; nothing for a number of things.

    >>> sold(Length(3.0), "cm"), sold(Length(3.048), "in"), sold(Volume(0.25), "in"), sold(4, "mm")
    ((3.0, 'm'), (10.0, 'ft'), (250.0, 'L'), (4.0, ''))
    """
    in_feet = unit in ("in", "ft")
    match amount:
        case Length(metres):
            return (metres / _FOOT, "ft") if in_feet else (metres, "m")
        case Area(square_metres):
            return (square_metres / SQUARE_FOOT, "sq ft") if in_feet else (square_metres, "m²")
        case Volume(cubic_metres):
            return cubic_metres * 1000.0, "L"
        case Mass(kilograms):
            return kilograms, "kg"
        case int():
            return float(amount), ""


def sold_number(amount: Length | Area, unit: str, decimals: int) -> str:
    """An amount as a number alone; decimals: of metres, feet having one fewer.

    >>> sold_number(Length(12.345), "mm", 2), sold_number(Length(12.345), "ft", 2)
    ('12.35', '40.5')
    """
    number, by = sold(amount, unit)
    return plain(number, decimals - by.endswith("ft"))


def sold_words(amount: Length | Area, unit: str, decimals: int) -> str:
    """An amount with what it is sold by; decimals as for `sold_number`.

    >>> sold_words(Length(12.34), "mm", 1), sold_words(Area(1.0), "in", 2)
    ('12.3 m', '10.8 sq ft')
    """
    return f"{sold_number(amount, unit, decimals)} {sold(amount, unit)[1]}"
