"""Where no place keeps to all limits: which of them exclude each other, and how little of each would have to give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from sketcher.analysis.places.best import PlaceSearch
from sketcher.analysis.places.rows import PlaceRow


@dataclass(frozen=True, slots=True)
class Relaxation:
    """The place where one limit gives least while all others are met. by: how much it gives, to `bound`; row None: none does."""

    name: str
    by: float | None
    bound: float | None
    row: PlaceRow | None


def excluding_sets(search: PlaceSearch) -> tuple[tuple[str, ...], ...]:
    """The smallest sets of limits that no place found meets together, each looked for by a search of its own."""
    names = _names(search)
    found: list[frozenset[str]] = []
    for size in range(1, len(names) + 1):
        for some in map(frozenset, combinations(names, size)):
            if any(known <= some for known in found) or _met_together(search, some):
                continue
            if search.best(lambda _: 0.0, some) is None:
                found.append(some)
    return tuple(tuple(name for name in names if name in some) for some in found)


def relaxations(search: PlaceSearch, names: Sequence[str]) -> tuple[Relaxation, ...]:
    """For each limit named the least that it would have to give, the others kept."""
    return tuple(_relaxed(search, name) for name in names)


def _relaxed(search: PlaceSearch, name: str) -> Relaxation:
    def margin(row: PlaceRow) -> float | None:
        return next((limit.margin for limit in row.limits if limit.name == name), None)

    row = search.best(margin, [other for other in _names(search) if other != name])
    short = None if row is None else margin(row)
    if row is None or short is None:
        return Relaxation(name, None, None, None)
    value = next(limit.value for limit in row.limits if limit.name == name)
    return Relaxation(name, max(0.0, -short), value, row)


def _names(search: PlaceSearch) -> list[str]:
    return [limit.name for limit in search.question.scene.limits]


def _met_together(search: PlaceSearch, names: frozenset[str]) -> bool:
    return any(row.error is None and not names & set(row.missed) for row in search.rows.values())
