"""A layout: the hull it stands in, the water, and the panels by name. Metres, degrees and kilograms; frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sketcher.model.contents import BoatPart, Bottles, Chain, Foam, Person, Stowage, Tank
from sketcher.model.cutting import (
    NO_PRICES,
    USUAL_BONDING,
    USUAL_CUTTING,
    Bonding,
    Cutting,
    Joints,
    PartReadings,
    Prices,
    Sheet,
)
from sketcher.model.hull import Hull, Point2, Point3
from sketcher.model.stated_limits import StatedLimit

Built = Literal["planned", "already", "removed"]
Limit = float | str
"""An extent: a distance or height [m], a keyword (stem, transom, hull, deck) or another panel's name."""


@dataclass(frozen=True, slots=True)
class FromPanel:
    """A bulkhead's place as a distance [m] from another bulkhead's `at`."""

    panel: str
    distance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bulkhead:
    """Athwartships. `at`: its forward face on the centreline at `at_height`; thickness square to the panel, growing aft."""

    name: str
    at: float | FromPanel
    thickness: float
    at_height: float = 0.0
    rake: float = 0.0
    angle: float = 0.0
    bottom: Limit = "hull"
    top: Limit = "deck"
    span: tuple[Limit | None, Limit | None] = (None, None)
    built: Built = "planned"
    watertight: bool = True
    carries: tuple[str, ...] = ()
    material: str | None = None
    kg: float | None = None
    joints: Joints | None = None
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Partition:
    """Fore and aft. `off_centre`: the middle of its thickness at both ends; `lean` outboard at the top positive."""

    name: str
    off_centre: tuple[float, float]
    start: Limit
    end: Limit
    thickness: float
    lean: float = 0.0
    bottom: Limit = "hull"
    top: Limit = "deck"
    built: Built = "planned"
    watertight: bool = True
    carries: tuple[str, ...] = ()
    material: str | None = None
    kg: float | None = None
    joints: Joints | None = None
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Lid:
    """Closes a space from above. `height`: its top face at its `start` on the centreline; thickness grows down."""

    name: str
    height: float
    start: Limit
    end: Limit
    thickness: float
    slope: float = 0.0
    slope_across: float = 0.0
    span: tuple[Limit | None, Limit | None] = (None, None)
    built: Built = "planned"
    watertight: bool = True
    carries: tuple[str, ...] = ()
    material: str | None = None
    kg: float | None = None
    joints: Joints | None = None
    stage: int = 1


Panel = Bulkhead | Partition | Lid


@dataclass(frozen=True, slots=True, kw_only=True)
class Stringer:
    """A bearer along the hull under a lid; divides nothing. hollow: a hollow one carries water unless sealed."""

    name: str
    under: str
    side: Literal["port", "starboard", "both"]
    start: Limit
    end: Limit
    width: float
    depth: float
    hollow: Literal["solid", "sealed", "open"] = "solid"
    stage: int = 1


@dataclass(frozen=True, slots=True)
class Infill:
    """The loose board between the two sides of a vee berth. start: where it begins [m aft]; it ends where the berth does.

    width: at its forward and after end [m], half of it on each side of the centreline.
    """

    start: float
    width: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Berth:
    """Boards and cushion; divides nothing. `height`: the boards' top; `lies_on`: that lid is its boards.

    thickness: of the boards, None: not known, and none are cut; infill: the part of them that is loose.
    """

    name: str
    height: float | None = None
    start: Limit
    end: Limit
    cushion: float = 0.0
    span: tuple[Limit | None, Limit | None] = (None, None)
    people: int = 1
    stature: float | None = None
    lies_on: str | None = None
    thickness: float | None = None
    infill: Infill | None = None
    stage: int = 1


