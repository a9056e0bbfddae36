"""Typed reading of a document's values: every error names file, line, key, the value as written, and the remedy."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from sketcher.model.document import Document, Mapping, Node, Scalar, Sequence
from sketcher.model.errors import SketchError, nearest, quoted
from sketcher.model.units import UNITS, as_unit

_DECIMAL_COMMA = r"-?\d+,\d+\Z"

SHOWN = 48
"""Characters of a written value that an error repeats."""


@dataclass(frozen=True, slots=True)
class Item:
    """A value in a document, on its way to becoming one of the model's.

    key: its path, dotted, e.g. `bulkheads.main.rake`. units: the unit of bare lengths.
    """

    document: Document
    node: Node
    key: str
    units: str

    @property
    def written(self) -> str:
        """The value as it stands in the file, shortened."""
        text = " ".join(self.document.text[self.node.start : self.node.end].split())
        return quoted(text, SHOWN)

    @property
    def empty(self) -> bool:
        return isinstance(self.node, Scalar) and self.node.empty

    def error(self, message: str, remedy: str = "", line: int | None = None) -> SketchError:
        """An error at this value's place."""
        return SketchError(message, remedy, self.document.file or None, line or self.node.line, self.key)

    def refused(self, expected: str, wanted: str = "") -> SketchError:
        """An error that says what would be right here; `wanted`: the same in a word or two."""
        if self.empty:
            return self.error("nothing is written here", f"Write {expected}.")
        remedy = f"Write {expected}."
        if isinstance(self.node, Scalar) and re.match(_DECIMAL_COMMA, self.node.text):
            remedy = "Write a point before decimals, and nothing between thousands."
        return self.error(f"`{self.written}` is not {wanted or expected}", remedy)

    def text(self, expected: str) -> str:
        """The text of a single value."""
        if not isinstance(self.node, Scalar) or self.node.empty:
            raise self.refused(expected)
        return self.node.text.strip()

    def items(self, expected: str) -> tuple[Item, ...]:
        """The members of a list; keys count from 1, as `points.3`."""
        if not isinstance(self.node, Sequence):
            raise self.refused(expected)
        return tuple(Item(self.document, node, f"{self.key}.{i}", self.units) for i, node in enumerate(self.node.items, 1))

    def entries(self, expected: str) -> tuple[tuple[Scalar, Item], ...]:
        """The keys and values of a block; nothing written is an empty block."""
        if self.empty:
            return ()
        if not isinstance(self.node, Mapping):
            raise self.refused(expected)
        prefix = f"{self.key}." if self.key else ""
        return tuple((key, Item(self.document, node, prefix + key.text, self.units)) for key, node in self.node.entries)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of value: how it is read from an item, and how it is written in a file of the given unit.

    write_long: for a kind with a short and a long way of writing, the long one. unit: what stands behind its numbers in
    words: `length` (the file's unit), `°`, `kg`, or nothing. options: the words it may be, to choose from.
    """

    read: Callable[[Item], Any]
    write: Callable[[Any, str], str]
    write_long: Callable[[Any, str], str] | None = None
    unit: str = ""
    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a block. attribute: its name on the dataclass; required: the file must have it.

    ties: where a value may be another object's name, the blocks it may name; `word`: how an edit calls it; instead_of: the
    attribute that a value of this one takes the place of; takes: what may stand there, for who left it out.
    """

    key: str
    attribute: str
    kind: Kind
    required: bool = False
    ties: tuple[str, ...] = ()
    word: str = ""
    instead_of: str = ""
    takes: str = ""

    @property
    def words(self) -> str:
        return self.word or self.key.replace("_", " ")


def read_fields(item: Item, fields: Iterable[Field], expected: str, form: str = "") -> dict[str, Any]:
    """A block's values by attribute, absent ones left out. form: a whole block as it may be written, for the remedies.

    Raises SketchError for an unknown key, with the nearest right one, a required key that is missing, or a value of a wrong
    kind: in this order, so that who has the keys wrong learns it before the values.
    """
    known = {field.key: field for field in fields}
    entries = item.entries(expected)
    for key, value in entries:
        if key.text not in known:
            raise unknown_key(value, key, known, form)
    missing = {field.key for field in known.values() if field.required} - {key.text for key, _ in entries}
    if missing:
        given = ", ".join(f"`{key}`" for key in known if key in missing)
        takes = "; ".join(f"`{key}`: {field.takes}" for key, field in known.items() if key in missing and field.takes)
        remedy = f"Write {form}." if form else f"Add {takes}." if takes else f"Add {given} with a value."
        raise item.error(f"{given} {'is' if len(missing) == 1 else 'are'} missing", remedy)
    values: dict[str, Any] = {}
    for key, value in entries:
        field = known[key.text]
        if not value.empty:
            values[field.attribute] = field.kind.read(value)
        elif field.required:
            raise value.error("nothing is written here", "Give it a value.", line=key.line)
    return values


def unknown_key(value: Item, key: Scalar, known: Iterable[str], form: str = "") -> SketchError:
    """An error for a key that does not belong here. form: a whole block as it may be written."""
    known = list(known)
    near = nearest(key.text, known)
    if key.text.casefold() in ("lb", "lbs", "pounds") and "kg" in known:
        return value.error("unknown key", f"Write pounds behind the number: `kg: {value.written} lb`.", line=key.line)
    remedy = f"Did you mean `{near}`?" if near else f"Known here: {', '.join(known)}."
    if form:
        remedy += f" Write {form}."
    return value.error("unknown key", remedy, line=key.line)


def read_units(document: Document) -> str:
    """The unit that a file states for its lengths. Raises SketchError where it states none."""
    key = document.root.key("units")
    value = document.root.get("units")
    known = ", ".join(UNITS)
    if key is None or not isinstance(value, Scalar) or value.empty:
        line = None if key is None else key.line
        raise SketchError(
            "the file does not say its unit of length", f"Add a line such as `units: mm` ({known}).", document.file, line, "units"
        )
    try:
        return as_unit(value.text.strip())
    except KeyError:
        near = nearest(value.text, [*UNITS, "inches", "feet", "metres", "millimetres"])
        short = {"inches": "in", "feet": "ft", "metres": "m", "millimetres": "mm"}.get(near or "", near)
        remedy = f"Did you mean `{short}`? Known: {known}." if short else f"Write one of {known}."
        raise SketchError(
            f"`{quoted(value.text)}` is no unit of length known here", remedy, document.file, value.line, "units"
        ) from None
