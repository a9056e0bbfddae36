"""What can be drawn of the boat and pointed at, by kind and name, and how she is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from sketcher.outputs.tinting import TintBy

ObjectKind = Literal[
    "bulkhead",
    "partition",
    "lid",
    "stringer",
    "berth",
    "opening",
    "compartment",
    "weight",
    "fitting",
    "waterline",
    "person",
    "stowage",
    "bottles",
    "chain",
    "foam",
    "tank",
    "part",
]
OBJECT_KINDS: tuple[ObjectKind, ...] = get_args(ObjectKind)
PANEL_KINDS = ("bulkhead", "partition", "lid")
CutKind = Literal["none", "near", "forward", "after", "above", "port", "starboard"]
CUT_KINDS: tuple[CutKind, ...] = get_args(CutKind)


@dataclass(frozen=True, slots=True)
class ObjectRef:
    """An object that can be selected, by its kind and name. The waterline's name is `waterline`."""

    kind: ObjectKind
    name: str

    @property
    def key(self) -> str:
        """As the page's markup names it: `lid/tank top`."""
        return f"{self.kind}/{self.name}"


def object_ref(key: str) -> ObjectRef | None:
    """The object that a word of the page's markup names; None for anything else."""
    kind, slash, name = key.partition("/")
    found = next((known for known in OBJECT_KINDS if known == kind), None)
    return ObjectRef(found, name) if slash and found and name else None


WATERLINE = ObjectRef("waterline", "waterline")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutAway:
    """What is taken away to look inside: everything `kind` of the plane at `at` [m] (x, z or y by kind).

    near: the half nearer the eye, from the centreline on; it is one of the sides once it is known from where she is seen.
    """

    kind: CutKind = "none"
    at: float = 0.0


NEAR_HALF = CutAway(kind="near")


@dataclass(frozen=True, slots=True, kw_only=True)
class Appearance:
    """How the boat is shown. see_through: 0 a solid hull, 1 no hull; hidden: objects left out; faded: objects shown faintly.

    tinted_by: what the tints of her spaces tell; apart: 0, or how far her spaces are pulled apart, 1 fully.
    """

    see_through: float = 0.85
    cut: CutAway = CutAway()
    hidden: frozenset[ObjectRef] = frozenset()
    faded: frozenset[ObjectRef] = frozenset()
    tinted_by: TintBy = "space"
    apart: float = 0.0
