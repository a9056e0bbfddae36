"""A scene's text brought up to a changed scene, object by object and field by field."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import SequenceMatcher
from typing import Any

from sketcher.model.document import Document, Mapping, Scalar
from sketcher.model.fields.kinds import write_text
from sketcher.model.fields.reading import Field
from sketcher.model.fields.records import Block, write_flow
from sketcher.model.fields.scene_fields import BLOCKS, SCENE_FIELDS
from sketcher.model.files.splice import (
    Change,
    Insert,
    Remove,
    Splice,
    apply_changes,
    apply_splices,
    changes_between,
    replace_key,
    written,
)
from sketcher.model.scene import Scene


def rewrite(document: Document, old: Scene, new: Scene) -> Document:
    """A document that says what `old` says, changed to say what `new` says; both in the file's unit."""
    document = apply_splices(document, _renames(document, old, new))
    return apply_changes(document, _changes(document, _with_names_of(old, new), new))


def _matched(old: tuple[Any, ...], new: tuple[Any, ...]) -> list[tuple[Any, Any]]:
    """Objects of a block before and after, side by side in the new order; None where one was added or taken out.

    An object that stands where another stood, both names being new to the other side, was renamed.
    """
    before, after = [item.name for item in old], [item.name for item in new]
    matched: list[tuple[Any, Any]] = []
    for tag, i, j, k, m in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag == "equal":
            matched += zip(old[i:j], new[k:m], strict=True)
            continue
        gone = [item for item in old[i:j] if item.name not in after]
        fresh = [item for item in new[k:m] if item.name not in before]
        renamed = dict(zip((item.name for item in fresh), gone, strict=False)) if len(gone) == len(fresh) else {}
        kept = {item.name for item in renamed.values()}
        matched += [(item, None) for item in old[i:j] if item.name not in kept]
        matched += [(renamed.get(item.name), item) for item in new[k:m]]
    return matched


def _renames(document: Document, old: Scene, new: Scene) -> Iterable[Splice]:
    for block in BLOCKS:
        node = document.root.get(block.key)
        for before, after in _matched(getattr(old, block.key), getattr(new, block.key)):
            if before is not None and after is not None and before.name != after.name and isinstance(node, Mapping):
                key = node.key(before.name)
                assert key is not None
                yield Splice(key.start, key.end, write_text(after.name))


def _with_names_of(old: Scene, new: Scene) -> Scene:
    """The old scene with objects called as in the new one; ties still say the old names."""
    renamed: dict[str, Any] = {}
    for block in BLOCKS:
        items = getattr(old, block.key)
        names = {
            before.name: after.name
            for before, after in _matched(items, getattr(new, block.key))
            if before is not None and after is not None
        }
        renamed[block.key] = tuple(replace(item, name=names.get(item.name, item.name)) for item in items)
    return replace(old, **renamed)


def _changes(document: Document, old: Scene, new: Scene) -> Iterable[Change]:
    """What to change in a document that says what `old` says."""
    for field in SCENE_FIELDS:
        yield from _field_changes(document, (), field, old, new, new.units, _before(field.key))
    for block in BLOCKS:
        yield from _block_changes(document, block, old, new)


_ORDER = [field.key for field in SCENE_FIELDS] + [block.key for block in BLOCKS]


def _before(key: str) -> tuple[str, ...]:
    """The keys that usually stand before one at the top of a scene, the nearest first."""
    return tuple(reversed(_ORDER[: _ORDER.index(key)]))


def _block_changes(document: Document, block: Block, old: Scene, new: Scene) -> Iterable[Change]:
    previous: tuple[str, ...] | None = None
    fresh = document.root.get(block.key) is None
    for before, after in _matched(getattr(old, block.key), getattr(new, block.key)):
        if after is None:
            yield Remove((block.key,), before.name)
            continue
        if before is None:
            if fresh:
                yield Insert((), block.key, "{}" if document.root.flow else "", _before(block.key))
                fresh = False
            yield Insert((block.key,), write_text(after.name), write_flow(after, block.fields, new.units), previous)
        elif before != after:
            for field in block.fields:
                yield from _field_changes(document, (block.key, after.name), field, before, after, new.units)
        previous = (after.name,)


def _field_changes(
    document: Document,
    path: tuple[str, ...],
    field: Field,
    before: Any,
    after: Any,
    units: str,
    follows: tuple[str, ...] = (),
) -> Iterable[Change]:
    """What to change for one field of an object that is in the file."""
    old, new = getattr(before, field.attribute), getattr(after, field.attribute)
    if old == new:
        return
    node = document.find(*path, field.key)
    write = field.kind.write if isinstance(node, Scalar) or field.kind.write_long is None else field.kind.write_long
    if new is None:
        yield Remove(path, field.key)
    elif node is None:
        yield Insert(path, field.key, field.kind.write(new, units), follows)
    elif old is None:
        yield replace_key(document, path, field.key, write(new, units))
    else:
        yield from changes_between(document, (*path, field.key), written(write(old, units)), written(write(new, units)))
