"""The blocks of a scene's file for what goes into the spaces; the scene's table of blocks takes them up."""

from __future__ import annotations

import re

from sketcher.model.contents import BoatPart, Bottles, Chain, Foam, Person, Stowage, Tank
from sketcher.model.fields import kinds
from sketcher.model.fields.kinds import anywhere, choice, number, off_centre, positive, row_kind, sides, text
from sketcher.model.fields.reading import Field, Item, Kind
from sketcher.model.fields.records import Block
from sketcher.model.fields.stage_fields import STAGE
from sketcher.model.limits import MOST_BOTTLES
from sketcher.model.units import format_length, parse_mass, parse_number

MATERIALS = ("lead", "cast iron", "steel", "aluminium", "concrete", "GRP", "oak", "teak", "pine", "plywood", "balsa", "other")
CHAIN_RULES = ("clear volume", "class rule", "stud link")
LEAST_CHAIN = 1.0
"""[m]: no anchor lies on less."""
MOST_CHAIN = 0.032
"""[m] of wire: what a small boat carries is 6 to 16 mm; twice that is a number in a wrong unit."""

_POUNDS_A_FOOT = re.compile(r"([\d.]+)\s*lbs?\s*(?:/|per)\s*(?:ft|foot)\Z")
_kg_per_metre = number("kilograms per metre above 0", above=0.0, unit="kg/m")
_density = number("kilograms per cubic metre above 0", above=0.0, most=30_000.0, unit="kg/m³")
_share = number("a share above 0, at most 1", above=0.0, most=1.0)
_place = row_kind("a place [aft, off centre, height]", anywhere, off_centre, anywhere)
_size = sides("three sides [along, across, up]", 3, positive)
_ratio = number("a number above 0", above=0.0)


def _space() -> Field:
    return Field("in", "space", text, required=True, ties=("compartments",), word="space")


def _check_stowage(item: Item, stowage: Stowage) -> None:
    if stowage.size is not None and stowage.proportions is not None:
        raise item.error("stowage has a `size` or `proportions`, not both", "Remove one of them.")


def _check_bottles(item: Item, bottles: Bottles) -> None:
    """A sealed bottle displaces something; more than the cylinder about it is a finding, since sizes are typed one by one."""
    if bottles.litres == 0.0:
        raise item.error(
            "a bottle that displaces 0 litres",
            "Write what one sealed bottle displaces: push it under in a full bucket and measure what runs over.",
        )


def _check_part(item: Item, part: BoatPart) -> None:
    if part.made_of == "other" and part.density is None:
        raise item.error("a part of another material needs its `density`", "Add `density: …` in kilograms per cubic metre.")


def _read_chain_length(item: Item) -> float:
    """A length of chain is metres: a bare number in a file of millimetres is a slip that would weigh nothing."""
    value: float = positive.read(item)
    if value < LEAST_CHAIN:
        written = item.text("a length")
        meant = f"{written} m" if parse_number(written) else "45 m"
        raise item.error(
            f"`{written}` is {value * 1000:g} mm of chain", f'A bare number is in {item.units}. Write "{meant}" for metres.'
        )
    return value


def _write_chain_length(value: float, units: str) -> str:
    unit = "ft" if units in ("in", "ft") else "m"
    return f"{format_length(value, unit)} {unit}"


def _read_per_metre(item: Item) -> float:
    """Kilograms per metre; what a chandler's list says in pounds per foot is turned into them in the refusal."""
    pounds = _POUNDS_A_FOOT.match(item.text("kilograms per metre").casefold())
    each = None if pounds is None else parse_mass(f"{pounds[1]} lb")
    if each is not None:
        raise item.error(f"`{item.written}` is not in kilograms per metre", f"Write {each / 0.3048:.2f}: it is the same.")
    return _kg_per_metre.read(item)  # type: ignore[no-any-return]


def _read_chain_size(item: Item) -> float:
    """A chain's size is its wire's: no anchor chain of a small boat is thicker than `MOST_CHAIN`, so a unit is mistaken."""
    value: float = positive.read(item)
    if value > MOST_CHAIN:
        written = item.text("a length")
        bare = parse_number(written)
        meant = f"{written} mm" if bare is not None and bare / 1000.0 <= MOST_CHAIN else "8 mm"
        what = f"`{written}` is wire {value * 1000:.0f} mm thick"
        unit = {"in": "inches", "ft": "feet"}.get(item.units, item.units)
        remedy = f"Is that {meant}? A bare number is in {unit}: write `{meant}`." if bare is not None else f"Write `{meant}`."
        raise item.error(what, remedy)
    return value


