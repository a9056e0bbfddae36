"""A hull's file with its stations measured again: what else an owner wrote in it stays as it was."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace

from sketcher.model.document import Document, Mapping, compose, read_document
from sketcher.model.document import Sequence as NodeList
from sketcher.model.errors import SketchError
from sketcher.model.fields.records import pairs, write_flow
from sketcher.model.files.hull_file import STATION_FIELDS, hull_from, station_lines
from sketcher.model.files.replacement import replace_file
from sketcher.model.files.splice import Splice, apply_splices
from sketcher.model.hull import Hull, Station


def remeasure_hull(path: str | os.PathLike[str], stations: Sequence[Station]) -> Hull:
    """Put other stations into a hull's file, in the file's own unit, and give the hull it then describes.

    Comments and all other keys stay; comments among the stations stay where each station keeps its distance and its number of
    knuckles. Raises SketchError, and leaves the file, where it is no hull's or the stations do not go with the rest of it.
    """
    try:
        document = read_document(path)
        old = hull_from(document)
    except SketchError as problem:
        raise SketchError(
            f"this file is there already and cannot be read as a hull ({problem.message}); it was left as it is",
            "Mend it, or give the new hull another file's name.",
            problem.file,
            problem.line,
            problem.key,
        ) from None
    new = replace(old, stations=tuple(stations))
    changed = apply_splices(document, _splices(document, old, new))
    hull = hull_from(compose(changed.text, document.file, document.bom))
    replace_file(path, document.encode(changed.text))
    return hull


def _splices(document: Document, old: Hull, new: Hull) -> list[Splice]:
    """Station by station where that can be, else the whole list anew."""
    node = document.find("stations")
    assert isinstance(node, NodeList)
    if len(node.items) == len(new.stations):
        stations = zip(node.items, old.stations, new.stations, strict=True)
        by_station = [_in_one(item, before, after, new.units) for item, before, after in stations]
        if None not in by_station:
            return [splice for splices in by_station for splice in splices or ()]
    if node.flow:
        written = ", ".join(write_flow(station, STATION_FIELDS, new.units) for station in new.stations)
        return [Splice(node.start, node.end, f"[{written}]")]
    key = document.root.key("stations")
    assert key is not None
    lines = station_lines(new)[1:]
    return [Splice(document.text.index(":", key.end) + 1, node.end, document.newline + document.newline.join(lines))]


def _in_one(item: object, old: Station, new: Station, units: str) -> list[Splice] | None:
    """The changed lists of one station; None where more than those would have to change."""
    before, after = dict(pairs(old, STATION_FIELDS, units)), dict(pairs(new, STATION_FIELDS, units))
    if not isinstance(item, Mapping) or before.keys() != after.keys() or before["at"] != after["at"]:
        return None
    splices = []
    for key, text in after.items():
        value = item.get(key)
        if text == before[key]:
            continue
        if not isinstance(value, NodeList) or not value.flow:
            return None
        splices.append(Splice(value.start, value.end, text))
    return splices
