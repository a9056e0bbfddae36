"""What an owner says must hold of a layout, and the figures that can be asked for: `lid over water`, at least 50."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, NamedTuple

from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.units import parse_length, parse_litres, parse_mass, parse_number

Quantity = Literal["length", "volume", "mass", "angle", "share", "count"]


class Figure(NamedTuple):
    """A figure that a limit may be about.

    of: the blocks whose objects it is a figure of, none for the boat herself; whole, holed: where `report --json` has it of the
    boat as she is and with a space holed, "" where it is no such figure; of_all: what `of` is left out for is all of them.
    """

    quantity: Quantity
    of: tuple[str, ...] = ()
    whole: str = ""
    holed: str = ""
    of_all: bool = False


_PANELS = ("bulkheads", "partitions", "lids")

FIGURES: dict[str, Figure] = {
    "litres": Figure("volume", ("compartments",), "compartments.{of}.volume_m3"),
    "litres below": Figure("volume", ("compartments",), "compartments.{of}.below_waterline_m3"),
    "berth length": Figure("length", ("berths",), "berths.{of}.length_m"),
    "stature": Figure("length", ("berths",), "berths.{of}.tallest_m"),
    "headroom": Figure("length", ("berths",), "berths.{of}.headroom_m"),
    "lid over water": Figure("length", ("lids",), holed="flooding.{holed}.lids.{of}.clear_of_water_m"),
    "bow freeboard": Figure("length", (), "floating.forward_freeboard_m", "flooding.{holed}.forward_freeboard_m"),
    "stern freeboard": Figure("length", (), "floating.after_freeboard_m", "flooding.{holed}.after_freeboard_m"),
    "least freeboard": Figure("length", (), "floating.least_freeboard_m", "flooding.{holed}.least_freeboard_m"),
    "trim": Figure("angle", (), "waterline.trim_deg", "flooding.{holed}.trim_deg"),
    "heel": Figure("angle", (), "waterline.heel_deg", "flooding.{holed}.heel_deg"),
    "GM": Figure("length", (), "floating.gm_m", "flooding.{holed}.gm_m"),
    "chain kg": Figure("mass", ("chains",), "chains.{of}.goes_in_kg"),
    "bottles kg": Figure("mass", ("compartments",), "bottles.{of}.uplift_kg"),
    "place": Figure("share", ("bulkheads",), "bulkheads.{of}.place"),
    "boards kg": Figure("mass", _PANELS, "boards.{of}.kg", of_all=True),
    "sheets": Figure("count", (), "boards.sheets"),
}
"""Every figure by its word. Afloat, a figure is that of the boat with all changes of weight, where the scene has any."""

Side = Literal["at_least", "at_most"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedLimit:
    """One of `at_least` and `at_most` is given, as written: what it measures depends on the figure.

    of: the object it is a figure of; when_holed: the spaces that are holed together.
    """

    name: str
    figure: str
    of: str | None = None
    at_least: str | None = None
    at_most: str | None = None
    when_holed: tuple[str, ...] = ()

    @property
    def about(self) -> Figure:
        """What is known of its figure."""
        return FIGURES[self.figure]

    @property
    def side(self) -> Side:
        """Which way it binds."""
        return "at_most" if self.at_least is None else "at_least"

    def bound(self, units: str) -> float:
        """Its value in SI, or degrees, or a share of one; bare lengths are in `units`."""
        value = bound_from(self.at_least or self.at_most or "", self.about.quantity, units)
        assert value is not None
        return value


def figure_asked(text: str, form: str, side: Side = "at_least") -> StatedLimit:
    """A figure as typed, `lid over water of tank top with forward void holed`, as a limit of 0 on that side.

    form: how it may be written, for the remedies. Raises SketchError, with the nearest right word.

    >>> figure_asked("litres of forward void", "").of
    'forward void'
    """
    match = re.match(r"(?P<figure>.+?)(?: of (?P<of>.+?))?(?: with (?P<holed>.+) holed)?\Z", text)
    figure = match["figure"] if match else text
    if match is None or figure not in FIGURES:
        near = nearest(figure, FIGURES)
        raise SketchError(f"there is no figure {quoted(figure)!r}", f"Did you mean {near!r}?" if near else form)
    holed = tuple(match["holed"].split(" and ")) if match["holed"] else ()
    known = FIGURES[figure]
    if bool(known.of) != bool(match["of"]) and not known.of_all:
        raise SketchError(f"{figure}: {'of what?' if known.of else 'of the whole boat, not of one thing'}", form)
    if not (known.holed if holed else known.whole):
        raise SketchError(f"{figure} is {'not told of a holed boat' if holed else 'told of a boat with a space holed'}", form)
    bound = {"at_least": "0"} if side == "at_least" else {"at_most": "0"}
    return StatedLimit(name="", figure=figure, of=match["of"], when_holed=holed, **bound)


def bound_from(text: str, quantity: Quantity, units: str) -> float | None:
    """What a text measures, in SI; None where it spells no such quantity.

    >>> bound_from("600", "volume", "mm"), bound_from("1950", "length", "mm"), bound_from("15 %", "share", "mm")
    (0.6, 1.95, 0.15)
    """
    if quantity == "length":
        return parse_length(text, units)
    if quantity == "volume":
        return parse_litres(text)
    if quantity == "mass":
        return parse_mass(text)
    number = parse_number(text.removesuffix("%").removesuffix("°"))
    if number is None:
        return None
    if quantity == "share":
        number = number / 100.0 if text.endswith("%") else number
        return number if abs(number) <= 1.0 else None
    return None if quantity == "count" and number != int(number) else number
