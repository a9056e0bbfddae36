"""Hull files: the measurements read with their checks, and a hull written as such a file."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Any

from sketcher.model.document import Document, Mapping, read_document
from sketcher.model.errors import SketchError
from sketcher.model.fields import kinds
from sketcher.model.fields.kinds import (
    anywhere,
    choice,
    mapped,
    not_negative,
    number,
    off_centre,
    positive,
    row_kind,
    several,
    text,
)
from sketcher.model.fields.reading import Field, Item, Kind, read_fields, read_units
from sketcher.model.fields.records import Block, pairs, read_block, record, write_flow
from sketcher.model.files.line_lookup import line_of
from sketcher.model.hull import Appendage, Coachroof, Cockpit, Deck, DistanceCheck, Hull, Station, WholeBoat, with_outlines
from sketcher.model.measurement_checks import MARKS_LIMIT, POINTS_LIMIT, STATIONS_LIMIT, hull_problem, whole_part
from sketcher.model.units import UNITS


def read_hull(path: str | os.PathLike[str], *, half_entered: bool = False) -> Hull:
    """A hull from its file. Raises SketchError with file, line, key and remedy for whatever is wrong.

    half_entered: of one that is none yet what is left without the stations and parts that are wrong, if that is a hull.
    """
    document = read_document(path)
    if half_entered:
        part = whole_part(hull_from(document, whole=False))
        if hull_problem(part) is None:
            return part
    return hull_from(document)


def hull_from(document: Document, *, whole: bool = True) -> Hull:
    """The hull a document describes. Raises SketchError as `read_hull`.

    whole: refuse measurements of which no surface can be made; else they are given as they stand, half-entered.
    """
    if document.root.get("scene") is not None:
        line = document.root.entries[0][0].line
        raise SketchError("this is a scene's file, not a hull's", "Give the file that holds the stations.", document.file, line)
    item = Item(document, document.root, "", read_units(document))
    values = read_fields(item, HULL_FIELDS, "a hull")
    values |= values.pop("measured", {})
    values |= values.pop("transom", {})
    values["twin_spacing"] = values.pop("twin", None)
    hull = with_outlines(Hull(file=document.file or None, **values))
    problem = hull_problem(hull) if whole else None
    if problem is not None:
        place = f"{problem.key}.points.{problem.point}" if problem.point else problem.key
        raise SketchError(problem.message, problem.remedy, document.file or None, line_of(document, place), problem.key)
    return hull


def hull_text(hull: Hull, comment: str = "") -> str:
    """A hull as the text of a file, one station a line; reading it gives the hull again to the step of its unit."""
    lines = [f"# {line}" for line in comment.splitlines()]
    for field in HULL_FIELDS:
        lines += _WRITERS.get(field.key, _plain_lines)(hull, field)
    return "\n".join(lines) + "\n"


def write_hull(hull: Hull, path: str | os.PathLike[str], comment: str = "") -> None:
    """Write a hull's file whole, or leave what was there. Raises SketchError where it cannot be written."""
    from sketcher.model.files.replacement import replace_file

    replace_file(path, hull_text(hull, comment).encode())


STATION_POINT = row_kind("[half-breadth, height]", kinds.length_kind("a half-breadth of 0 or more", least=0.0), anywhere)
PROFILE_POINT = row_kind("[aft, height]", anywhere, anywhere)
"""A point of the stem or the stern."""
_profile = several("a list of points [aft, height]", PROFILE_POINT, most=POINTS_LIMIT)


_point_numbers = several("a list of point numbers", kinds.whole("a point's number from 1", 1, POINTS_LIMIT), POINTS_LIMIT)


def _read_point_errors(item: Item) -> tuple[tuple[int, float], ...]:
    return tuple(sorted((_point_number(key.text, value), positive.read(value)) for key, value in item.entries(_POINT_ERRORS)))


def _point_number(key: str, value: Item) -> int:
    if not key.isascii() or not key.isdigit() or not 1 <= int(key) <= POINTS_LIMIT:
        raise value.error(f"`{key}` is no point's number", "Points are counted from 1 at the centreline.")
    return int(key)


_POINT_ERRORS = "a length for each point by its number, such as {3: 1}"
_point_errors = Kind(
    _read_point_errors,
    lambda value, units: "{" + ", ".join(f"{number}: {positive.write(error, units)}" for number, error in value) + "}",
)

