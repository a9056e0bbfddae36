"""Finding and exchanging the objects of a scene by block and name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from sketcher.model.errors import SketchError, nearest
from sketcher.model.fields.reading import Field
from sketcher.model.fields.records import Block
from sketcher.model.fields.scene_fields import BLOCK_BY_KEY, BLOCKS
from sketcher.model.files.scene_file import settled
from sketcher.model.scene import FromPanel, Scene


def find(scene: Scene, block: str, name: str) -> Any:
    """An object by its block and name. Raises SketchError with the nearest right name."""
    if block not in BLOCK_BY_KEY:
        raise SketchError(f"there is no block `{block}`", f"Known: {', '.join(BLOCK_BY_KEY)}.")
    items = getattr(scene, block)
    named = next((item for item in items if item.name == name), None)
    if named is None:
        near = nearest(name, (item.name for item in items))
        raise SketchError(f"there is no {BLOCK_BY_KEY[block].word} called `{name}`", f"Did you mean `{near}`?" if near else "")
    return named


def field_of(block: str, key: str) -> Field:
    """A field by its block and key. Raises SketchError with the nearest right key."""
    known = {field.key: field for field in BLOCK_BY_KEY[block].fields}
    if key not in known:
        near = nearest(key, known)
        raise SketchError(
            f"a {BLOCK_BY_KEY[block].word} has no `{key}`", f"Did you mean `{near}`?" if near else f"Known: {', '.join(known)}."
        )
    return known[key]


def block_of(item: Any) -> Block:
    """The block an object belongs to. Raises TypeError for anything else."""
    for block in BLOCKS:
        if isinstance(item, block.type):
            return block
    raise TypeError(f"{type(item).__name__} is no object of a scene")


def bulkhead_at(scene: Scene, name: str) -> float:
    """A bulkhead's `at` as a distance aft [m], through the bulkheads it is placed from."""
    at = find(scene, "bulkheads", name).at
    return bulkhead_at(scene, at.panel) + at.distance if isinstance(at, FromPanel) else float(at)


def with_item(scene: Scene, block: str, name: str, item: Any) -> Scene:
    """The scene with an object in another's place, checked and settled; the scene itself where nothing changes."""
    old = find(scene, block, name)
    changed = settled(swapped(scene, block, old, item), like=scene)
    return scene if changed == scene else changed


def with_items(scene: Scene, block: str, items: Iterable[Any]) -> Scene:
    """The scene with other objects in a block, unchecked."""
    changes: dict[str, Any] = {block: tuple(items)}
    return replace(scene, **changes)


def swapped(scene: Scene, block: str, old: Any, new: Any) -> Scene:
    """The scene with one object in another's place, unchecked."""
    return with_items(scene, block, (new if item is old else item for item in getattr(scene, block)))


def rivals(block: Block) -> list[str]:
    """The blocks in which a name must not be taken: all panels', for a panel."""
    return [other.key for other in BLOCKS if other.panel] if block.panel else [block.key]


def fresh_name(scene: Scene, block: str, stem: str = "") -> str:
    """A name nobody has: the stem (or the block's own word), with a number where it is taken."""
    stem = stem or BLOCK_BY_KEY[block].word
    taken = {item.name for key in rivals(BLOCK_BY_KEY[block]) for item in getattr(scene, key)}
    numbered = (f"{stem} {i}" for i in range(2, len(taken) + 3))
    return stem if stem not in taken else next(name for name in numbered if name not in taken)
