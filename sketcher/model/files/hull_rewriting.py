"""A hull's text brought up to a changed hull: key by key, station by station, comments and order as they were."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from difflib import SequenceMatcher

from sketcher.model.document import Document, Mapping, Node
from sketcher.model.document import Sequence as NodeList
from sketcher.model.fields.records import pairs, write_flow
from sketcher.model.files.hull_file import HULL_FIELDS, STATION_FIELDS, key_texts, station_lines
from sketcher.model.files.splice import (
    Change,
    Insert,
    Remove,
    Splice,
    apply_changes,
    apply_splices,
    changes_between,
    line_end,
    line_start,
    replace_key,
    written,
)
from sketcher.model.hull import Hull, Station

_ORDER = [field.key for field in HULL_FIELDS]


def rewrite_hull(document: Document, old: Hull, new: Hull) -> Document:
    """A document that says what `old` says, changed to say what `new` says; both in the file's unit."""
    document = apply_splices(document, _station_splices(document, old, new))
    return apply_changes(document, _key_changes(document, key_texts(old), key_texts(new)))


def _key_changes(document: Document, old: dict[str, str], new: dict[str, str]) -> Iterator[Change]:
    """What to change of the hull's own keys."""
    for key in _ORDER:
        before, after = old.get(key), new.get(key)
        if before == after:
            continue
        there = document.root.get(key)
        if after is None:
            yield Remove((), key)
        elif there is None:
            yield Insert((), key, after, tuple(reversed(_ORDER[: _ORDER.index(key)])))
        elif before is None:
            yield replace_key(document, (), key, after)
        else:
            yield from changes_between(document, (key,), written(before), written(after))


def _station_splices(document: Document, old: Hull, new: Hull) -> list[Splice]:
    """Only what changed of each station, stations put in and taken out between the others; else the whole list anew."""
    node = document.find("stations")
    assert isinstance(node, NodeList)
    if old.stations == new.stations:
        return []
    units = new.units
    if node.flow:
        texts = ", ".join(write_flow(station, STATION_FIELDS, units) for station in new.stations)
        return [Splice(node.start, node.end, f"[{texts}]")]
    try:
        return list(_by_station(document, node, old, new))
    except _WrittenOtherwiseError:
        key = document.root.key("stations")
        assert key is not None
        lines = [f"  {line}" for station in new.stations for line in station_lines(station, units)]
        return [Splice(document.text.index(":", key.end) + 1, node.end, document.newline + document.newline.join(lines))]


class _WrittenOtherwiseError(Exception):
    """The file writes its stations in a way that is not changed piece by piece."""


def _by_station(document: Document, node: NodeList, old: Hull, new: Hull) -> Iterator[Splice]:
    units = new.units
    if not node.items or not all(isinstance(item, Mapping) for item in node.items):
        raise _WrittenOtherwiseError
    before, after = [station.at for station in old.stations], [station.at for station in new.stations]
    for _, i, j, k, m in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        paired = min(j - i, m - k)
        for item, was, now in zip(node.items[i : i + paired], old.stations[i:j], new.stations[k:m], strict=False):
            assert isinstance(item, Mapping)
            yield from _in_station(document, item, was, now, units)
        for item in node.items[i + paired : j]:
            yield _taken_out(document, item)
        if m - k > paired:
            yield _put_in(document, node, i + paired, new.stations[k + paired : m], units)


def _in_station(document: Document, item: Mapping, old: Station, new: Station, units: str) -> Iterator[Splice]:
    """The changed keys of one station; a comment on a key's line stays."""
    before, after = dict(pairs(old, STATION_FIELDS, units)), dict(pairs(new, STATION_FIELDS, units))
    missing = []
    for key, text in after.items():
        value = item.get(key)
        if text == before.get(key):
            continue
        if value is None:
            missing.append(f"{key}: {text}")
        elif isinstance(value, NodeList) and not value.flow:
            raise _WrittenOtherwiseError
        else:
            yield Splice(value.start, value.end, text)
    if missing and item.flow:
        yield Splice(item.end - 1, item.end - 1, "".join(f", {entry}" for entry in missing))
    elif missing:
        place = line_end(document.text, item.end)
        indent = document.newline + " " * (item.start - line_start(document.text, item.start))
        yield Splice(place, place, "".join(indent + entry for entry in missing))
    for name, value in item.entries:
        if name.text in before and name.text not in after:
            if item.flow or name is item.entries[0][0]:
                raise _WrittenOtherwiseError
            yield Splice(line_start(document.text, name.start), _after_line(document, value.end), "")


def _taken_out(document: Document, item: Node) -> Splice:
    """A station's lines, with the comments on them."""
    return Splice(line_start(document.text, item.start), _after_line(document, item.end), "")


def _put_in(document: Document, node: NodeList, place: int, stations: Iterable[Station], units: str) -> Splice:
    """Stations on lines of their own, before the member at a place, or past the last."""
    first = node.items[0]
    dash = document.text.rindex("-", 0, first.start)
    indent = " " * (dash - line_start(document.text, dash))
    lines = [f"{indent}{line}" for station in stations for line in station_lines(station, units)]
    if place < len(node.items):
        at = line_start(document.text, node.items[place].start)
        return Splice(at, at, document.newline.join(lines) + document.newline)
    at = line_end(document.text, node.items[-1].end)
    return Splice(at, at, document.newline + document.newline.join(lines))


def _after_line(document: Document, place: int) -> int:
    """Where the line after the one that holds a place begins."""
    end = line_end(document.text, place)
    return end + len(document.newline) if document.text.startswith(document.newline, end) else end
