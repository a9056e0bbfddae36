"""Figures as words: lengths in the reader's unit, litres, kilograms and shares, and tables that line up."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from itertools import zip_longest
from math import ceil, floor, log2, log10

from sketcher.analysis.findings import SEVERITIES, Finding

UNKNOWN = "not known"
UNIT_WORDS = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet and inches"}
_PER_METRE = {"mm": 1000.0, "cm": 100.0, "m": 1.0}
_DECIMALS = {"mm": 0, "cm": 1, "m": 3}
_INCH, FOOT = 0.0254, 0.3048
_SIXTEENTHS = 16
_POUND = 0.45359237
"""[kg] By the international agreement of 1959."""
_PSI = _POUND * 9.80665 / _INCH**2
"""[Pa] A pound's weight on a square inch."""


def length(metres: float | None, units: str) -> str:
    """A length [m] as a number in `units` (mm, cm, m, in, ft), to the millimetre or a sixteenth of an inch, without the unit.

    Feet carry their own marks, since a bare number could not be read: `6'2 3/8"`.

    >>> length(1.8796, "mm"), length(1.8796, "in"), length(1.8896, "ft"), length(None, "mm")
    ('1880', '74', '6\\'2 3/8"', 'not known')
    """
    if metres is None:
        return UNKNOWN
    if units in _PER_METRE:
        return plain(metres * _PER_METRE[units], _DECIMALS[units])
    sixteenths = round(abs(metres) / _INCH * _SIXTEENTHS)
    sign = "-" if metres < 0 and sixteenths else ""
    if units == "in":
        return sign + _inches(sixteenths)
    feet, rest = divmod(sixteenths, 12 * _SIXTEENTHS)
    return f"{sign}{feet}'{_inches(rest)}\"" if feet else f'{sign}{_inches(rest)}"'


def length_with_unit(metres: float | None, units: str) -> str:
    """A length [m] in words with its unit.

    >>> length_with_unit(0.905, "mm"), length_with_unit(1.8896, "ft")
    ('905 mm', '6\\'2 3/8"')
    """
    text = length(metres, units)
    return text if metres is None or units == "ft" else f"{text} {units}"


def metacentric(gm: float | None, units: str) -> tuple[str, str]:
    """A metacentric height [m] as a number and its unit: of a boat with two hulls rounded, in metres or feet.

    >>> metacentric(0.903, "mm"), metacentric(18.6204, "mm"), metacentric(18.6204, "in")
    (('903', 'mm'), ('18.6', 'm'), ('61', 'ft'))
    """
    if gm is None or abs(gm) < STIFF:
        return length(gm, units), "" if units == "ft" else units
    return (f"{gm / FOOT:.0f}", "ft") if units in ("in", "ft") else (f"{gm:.1f}", "m")


def gm_cell(gm: float | None, units: str) -> str:
    """A metacentric height in a table of lengths in `units`: with its own unit where that is another.

    >>> gm_cell(0.903, "mm"), gm_cell(18.6204, "mm"), gm_cell(None, "mm")
    ('903', '18.6 m', 'not known')
    """
    number, unit = metacentric(gm, units)
    return f"{number} {unit}" if unit not in ("", units) else number


STIFF = 3.0
"""[m] From here on a metacentric height is that of two hulls, and a figure of millimetres would pass for one that is known."""


def area_unit(units: str) -> str:
    """What areas are told in beside lengths in `units`."""
    return "sq ft" if units in ("in", "ft") else "m²"


def area(square_metres: float | None, units: str, decimals: int = 2) -> str:
    """An area [m2] as a number in the `area_unit`, without it; decimals: of square metres, square feet having one fewer.

    >>> area(2.754, "mm"), area(2.754, "in"), area_unit("in")
    ('2.75', '29.6', 'sq ft')
    """
    if square_metres is None or area_unit(units) == "m²":
        return plain(square_metres, decimals)
    return plain(square_metres / FOOT**2, decimals - 1)


def mass_unit(units: str) -> str:
    """What masses are told in beside lengths in `units`."""
    return "lb" if units in ("in", "ft") else "kg"


def mass_number(kilograms: float | None, units: str, decimals: int = 0) -> str:
    """A mass [kg] as a number in the `mass_unit`, without it; a push by what weighs as much likewise, in the `force_unit`.

    >>> mass_number(465.0, "mm"), mass_number(465.0, "in"), mass_unit("in"), force_unit("in")
    ('465', '1025', 'lb', 'lbf')
    """
    return plain(masses(kilograms, units), decimals)


def masses(kilograms: float | None, units: str) -> float | None:
    """A mass [kg] in the `mass_unit`.

    >>> masses(0.45359237, "in"), masses(2.0, "mm"), masses(None, "in")
    (1.0, 2.0, None)
    """
    return kilograms if kilograms is None or mass_unit(units) == "kg" else kilograms / _POUND


def a_length_more(per_cm: float | None, units: str) -> float | None:
    """What a centimetre takes [kg] as what `a_step` takes, in the `mass_unit`: 1 cm, or 1 in where a tape of inches is used."""
    each = masses(per_cm, units)
    return each if each is None or mass_unit(units) == "kg" else each * 100.0 * _INCH


