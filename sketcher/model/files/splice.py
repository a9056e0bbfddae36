"""Small changes to a YAML text at known places: comments, order, line ends and everything untouched stay as they were."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from sketcher.model.document import Document, Mapping, Node, Scalar, Sequence, compose

_SIDE = re.compile(r"\S.*\s(port|starboard)\Z")
_NUMBER = re.compile(r"-?[\d.]+\Z")


@dataclass(frozen=True, slots=True)
class Splice:
    """New text for the characters from start up to end."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Insert:
    """A key to add to the block at `path`, after the first key of `after` that is there (None: first; none there: last)."""

    path: tuple[str, ...]
    key: str
    text: str
    after: tuple[str, ...] | None = ()


@dataclass(frozen=True, slots=True)
class Remove:
    """A key to take out of the block at `path`."""

    path: tuple[str, ...]
    key: str


Change = Splice | Insert | Remove


def apply_splices(document: Document, splices: Iterable[Splice]) -> Document:
    """The document with non-overlapping splices made."""
    text = document.text
    for splice in sorted(splices, key=lambda splice: splice.start, reverse=True):
        text = text[: splice.start] + splice.text + text[splice.end :]
    return compose(text, document.file, document.bom)


def apply_changes(document: Document, changes: Iterable[Change]) -> Document:
    """The document with all changes made: splices first, at the places they were planned for, then keys taken out and added."""
    changes = list(changes)
    document = apply_splices(document, [change for change in changes if isinstance(change, Splice)])
    for removal in (change for change in changes if isinstance(change, Remove)):
        block = document.find(*removal.path)
        if isinstance(block, Mapping) and block.get(removal.key) is not None:
            document = apply_splices(document, [_removal(document, block, removal.key)])
    for insertion in (change for change in changes if isinstance(change, Insert)):
        document = apply_splices(document, [_insertion(document, insertion)])
    return document


def changes_between(
    document: Document, path: tuple[str, ...], before: tuple[Document, Node], after: tuple[Document, Node]
) -> list[Change]:
    """What to change at `path` so that it says what `after` says, touching only where `before` and `after` differ.

    before, after: the value as this program would write it, before and after the change.
    """
    return list(_differences(document, document.find(*path), path, before, after))


def written(text: str) -> tuple[Document, Node]:
    """A value as this program writes it, with its place in a text of its own."""
    document = compose(f"value: {text}\n", "")
    return document, document.root.entries[0][1]


def replace_key(document: Document, path: tuple[str, ...], key: str, text: str) -> Splice:
    """New text for the value of a key that is there, in the block at `path`."""
    block = document.find(*path)
    assert isinstance(block, Mapping)
    name, value = next((name, value) for name, value in block.entries if name.text == key)
    return _replace_value(document, name, value, text)


def _replace_value(document: Document, key: Scalar, value: Node, text: str) -> Splice:
    """New text for a key's value; lists and blocks written over several lines become one line."""
    if isinstance(value, Scalar) and value.start == value.end:
        space = "" if document.text[value.start - 1 : value.start].isspace() else " "
        return Splice(value.start, value.end, space + text)
    if isinstance(value, Scalar) and document.text[value.start] not in "|>":
        return Splice(value.start, value.end, _on_the_same_side(value, text))
    if not isinstance(value, Scalar) and value.flow:
        return Splice(value.start, value.end, text)
    colon = document.text.index(":", key.end)
    return Splice(colon + 1, _content_end(document, value), " " + text)


def _differences(
    document: Document, node: Node | None, path: tuple[str, ...], before: tuple[Document, Node], after: tuple[Document, Node]
) -> Iterable[Change]:
    (old_text, old), (new_text, new) = before, after
    if _same(old, new):
        return []
    if isinstance(node, Mapping) and isinstance(old, Mapping) and isinstance(new, Mapping):
        return _differences_of_keys(document, node, path, (old_text, old), (new_text, new))
    if isinstance(node, Sequence) and isinstance(old, Sequence) and isinstance(new, Sequence):
        members = _members(node, old, new)
        if members is not None:
            return [
                Splice(there.start, there.end, _on_the_same_side(there, _source(new_text, value)))
                for there, was, value in members
                if not _same(was, value)
            ]
    return [replace_key(document, path[:-1], path[-1], _source(new_text, new))]


def _differences_of_keys(
    document: Document,
    node: Mapping,
    path: tuple[str, ...],
    before: tuple[Document, Mapping],
    after: tuple[Document, Mapping],
) -> Iterable[Change]:
    """Keys changed or added, in the new order, then those taken out."""
    (old_text, old), (new_text, new) = before, after
    for key, value in new.entries:
        there, was = node.get(key.text), old.get(key.text)
        if was is not None and _same(was, value):
            continue
        if there is None:
            yield Insert(path, _source(new_text, key), _source(new_text, value))
        elif was is None:
            yield replace_key(document, path, key.text, _source(new_text, value))
        else:
            yield from _differences(document, there, (*path, key.text), (old_text, was), (new_text, value))
    for key, _ in old.entries:
        if new.get(key.text) is None and node.get(key.text) is not None:
            yield Remove(path, key.text)


