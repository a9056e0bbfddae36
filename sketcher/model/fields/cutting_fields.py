"""The part of a scene's file that says how panels are cut and bonded: sheets, gaps, cloth, resin, and what they cost."""

from __future__ import annotations

from sketcher.model.cutting import Bonding, Cutting, GapReading, JointDirection, Joints, PartReadings, Prices, Sheet
from sketcher.model.errors import quoted
from sketcher.model.fields import kinds
from sketcher.model.fields.kinds import choice, number, positive, sides, text
from sketcher.model.fields.reading import Field, Item, Kind
from sketcher.model.fields.records import Block, record
from sketcher.model.units import format_number

RESIN_COLDEST, RESIN_WARMEST = 10.0, 35.0
"""[deg C] Where the table of pot lives ends; colder, resin does not cure through, warmer, it goes off in the pot."""

_MOST_SHEETS = 1000
_MOST_JOINTS = 12


def _scaled(expected: str, least: float, most: float, share: float, unit: str) -> Kind:
    """A number in an everyday unit, `share` SI units each."""
    plain = number(expected, least=least, most=most, unit=unit)
    return Kind(lambda item: plain.read(item) * share, lambda value, _units: format_number(round(value / share, 6)), unit=unit)


def _check_sheet(item: Item, sheet: Sheet) -> None:
    if sheet.thickness >= min(sheet.size):
        raise item.error("the sheet is thicker than it is wide", "Check `thickness` and `size`, and their unit.")


SHEETS = Block(
    "sheets",
    "sheet",
    Sheet,
    (
        Field("thickness", "thickness", positive, required=True),
        Field("size", "size", sides("a size [along the grain, across]", 2, positive), required=True),
        Field("have", "have", kinds.whole(f"how many are at hand, 0 to {_MOST_SHEETS}", 0, _MOST_SHEETS)),
        Field("material", "material", text),
        Field(
            "kg_per_m2", "kg_per_m2", number("kilograms per square metre above 0", above=0.0), word="kilograms per square metre"
        ),
        Field("grain", "grain", choice("any", "along")),
    ),
    check=_check_sheet,
)


def joints(*directions: JointDirection) -> Kind:
    """Where a panel is cut in parts, told along one of the directions that suit its kind."""
    places = {direction: kinds.off_centre if direction == "off_centre" else kinds.anywhere for direction in directions}
    lists = {
        direction: kinds.several("a list of places, such as [700, 1100]", kind, _MOST_JOINTS)
        for direction, kind in places.items()
    }
    expected = f"joints by {' or '.join(directions)}, such as {{{directions[-1]}: [700, 1100]}}"

    def read(item: Item) -> Joints:
        entries = list(item.entries(expected))
        if len(entries) != 1:
            raise item.error("joints are told in one way: all lines of one panel are parallel", f"Write {expected}.")
        key, value = entries[0]
        direction = next((direction for direction in directions if direction == key.text), None)
        if direction is None:
            raise item.error(
                f"`{quoted(key.text)}` does not tell where this panel's joints lie", f"Write {expected}.", line=key.line
            )
        stated = lists[direction].read(value)
        if len(set(stated)) != len(stated) or not stated:
            raise item.error(f"`{value.written}`: every joint has a place of its own", f"Write {expected}.")
        return Joints(direction, stated)

    return Kind(
        read, lambda value, units: f"{{{value.direction}: {lists[value.direction].write(value.places, units)}}}", unit="length"
    )


CUTTING = record(
    "how panels are cut, such as {gap: …, kerf: …}",
    Cutting,
    (
        Field("gap", "gap", kinds.not_negative, word="gap to hull and deck"),
        Field("panel_gap", "panel_gap", kinds.not_negative, word="gap between panels"),
        Field("corner", "corner", kinds.not_negative, word="radius of inner corners"),
        Field("kerf", "kerf", kinds.not_negative, word="saw's kerf"),
        Field("margin", "margin", kinds.not_negative, word="margin of a sheet"),
        Field("offsets", "offsets", positive, word="step of the offsets"),
        Field("through", "through", text, word="way below"),
        Field("joint", "joint", choice("butt strap", "scarf")),
        Field("plating", "plating", kinds.truth, word="new plating"),
    ),
)

