"""The key for how well a boat is known: `known_to`, as standard deviations."""

from __future__ import annotations

from sketcher.model.document import Scalar
from sketcher.model.fields import kinds
from sketcher.model.fields.kinds import positive, row_kind
from sketcher.model.fields.reading import Field, Item, Kind
from sketcher.model.fields.records import record
from sketcher.model.scene import KnownTo

_ends = row_kind("a length above 0, or two: [forward, after]", positive, positive)


def _read_ends(item: Item) -> tuple[float, float]:
    """One length for both ends, or two."""
    if isinstance(item.node, Scalar) and not item.empty:
        both = positive.read(item)
        return both, both
    forward, after = _ends.read(item)
    return forward, after


def _write_ends(value: tuple[float, float], units: str) -> str:
    return positive.write(value[0], units) if value[0] == value[1] else _ends.write(value, units)


KNOWN_TO = record(
    "{waterline: …, centre_of_gravity: …, weights: …}",
    KnownTo,
    (
        Field("waterline", "waterline", Kind(_read_ends, _write_ends)),
        Field("centre_of_gravity", "centre_of_gravity", positive),
        Field("weights", "weights", kinds.share),
    ),
)
