"""What an owner types into a field, read as the scene's file would be: in any unit, with the file's errors."""

from __future__ import annotations

from dataclasses import MISSING
from typing import Any

from sketcher.model.document import compose
from sketcher.model.edits import SetValue
from sketcher.model.errors import SketchError
from sketcher.model.lookup import field_of, find
from sketcher.model.reading import Field, Item
from sketcher.model.records import default_of
from sketcher.model.scene import Scene
from sketcher.model.scene_fields import BLOCK_BY_KEY


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
    """A typed text as a field's value; one that is no list or block is taken as it stands, quotes and all. Raises SketchError."""
    text = text.strip()
    inside = text if text[:1] in ("[", "{") else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
    try:
        document = compose(f"value: {inside}\n", "")
        return field.kind.read(Item(document, document.root.entries[0][1], key or field.key, units))
    except SketchError as problem:
        problem.line = None
        raise
