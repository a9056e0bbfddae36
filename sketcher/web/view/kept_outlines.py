"""A layout kept beside the one that is drawn, in outline over the drawings: only what is elsewhere or otherwise in it."""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from sketcher.analysis.evaluation import Evaluation
from sketcher.geometry.caching import kept_with_owner
from sketcher.outputs.drawing.cut_outlines import Kind
from sketcher.outputs.drawing.recording import FilledArea, Item, Line, LineStyle, PaperPlacing, Spot, Words, line
from sketcher.outputs.drawing.views import RULING, view_items
from sketcher.outputs.palette import BESIDE

LAYERS = ("hull", "panels", "openings", "berths", "water")
EDGE = LineStyle(BESIDE, 0.35, (1.6, 0.9))
FINE = 1
"""Decimals of a millimetre on paper to which two lines are told apart."""
SIZE = 2.4
"""Height of the key's letters [mm]."""


def kept_items(kept: Evaluation, drawn: list[Item], kind: Kind, at: float, placing: PaperPlacing) -> list[Item]:
    """Outlines of the kept layout in a view cut at `at` [m] that are not among what is drawn there."""
    known = {_shape(edge) for edge in _edges(drawn)}
    return [
        line(edge.points, EDGE, edge.layer, closed=edge.closed)
        for edge in _kept(kept, kind, at, placing)
        if _shape(edge) not in known
    ]


def key_items(at: Spot) -> list[Item]:
    """What such outlines mean, to the right of a spot [mm]."""
    (x, y), end = at, 6.0
    return [
        line([(x, y + SIZE * 0.35), (x + end, y + SIZE * 0.35)], EDGE, "names"),
        Words((x + end + 1.5, y), "B", SIZE, BESIDE, "names"),
    ]


@kept_with_owner(3)
def _kept(kept: Evaluation, kind: Kind, at: float, placing: PaperPlacing) -> tuple[Line, ...]:
    return tuple(_edges(view_items(kept, kind, at, placing, beside=False, beneath=False)[0]))


def _edges(items: list[Item]) -> Iterator[Line]:
    """The outlines of what is built, and where the water stands; without the ruling of what is under it."""
    for item in items:
        if item.layer not in LAYERS:
            continue
        if isinstance(item, Line) and item.stroke != RULING:
            yield item
        elif isinstance(item, FilledArea) and item.stroke is not None:
            for ring in item.rings:
                yield Line(ring, item.stroke, item.layer, item.part, closed=True)


def _shape(edge: Line) -> Hashable:
    return edge.layer, frozenset((round(x, FINE), round(y, FINE)) for x, y in edge.points)
