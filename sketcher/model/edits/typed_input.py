"""What an owner types into a field, read as the scene's file would be: in any unit, with the file's errors."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import MISSING
from typing import Any, TypeVar

from sketcher.model.document import compose
from sketcher.model.edits.actions import SetValue
from sketcher.model.errors import SketchError
from sketcher.model.fields.reading import Field, Item
from sketcher.model.fields.records import default_of
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY
from sketcher.model.lookup import field_of, find
from sketcher.model.scene import Scene
from sketcher.model.units import parse_length, parse_offset

T = TypeVar("T")

_COMMA = re.compile(r"([+-]?)(\d+),(\d+)(\s*(?:[A-Za-z\"']+[3³]?(?: port| starboard| gal)?)?)\Z")
"""A number with one comma, and what may stand behind it."""
_IN_BLOCK = re.compile(r"(?<=:)(\s*)([^,{}\s][^,{}]*,\d[^,{}]*)(?=[,}])")
"""A value with one comma in a block of keys, where a comma before the next key has no figure behind it."""


def typed(scene: Scene, block: str, name: str, key: str, text: str) -> SetValue:
    """The edit that a typed text makes: read as in the scene's file, in any unit, a name where a tie may be.

    Raises SketchError where the text is no such value. Nothing typed takes an optional value away.
    """
    find(scene, block, name)
    field = field_of(block, key)
    if not text.strip() and not field.required:
        default = default_of(BLOCK_BY_KEY[block].type, field.attribute)
        return SetValue(block, name, key, None if default is MISSING else default)
    return SetValue(block, name, key, read_typed(field, text, scene.units, f"{block}.{name}.{key}"))


def read_typed(field: Field, text: str, units: str, key: str = "") -> Any:
    """A typed text as a field's value; one that is no list or block is taken as it stands, quotes and all. Raises SketchError.

    A comma that can only be a decimal one is taken for a point, where the text is no value as it stands.
    """
    return commas_for_points(text.strip(), lambda written: _read(field, written, units, key))


def typed_length(text: str, units: str) -> float:
    """A typed length [m]. Raises SketchError where the text is none."""
    return commas_for_points(text.strip(), lambda written: _length(written, units))


def typed_offset(text: str, units: str) -> float:
    """A typed distance off the centreline, starboard positive, or any other place [m]. Raises SketchError where it is none."""
    return commas_for_points(text.strip(), lambda written: _length(written, units, parse_offset))


def commas_for_points(text: str, read: Callable[[str], T]) -> T:
    """What `read` makes of a text, or of the same with a point for its decimal comma.

    Raises SketchError as `read`, or where a comma could stand before thousands as well as before decimals.
    """
    try:
        return read(text)
    except SketchError:
        pointed = _IN_BLOCK.sub(lambda value: value[1] + _pointed(value[2]), text) if text[:1] == "{" else _pointed(text)
        if pointed == text:
            raise
    return read(pointed)


def _pointed(text: str) -> str:
    """A number's text with a point for its decimal comma; other text as it is. Raises SketchError where it has two readings."""
    match = _COMMA.match(text)
    if match is None:
        return text
    sign, whole, decimals, rest = match.groups()
    if len(decimals) == 3 and whole.lstrip("0"):
        raise SketchError(
            f"`{text}` can be read two ways, as {whole}.{decimals}{rest} or as {whole}{decimals}{rest}",
            "Write it with a point before decimals, and nothing between thousands.",
        )
    return f"{sign}{whole}.{decimals}{rest}"


def _length(text: str, units: str, parse: Callable[[str, str], float | None] = parse_length) -> float:
    value = parse(text, units)
    if value is None:
        raise SketchError(f"`{text}` is no length", 'Write a number, or one with its unit such as "14 3/8 in".')
    return value


def _read(field: Field, text: str, units: str, key: str) -> Any:
    inside = text if text[:1] in ("[", "{") else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
    try:
        document = compose(f"value: {inside}\n", "")
        return field.kind.read(Item(document, document.root.entries[0][1], key or field.key, units))
    except SketchError as problem:
        problem.line = None
        raise