_LAYERS = kinds.whole("how many layers, 0 to 12", 0, 12)
_COATS = kinds.whole("how many coats, 0 to 12", 0, 12)
_GRAMS = "grams per square metre between 20 and 3000"
_DEGREES = f"degrees Celsius between {RESIN_COLDEST:g} and {RESIN_WARMEST:g}, where the resin's table ends; warm the boat or wait"

BONDING = record(
    "how panels are bonded, such as {fillet: …, cloth: …, temperature: …}",
    Bonding,
    (
        Field("fillet", "fillet", kinds.not_negative, word="fillet's radius"),
        Field("layers", "layers", _LAYERS, word="layers of tabbing"),
        Field("first", "first", positive, word="first layer's width"),
        Field("step", "step", kinds.not_negative, word="step from layer to layer"),
        Field("cloth", "cloth", _scaled(_GRAMS, 20.0, 3000.0, 0.001, "g/m²")),
        Field("kind", "kind", choice("woven", "mat"), word="kind of cloth"),
        Field("coats", "coats", _COATS),
        Field("waste", "waste", number("a share of 0 or more, below 1", least=0.0, most=0.99)),
        Field("temperature", "temperature", number(_DEGREES, least=RESIN_COLDEST, most=RESIN_WARMEST, unit="°C")),
        Field("hardener", "hardener", choice("slow", "fast")),
        Field("batch", "batch", _scaled("litres between 0.05 and 5", 0.05, 5.0, 0.001, "litres"), word="largest mix"),
    ),
)

_GAP_READING = "a gap as [right, up, gap], or [right, up, gap, that of the other face], from the board's zero"
_MOST_GAPS = 200


def _read_gap(item: Item) -> GapReading:
    """Three lengths, or four."""
    members = item.items(_GAP_READING)
    if len(members) not in (3, 4):
        raise item.refused(_GAP_READING)
    right, up = (kinds.anywhere.read(each) for each in members[:2])
    gap, other = (*(kinds.not_negative.read(each) for each in members[2:]), None)[:2]
    return GapReading(at=(right, up), gap=gap, other=other)


def _write_gap(value: GapReading, units: str) -> str:
    lengths = (*value.at, value.gap, *(() if value.other is None else (value.other,)))
    return f"[{', '.join(kinds.anywhere.write(each, units) for each in lengths)}]"


_GAPS = kinds.several(f"a list of gaps, each {_GAP_READING}", Kind(_read_gap, _write_gap), _MOST_GAPS)


def _check_readings(item: Item, readings: PartReadings) -> None:
    if readings.planned_kg is not None and readings.kg is None:
        raise item.error("`planned_kg` without `kg`", "Add `kg: …`, what it weighs, or remove `planned_kg`.")


AS_BUILT = Block(
    "as_built",
    "reading",
    PartReadings,
    (
        Field("cut", "cut", kinds.truth),
        Field("kg", "kg", kinds.kilograms_positive, word="mass"),
        Field("planned_kg", "planned_kg", kinds.kilograms_not_negative, word="planned mass"),
        Field("thickness", "thickness", positive),
        Field("gaps", "gaps", _GAPS, word="gaps to the hull"),
        Field("deck_gaps", "deck_gaps", _GAPS, word="gaps to the deck"),
    ),
    check=_check_readings,
    form="a board's readings, such as {kg: 9.8, thickness: 18.2, gaps: [[0, 12, 7]]}",
)

_PRICE = number("a price of 0 or more", least=0.0)


def _read_prices(item: Item) -> Prices:
    entries = item.entries("prices by the shopping list's names, such as {currency: EUR, woven tape 100 mm wide: 1.80}")
    if len(entries) > _MOST_SHEETS:
        raise item.error(f"{len(entries)} prices; at most {_MOST_SHEETS} make sense here", "Is it the right list?")
    currency = next((text.read(value) for key, value in entries if key.text == "currency"), "")
    return Prices(currency=currency, of=tuple((key.text, _PRICE.read(value)) for key, value in entries if key.text != "currency"))


def _write_prices(value: Prices, units: str) -> str:
    stated = [("currency", text.write(value.currency, units))] if value.currency else []
    stated += [(text.write(name, units), _PRICE.write(price, units)) for name, price in value.of]
    return "{" + ", ".join(f"{name}: {written}" for name, written in stated) + "}"


PRICES = Kind(_read_prices, _write_prices)