HOUSES = ("cockpit", "coachroof")
"""What of the hull has upright faces that an opening may be in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A hole in a panel, the deck or the hull; `at` its centre and `size` in the same order in the panel's plane.

    `face`: which upright face of the cockpit or coachroof that `through` names; `at` then is (off centre, height), on a side
    (aft, height). `joins`: a hose or conduit between two named compartments, with no panel; then `through` is None.
    `built`: already, where the hole was there before the refit and nothing more is cut; None: as what it is in, so that one in
    the deck, the hull or a standing panel is taken to be there, and no cover is bought for it.
    """

    name: str
    through: str | None
    face: Literal["forward", "aft", "port", "starboard"] | None = None
    at: tuple[float, ...] = ()
    size: Point2 | None = None
    diameter: float | None = None
    radius: float = 0.0
    cover: Literal["none", "loose", "tight"] = "none"
    joins: tuple[str, str] | None = None
    built: Literal["planned", "already"] | None = None
    stage: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedSpace:
    """A name and a use for the space that holds the point `at`; permeability None: the table's value for the use."""

    name: str
    at: Point3
    use: str = "void"
    permeability: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """A change to the boat as she floats at the stated waterline [kg]; negative: taken off. condition groups items.

    planned: worked out from what is planned; the file states no such weight. known_to: its standard deviation as a share of it;
    None: as the scene says of all.
    """

    name: str
    kg: float
    at: Point3
    condition: str | None = None
    planned: bool = False
    stage: int = 1
    known_to: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """A thing in the way: a box of `size` about `at`; `reach`: it must be got at later."""

    name: str
    at: Point3
    size: Point3
    reach: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Waterline:
    """The water as stated. Either heights over the hull's foremost and aftmost point on the centreline, or freeboards [m]."""

    forward: float | None = None
    after: float | None = None
    heel: float = 0.0
    bow_freeboard: float | None = None
    stern_freeboard: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownTo:
    """How well the rest of the boat is known: standard deviations, None: not stated. The hull says its own.

    waterline: of its reading forward and after [m]; centre_of_gravity: of its height [m]; weights: of each, as a share of it.
    """

    waterline: tuple[float, float] | None = None
    centre_of_gravity: float | None = None
    weights: float | None = None


@dataclass(frozen=True, slots=True)
class RefitStage:
    """A step of the refit that she sails after: its number, by which objects say when they come, and its name."""

    number: int
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A layout in a hull. Names of panels are unique among bulkheads, partitions and lids together.

    waterline None: not stated. water_density [kg/m3]. gap_limit [m]: a gap no wider does not merge two spaces.
    hull_path: as the scene's file writes it. guessed: keys whose values were guessed from her shape and not measured
    yet. File order is kept in the tuples.
    """

    name: str
    units: str
    hull: Hull
    hull_path: str
    water_density: float = 1025.0
    waterline: Waterline | None = None
    centre_of_gravity_height: float | None = None
    gap_limit: float = 0.020
    bulkheads: tuple[Bulkhead, ...] = ()
    partitions: tuple[Partition, ...] = ()
    lids: tuple[Lid, ...] = ()
    stringers: tuple[Stringer, ...] = ()
    berths: tuple[Berth, ...] = ()
    openings: tuple[Opening, ...] = ()
    compartments: tuple[NamedSpace, ...] = ()
    weights: tuple[Weight, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    file: str | None = None
    people: tuple[Person, ...] = ()
    stowage: tuple[Stowage, ...] = ()
    bottles: tuple[Bottles, ...] = ()
    chains: tuple[Chain, ...] = ()
    foams: tuple[Foam, ...] = ()
    tanks: tuple[Tank, ...] = ()
    parts: tuple[BoatPart, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    limits: tuple[StatedLimit, ...] = ()
    as_built: tuple[PartReadings, ...] = ()
    cutting: Cutting = USUAL_CUTTING
    bonding: Bonding = USUAL_BONDING
    prices: Prices = NO_PRICES
    guessed: tuple[str, ...] = ()
    stages: tuple[RefitStage, ...] = ()
    known_to: KnownTo = KnownTo()

    @property
    def panels(self) -> tuple[Panel, ...]:
        return (*self.bulkheads, *self.partitions, *self.lids)

    @property
    def has_contents(self) -> bool:
        """Whether anything is said of people, stowage, bottles, chain, foam, tanks or materials."""
        return any((self.people, self.stowage, self.bottles, self.chains, self.foams, self.tanks, self.parts))
