"""What a mistyped number was probably meant to be: one digit read for another, two changed about, a hundred too many."""

from __future__ import annotations

from dataclasses import dataclass

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
    """A value [m] that was probably meant, and how it came to be misread; empty where no misreading fits."""

    value: float
    reason: str


def likely_reading(typed: float, slip: float, spread: float, unit: str) -> Reading:
    """What was meant instead of `typed` [m], which is off by about `slip` with standard error `spread` [m]."""
    fair = typed - slip
    best: tuple[float, Reading] | None = None
    for value, reason, penalty in _misread(typed, unit):
        cost = abs(value - fair) / spread + penalty
        if abs(value - typed) > 0.5 * abs(slip) and cost <= _BELIEVED and (best is None or cost < best[0]):
            best = cost, Reading(value, reason)
    if best is not None:
        return best[1]
    step = _TAPE_STEP[unit]
    return Reading(max(round(fair / step) * step, 0.0) if typed >= 0.0 else round(fair / step) * step, "")


def _misread(typed: float, unit: str) -> list[tuple[float, str, float]]:
    """Values [m] that could have been written or called out, each with its reason and penalty."""
    text = format_length(typed, unit)
    found: list[tuple[str, str, float]] = []
    for i, digit in enumerate(text):
        for pair, penalty in _ALIKE.items():
            if digit in pair:
                other = next(iter(pair - {digit}))
                found.append((text[:i] + other + text[i + 1 :], f"{_named(other)} read as {_named(digit)}", penalty))
        if i and digit.isdigit() and text[i - 1].isdigit() and digit != text[i - 1]:
            swapped = text[: i - 1] + digit + text[i - 1] + text[i + 1 :]
            found.append((swapped, f"{digit} and {text[i - 1]} changed about", _SWAPPED))
    read = [(parse_length(candidate, unit), reason, penalty) for candidate, reason, penalty in found]
    values = [(value, reason, penalty) for value, reason, penalty in read if value is not None]
    if unit == "mm":
        values += [(typed + sign * 0.1, "a hundred miscounted", _HUNDRED) for sign in (-1, 1)]
    return values


def _named(digit: str) -> str:
    return f"an {digit}" if digit == "8" else f"a {digit}"
