"""What was noticed about hull or scene, as values: a code, what it is about, and each figure with its dimension.

Nothing here is a sentence: `outputs.wording` puts findings in words, in the unit of whoever reads them. What is said in a
finding besides figures (a remedy, a reason) is a `Phrase`, which is put in words the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Severity = Literal["stop", "warn", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop", "warn", "note")
PushWay = Literal["up", "down", "aft", "forward", "to starboard", "to port", "both ways"]
"""Which way a panel is pushed."""
Why = Literal["end", "along", "bend", "line", "few", "many"]
"""Why a measured number cannot be judged."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length or height [m]."""

    metres: float


@dataclass(frozen=True, slots=True)
class Area:
    """An area [m2]."""

    square_metres: float


@dataclass(frozen=True, slots=True)
class Volume:
    """A volume [m3]."""

    cubic_metres: float


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass, or the weight of one as a push [kg]."""

    kilograms: float


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle [deg]."""

    degrees: float


@dataclass(frozen=True, slots=True)
class Share:
    """A part of a whole [1]."""

    of_one: float


@dataclass(frozen=True, slots=True)
class Place:
    """A point (x, y, z) in the boat's axes [m]."""

    point: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Phrase:
    """Something to be said: a code of `outputs.wording` and the values that its words are made of.

    >>> Phrase("raise-lid", {"height": Length(0.8)}).values["height"].metres
    0.8
    """

    code: str
    values: Mapping[str, Value] = field(default_factory=dict, hash=False)


Value: TypeAlias = Length | Area | Volume | Mass | Angle | Share | Place | Phrase | str | int | float | tuple["Value", ...] | None
"""What words are made of; str: a name or one of a few known words, int: a count or yes and no, float: a bare number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something noticed. It never stops the work.

    code: a stable kebab-case word that says which sentence it is. object: the panel, compartment, berth, station it is about.
    values: what the sentence is made of, by name. measured, limit: in SI, text or a phrase. source: an id in `analysis.sources`,
    or None. binding: whom the rule binds, in words; None where there is no rule. at: where to look [m].
    """

    code: str
    severity: Severity
    object: str
    values: Mapping[str, Value] = field(default_factory=dict, hash=False)
    measured: float | str | Phrase | None = None
    limit: float | str | Phrase | None = None
    source: str | None = None
    binding: str | None = None
    at: tuple[float, float, float] | None = None
