"""Figures by their paths in the report's JSON, in the owner's words and unit."""

from __future__ import annotations

import re
from typing import NamedTuple

from sketcher.outputs.wording.quantities import UNKNOWN, length_with_unit, litres, mass_number, mass_unit, plain

_HOLED = r"flooding\.(?P<holed>.+?)\.(?P<emptied>emptiest\.)?"
_AFLOAT = r"(?:with_changes\.)?floating\."
_PATTERNS = tuple(
    (re.compile(pattern + r"\Z"), kind)
    for pattern, kind in (
        (r"compartments\.(?P<of>.+)\.volume_m3", "litres"),
        (r"compartments\.(?P<of>.+)\.below_waterline_m3", "litres below"),
        (r"berths\.(?P<of>.+)\.length_m", "berth length"),
        (r"berths\.(?P<of>.+)\.headroom_m", "headroom"),
        (r"berths\.(?P<of>.+)\.tallest_m", "stature"),
        (r"bulkheads\.(?P<of>.+)\.place", "place"),
        (r"chains\.(?P<of>.+)\.goes_in_kg", "chain kg"),
        (r"bottles\.(?P<of>.+)\.uplift_kg", "bottles kg"),
        (r"boards\.(?P<of>.+)\.kg", "boards kg"),
        (r"boards\.sheets", "sheets"),
        (_AFLOAT + r"least_opening_clear_m", "opening over water"),
        (_HOLED + r"lids\.(?P<of>.+)\.clear_of_water_m", "lid over water"),
        (_HOLED + r"verdict", "verdict"),
        *(
            (head + tail, kind)
            for head in (_AFLOAT, _HOLED)
            for tail, kind in (
                (r"forward_freeboard_m", "bow freeboard"),
                (r"after_freeboard_m", "stern freeboard"),
                (r"least_freeboard_m", "least freeboard"),
                (r"gm_m", "GM"),
            )
        ),
        *((head + r"trim_deg", "trim") for head in (r"(?:with_changes\.)?waterline\.", _HOLED)),
        *((head + r"heel_deg", "heel") for head in (r"(?:with_changes\.)?waterline\.", _HOLED)),
    )
)


class FigureName(NamedTuple):
    """kind: the owner's word for such figures; of: the object; holed: what is holed, with a word where spaces are emptied."""

    kind: str
    of: str = ""
    holed: str = ""

    @property
    def words(self) -> str:
        """As in a sentence: `lid over water of tank top with forward void holed`."""
        return f"{self.kind}{f' of {self.of}' if self.of else ''}{f' with {self.holed}' if self.holed else ''}"

    @property
    def short(self) -> str:
        """What tells it from others of its kind."""
        return self.of or self.kind


def figure_name(path: str) -> FigureName:
    """What a path is called; the path itself where no word is known.

    >>> figure_name("flooding.fore void.emptiest.lids.tank top.clear_of_water_m").words
    'lid over water of tank top with fore void holed and empty'
    """
    for pattern, kind in _PATTERNS:
        match = pattern.match(path)
        if match:
            parts = match.groupdict()
            holed = f"{parts['holed']} holed{' and empty' if parts.get('emptied') else ''}" if parts.get("holed") else ""
            return FigureName(kind, parts.get("of") or "", holed)
    return FigureName(path)


def scale_of(path: str, units: str) -> tuple[float, str]:
    """What a figure in SI is multiplied by for a scale, and the unit that then stands beside it."""
    if path.endswith("_m3"):
        return 1000.0, "litres"
    if path.endswith("_deg"):
        return 1.0, "°"
    if path.endswith("_m"):
        return {"mm": (1000.0, "mm"), "cm": (100.0, "cm"), "m": (1.0, "m")}.get(units, (1 / 0.0254, "in"))
    if path.endswith("place"):
        return 100.0, "% of her length"
    if path.endswith("kg"):
        return (1.0, "kg") if mass_unit(units) == "kg" else (1 / 0.45359237, "lb")
    return 1.0, ""


def told(path: str, value: float | str | None, units: str) -> str:
    """A figure with its unit."""
    if value is None or isinstance(value, str):
        return value or UNKNOWN
    if path.endswith("_m3"):
        return f"{litres(value)} L"
    if path.endswith("_m"):
        return length_with_unit(value, units)
    if path.endswith("kg"):
        return f"{mass_number(value, units)} {mass_unit(units)}"
    if path.endswith("_deg"):
        return f"{plain(value, 1)}°"
    return f"{plain(100.0 * value, 1)} %" if path.endswith("place") else plain(value, 0)
