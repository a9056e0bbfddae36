"""A limit as it was judged."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.findings import Angle, Length, Mass, Phrase, Share, Value, Volume
from sketcher.model.stated_limits import Quantity, StatedLimit


@dataclass(frozen=True, slots=True)
class FigureReading:
    """A figure of a layout in SI, or degrees; None: not known, and why. path: where `report --json` has it.

    lost: she founders or capsizes, so that the figure has no value and no limit of it is met.
    """

    path: str
    value: float | None
    why: Phrase | None = None
    lost: bool = False


@dataclass(frozen=True, slots=True)
class JudgedLimit:
    """met None: not known. margin: by how much it is met, negative by how much missed; None without a figure."""

    stated: StatedLimit
    reading: FigureReading
    bound: float
    met: bool | None
    margin: float | None


def with_dimension(value: float, quantity: Quantity) -> Value:
    """A figure with its dimension, to be put in words."""
    match quantity:
        case "length":
            return Length(value)
        case "volume":
            return Volume(value)
        case "mass":
            return Mass(value)
        case "angle":
            return Angle(value)
        case "share":
            return Share(value)
        case "count":
            return round(value)