STATION_FIELDS = (
    Field("at", "at", anywhere, required=True),
    Field(
        "points", "points", several("a list of points [half-breadth, height]", STATION_POINT, most=POINTS_LIMIT), required=True
    ),
    Field("port", "port", several("a list of points [half-breadth, height]", STATION_POINT, most=POINTS_LIMIT)),
    Field("knuckles", "knuckles", _point_numbers),
    Field("guessed", "guessed", _point_numbers),
    Field("measured_to", "measured_to", positive),
    Field("points_measured_to", "points_measured_to", _point_errors),
    Field("at_measured_to", "at_measured_to", positive),
)
_station = record("a station, {at: …, points: …}", Station, STATION_FIELDS)


_breadths = row_kind("[forward, after] half-breadths", positive, positive)
_COACHROOF = (
    Field("from", "start", anywhere, required=True),
    Field("to", "end", anywhere, required=True),
    Field("half_breadth", "half_breadth", _breadths, required=True),
    Field("height", "height", positive, required=True),
    Field("camber", "camber", not_negative),
)
_COCKPIT = (*_COACHROOF[:3], Field("sole", "sole", anywhere, required=True))
_DECK = (Field("camber", "camber", not_negative), Field("thickness", "thickness", not_negative))
_BOAT = (
    Field("length", "length", positive),
    Field("waterline_from", "waterline_from", anywhere),
    Field("waterline_to", "waterline_to", anywhere),
    Field("displacement", "displacement", kinds.kilograms_positive),
    Field("kg_per_cm", "kg_per_cm", kinds.kilograms_positive),
    Field("moment_per_cm", "moment_per_cm", number("kilogram metres, a plain number above 0", above=0.0)),
    Field("centre_of_flotation", "centre_of_flotation", anywhere),
)
_APPENDAGES = Block(
    "appendages",
    "appendage",
    Appendage,
    (
        Field("litres", "volume", kinds.litres, required=True),
        Field("at", "at", row_kind("a place [aft, off centre, height]", anywhere, off_centre, anywhere), required=True),
        Field("lowest", "lowest", anywhere),
    ),
)
_OUTLINED = Block(
    "appendages",
    "appendage",
    Appendage,
    (Field("outline", "outline", _profile, required=True), Field("thickness", "thickness", positive, required=True)),
)
"""An appendage by its outline in profile and its mean thickness."""
_station_point = row_kind("[station, point]", anywhere, kinds.whole("a point's number from 1", 1, POINTS_LIMIT))
_CHECKS = Block(
    "checks",
    "check",
    DistanceCheck,
    (
        Field("from", "start", _station_point, required=True),
        Field("to", "end", _station_point, required=True),
        Field("measured", "measured", positive, required=True),
        Field("across", "across", mapped({"false": False, "true": True})),
        Field("along", "skin", mapped({"air": False, "skin": True})),
    ),
)
_tilt = number("degrees between -45 and 45", least=-45.0, most=45.0, unit="°")
_mark = row_kind("a mark [aft, off centre, height]", anywhere, off_centre, anywhere)
_MEASURED = (
    Field("trim", "measured_trim", _tilt),
    Field("heel", "measured_heel", _tilt),
    Field("level", "level", several("a list of marks [aft, off centre, height]", _mark, most=MARKS_LIMIT)),
    Field("heights_from", "heights_from", anywhere),
    Field("heights", "heights_down", mapped({"up": False, "down": True})),
)
_TRANSOM = (Field("rake", "transom_rake", kinds.angle), Field("curve", "transom_curve", not_negative))
_TWIN = (Field("spacing", "twin_spacing", positive, required=True),)


def _named(block: Block, outlined: Block | None = None) -> Kind:
    """A block of named objects, written on one line. outlined: what those are made of that have an outline."""

    def block_of(item: Item) -> Block:
        has = outlined is not None and isinstance(item.node, Mapping) and item.node.get("outline") is not None
        return outlined if has and outlined is not None else block

    def write(value: Sequence[Any], units: str) -> str:
        kinds_of = [(item, outlined if outlined is not None and item.outline else block) for item in value]
        members = (f"{kinds.write_text(item.name)}: {write_flow(item, of.fields, units)}" for item, of in kinds_of)
        return f"{{{', '.join(members)}}}"

    return Kind(lambda item: read_block(item, block, block_of), write)


