"""The kinds of value that files hold: each reads an item with its limits and writes the value back."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sketcher.model.document import Scalar
from sketcher.model.errors import nearest
from sketcher.model.fields.reading import Item, Kind
from sketcher.model.units import (
    LENGTH_LIMIT,
    format_length,
    format_litres,
    format_number,
    parse_length,
    parse_litres,
    parse_mass,
    parse_number,
    parse_offset,
)

SMALLEST = 1e-5
"""[m] Whatever is longer is no 0 in any unit."""

_PLAIN_TEXT = r"[^\W\d_](?:[\w ./()'+&-]*[\w./)'+])?\Z"
_PLAIN_PATH = r"[\w./][\w ./()+-]*\w\Z"
_TAKEN_FOR_ANOTHER_KIND = {"null", "true", "false", "yes", "no", "on", "off", "y", "n"}


def write_text(value: str, _units: str = "m") -> str:
    """A text as a YAML scalar, quoted where other readers of YAML might take it for something else."""
    if re.match(_PLAIN_TEXT, value) and value.casefold() not in _TAKEN_FOR_ANOTHER_KIND:
        return value
    escaped = "".join(c if c.isprintable() and c not in '"\\' else _escape(c) for c in value)
    return f'"{escaped}"'


def _escape(character: str) -> str:
    if character in '"\\':
        return "\\" + character
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def read_text_value(item: Item) -> str:
    """A name or note on one line."""
    text = item.text("a text on one line")
    if not text or not text.isprintable():
        raise item.refused("a text on one line")
    return text


def _write_path(value: str, units: str) -> str:
    return value if re.match(_PLAIN_PATH, value) else write_text(value, units)


text = Kind(read_text_value, write_text)
path = Kind(read_text_value, _write_path)


def number(
    expected: str,
    *,
    least: float | None = None,
    most: float | None = None,
    above: float | None = None,
    unit: str = "",
    parse: Callable[[str], float | None] = parse_number,
    wanted: str = "a number",
) -> Kind:
    """A number within limits; `expected` says in words what it is, e.g. `degrees between -75 and 75`, `wanted` in short."""

    def read(item: Item) -> float:
        value = parse(item.text(expected))
        if value is None:
            raise item.refused(expected, wanted)
        if _outside(value, least, most, above):
            raise item.error(f"`{item.written}` is out of bounds", f"Write {expected}.")
        return value

    return Kind(read, lambda value, _units: format_number(value), unit=unit)


def length_kind(
    expected: str = "a length",
    *,
    least: float | None = None,
    above: float | None = None,
    parse: Callable[[str, str], float | None] = parse_length,
    write: Callable[[float, str], str] = format_length,
) -> Kind:
    """A length [m] within limits; bare numbers are in the file's unit."""

    def read(item: Item) -> float:
        return _length_from(item, item.text(_example(item, expected)), expected, least, above, parse)

    return Kind(read, write, unit="length")


def _length_from(
    item: Item,
    written: str,
    expected: str,
    least: float | None,
    above: float | None,
    parse: Callable[[str, str], float | None],
) -> float:
    value = parse(written, item.units)
    if value is None:
        raise item.refused(_example(item, expected), "a length" if expected.startswith("a length") else expected)
    if abs(value) > LENGTH_LIMIT:
        raise item.error(
            f"`{item.written}` is more than {LENGTH_LIMIT:.0f} m", "Is it in the file's unit, or an exponent too many?"
        )
    if _outside(value, least, None, above):
        raise item.error(f"`{item.written}` is not {expected}", f"Write {expected}.")
    return _at_least_a_step(item, value, expected, above)


def _at_least_a_step(item: Item, value: float, expected: str, above: float | None) -> float:
    """A length, 0 where it would be written as 0. Raises SketchError where that may not be."""
    if abs(value) >= SMALLEST or format_length(value, item.units) != "0":
        return value
    if above is not None:
        raise item.error(f"`{item.written}` is finer than a file keeps, so it would be 0", f"Write {expected}.")
    return 0.0


def _example(item: Item, expected: str) -> str:
    return f'{expected} in {item.units}, or one with its unit such as "14 3/8 in"'


def _outside(value: float, least: float | None, most: float | None, above: float | None) -> bool:
    return (
        (least is not None and value < least) or (most is not None and value > most) or (above is not None and not value > above)
    )


anywhere = length_kind()
positive = length_kind("a length above 0", above=0.0)
not_negative = length_kind("a length of 0 or more", least=0.0)
off_centre = length_kind("a distance off the centreline, starboard positive, or such as `450 port`", parse=parse_offset)

angle = number("degrees between -75 and 75", least=-75.0, most=75.0, unit="°")


def mass(limits: str = "", *, least: float | None = None, above: float | None = None) -> Kind:
    """A mass [kg] within limits, which `limits` says in words; bare numbers are kilograms."""
    expected = f"kilograms{limits}, or with its unit such as 40 g or 90 lb"
    return number(expected, least=least, above=above, unit="kg", parse=parse_mass, wanted="a mass in kg, g, t, lb or oz")


