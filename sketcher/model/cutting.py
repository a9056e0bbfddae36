"""How panels are cut and bonded: sheets at hand, gaps, what bonds them, and prices. Metres, degrees Celsius, kilograms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A size of sheet, or an offcut. size: (along the grain, across) [m]; have: how many are at hand, None: bought as needed.

    kg_per_m2: None: by the table for its thickness. grain: along its length, as of plywood, or none to keep to.
    """

    name: str
    thickness: float
    size: tuple[float, float]
    have: int | None = None
    material: str | None = None
    kg_per_m2: float | None = None
    grain: Literal["along", "any"] = "along"


JointDirection = Literal["aft", "off_centre", "height"]
"""What tells where a joint lies: a distance aft, a distance off the centreline, or a height."""


@dataclass(frozen=True, slots=True)
class Joints:
    """Where an owner cuts a panel in parts: along parallel lines, each at a place [m] along `direction`."""

    direction: JointDirection
    places: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """gap [m]: square to shell and deck, for a foam strip or bedding; panel_gap: between panels. corner: radius of inner ones.

    kerf: of the saw; margin: of a sheet's edges not used; offsets: step of the tables to mark by hand; through: the opening
    through which everything goes below, None: the widest way; joint: how a panel in parts is put together again; plating:
    whether the shell is cut anew, so that its strakes are laid flat as well.
    """

    gap: float = 0.006
    panel_gap: float = 0.001
    corner: float = 0.020
    kerf: float = 0.003
    margin: float = 0.010
    offsets: float = 0.050
    through: str | None = None
    joint: Literal["butt strap", "scarf"] = "butt strap"
    plating: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Bonding:
    """fillet: its radius; layers of tabbing on each side of a panel; first: width of the innermost on each face of a corner.

    step: how much wider each further layer is on each face; cloth [kg/m2], of which kind; coats of resin over cloth and bare
    faces; waste: share lost; temperature [deg C] of resin and boat; hardener; batch: the largest mix that stays cool [m3].
    """

    fillet: float = 0.025
    layers: int = 3
    first: float = 0.050
    step: float = 0.025
    cloth: float = 0.600
    kind: Literal["woven", "mat"] = "woven"
    coats: int = 3
    waste: float = 0.15
    temperature: float = 20.0
    hardener: Literal["slow", "fast"] = "slow"
    batch: float = 0.0005


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What the owner pays for one of each item, by the name that the shopping list gives it. currency: as it is written."""

    currency: str = ""
    of: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class GapReading:
    """The least distance [m] from a place on a board's drawn face to the skin, and from the other face's edge there if read.

    at: right and up from the board's zero, as on its pattern [m].
    """

    at: tuple[float, float]
    gap: float
    other: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartReadings:
    """What was read of a board, or of a panel, by its name. cut: the board is made; else it follows its gaps before it is.

    kg: as weighed, where planned_kg was planned, None: by the panel's own mass; thickness [m]. gaps, deck_gaps: to the hull's
    skin and to the deck.
    """

    name: str
    cut: bool = False
    kg: float | None = None
    planned_kg: float | None = None
    thickness: float | None = None
    gaps: tuple[GapReading, ...] = ()
    deck_gaps: tuple[GapReading, ...] = ()

    @property
    def gaps_to(self) -> tuple[tuple[Literal["hull", "deck"], GapReading], ...]:
        """All gaps with what each is to."""
        return (*(("hull", each) for each in self.gaps), *(("deck", each) for each in self.deck_gaps))


NO_PRICES = Prices()
USUAL_CUTTING = Cutting()
USUAL_BONDING = Bonding()