def _measured(item: Item) -> dict[str, Any]:
    return read_fields(item, _MEASURED, "{trim: …, heel: …} or {level: [[aft, off centre, height], …]}")


def _not_written(_value: Any, _units: str) -> str:
    raise NotImplementedError("written by its own lines")


HULL_FIELDS = (
    Field("hull", "name", text, required=True),
    Field("units", "units", choice(*UNITS), required=True),
    Field("offsets_to", "offsets_to", choice("inside", "outside")),
    Field("shell", "shell", not_negative),
    Field("material", "material", choice("grp", "plywood", "wood", "steel", "aluminium", "ferro")),
    Field("measured", "measured", Kind(_measured, _not_written)),
    Field("measured_to", "measured_to", positive),
    Field("stem", "stem", _profile),
    Field("stern", "stern", _profile),
    Field("stations", "stations", several("a list of stations", _station, most=STATIONS_LIMIT), required=True),
    Field("between_stations", "between_stations", choice("smooth", "straight")),
    Field("between_points", "between_points", choice("smooth", "straight")),
    Field("transom", "transom", Kind(lambda item: read_fields(item, _TRANSOM, "{rake: …, curve: …}"), _not_written)),
    Field("deck", "deck", record("{camber: …, thickness: …}", Deck, _DECK)),
    Field("coachroof", "coachroof", record("{from: …, to: …, half_breadth: …, height: …}", Coachroof, _COACHROOF)),
    Field("cockpit", "cockpit", record("{from: …, to: …, half_breadth: …, sole: …}", Cockpit, _COCKPIT)),
    Field("aft_end", "open_aft", mapped({"closed": False, "open": True})),
    Field("appendages", "appendages", _named(_APPENDAGES, _OUTLINED)),
    Field("checks", "checks", _named(_CHECKS)),
    Field("twin", "twin", Kind(lambda item: read_fields(item, _TWIN, "{spacing: …}")["twin_spacing"], _not_written)),
    Field("boat", "boat", record("what is known of the whole boat", WholeBoat, _BOAT)),
)


PART_FIELDS: dict[str, tuple[Field, ...]] = {
    "measured": _MEASURED,
    "transom": _TRANSOM,
    "deck": _DECK,
    "coachroof": _COACHROOF,
    "cockpit": _COCKPIT,
    "appendages": (*_APPENDAGES.fields, *_OUTLINED.fields),
    "checks": _CHECKS.fields,
    "twin": _TWIN,
    "boat": _BOAT,
}
"""The keys of each part of a hull's file that has keys of its own; of one appendage for all of them."""


def _plain_lines(hull: Hull, field: Field) -> list[str]:
    return [f"{key}: {value}" for key, value in pairs(hull, (field,), hull.units)]


def key_texts(hull: Hull) -> dict[str, str]:
    """The hull's own keys with what stands behind each, on one line; the stations left out."""
    lines = [
        line for field in HULL_FIELDS if field.key != "stations" for line in _WRITERS.get(field.key, _plain_lines)(hull, field)
    ]
    return {key: text for key, _, text in (line.partition(": ") for line in lines)}


def _station_lines(hull: Hull, _field: Field | None = None) -> list[str]:
    """The key `stations` with one station after the other, as lines of a hull's file."""
    return ["stations:", *(f"  {line}" for station in hull.stations for line in station_lines(station, hull.units))]


def station_lines(station: Station, units: str) -> list[str]:
    """One member of the list of stations, a key a line."""
    (key, at), *others = pairs(station, STATION_FIELDS, units)
    return [f"- {key}: {at}", *(f"  {key}: {text}" for key, text in others)]


def _measured_lines(hull: Hull, _field: Field) -> list[str]:
    written = write_flow(hull, _MEASURED, hull.units)
    return [] if written == "{}" else [f"measured: {written}"]


def _one_key_lines(fields: tuple[Field, ...]) -> Any:
    """Lines for a block that holds one key of the hull's own."""

    def lines(hull: Hull, field: Field) -> list[str]:
        if not pairs(hull, fields, hull.units):
            return []
        return [f"{field.key}: {write_flow(hull, fields, hull.units)}"]

    return lines


_WRITERS: dict[str, Any] = {
    "stations": _station_lines,
    "measured": _measured_lines,
    "transom": _one_key_lines(_TRANSOM),
    "twin": _one_key_lines(_TWIN),
}