kilograms = mass()
kilograms_positive = mass(" above 0", above=0.0)
kilograms_not_negative = mass(", 0 or more", least=0.0)
share = number("a share between 0 and 1", least=0.0, most=1.0)


_LITRES = "litres, 0 or more, or with its unit such as 500 ml or 20 US gal"


def _read_litres(item: Item) -> float:
    written = item.text(_LITRES)
    value = parse_litres(written)
    if value is None and re.search(r"gal(lons?)?\Z", written):
        raise item.error(f"`{item.written}`: gallons are not the same everywhere", "Write `US gal` or `UK gal`, or litres.")
    if value is None or not 0.0 <= value <= LENGTH_LIMIT**3:
        raise item.refused(_LITRES, "a volume in litres, ml, m3, US gal or UK gal, 0 or more")
    return value


litres = Kind(_read_litres, lambda value, _units: format_litres(value))


def _read_truth(item: Item) -> bool:
    written = item.text("true or false")
    if written not in ("true", "false"):
        raise item.refused("true or false")
    return written == "true"


truth = Kind(_read_truth, lambda value, _units: "true" if value else "false")


def choice(*options: str) -> Kind:
    """One word of several."""
    expected = f"one of {', '.join(options)}"

    def read(item: Item) -> str:
        written = item.text(expected)
        if written not in options:
            near = nearest(written, options)
            raise item.error(f"`{item.written}` is not known here", f"Did you mean `{near}`?" if near else f"Write {expected}.")
        return written

    return Kind(read, write_text, options=options)


def mapped(options: dict[str, Any]) -> Kind:
    """One word of several, each standing for a value."""
    by_word = choice(*options)

    def write(value: Any, _units: str) -> str:
        return next(word for word, meant in options.items() if meant == value)

    return Kind(lambda item: options[by_word.read(item)], write, options=tuple(options))


def whole(expected: str, least: int, most: int) -> Kind:
    """A whole number within limits."""

    def read(item: Item) -> int:
        value = parse_number(item.text(expected))
        if value is None or value != int(value) or not least <= value <= most:
            raise item.refused(expected)
        return int(value)

    return Kind(read, lambda value, _units: str(value))


def row_kind(expected: str, *kinds: Kind) -> Kind:
    """A list of so many values, each of its own kind, as a tuple."""

    def read(item: Item) -> tuple[Any, ...]:
        items = item.items(expected)
        if len(items) != len(kinds):
            raise item.refused(expected)
        return tuple(kind.read(member) for kind, member in zip(kinds, items, strict=True))

    def write(value: tuple[Any, ...], units: str) -> str:
        return f"[{', '.join(kind.write(member, units) for kind, member in zip(kinds, value, strict=True))}]"

    return Kind(read, write, unit=kinds[0].unit)


def sides(expected: str, count: int, kind: Kind) -> Kind:
    """A row of so many sides, which may also be written with x between them; a unit behind the last alone is meant for all."""
    listed = row_kind(expected, *[kind] * count)

    def read(item: Item) -> tuple[Any, ...]:
        if not isinstance(item.node, Scalar) or item.empty:
            return listed.read(item)  # type: ignore[no-any-return]
        parts = [part.strip() for part in re.split(r"[x×]", item.node.text)]
        if len(parts) != count:
            raise item.refused(expected)
        unit = re.search(r"[^\d\s.,/]+\Z", parts[-1])
        if unit is not None and all(parse_number(part) is not None for part in parts[:-1]):
            parts[:-1] = [f"{part} {unit[0]}" for part in parts[:-1]]
        return tuple(kind.read(replace(item, node=replace(item.node, text=part))) for part in parts)

    return Kind(read, listed.write, unit=kind.unit)


def several(expected: str, kind: Kind, most: int = 10_000) -> Kind:
    """A list of any number of values of one kind, as a tuple."""

    def read(item: Item) -> tuple[Any, ...]:
        items = item.items(expected)
        if len(items) > most:
            raise item.error(f"{len(items)} entries; at most {most} make sense here", "Is it the right list?")
        return tuple(kind.read(member) for member in items)

    return Kind(read, lambda value, units: f"[{', '.join(kind.write(member, units) for member in value)}]")


def limit(expected: str, *words: str, parse: Callable[[str, str], float | None] = parse_length) -> Kind:
    """An extent: one of the words, a length, or another object's name (whether it exists is checked when all are read)."""

    def read(item: Item) -> float | str:
        written = item.text(expected)
        if written in words:
            return written
        if parse(written, item.units) is not None:
            return _length_from(item, written, expected, None, None, parse)
        if not written.strip() or parse_number(written) is not None or written[0] in "+-.0123456789":
            raise item.refused(expected)
        return written

    def write(value: float | str, units: str) -> str:
        return write_text(value) if isinstance(value, str) else format_length(value, units)

    return Kind(read, write, unit="length", options=words)
