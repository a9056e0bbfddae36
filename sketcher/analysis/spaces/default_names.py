"""Names for spaces that the owner has not named: from the panels that bound them, the same in every process."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from sketcher.analysis.results import PanelShape
from sketcher.geometry.mesh import Floats

_APART = 1e-3
"""[m] two spaces of one name are told apart along an axis in which their middles lie at least this far from each other."""
_POLES = (("port", "starboard"), ("fore", "aft"), ("lower", "upper"))
_AXES = (1, 0, 2)

Bounds = tuple[tuple[str, str], ...]


def name_from(bounds: Bounds, shapes: Sequence[PanelShape]) -> str:
    """A space's name from the (panel, face) pairs that bound it, e.g. `collision to main, under tank top`.

    A panel that has the space on both its sides is left out: it does not bound it.
    """
    kinds = {shape.name: shape.kind for shape in shapes}
    panels: dict[tuple[str, str], list[str]] = {}
    both = {panel for panel, count in Counter(panel for panel, _ in bounds).items() if count > 1}
    for panel, face in bounds:
        if panel in both:
            continue
        panels.setdefault((kinds[panel], face), []).append(panel)
    ahead, behind = panels.get(("bulkhead", "after")), panels.get(("bulkhead", "forward"))
    words: list[str] = []
    if ahead and behind:
        words.append(f"{_listed(ahead)} to {_listed(behind)}")
    elif ahead:
        words.append(f"aft of {_listed(ahead)}")
    elif behind:
        words.append(f"ahead of {_listed(behind)}")
    for key, phrase in (
        (("partition", "port"), "to port of"),
        (("partition", "starboard"), "to starboard of"),
        (("lid", "under"), "under"),
        (("lid", "top"), "over"),
    ):
        if panels.get(key):
            words.append(f"{phrase} {_listed(panels[key])}")
    return ", ".join(words) or "whole inside"


def _listed(names: Sequence[str]) -> str:
    """Names in a row: `A, B and C`."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def told_apart(names: Sequence[str], centroids: Floats, taken: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """The names, those that several spaces share with where each lies added; `taken` are the owner's own and not given again.

    centroids: (n, 3) [m]. Two spaces are told apart by side, then lengthwise, then by height; more are numbered from forward.
    """
    result = [f"{name} (unnamed)" if name in taken else name for name in names]
    for name in sorted(name for name, count in Counter(result).items() if count > 1):
        alike = [k for k, other in enumerate(result) if other == name]
        for k, mark in zip(alike, _marks(centroids[alike]), strict=True):
            result[k] = f"{name}, {mark}"
    return tuple(result)


def _marks(middles: Floats) -> list[str]:
    if len(middles) == 2:
        for axis, poles in zip(_AXES, _POLES, strict=True):
            if abs(middles[1, axis] - middles[0, axis]) > _APART:
                return list(poles) if middles[0, axis] < middles[1, axis] else [poles[1], poles[0]]
    order = sorted(range(len(middles)), key=lambda k: fore_to_aft(middles[k]))
    return [f"no. {order.index(k) + 1}" for k in range(len(middles))]


def fore_to_aft(middle: Floats) -> tuple[float, float, float]:
    """A key that sorts spaces from forward, port and below; middles nearer than 0.1 mm count as level."""
    return round(float(middle[0]), 4), round(float(middle[1]), 4), round(float(middle[2]), 4)