def a_step(units: str) -> str:
    """The depth that it is told for how much weight she sinks so far."""
    return "1 cm" if mass_unit(units) == "kg" else "1 in"


def force_unit(units: str) -> str:
    """What pushes are told in beside lengths in `units`: the weight of a pound or a kilogram."""
    return f"{mass_unit(units)}f" if mass_unit(units) == "lb" else "kgf"


def pressure_unit(units: str) -> str:
    """What pressures are told in beside lengths in `units`."""
    return "psi" if units in ("in", "ft") else "kPa"


def pressure_number(pascals: float, units: str, decimals: int = 1) -> str:
    """A pressure [Pa] as a number in the `pressure_unit`, without it; decimals: of kilopascals, psi having one more.

    >>> pressure_number(11700.0, "mm"), pressure_number(11700.0, "in"), pressure_unit("in")
    ('11.7', '1.70', 'psi')
    """
    return plain(pascals / 1000.0, decimals) if pressure_unit(units) == "kPa" else plain(pascals / _PSI, decimals + 1)


def run_unit(units: str) -> str:
    """What long runs (of seams, cloth, timber) are told in beside lengths in `units`."""
    return "ft" if units in ("in", "ft") else "m"


def run_length(metres: float, units: str, decimals: int = 1) -> str:
    """A long run [m] as a number in the `run_unit`, without it; decimals: of metres, feet having one fewer.

    >>> run_length(12.345, "mm"), run_length(12.345, "in"), run_unit("in")
    ('12.3', '41', 'ft')
    """
    return plain(metres, decimals) if run_unit(units) == "m" else plain(metres / FOOT, decimals - 1)


def by_rule(metres: float, units: str) -> str:
    """A length [m] with its unit as it is read off a rule: to a tenth of a millimetre, or a sixteenth of an inch.

    >>> by_rule(0.1, "mm"), by_rule(0.1, "cm"), by_rule(0.1, "in")
    ('100.0 mm', '10.00 cm', '3 15/16 in')
    """
    if units not in _PER_METRE:
        return length_with_unit(metres, units)
    return f"{plain(metres * _PER_METRE[units], _DECIMALS[units] + 1)} {units}"


def unit_called(units: str) -> str:
    """What the unit of bare numbers is called: inches are not written `in` in a sentence.

    >>> unit_called("mm"), unit_called("in")
    ('mm', 'inches')
    """
    return units if units in _PER_METRE else UNIT_WORDS[units]


def litres(volume: float | None) -> str:
    """A volume [m3] in whole litres; a trace shows as `<1`, never as nothing.

    >>> litres(0.31249), litres(0.0003), litres(0.0)
    ('312', '<1', '0')
    """
    if volume is None:
        return UNKNOWN
    if 0.0 < volume < 0.0005:
        return "<1"
    return plain(volume * 1000.0, 0)


def flooded_words(water: float | None) -> str:
    """What is said of a flooded space; water: what is in it [m3].

    >>> flooded_words(0.6121), flooded_words(None)
    ('flooded, 612 L of water', 'flooded')
    """
    return "flooded" if water is None else f"flooded, {litres(water)} L of water"


def share(part: float | None, whole: float | None) -> str:
    """A part of a whole in per cent; 0 and 100 are kept for nothing and all.

    >>> share(1.0, 3.0), share(2.999, 3.0), share(3.0, 3.0), share(0.0001, 3.0)
    ('33 %', '>99 %', '100 %', '<1 %')
    """
    if part is None or whole is None or whole <= 0.0:
        return UNKNOWN
    ratio = round(part / whole, 9)
    if 0.0 < ratio < 0.005:
        return "<1 %"
    if 0.995 <= ratio < 1.0:
        return ">99 %"
    return f"{100.0 * ratio:.0f} %"


def plain(value: float | None, decimals: int) -> str:
    """A number to so many decimals, never `-0`.

    >>> plain(-0.0004, 2), plain(None, 2)
    ('0.00', 'not known')
    """
    if value is None:
        return UNKNOWN
    text = f"{value:.{decimals}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def borne(value: float | None, doubt: float | None, decimals: int) -> str:
    """A number to the digit that its doubt spoils; to so many decimals where no doubt is known or it is smaller.

    >>> borne(4476.2, 69.3, 0), borne(138.6, 0.9, 1), borne(13.52, 0.08, 2), borne(4476.2, None, 0)
    ('4500', '139', '13.5', '4476')
    """
    if value is None or doubt is None or doubt <= 0.0:
        return plain(value, decimals)
    digit = -floor(log10(2.0 * doubt))
    return plain(round(value, digit), max(0, min(digit, decimals)))


