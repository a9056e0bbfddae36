"""Values in words, as the names of edits say them."""

from __future__ import annotations

from typing import Any

from sketcher.model.cutting import JointDirection
from sketcher.model.fields.reading import Field
from sketcher.model.scene import FromPanel, Waterline
from sketcher.model.units import format_length


def said(field: Field, old: Any, new: Any, units: str) -> str:
    """A change in words, the unit once where it serves both: `820 to 905 mm`; only the new value where there was none."""
    before, after = value_words(field, old, units), value_words(field, new, units)
    return f"to {after}" if old is None else from_to(before, after, units)


def from_to(before: str, after: str, units: str) -> str:
    """A change from one value in words to another, their unit once where it serves both."""
    for unit in (f" {units} to port", f" {units} to starboard", f" {units}", "°", " kg"):
        if before.endswith(unit) and after.endswith(unit):
            before = before.removesuffix(unit)
            break
    return f"{before} to {after}"


def joint_place(direction: JointDirection, place: float, units: str) -> str:
    """Where a joint lies, as a person says it, with its unit."""
    if direction != "off_centre" or place == 0.0:
        return f"{format_length(place, units)} {units}"
    return f"{format_length(abs(place), units)} {units} to {'port' if place < 0.0 else 'starboard'}"


def value_words(field: Field, value: Any, units: str) -> str:
    """A value as a person says it, with its unit."""
    if value is None:
        return "nothing"
    if isinstance(value, str):
        return value
    if isinstance(value, FromPanel):
        way = "forward of" if value.distance < 0.0 else "aft of"
        return f"{format_length(abs(value.distance), units)} {units} {way} {value.panel}"
    if field.key == "off_centre" and value[0] == value[1] != 0.0:
        return f"{format_length(abs(value[0]), units)} {units} to {'port' if value[0] < 0.0 else 'starboard'}"
    if isinstance(value, Waterline):
        return _waterline_words(value, units)
    text = field.kind.write(value, units).strip("[]")
    if not any(character.isdigit() for character in text):
        return text
    return text + {"length": f" {units}", "kg": " kg"}.get(field.kind.unit, field.kind.unit)


def _waterline_words(water: Waterline, units: str) -> str:
    heights = (water.forward, water.after) if water.forward is not None else (water.bow_freeboard, water.stern_freeboard)
    first, second = (format_length(height or 0.0, units) for height in heights)
    text = f"{first} {units}" if first == second else f"{first} forward and {second} {units} aft"
    if water.heel:
        text += f", heeled {abs(water.heel):g}° to {'starboard' if water.heel > 0.0 else 'port'}"
    return text if water.forward is not None else f"freeboard {text}"
