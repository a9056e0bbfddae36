"""What the page shows besides the boat herself: typed, frozen, and the same for every tab."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

PartKind = Literal["bulkhead", "partition", "lid", "stringer", "berth", "opening", "compartment", "weight", "fitting", "waterline"]
CutKind = Literal["none", "forward", "after", "above", "port", "starboard"]
Arrangement = Literal["both", "boat", "drawings"]


@dataclass(frozen=True, slots=True)
class Part:
    """Something that can be selected: its kind and its name. The waterline's name is `waterline`."""

    kind: PartKind
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What is taken away to look inside: everything `kind` of the plane at `at` [m] (x, z or y by kind)."""

    kind: CutKind = "none"
    at: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How the boat is shown. see_through: 0 a solid hull, 1 no hull. plan_height, section_at [m]: None follows the selection."""

    see_through: float = 0.8
    cut: Cut = Cut()
    hidden: frozenset[Part] = field(default_factory=frozenset)
    arrangement: Arrangement = "both"
    plan_height: float | None = None
    section_at: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """One sentence to the owner. refused: an edit that could not be; else something done."""

    text: str
    remedy: str = ""
    refused: bool = False
