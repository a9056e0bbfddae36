"""Sheets, and all else that is bought, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from sketcher.analysis.findings import Length, Mass, Phrase
from sketcher.outputs.wording.quantities import mass_number, mass_unit
from sketcher.outputs.wording.say import Say, listed


def sheet_stuff(say: Say, thickness: Length, material: str | None) -> str:
    return f"{say(thickness)} {material}" if material else say(thickness)


def numbered_sheet(say: Say, stuff: Phrase, number: int) -> str:
    return f"{say(stuff)}, sheet {number}"


def sheet_called(_: Say, name: str) -> str:
    return name


def two_sides(say: Say, along: Length, across: Length) -> str:
    return f"{say(along)} × {say(across)}"


def no_sheet(say: Say, boards: Sequence[str], thickness: Length, sizes: Sequence[Phrase], margin: Length) -> str:
    held = "it" if len(boards) == 1 else "them"
    return (
        f"{listed(boards)}: no sheet of {say(thickness)} is left that holds {held} ({listed([say(size) for size in sizes])}, "
        f"{say(margin)} of each edge not used). Put a joint in, or list a larger sheet or more of them under `sheets`."
    )


def grain_across(say: Say, boards: Sequence[str], stuff: Phrase) -> str:
    lies = "lies" if len(boards) == 1 else "lie"
    return (
        f"{say(stuff)}: the grain of {listed(boards)} {lies} across the sheet, since there is no room for it along. It bends "
        "more easily that way: buy a sheet more if that matters."
    )


def sheet_assumed(say: Say, thickness: Length, size: Phrase) -> str:
    return f"No sheet of {say(thickness)} to buy is listed: {say(size)} is taken. List those you can get under `sheets`."


def joints_save_sheet(
    say: Say,
    panel: str,
    places: Sequence[Phrase],
    stuff: Phrase,
    now: int,
    then: int,
    parts: tuple[int, int],
    straps: tuple[int, int],
    full: bool,
) -> str:
    where = f"with joints at {listed([say(place) for place in places])}" if places else "with joints the other way"
    poor = "" if full else ", not all of them full"
    return (
        f"{panel}: {where}, {_sheets(then)} of {say(stuff)} would do in place of {now}. It is then in {parts[1]} parts with "
        f"{straps[1]} straps{poor}; now in {parts[0]} with {straps[0]}."
    )


def longer_sheet_saves(say: Say, stuff: Phrase, size: Phrase, now: int, then: int) -> str:
    return f"{say(stuff)}: {_sheets(then)} of {say(size)} would do, in place of {now}."


def wider_gap_saves(say: Say, stuff: Phrase, gap: Length, now: int, then: int) -> str:
    return (
        f"{say(stuff)}: with a gap of {say(gap)} to the hull, {_sheets(then)} may do in place of {now}. Try it: `gap` under "
        "`cutting`."
    )


def _sheets(count: int) -> str:
    return "one sheet" if count == 1 else f"{count} sheets"


def sheets_to_buy(say: Say, material: str | None, thickness: Length) -> str:
    return f"{material or 'sheet'}, {say(thickness)} thick"


def sheets_bought_as(say: Say, sheet: Phrase, assumed: bool) -> str:
    return f"{say(sheet)}, assumed: none is listed" if assumed else say(sheet)


def mixed_epoxy(_: Say) -> str:
    return "epoxy, mixed"


def epoxy_with_hardener(say: Say, mass: Mass, hardener: Literal["slow", "fast"]) -> str:
    return f"{mass_number(mass.kilograms, say.unit, 1)} {mass_unit(say.unit)} with its {hardener} hardener"


def fillet_filler(_: Say) -> str:
    return "filler for putty"


def by_makers_figures(_: Say) -> str:
    return "by the maker's own figures, if it has any"


def tape_to_buy(say: Say, kind: Literal["woven", "mat"], width: Length) -> str:
    return f"{kind} tape {say(width)} wide"


def cloth_layer(_: Say, grams_per_square_metre: float, layer: int) -> str:
    return f"{grams_per_square_metre:.0f} g/m², layer {layer}"


def foam_strip(say: Say, thickness: Length) -> str:
    return f"foam strip {say(thickness)} thick"


def between_panels_and_hull(_: Say) -> str:
    return "between panels and hull or deck"


def timber_to_buy(say: Say, width: Length, depth: Length) -> str:
    return f"timber {say(width)} × {say(depth)}"


def for_stringers(_: Say) -> str:
    return "for stringers"


def for_cleats(_: Say) -> str:
    return "cleats under edges that nobody reaches later"


def for_glued_cleats(_: Say, strips: int) -> str:
    return f"cleats that bend: {strips} strips glued one on another in place"


def for_sawn_cleats(_: Say) -> str:
    return "cleats sawn to the hull's curve in short lengths: it is too sharp to bend to"


def screws_to_buy(say: Say, length: Length) -> str:
    return f"screws, stainless or bronze, {say(length)} long"


def screws_along(say: Say, spacing: Length, where: Sequence[Phrase]) -> str:
    return f"every {say(spacing)}: {'; '.join(say(each) for each in where)}"


def screwed_to(say: Say, to: Literal["bearers", "supports", "cleats", "straps", "ledges"], through: Length, into: Length) -> str:
    return f"{to}, through {say(through)} into {say(into)}"


def for_ledges(_: Say) -> str:
    return "ledges under berths' boards"


Consumable = Literal["gloves", "pots", "bags", "brushes", "rollers", "coarse discs", "fine discs", "solvent"]

_USED_UP: dict[Consumable, tuple[str, str]] = {
    "gloves": ("gloves, nitrile", "one pair for each mix"),
    "pots": ("mixing pots, each with a stick", "one for each mix"),
    "bags": ("bags to press putty from", "one for each mix of putty"),
    "brushes": ("brushes, cheap", "one for each mix into cloth"),
    "rollers": ("roller sleeves, foam, for resin", "one for each mix of coats"),
    "coarse discs": ("abrasive discs, 40 to 60 grit", "to grind what is taped"),
    "fine discs": ("abrasive discs, 120 grit", "to sand between coats"),
    "solvent": ("solvent, as the resin's maker names it", "to wipe seams and clean tools; not for hands"),
}


def consumable(_: Say, what: Consumable) -> str:
    return _USED_UP[what][0]


def used_up(_: Say, what: Consumable) -> str:
    return _USED_UP[what][1]
