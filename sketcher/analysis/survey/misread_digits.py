"""What a mistyped number was probably meant to be: one digit read for another, two changed about, a hundred too many."""

from __future__ import annotations

from dataclasses import dataclass

from sketcher.analysis.findings import Phrase
from sketcher.model.units import format_length, parse_length

_ALIKE = {
    frozenset("38"): 0.0,
    frozenset("17"): 0.3,
    frozenset("06"): 0.5,
    frozenset("49"): 0.5,
    frozenset("56"): 0.5,
    frozenset("58"): 0.7,
    frozenset("08"): 0.7,
    frozenset("27"): 0.7,
    frozenset("35"): 0.7,
}
"""Digits that are taken for each other in hurried pencil, with a penalty in standard errors; 3 and 8 above all."""
_SWAPPED = 0.7
_HUNDRED = 1.0
_BELIEVED = 2.0
"""Penalties for two digits changed about and for a miscounted hundred; a reading further off in all is not believed."""

_TAPE_STEP = {"mm": 1e-3, "cm": 1e-3, "m": 1e-3, "in": 0.0254 / 8, "ft": 0.003048}
"""[m] how fine a tape is read in each unit."""


@dataclass(frozen=True)
class Reading:
    """A value [m] that was probably meant, and how it came to be misread; None where no misreading fits."""

    value: float
    misread: Phrase | None


def likely_reading(typed: float, slip: float, spread: float, unit: str) -> Reading:
    """What was meant instead of `typed` [m], which is off by about `slip` with standard error `spread` [m]."""
    fair = typed - slip
    best: tuple[float, Reading] | None = None
    for value, how, penalty in _misread(typed, unit):
        cost = abs(value - fair) / spread + penalty
        if abs(value - typed) > 0.5 * abs(slip) and cost <= _BELIEVED and (best is None or cost < best[0]):
            best = cost, Reading(value, how)
    if best is not None:
        return best[1]
    step = _TAPE_STEP[unit]
    return Reading(max(round(fair / step) * step, 0.0) if typed >= 0.0 else round(fair / step) * step, None)


def _misread(typed: float, unit: str) -> list[tuple[float, Phrase, float]]:
    """Values [m] that could have been written or called out, each with how and its penalty."""
    text = format_length(typed, unit)
    readings: list[tuple[str, Phrase, float]] = []
    for i, digit in enumerate(text):
        for pair, penalty in _ALIKE.items():
            if digit in pair:
                other = next(iter(pair - {digit}))
                how = Phrase("digit-misread", {"meant": other, "read": digit, "unit": unit})
                readings.append((text[:i] + other + text[i + 1 :], how, penalty))
        if i and digit.isdigit() and text[i - 1].isdigit() and digit != text[i - 1]:
            swapped = text[: i - 1] + digit + text[i - 1] + text[i + 1 :]
            how = Phrase("digits-changed-about", {"first": digit, "second": text[i - 1], "unit": unit})
            readings.append((swapped, how, _SWAPPED))
    read = [(parse_length(candidate, unit), how, penalty) for candidate, how, penalty in readings]
    values = [(value, how, penalty) for value, how, penalty in read if value is not None]
    if unit == "mm":
        values += [(typed + sign * 0.1, Phrase("hundred-miscounted", {"unit": unit}), _HUNDRED) for sign in (-1, 1)]
    return values
