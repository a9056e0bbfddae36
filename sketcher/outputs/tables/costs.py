"""What the shopping list costs by the owner's own prices, found by the names that the list gives its items."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sketcher.analysis.cut.results import Purchase
from sketcher.analysis.findings import Area, Length, Mass, Volume
from sketcher.model.cutting import Prices
from sketcher.model.units import UNITS
from sketcher.outputs.wording.quantities import FOOT, area_unit, mass_number, mass_unit, run_unit
from sketcher.outputs.wording.sentences import words


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What each purchase costs, None where no price is given. nowhere: names with a price that no item has."""

    each: tuple[float | None, ...]
    currency: str
    nowhere: tuple[str, ...]

    @property
    def known(self) -> tuple[float, ...]:
        return tuple(cost for cost in self.each if cost is not None)

    @property
    def summed(self) -> str:
        """The sum, and of how many of the items it is.

        >>> Costs(each=(12.5, None, 7.0), currency="EUR", nowhere=()).summed
        'sum of 2 of 3 items: 19.50 EUR'
        """
        return f"sum of {len(self.known)} of {len(self.each)} items: {sum(self.known):.2f} {self.currency}".rstrip()


def costs_of(purchases: Sequence[Purchase], prices: Prices, units: str) -> Costs:
    """Each purchase at its price for one of what it is sold by, found by its name and note, else by its name alone.

    units: of the scene. A name may be as a list in other units gives it; its price is then for what is sold by there.
    """
    known = {_plain(name): price for name, price in prices.of}
    used: set[str] = set()
    each: list[float | None] = []
    for purchase in purchases:
        called = ((name, unit) for unit in (units, *UNITS) for name in _names(purchase, unit))
        name, unit = next(((name, unit) for name, unit in called if name in known), ("", units))
        used.add(name)
        each.append(round(known[name] * sold(purchase.amount, unit)[0], 2) if name else None)
    nowhere = tuple(name for name, _ in prices.of if _plain(name) not in used)
    return Costs(each=tuple(each), currency=prices.currency, nowhere=nowhere)


def _names(purchase: Purchase, unit: str) -> list[str]:
    """What an item is called in a list in a unit: with its note, and without."""
    item = words(purchase.item, unit)
    return [_plain(f"{item}, {words(purchase.note, unit)}"), _plain(item)] if purchase.note is not None else [_plain(item)]


def _plain(name: str) -> str:
    """A name as it is compared: without regard to capitals, spaces, and how a cross is written."""
    return " ".join(name.casefold().replace("×", "x").split())


def sold(amount: Length | Area | Volume | Mass | int, unit: str) -> tuple[float, str]:
    """An amount as a number, and what goods are sold by where the reader measures in `unit`; nothing for a number of things.

    >>> sold(Length(3.0), "cm"), sold(Length(3.048), "in"), sold(Mass(0.45359237), "in"), sold(4, "mm")
    ((3.0, 'm'), (10.0, 'ft'), (1.0, 'lb'), (4.0, ''))
    """
    foot = 1.0 if run_unit(unit) == "m" else FOOT
    match amount:
        case Length(metres):
            return metres / foot, run_unit(unit)
        case Area(square_metres):
            return square_metres / foot**2, area_unit(unit)
        case Volume(cubic_metres):
            return cubic_metres * 1000.0, "L"
        case Mass(kilograms):
            return float(mass_number(kilograms, unit, 6)), mass_unit(unit)
        case int():
            return float(amount), ""
