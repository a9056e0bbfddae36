"""From plate to plate of the skin: along keel and knuckles, round the stem, and where a strake is in lengths."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np

from sketcher.analysis.cut.card.flaps import Assembly, Edge, edge_of, flaps_on_plate
from sketcher.analysis.cut.card.parts import CardPart, CardSeam
from sketcher.geometry.mesh import Floats

_SAME_EDGE = 2e-3
"""[m] Edges of two plates are one where they come so near: each stands off along its own normals."""


def glued_plates(assembly: Assembly, plates: Sequence[CardPart]) -> list[CardSeam]:
    """Give plates the flaps that hold them to their neighbours: each to the next one up and aft, port to starboard."""
    seams: list[CardSeam] = []
    for one, other in product(plates, plates):
        for edge, its in _shared(one, other):
            if flaps_on_plate(assembly, one.name, edge, other.name, its):
                line = _run(one, other, edge, its, assembly.of.thickness)
                seams.append(CardSeam(kind="strakes", part=one.name, against=other.name, line=line))
    return seams


def _shared(one: CardPart, other: CardPart) -> list[tuple[Edge, Edge]]:
    """The edges along which the first plate is to be glued to the second."""
    hands = [part.name.rpartition(", ")[2] for part in (one, other)]
    strakes = [int(part.of.split()[-1]) for part in (one, other)]
    if hands == ["port", "starboard"] and strakes[0] == strakes[1]:
        found: list[tuple[Edge, Edge]] = []
        if strakes[0] == 1 and _same_run(one, other, "lower", "lower"):
            found.append(("lower", "lower"))
        if _on_centreline(one) and _on_centreline(other):
            found.append(("fore", "fore"))
        return found
    if hands[0] != hands[1]:
        return []
    if strakes[1] == strakes[0] + 1 and _same_run(one, other, "upper", "lower"):
        return [("upper", "lower")]
    if strakes[0] == strakes[1] and _near(one, other, "after", "fore"):
        return [("after", "fore")]
    return []


def _same_run(one: CardPart, other: CardPart, edge: Edge, its: Edge) -> bool:
    """Whether two edges have some length aft in common."""
    a, b = (edge_of(part, which)[1][:, 0] for part, which in ((one, edge), (other, its)))
    return bool(min(a.max(), b.max()) > max(a.min(), b.min()))


def _near(one: CardPart, other: CardPart, edge: Edge, its: Edge) -> bool:
    a, b = edge_of(one, edge)[1], edge_of(other, its)[1]
    return a.shape == b.shape and bool(np.linalg.norm(a - b, axis=1).max() < _SAME_EDGE)


def _on_centreline(part: CardPart) -> bool:
    """Whether its fore edge is on the stem, a card's thickness aside at most."""
    middle = edge_of(part, "fore")[1]
    return bool(np.abs(middle[:, 1]).max() < 0.02 and np.ptp(middle[:, 2]) > 0.01)


def _run(one: CardPart, other: CardPart, edge: Edge, its: Edge, thickness: float) -> Floats:
    """Places on the inner edge of the first along which both meet."""
    _, middle, normals, _ = edge_of(one, edge)
    _, there, _, _ = edge_of(other, its)
    axis = int(np.argmax(np.ptp(middle, axis=0)))
    inside = (middle[:, axis] >= there[:, axis].min() - 1e-9) & (middle[:, axis] <= there[:, axis].max() + 1e-9)
    chosen = np.flatnonzero(inside)
    chosen = chosen[np.linspace(0, len(chosen) - 1, min(9, len(chosen))).astype(int)]
    run: Floats = middle[chosen] - normals[chosen] * thickness / 2
    return run
