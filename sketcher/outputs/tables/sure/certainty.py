"""Figures with their bands and verdicts with their doubts, to the digits that the bands bear, in the reader's unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, floor, log2, log10

from sketcher.outputs.wording.quantities import FOOT, length, length_with_unit, mass_unit, plain

INCH = 0.0254
POUND = 0.45359237
"""[kg] By the international agreement of 1959."""
WORTH_SAYING = 0.005
"""[share] A verdict that is otherwise in fewer boats than one in 200 is told without a word."""
TWO_DIGITS = 3.0
"""A band that begins with 1 or 2 is told to two digits, so that 12 and 18 are not both 10 or 20."""


@dataclass(frozen=True, slots=True)
class Certainty:
    """bands: low and high of figures by their paths, 95 % [SI]; doubts: shares of remeasured boats whose verdict is otherwise."""

    bands: Mapping[str, tuple[float, float]]
    doubts: Mapping[str, float]

    def half(self, path: str) -> float | None:
        """Half a figure's band; None where it has none."""
        band = self.bands.get(path)
        return None if band is None else 0.5 * (band[1] - band[0])

    def told(self, path: str, text: str, value: float | None, units: str) -> str:
        """A figure with its band, without a unit; the text as it is where no band is known."""
        half = self.half(path)
        if value is None or half is None:
            return text
        return " ".join(banded(path, value, half, units))

    def either_way(self, path: str, value: float | None, units: str) -> str:
        """Half a figure's band, `±12`; nothing where none is known."""
        half = self.half(path)
        return "" if value is None or half is None else banded(path, value, half, units)[1]

    def borne(self, path: str, amount: float, units: str) -> str:
        """An amount of a figure to the digits that its band bears, without a unit; its band must be known."""
        half = self.half(path)
        assert half is not None
        return banded(path, amount, half, units)[0]

    def doubt(self, path: str, otherwise: str) -> str:
        """What is added to a verdict: in how many of 100 boats it is otherwise; nothing where in hardly any."""
        share = self.doubts.get(path, 0.0)
        return "" if share < WORTH_SAYING else f"; in {max(round(100 * share), 1)} of 100 {otherwise}"


def banded(path: str, value: float, half: float, units: str) -> tuple[str, str]:
    """A figure in SI and half its band, as printed without their unit, the figure to the digit that the band bears.

    >>> banded("compartments.void.volume_m3", 0.9052, 0.0118, "mm"), banded("berths.bunk.length_m", 1.9734, 0.0335, "mm")
    (('905', '±12'), ('1970', '±30'))
    >>> banded("berths.bunk.length_m", 1.9734, 0.0065, "in"), banded("floating.displacement_kg", 4476.2, 101.5, "mm")
    (('77 3/4', '±1/4'), ('4480', '±100'))
    """
    if path.endswith("_m") and units in ("in", "ft"):
        inches = min(1.0, 2.0 ** max(-4, floor(log2(max(half / INCH, 1 / 16)))))
        step = INCH * inches
        return length(round(value / step) * step, units), f"±{length(max(ceil(half / step - 0.5), 1) * step, units)}"
    factor, decimals = _scale(path, units)
    step = max(_step(half * factor), 10.0**-decimals)
    told = max(0, -floor(log10(step) + 1e-9))
    return plain(round(value * factor / step) * step, told), f"±{plain(max(round(half * factor / step), 1) * step, told)}"


def unit_of(path: str, units: str) -> str:
    """The unit that stands behind a figure: of feet, which carry their own marks, none.

    >>> unit_of("compartments.void.volume_m3", "mm"), unit_of("berths.bunk.length_m", "in"), unit_of("waterline.trim_deg", "mm")
    ('L', 'in', '°')
    """
    if path.endswith("_m3"):
        return "L"
    if path.endswith("_m"):
        return "" if units == "ft" else units
    if path.endswith("kg"):
        return mass_unit(units)
    return "°" if path.endswith("_deg") else "%" if path.endswith("place") else ""


def half_told(path: str, half: float, units: str) -> str:
    """Half a band with a digit more than a figure would be told to, so that bands can be set beside each other, with its unit.

    >>> half_told("compartments.void.volume_m3", 0.01034, "mm"), half_told("berths.bunk.length_m", 0.00213, "mm")
    ('±10.3 L', '±2.1 mm')
    """
    if path.endswith("_m") and units in ("in", "ft"):
        return f"±{length_with_unit(half, units)}"
    factor, _ = _scale(path, units)
    size = half * factor
    return f"±{plain(size, 0 if size >= 100.0 else 1 if size >= 1.0 else 2)} {unit_of(path, units)}".rstrip()


def _step(half: float) -> float:
    """The step of the last digit that half a band bears."""
    whole = 10.0 ** floor(log10(max(half, 1e-9)))
    return whole if half / whole >= TWO_DIGITS else whole / 10.0


def _scale(path: str, units: str) -> tuple[float, int]:
    """What a figure in SI is multiplied by, and how many decimals it is told to at most."""
    if path.endswith("_m3"):
        return 1000.0, 0
    if path.endswith("_m"):
        return {"mm": (1000.0, 0), "cm": (100.0, 1), "m": (1.0, 3)}.get(units, (1 / INCH, 2))
    if path.endswith("place"):
        return 100.0, 1
    if path.endswith(("kg", "kg_per_cm", "kgm")):
        if mass_unit(units) == "kg":
            return (1.0, 2 if path.endswith("kgm") else 0)
        per_inch = 1.0 if path.endswith("kg") else 100.0 * INCH
        return per_inch / POUND / (FOOT if path.endswith("kgm") else 1.0), 0
    return 1.0, 2
