"""What goes into the spaces: people, stowage, bottles, chain, foam, tanks, and what the boat is made of. Metres and kilograms.

stage: with which step of the refit it comes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Direction = Literal["any", "upright", "fore and aft", "athwartships"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Who lies in a berth. shoulders, feet: widths [m], None: those of a published sea berth."""

    name: str
    berth: str
    stature: float
    shoulders: float | None = None
    feet: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stowage:
    """A space to stow in. size: a box that is to go in, any way round; proportions: of the largest box asked for."""

    name: str
    space: str
    size: tuple[float, float, float] | None = None
    proportions: tuple[float, float, float] | None = None
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottles:
    """Sealed bottles or other cylinders of one size. litres: what one displaces [m3], None: not known; kg: of one, empty.

    direction: how they lie; at_most: how many there are, None: as many as fit.
    """

    name: str
    space: str
    diameter: float
    length: float
    litres: float | None = None
    kg: float | None = None
    direction: Direction = "any"
    at_most: int | None = None
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A chain and its way into the locker. size: the link's wire [m]; pipe: where its lower end is; bore: its inner width.

    deck: where the pipe begins at the deck, None: plumb over its end. repose: the heap's slope [deg], None: the usual one.
    pipe_cover: what stops it at the deck, as an opening is covered.
    kg_per_m: by the maker, None: by the table. rule: for its volume in a heap. aboard: it was, when the waterline was read.
    """

    name: str
    space: str
    length: float
    size: float
    pipe: tuple[float, float, float]
    deck: tuple[float, float, float] | None = None
    bore: float | None = None
    pipe_cover: Literal["none", "loose", "tight"] = "none"
    kg_per_m: float | None = None
    repose: float | None = None
    rule: Literal["clear volume", "class rule", "stud link"] = "clear volume"
    aboard: bool = False
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Foam:
    """Closed-cell foam in a space. form: poured, or in blocks; density [kg/m3]; share: of the space filled, None: the usual.

    lift: depth of one pour [m]; kit: litres of foam one kit makes [m3]; waste: share lost.
    """

    name: str
    space: str
    form: Literal["poured", "blocks"] = "poured"
    density: float = 32.0
    share: float | None = None
    lift: float = 0.15
    kit: float | None = None
    waste: float = 0.15
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """What a space holds as a tank. share: of the space it fills; aboard: how full it was when the waterline was read."""

    name: str
    space: str
    holds: Literal["water", "sea water", "diesel", "petrol", "waste"] = "water"
    share: float = 0.95
    aboard: float = 0.0
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class BoatPart:
    """A part of the boat that weighs or lifts when she is swamped. density [kg/m3]: of a material that no table has."""

    name: str
    kg: float
    made_of: str
    density: float | None = None
