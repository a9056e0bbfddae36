"""Plain words for places, lengths and volumes in findings: millimetres and litres."""

from __future__ import annotations

from collections.abc import Sequence


def mm(length: float) -> str:
    """A length [m] in millimetres; tenths only where they matter."""
    value = length * 1000
    return f"{value:.1f} mm" if abs(value) < 20 and abs(value - round(value)) >= 0.05 else f"{value:.0f} mm"


def litres(volume: float) -> str:
    """A volume [m3] in litres, or in millilitres below a tenth of one."""
    return f"{volume * 1e6:.2g} ml" if volume < 1e-4 else f"{volume * 1000:.1f} litres"


def place(point: Sequence[float]) -> str:
    """A point [m] in the boat's axes: how far aft, off the centreline and up."""
    x, y, z = point
    side = "on the centreline" if abs(y) < 5e-4 else f"{mm(abs(y))} to {'starboard' if y > 0 else 'port'}"
    return f"{mm(x)} aft, {side}, {mm(z)} up"


def listed(names: Sequence[str]) -> str:
    """Names in a row: `A, B and C`."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