def _source(document: Document, node: Node) -> str:
    """A value as it is written."""
    return document.text[node.start : node.end]


def _members(node: Sequence, old: Sequence, new: Sequence) -> list[tuple[Scalar, Node, Node]] | None:
    """The members of three lists side by side; None where their numbers differ or the file's are not single values."""
    if not len(node.items) == len(old.items) == len(new.items):
        return None
    members = [
        (there, was, value)
        for there, was, value in zip(node.items, old.items, new.items, strict=True)
        if isinstance(there, Scalar) and there.start != there.end
    ]
    return members if len(members) == len(new.items) else None


def _same(a: Node, b: Node) -> bool:
    """Whether two values say the same."""
    if isinstance(a, Scalar) and isinstance(b, Scalar):
        return a.text == b.text
    if isinstance(a, Sequence) and isinstance(b, Sequence):
        return len(a.items) == len(b.items) and all(_same(x, y) for x, y in zip(a.items, b.items, strict=True))
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return len(a.entries) == len(b.entries) and all(
            k.text == m.text and _same(x, y) for (k, x), (m, y) in zip(a.entries, b.entries, strict=True)
        )
    return False


def _on_the_same_side(value: Node, text: str) -> str:
    """A number in place of one such as `450 port` keeps that way of writing."""
    if isinstance(value, Scalar) and _SIDE.match(value.text) and _NUMBER.match(text):
        return f"{text.removeprefix('-')} {'port' if text.startswith('-') else 'starboard'}"
    return text


def _content_end(document: Document, node: Node) -> int:
    """Where a value's last character ends; a text block's own mark is already past its line end."""
    end = node.end
    while end > node.start and document.text[end - 1].isspace():
        end -= 1
    return end


def line_start(text: str, place: int) -> int:
    """Where the line that holds a place begins."""
    return max(text.rfind("\n", 0, place), text.rfind("\r", 0, place)) + 1


def line_end(text: str, place: int) -> int:
    """Where the line that holds a place ends, before its line break."""
    found = [at for at in (text.find("\r\n", place), text.find("\n", place)) if at >= 0]
    return min(found, default=len(text))


def _removal(document: Document, block: Mapping, key: str) -> Splice:
    """Take a key and its value out, with the comment on its own line."""
    text = document.text
    place = next(i for i, (name, _) in enumerate(block.entries) if name.text == key)
    name, value = block.entries[place]
    if block.flow:
        if place + 1 < len(block.entries):
            return Splice(name.start, block.entries[place + 1][0].start, "")
        start = block.entries[place - 1][1].end if place else name.start
        return Splice(start, value.end, "")
    end = line_end(text, _content_end(document, value))
    end += len(document.newline) if text.startswith(document.newline, end) else 0
    return Splice(line_start(text, name.start), end, "")


def _insertion(document: Document, change: Insert) -> Splice:
    """Add a key: on a line of its own in a block, after a comma between braces."""
    entry = f"{change.key}: {change.text}".rstrip()
    block = document.find(*change.path)
    if not isinstance(block, Mapping):
        return _first_entry(document, change.path, entry)
    names = [name.text for name, _ in block.entries]
    if block.flow:
        return _insertion_between_braces(block, names, change.after, entry)
    indent = document.text[line_start(document.text, block.start) : block.start]
    if not indent.isspace():
        indent = " " * len(indent)
    if change.after is None:
        return Splice(block.start, block.start, f"{entry}{document.newline}{indent}")
    last = block.entries[_place_of(names, change.after)][1]
    place = line_end(document.text, _content_end(document, last))
    return Splice(place, place, f"{document.newline}{indent}{entry}")


def _insertion_between_braces(block: Mapping, names: list[str], after: tuple[str, ...] | None, entry: str) -> Splice:
    if not names:
        return Splice(block.start + 1, block.start + 1, entry)
    if after is None:
        return Splice(block.start + 1, block.start + 1, f"{entry}, ")
    place = block.entries[_place_of(names, after)][1].end
    return Splice(place, place, f", {entry}")


def _place_of(names: list[str], wanted: tuple[str, ...]) -> int:
    """The place of the first wanted name that is there, else of the last name."""
    return next((names.index(name) for name in wanted if name in names), -1)


def _first_entry(document: Document, path: tuple[str, ...], entry: str) -> Splice:
    """The first key below one that has no value yet."""
    parent = document.find(*path[:-1])
    assert isinstance(parent, Mapping)
    key, value = next((name, value) for name, value in parent.entries if name.text == path[-1])
    if parent.flow:
        return _replace_value(document, key, value, "{" + entry + "}")
    column = key.start - line_start(document.text, key.start)
    if value.start != value.end:
        return _replace_value(document, key, value, "{" + entry + "}")
    place = line_end(document.text, value.end)
    return Splice(place, place, f"{document.newline}{' ' * (column + 2)}{entry}")
