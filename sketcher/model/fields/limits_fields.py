"""The block of a scene's file for what must hold."""

from __future__ import annotations

from sketcher.model.document import Sequence
from sketcher.model.errors import nearest
from sketcher.model.fields.kinds import several, text, write_text
from sketcher.model.fields.reading import Field, Item, Kind
from sketcher.model.fields.records import Block
from sketcher.model.stated_limits import FIGURES, Quantity, StatedLimit, bound_from
from sketcher.model.units import parse_number

EXPECTED: dict[Quantity, str] = {
    "length": "a length such as 50 mm or 2 in",
    "volume": "litres, such as 600",
    "mass": "kilograms, such as 84",
    "angle": "degrees, such as 1.5",
    "share": "a share of her length, such as 0.12 or 12 %",
    "count": "a whole number, such as 2",
}

_spaces = several("a list of spaces that are holed together", text)


def _read_spaces(item: Item) -> tuple[str, ...]:
    if not item.empty and not isinstance(item.node, Sequence):
        return (str(text.read(item)),)
    return tuple(_spaces.read(item))


def _check(item: Item, limit: StatedLimit) -> None:
    """A limit has one bound, of its figure's dimension, and names what its figure needs to be known."""
    if (limit.at_least is None) == (limit.at_most is None):
        raise item.error("a limit needs `at_least` or `at_most`, one of them", "Write a second limit for the other side.")
    figure, written = limit.about, limit.at_least or limit.at_most or ""
    if bound_from(written, figure.quantity, item.units) is None:
        raise item.error(f"`{limit.side}: {written}` is no limit for {limit.figure}", f"Write {EXPECTED[figure.quantity]}.")
    if figure.of and limit.of is None and not figure.of_all:
        raise item.error(f"{limit.figure}: of what?", f"Add `of: {'one of the ' + ' or '.join(figure.of)}`.")
    if not figure.of and limit.of is not None:
        raise item.error(f"{limit.figure} is a figure of the whole boat", "Remove `of`.")
    if limit.when_holed and not figure.holed:
        raise item.error(f"{limit.figure} does not change where a space is holed", "Remove `when_holed`.")
    if not limit.when_holed and not figure.whole:
        raise item.error(f"{limit.figure} is told of a boat with a space holed", "Add `when_holed: [a space]`.")


def _read_figure(item: Item) -> str:
    """A word of the table; one that is written otherwise is refused with the nearest."""
    written = item.text("a figure such as litres")
    if written not in FIGURES:
        near = nearest(written, FIGURES)
        remedy = f"Did you mean `{near}`?" if near else f"There are: {', '.join(FIGURES)}."
        raise item.error(f"there is no figure `{item.written}`", remedy)
    return written


def _write_bound(value: str, units: str) -> str:
    return value if parse_number(value) is not None else write_text(value, units)


_bound = Kind(lambda item: item.text("a limit"), _write_bound)

LIMITS = Block(
    "limits",
    "limit",
    StatedLimit,
    (
        Field("figure", "figure", Kind(_read_figure, write_text, options=tuple(FIGURES)), required=True),
        Field("of", "of", text, ties=("bulkheads", "partitions", "lids", "berths", "chains", "compartments")),
        Field("at_least", "at_least", _bound, instead_of="at_most"),
        Field("at_most", "at_most", _bound, instead_of="at_least"),
        Field("when_holed", "when_holed", Kind(_read_spaces, _spaces.write), ties=("compartments",), word="holed spaces"),
    ),
    check=_check,
    form="{figure: litres, of: SPACE, at_least: 600}",
)
