"""The fields of an object as the page shows them, and what is typed there as the scene's file would have it."""

from __future__ import annotations

import re
from typing import Any

from sketcher.model.edits.typed_input import read_typed
from sketcher.model.errors import SketchError
from sketcher.model.fields.kinds import write_text
from sketcher.model.fields.reading import Field
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY, SCENE_FIELD_BY_KEY
from sketcher.model.scene import FromPanel, Scene
from sketcher.model.units import format_length
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.web.logic.scene_objects import BLOCK_OF, scene_object
from sketcher.web.typed_state import FieldRow

ELSEWHERE = ("joints",)
"""Fields that are typed elsewhere on the page: joints beside the pattern that they cut."""
WATER_FIELDS = ("centre_of_gravity", "water")
"""Fields of the scene that are typed on the waterline's card, beside its marks."""


def field_rows(scene: Scene, ref: ObjectRef | None) -> tuple[FieldRow, ...]:
    """The fields of an object, as they may be typed; none where it is not in the scene. Of the water those beside its marks."""
    if ref is None:
        return ()
    if ref.kind == "waterline":
        return tuple(_scene_row(scene, key) for key in WATER_FIELDS)
    item = scene_object(scene, ref)
    if item is None:
        return ()
    fields = BLOCK_BY_KEY[BLOCK_OF[ref.kind]].fields
    return tuple(_row(scene, field, getattr(item, field.attribute)) for field in fields if field.key not in ELSEWHERE)


def _row(scene: Scene, field: Field, value: Any) -> FieldRow:
    text = "" if value is None else field.kind.write(value, scene.units)
    text = _tie_words(value, scene.units) if isinstance(value, FromPanel) else text[1:-1] if _is_row(text) else text
    ties = tuple(item.name for block in field.ties for item in getattr(scene, block))
    words = tuple(dict.fromkeys((*field.kind.options, *ties)))
    free = bool(field.ties) or field.kind.unit == "length"
    return FieldRow(
        key=field.key,
        word=field.words + {"length": f", {scene.units}", "": ""}.get(field.kind.unit, f", {field.kind.unit}"),
        text=text.strip('"'),
        options=() if free else words,
        suggestions=words if free else (),
    )


def _scene_row(scene: Scene, key: str) -> FieldRow:
    field = SCENE_FIELD_BY_KEY[key]
    value = getattr(scene, field.attribute)
    text = "" if value is None else field.kind.write(value, scene.units).strip("{}").removeprefix("height: ")
    unit = f", {scene.units}" if key != "water" else ""
    return FieldRow(key=key, word=field.words + unit, text=text)


def typed_object_value(scene: Scene, ref: ObjectRef, key: str, text: str) -> str:
    """What is typed in a field of an object, as the file has it: with the brackets that the page leaves out."""
    fields = BLOCK_BY_KEY[BLOCK_OF[ref.kind]].fields
    field = next((field for field in fields if field.key == key), None)
    item = scene_object(scene, ref)
    value = None if field is None or item is None else getattr(item, field.attribute)
    if field is None or not text.strip() or text.lstrip()[0] in "[{":
        return text
    if ref.kind == "bulkhead" and key == "at" and (tied := _as_tie(text, [other.name for other in scene.bulkheads])):
        return tied
    if value is None:
        # Nothing written yet tells whether a row is meant: it is where the text is no value as it stands.
        return f"[{text.strip()}]" if ", " in text and not _reads(field, text, scene.units) else text
    was = field.kind.write(value, scene.units)
    # A comma without a space may be a decimal one; words in an empty row need none.
    return f"[{text.strip()}]" if _is_row(was) and (", " in text or was == "[]") else text


def typed_scene_value(key: str, text: str) -> str:
    """What is typed in a field of the scene, as the file has it: a centre of gravity is its height."""
    return f"{{height: {text.strip()}}}" if key == "centre_of_gravity" else text


def _reads(field: Field, text: str, units: str) -> bool:
    try:
        read_typed(field, text, units)
    except SketchError:
        return False
    return True


def _is_row(text: str) -> bool:
    """Whether a written value is one row of values."""
    return text.startswith("[") and text.endswith("]") and "[" not in text[1:]


def _tie_words(at: FromPanel, units: str) -> str:
    """A bulkhead's place so far from another as it may be typed: `main - 700`."""
    return f"{at.panel} {'-' if at.distance < 0.0 else '+'} {format_length(abs(at.distance), units)}"


def _as_tie(text: str, names: list[str]) -> str:
    """A bulkhead's place so far from another, typed as `main - 700` or without its braces, as the file says it; else ""."""
    text = text.strip()
    if text.startswith("from:"):
        return f"{{{text}}}"
    for name in sorted(names, key=len, reverse=True):
        match = re.fullmatch(r"\s*([+-])\s*(\S.*)", text.removeprefix(name)) if text.startswith(name) else None
        if match is not None:
            return f"{{from: {write_text(name)}, distance: {match[1].strip('+')}{match[2]}}}"
    return ""
