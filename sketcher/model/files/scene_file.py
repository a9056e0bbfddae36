"""Scene files: a layout read whole, with its hull, and the text of a new one."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sketcher.model.document import Document, compose, read_document
from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.fields.kinds import path as path_kind
from sketcher.model.fields.kinds import write_text
from sketcher.model.fields.reading import Item, read_units, unknown_key
from sketcher.model.fields.records import Block, name_problem, pairs, read_block, read_object, write_flow
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY, BLOCKS, SCENE_FIELD_BY_KEY, SCENE_FIELDS
from sketcher.model.files.hull_file import read_hull
from sketcher.model.files.line_lookup import line_of
from sketcher.model.hull import Hull
from sketcher.model.limits import refuse_too_many
from sketcher.model.packed import ASK_AGAIN, HULL_PART, zip_of
from sketcher.model.scene import Scene
from sketcher.model.ties import check_ties
from sketcher.model.units import example_length


def read_scene(path: str | os.PathLike[str]) -> Scene:
    """A scene and its hull from a file. Raises SketchError with file, line, key and remedy for whatever is wrong."""
    return scene_from(read_document(path))


def scene_from(document: Document, hull: Hull | None = None, *, half_entered: bool = False) -> Scene:
    """The scene a document describes; `hull` spares reading the hull's file again when it is known to be the same.

    half_entered: also with a hull that is none yet, as far as she is entered.

    Raises SketchError as `read_scene`.
    """
    root = document.root
    if root.get("stations") is not None and root.get("scene") is None:
        raise SketchError(
            "this is a hull's file, not a scene's",
            "Start a scene in it: sketcher new SCENE --hull HULL.",
            document.file,
            root.entries[0][0].line,
        )
    item = Item(document, root, "", read_units(document))
    values: dict[str, Any] = {}
    for key, value in item.entries("a scene"):
        block = BLOCK_BY_KEY.get(key.text)
        field = SCENE_FIELD_BY_KEY.get(key.text)
        if block is not None:
            values[block.key] = read_block(value, block)
        elif field is None:
            raise unknown_key(value, key, [*SCENE_FIELD_BY_KEY, *BLOCK_BY_KEY])
        elif not value.empty:
            values[field.attribute] = field.kind.read(value)
    for field in SCENE_FIELDS:
        if field.required and field.attribute not in values:
            raise SketchError(f"`{field.key}` is missing", f"Add a line `{field.key}: …`.", document.file, 1, field.key)
    if hull is None:
        hull = _read_hull_of(document, values["hull_path"], half_entered)
    scene = Scene(hull=hull, file=document.file or None, **values)
    try:
        check_ties(scene)
    except SketchError as problem:
        raise SketchError(
            problem.message, problem.remedy, document.file, line_of(document, problem.key or ""), problem.key
        ) from None
    return scene


def _read_hull_of(document: Document, hull_path: str, half_entered: bool) -> Hull:
    """The hull a scene names, its path taken from the scene's folder; a missing one is the scene's error."""
    target = os.path.normpath(os.path.join(os.path.dirname(document.file), hull_path))
    value = document.root.get("hull")
    line = None if value is None else value.line
    if zip_of(document.file) is not None:
        if hull_path != HULL_PART:
            words = f"a packed layout brings its hull as `{HULL_PART}`; this one names `{quoted(hull_path)}`"
            raise SketchError(words, ASK_AGAIN, document.file, line, "hull")
        return read_hull(target)
    if os.path.isdir(target):
        raise SketchError(
            f"`{quoted(hull_path)}` is a folder", _near_hulls(f"{target}/x", hull_path), document.file, line, "hull"
        )
    if not os.path.exists(target):
        raise SketchError(
            f"there is no hull file {quoted(hull_path)}", _near_hulls(target, hull_path), document.file, line, "hull"
        )
    return read_hull(target, half_entered=half_entered)


def _near_hulls(target: str, hull_path: str) -> str:
    """What to write instead of a hull file that is not there."""
    from pathlib import Path

    folder = Path(target).parent
    if not os.path.isdir(folder):
        return f"There is no folder `{quoted(os.path.dirname(hull_path))}`; the path counts from the scene's folder."
    names = sorted(item.name for item in folder.glob("*.yaml"))
    near = nearest(Path(target).name, names)
    if near:
        return f"Did you mean `{os.path.join(os.path.dirname(hull_path), near)}`?"
    return f"The path counts from the scene's folder; hulls there: {', '.join(names[:6]) or 'none'}."


def scene_text(scene: Scene) -> str:
    """A whole scene as the text of a file, without comments; reading it gives the scene again."""
    lines = [f"{key}: {text}" for key, text in pairs(scene, SCENE_FIELDS, scene.units)]
    for block in BLOCKS:
        items = getattr(scene, block.key)
        if items:
            lines += [f"{block.key}:", *(f"  {object_text(item, block, scene.units)}" for item in items)]
    return "\n".join(lines) + "\n"


def object_text(item: Any, block: Block, units: str) -> str:
    """One named object on one line, as `main: {at: 3250, thickness: 12}`."""
    return f"{write_text(item.name)}: {write_flow(item, block.fields, units)}"


def settled(scene: Scene, like: Scene | None = None) -> Scene:
    """The scene as its file would give it back: each length at its written step; what `like` shares is left alone.

    Raises SketchError where a value could not be read back, or ties do not hold.
    """
    changes: dict[str, Any] = {}
    for field in SCENE_FIELDS:
        value = getattr(scene, field.attribute)
        if value is not None and (like is None or getattr(like, field.attribute) is not value):
            changes[field.attribute] = round_trip(value, field.kind.write, field.kind.read, scene.units, field.key)
    for block in BLOCKS:
        known = {id(item) for item in getattr(like, block.key)} if like is not None else set()
        items = getattr(scene, block.key)
        refuse_too_many(block.key, len(items))
        changes[block.key] = tuple(item if id(item) in known else settled_object(item, block, scene.units) for item in items)
    result = replace(scene, **changes)
    check_ties(result)
    return result


def settled_object(item: Any, block: Block, units: str) -> Any:
    """An object as its file would give it back. Raises SketchError for a value outside its limits."""
    problem = name_problem(item.name, block.panel)
    if problem:
        raise SketchError(problem, "Give it another name.", key=f"{block.key}.{item.name}")
    key = f"{block.key}.{item.name}"
    return round_trip(
        item, lambda value, unit: write_flow(value, block.fields, unit), lambda it: read_object(it, block, item.name), units, key
    )


def round_trip(value: Any, write: Callable[[Any, str], str], read: Callable[[Item], Any], units: str, key: str) -> Any:
    """A value written and read again. Raises SketchError, naming the key, where it breaks a limit."""
    document = compose(f"value: {write(value, units)}\n", "")
    try:
        return read(Item(document, document.root.entries[0][1], key, units))
    except SketchError as problem:
        problem.line = None
        raise


def new_scene_text(name: str, hull_path: str, units: str, water: str = "sea") -> str:
    """The text of a new scene in a hull, with a word on what to add next, its examples in the file's unit."""

    def example(metres: float) -> str:
        return example_length(metres, units)

    return f"""\
scene: {write_text(name)}
hull: {path_kind.write(hull_path, units)}
units: {units}
water: {water}
# The waterline: one height above the base line, or the freeboards measured afloat, for example
#   waterline: {{bow_freeboard: {example(1.095)}, stern_freeboard: {example(0.94)}}}
# A freeboard goes plumb from the water to the deck's edge at the side (not to the crown of the deck amidships): the bow's at the
# stem, the stern's at the transom's corner.
# Panels: distances are from the hull's zero, heights from its base line, in the unit above or with their own, for example
#   bulkheads:
#     collision: {{at: {example(1.15)}, thickness: {example(0.018)}}}
#   lids:
#     tank top: {{height: {example(0.78)}, from: collision, to: {example(3.25)}, thickness: {example(0.012)}}}
"""


def ready_scene_text(scene: Scene) -> str:
    """The text of a scene that was drawn and not typed, with a word on what is guessed in it."""
    measure = "# Guessed from her shape: measure them, write them in, and take their names out of `guessed`.\n"
    return "".join(
        measure + line if line.startswith("guessed:") else line for line in scene_text(scene).splitlines(keepends=True)
    )
