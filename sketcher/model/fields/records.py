"""Blocks of keys as dataclasses: one table of fields reads a block, writes it, and tells an edit what there is to change."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import MISSING, dataclass
from dataclasses import fields as dataclass_fields
from typing import Any

from sketcher.model.document import Scalar
from sketcher.model.errors import quoted
from sketcher.model.fields.kinds import write_text
from sketcher.model.fields.reading import Field, Item, Kind, read_fields
from sketcher.model.limits import MOST_OBJECTS, refuse_too_many
from sketcher.model.units import parse_number, parse_offset

Check = Callable[[Item, Any], None]

RESERVED = ("stem", "transom", "hull", "deck", "outside")
"""Words that a tie or an opening uses for the boat herself; no object may be called so."""

_DEFAULTS: dict[type[Any], dict[str, Any]] = {}
"""The defaults of a dataclass's attributes, looked up once: each edit asks for them all."""

NAME_LIMIT = 60
"""Characters of a name: it must fit beside its figures on a page."""


@dataclass(frozen=True, slots=True)
class Block:
    """A block of named objects: `key` in the file and on the scene, `word` for one of them, and what each is made of.

    panel: its names are unique among all panels, since ties use them. check: what one object's fields must fulfil together.
    form: one whole object as it may be written, for who does not know its keys yet; "": as its required keys say.
    """

    key: str
    word: str
    type: type[Any]
    fields: tuple[Field, ...]
    panel: bool = False
    check: Check | None = None
    form: str = ""


def default_of(type_: type[Any], attribute: str) -> Any:
    """A dataclass's default for an attribute; MISSING where it has none."""
    if type_ not in _DEFAULTS:
        _DEFAULTS[type_] = {field.name: field.default for field in dataclass_fields(type_)}
    return _DEFAULTS[type_][attribute]


def record(expected: str, type_: type[Any], fields: tuple[Field, ...], check: Check | None = None) -> Kind:
    """A block of keys as one value; keys left out take the dataclass's defaults, and defaults are not written."""

    def read(item: Item) -> Any:
        value = type_(**read_fields(item, fields, expected))
        if check is not None:
            check(item, value)
        return value

    return Kind(read, lambda value, units: write_flow(value, fields, units))


def pairs(value: Any, fields: Iterable[Field], units: str) -> list[tuple[str, str]]:
    """The keys and texts of an object: what is required or differs from the default, in the table's order."""
    written = []
    for field in fields:
        part = getattr(value, field.attribute)
        default = default_of(type(value), field.attribute)
        if part is None or (not field.required and default is not MISSING and part == default):
            continue
        written.append((field.key, field.kind.write(part, units)))
    return written


def write_flow(value: Any, fields: Iterable[Field], units: str) -> str:
    """An object on one line, as `{at: 1150, thickness: 18}`."""
    return "{" + ", ".join(f"{key}: {text}" for key, text in pairs(value, fields, units)) + "}"


def read_block(item: Item, block: Block, block_of: Callable[[Item], Block] | None = None) -> tuple[Any, ...]:
    """The named objects of a block, in the file's order. block_of: what each is made of, where they are of several kinds."""
    entries = item.entries(f"a block of {block.key}, each with a name")
    if block.key in MOST_OBJECTS and len(entries) > MOST_OBJECTS[block.key]:
        first_too_many = entries[MOST_OBJECTS[block.key]][0]
        refuse_too_many(block.key, len(entries), item.document.file or None, first_too_many.line, item.key)
    return tuple(
        read_object(value, block if block_of is None else block_of(value), read_name(value, key, block.panel))
        for key, value in entries
    )


def read_object(item: Item, block: Block, name: str) -> Any:
    """One named object of a block."""
    required = ", ".join(f"{field.key}: …" for field in block.fields if field.required) or "at: …"
    example = block.form or f"a block such as {{{required}}}"
    absent = {field.attribute: None for field in block.fields if default_of(block.type, field.attribute) is MISSING}
    value = block.type(name=name, **absent | read_fields(item, block.fields, example, block.form))
    if block.check is not None:
        block.check(item, value)
    return value


def read_name(item: Item, key: Scalar, panel: bool) -> str:
    """A key as an object's name. Raises SketchError at the key's line."""
    problem = name_problem(key.text, panel)
    if problem:
        raise item.error(problem, "Write a name such as `collision` or `locker side`.", line=key.line)
    return key.text


def name_problem(name: str, panel: bool) -> str | None:
    """What keeps a text from being a name, or None. A panel's must not be taken for a distance."""
    if not name or name != name.strip() or not name.isprintable():
        return f"{quoted(write_text(name))} cannot be a name: a name is a text on one line"
    if len(name) > NAME_LIMIT:
        return f"a name of {len(name)} characters; at most {NAME_LIMIT} fit beside a figure"
    if name in RESERVED:
        return f"`{name}` cannot be a name: it means the boat's own {name}"
    if panel and (parse_offset(name, "m") is not None or parse_number(name) is not None or not name[0].isalpha()):
        return f"`{quoted(name)}` cannot be a panel's name: it must begin with a letter and not read as a distance"
    return None