_per_metre = Kind(_read_per_metre, _kg_per_metre.write, unit=_kg_per_metre.unit)
_chain_size = Kind(_read_chain_size, positive.write, unit=positive.unit)
_chain_length = Kind(_read_chain_length, _write_chain_length)


PEOPLE = Block(
    "people",
    "person",
    Person,
    (
        Field("berth", "berth", text, required=True, ties=("berths",)),
        Field("stature", "stature", positive, required=True),
        Field("shoulders", "shoulders", positive, word="width at the shoulders"),
        Field("feet", "feet", positive, word="width at the feet"),
    ),
    form="{berth: BERTH, stature: 1.78 m}",
)
STOWAGE = Block(
    "stowage",
    "stowage",
    Stowage,
    (
        _space(),
        Field("size", "size", _size, instead_of="proportions"),
        Field("proportions", "proportions", sides("three numbers [along, across, up]", 3, _ratio), instead_of="size"),
        STAGE,
    ),
    check=_check_stowage,
    form="{in: SPACE, size: 600 x 400 x 300 mm}",
)
BOTTLES = Block(
    "bottles",
    "bottles",
    Bottles,
    (
        _space(),
        Field("diameter", "diameter", positive, required=True),
        Field("length", "length", positive, required=True),
        Field("litres", "litres", kinds.litres),
        Field("kg", "kg", kinds.kilograms_not_negative, word="mass of one"),
        Field("direction", "direction", choice("any", "upright", "fore and aft", "athwartships")),
        Field("at_most", "at_most", kinds.whole(f"how many there are, 1 to {MOST_BOTTLES}", 1, MOST_BOTTLES)),
        STAGE,
    ),
    check=_check_bottles,
    form="{in: SPACE, diameter: 108 mm, length: 310 mm, litres: 2.06, kg: 0.052}",
)
CHAINS = Block(
    "chains",
    "chain",
    Chain,
    (
        _space(),
        Field("length", "length", _chain_length, required=True),
        Field("size", "size", _chain_size, required=True),
        Field("pipe", "pipe", _place, required=True, word="pipe's lower end"),
        Field("deck", "deck", _place, word="pipe's end at the deck"),
        Field("bore", "bore", positive),
        Field("pipe_cover", "pipe_cover", choice("none", "loose", "tight"), word="pipe's cover"),
        Field("kg_per_m", "kg_per_m", _per_metre, word="kilograms per metre"),
        Field("repose", "repose", number("degrees between 0 and 60", least=0.0, most=60.0, unit="°"), word="heap's slope"),
        Field("rule", "rule", choice(*CHAIN_RULES), word="rule for its volume"),
        Field("aboard", "aboard", kinds.truth),
        STAGE,
    ),
    form="{in: SPACE, length: 45 m, size: 8 mm, pipe: [aft, off centre, height]}",
)
FOAMS = Block(
    "foams",
    "foam",
    Foam,
    (
        _space(),
        Field("form", "form", choice("poured", "blocks")),
        Field("density", "density", _density),
        Field("share", "share", _share),
        Field("lift", "lift", positive, word="depth of one pour"),
        Field("kit", "kit", kinds.litres, word="litres of foam of one kit"),
        Field("waste", "waste", number("a share of 0 or more, below 1", least=0.0, most=0.99)),
        STAGE,
    ),
    form="{in: SPACE, form: poured, density: 32}",
)
TANKS = Block(
    "tanks",
    "tank",
    Tank,
    (
        _space(),
        Field("holds", "holds", choice("water", "sea water", "diesel", "petrol", "waste")),
        Field("share", "share", _share),
        Field("aboard", "aboard", kinds.share, word="share aboard when the waterline was read"),
        STAGE,
    ),
    form="{in: SPACE, holds: water, share: 0.95}",
)
PARTS = Block(
    "parts",
    "part",
    BoatPart,
    (
        Field("kg", "kg", kinds.kilograms_positive, required=True, word="mass"),
        Field("made_of", "made_of", choice(*MATERIALS), required=True, word="material"),
        Field("density", "density", _density),
    ),
    check=_check_part,
    form="{kg: 320, made_of: lead}",
)

CONTENTS: tuple[Block, ...] = (PEOPLE, STOWAGE, BOTTLES, CHAINS, FOAMS, TANKS, PARTS)