def borne_length(metres: float | None, doubt: float | None, units: str) -> str:
    """A length [m] with its unit, to the digit that its doubt spoils, by a quarter, half or whole inch in inches.

    >>> borne_length(0.7064, 0.012, "mm"), borne_length(0.7064, 0.012, "in")
    ('710 mm', '27 3/4 in')
    """
    if metres is None or doubt is None or doubt <= 0.0:
        return length_with_unit(metres, units)
    metric, inches = 10.0 ** floor(log10(2.0 * doubt)), 2.0 ** max(-2, min(0, floor(log2(doubt / _INCH))))
    step = metric if units in _PER_METRE else _INCH * inches
    return length_with_unit(round(metres / step) * step, units)


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun.

    >>> counted(1, "berth"), counted(3, "berth")
    ('1 berth', '3 berths')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def by_severity(findings: Sequence[Finding]) -> list[Finding]:
    """Findings with those that stop first, then warnings, then notes; otherwise in the order given."""
    return sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity))


def wrap(text: str, width: int, indent: str = "", first: str | None = None) -> list[str]:
    """A paragraph broken into lines; `first` begins the first line instead of `indent`."""
    start = indent if first is None else first
    return textwrap.wrap(
        text, width, initial_indent=start, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    ) or [start.rstrip()]


def shortened(text: str, room: float, width: Callable[[str], float]) -> str:
    """A text cut at its end, with an ellipsis, so that it is no wider than the room; width: measures a text.

    >>> shortened("A very long name", 8, len), shortened("Short", 8, len)
    ('A very …', 'Short')
    """
    if width(text) <= room:
        return text
    for end in range(len(text) - 1, 0, -1):
        cut = text[:end].rstrip() + " …"
        if width(cut) <= room:
            return cut
    return "…"


def sized(text: str, room: float, width: Callable[[str, float], float], size: float, least: float) -> tuple[str, float]:
    """A text and the size of its letters: smaller where it is too wide for the room, and cut only where `least` is too large.

    >>> sized("A name", 12, lambda text, size: len(text) * size, 2, 1), sized("A long name", 8, lambda t, s: len(t) * s, 2, 1)
    (('A name', 2.0), ('A long …', 1))
    """
    fitting = size * room / max(width(text, size), 1e-9)
    if fitting >= least:
        return text, min(float(size), fitting)
    return shortened(text, room, lambda cut: width(cut, least)), least


def waited(seconds: float) -> str:
    """A time to wait, in whole seconds or minutes, never less than it is.

    >>> waited(42.3), waited(506.0)
    ('43 s', '9 minutes')
    """
    return f"{ceil(seconds)} s" if seconds < 90.0 else f"{ceil(seconds / 60.0)} minutes"


def hole_found(passed: str, sought: str, seconds: float, sought_seconds: float) -> str:
    """What hole a test lets pass, and how long finding a smaller one takes, where it does not find that as well.

    >>> hole_found("2.5 mm", "1 mm", 30.0, 230.0)
    'A hole of 2.5 mm just passes that; to find one of 1 mm it must stand so for 4 minutes'
    >>> hole_found("1/16 in", "1/16 in", 30.0, 19.5)
    'Only a hole of less than 1/16 in passes that: one of 1/16 in lets it fall so far in 20 s'
    """
    if sought_seconds > seconds:
        return f"A hole of {passed} just passes that; to find one of {sought} it must stand so for {waited(sought_seconds)}"
    small = f"of less than {sought}" if passed == sought else f"of {passed} or less"
    return f"Only a hole {small} passes that: one of {sought} lets it fall so far in {waited(sought_seconds)}"


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], align: str, name_width: int = 30, cell_width: int | None = None
) -> list[str]:
    """Lines of a table with two spaces between columns; `align` has `<` or `>` for each column.

    The first column is broken into further lines where a name is longer than `name_width`; others where a cell is longer than
    `cell_width`, where there is one.

    >>> table(("", "A"), [("name", "one and two")], "<>", cell_width=7)
    ['            A', 'name  one and', '          two']
    """
    broken = [[_broken(row[0], name_width, "  "), *(_broken(cell, cell_width, "") for cell in row[1:])] for row in rows]
    widths = [max([len(head[k]), *(len(line) for cells in broken for line in cells[k])]) for k in range(len(head))]
    out = [_row(head, widths, align)]
    for cells in broken:
        out += [_row(line, widths, align) for line in zip_longest(*cells, fillvalue="")]
    return out


def _broken(text: str, width: int | None, indent: str) -> list[str]:
    """A cell in lines of at most so many letters, an indent before all but the first not counted."""
    if width is None or len(text) <= width:
        return [text]
    first, *rest = textwrap.wrap(text, width, break_long_words=True)
    return [first, *(indent + line for line in rest)]


def _row(cells: Sequence[str], widths: Sequence[int], align: str) -> str:
    return "  ".join(f"{cell:{side}{width}}" for cell, width, side in zip(cells, widths, align, strict=True)).rstrip()


def _inches(sixteenths: int) -> str:
    whole, rest = divmod(sixteenths, _SIXTEENTHS)
    if not rest:
        return str(whole)
    from fractions import Fraction

    fraction = str(Fraction(rest, _SIXTEENTHS))
    return f"{whole} {fraction}" if whole else fraction
