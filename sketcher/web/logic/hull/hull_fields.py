"""What can be typed of a hull: each field's key as in the file, its text, and the edit that a typed text makes."""

from __future__ import annotations

import re
from dataclasses import MISSING
from typing import Any, Literal, cast

from sketcher.model.edits.hull_edits import Axis, HullEdit, Profile, SetHullValue, SetPoint, SetStationAt, hull_field, owner_of
from sketcher.model.edits.typed_input import read_typed, typed_length
from sketcher.model.errors import SketchError
from sketcher.model.fields.records import default_of
from sketcher.model.files.hull_file import PART_FIELDS
from sketcher.model.hull import Appendage, Hull
from sketcher.web.typed_state import FieldRow

OUTLINED = ("outline", "thickness")
"""Keys of an appendage that is told by its outline."""
_STATION = re.compile(r"stations\.(\d{1,4})\.at\Z")
_POINT = re.compile(r"stations\.(\d{1,4})\.(points|port)\.(\d{1,4})\.([12])\Z")
_PROFILE = re.compile(r"(stem|stern)\.(\d{1,4})\.([12])\Z")
WHOLE = ("hull", "material", "offsets_to", "shell", "measured_to", "between_points", "between_stations", "aft_end")
"""The hull's own keys that are typed on the page, in order; its unit is fixed."""
LISTS = ("level", "outline")
"""Lists of points, whose outer brackets are not shown."""
WORDS = {
    "hull": "name",
    "offsets_to": "measured to the",
    "shell": "shell's thickness",
    "measured_to": "measured to within",
    "aft_end": "after end",
    "from": "begins at",
    "to": "ends at",
    "half_breadth": "half-breadth fwd, aft",
    "at": "place aft, off centre, height",
    "sole": "sole's height",
    "outline": "outline, [aft, height], …",
    "rake": "rake, top aft",
    "curve": "curve across, its middle aft of its sides",
    "trim": "trim, by the bow",
    "heel": "heel, to starboard",
    "level": "marks level when she floats, [aft, off centre, height], …",
    "heights_from": "height of what heights were measured from",
    "heights": "heights were measured",
}
"""What fields are called where the file's key would not be read as plain words."""


def hull_edit(hull: Hull, key: str, text: str) -> HullEdit:
    """The edit that a text typed in a field makes. Raises SketchError where it is no such value, or there is no such field."""
    if match := _STATION.match(key):
        return SetStationAt(int(match[1]), typed_length(text, hull.units))
    if match := _POINT.match(key):
        to = typed_length(text, hull.units)
        return SetPoint(int(match[1]), int(match[3]), _axis(match[4]), to, port=match[2] == "port")
    if match := _PROFILE.match(key):
        return SetPoint(cast("Profile", match[1]), int(match[2]), _axis(match[3]), typed_length(text, hull.units))
    part, _, name = key.rpartition(".")
    field = hull_field(part, name)
    if not text.strip() and not field.required:
        default = default_of(type(owner_of(hull, part)), field.attribute)
        return SetHullValue(part, name, None if default is MISSING else default)
    return SetHullValue(part, name, read_typed(field, _as_list(name, text.strip()), hull.units, key))


def _as_list(name: str, text: str) -> str:
    """A typed text as the file's list, whose outer brackets are not shown on the page; of marks each keeps its own."""
    if name in ("half_breadth", "at") and text[:1] != "[":
        return f"[{text}]"
    return f"[{text}]" if name in LISTS and text[:2] != "[[" else text


def _axis(digit: str) -> Axis:
    return cast("Literal[0, 1]", int(digit) - 1)


def whole_rows(hull: Hull) -> tuple[FieldRow, ...]:
    """The fields of the hull as a whole."""
    return tuple(_row(hull, "", key, hull) for key in WHOLE)


def part_rows(hull: Hull, part: str) -> tuple[FieldRow, ...]:
    """The fields of one of the hull's parts, `appendages.NAME` for an appendage; none where she has no such part."""
    try:
        owner = owner_of(hull, part)
    except SketchError:
        return ()
    fields = PART_FIELDS[part.partition(".")[0]]
    if isinstance(owner, Appendage):
        # By its outline all else follows; without one there is no thickness to tell.
        fields = tuple(field for field in fields if (field.key in OUTLINED) == bool(owner.outline))
    return tuple(_row(hull, part, field.key, owner) for field in fields)


def _row(hull: Hull, part: str, key: str, owner: Any) -> FieldRow:
    field = hull_field(part, key)
    value = getattr(owner, field.attribute)
    text = "" if value is None else field.kind.write(value, hull.units)
    unit = {"length": f", {hull.units}", "": ""}.get(field.kind.unit, f", {field.kind.unit}")
    return FieldRow(
        key=f"{part}.{key}" if part else key,
        word=WORDS.get(key, field.words) + unit,
        text=text[1:-1] if key in LISTS else text.strip('[]"'),
        options=field.kind.options,
    )
