"""Where across a lid supports can lie along its joints, of no more supports than it needs at least."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from sketcher.analysis.cut.boards.straps import Cut
from sketcher.geometry.mesh import Flags, Floats


@dataclass(frozen=True, eq=False)
class SupportBay:
    """A stretch of a lid between what else bears it, and the grid of places across it that supports are laid on.

    axis: of the pattern that the places are told along, square to the supports; area: on the pattern; first, step [m]: of the
    grid, in the pattern, step negative where the grid runs against it; faults: (k,) [m] in the way of a support at each place.
    count, bad: of the fewest supports, and the faults that they cannot avoid; start, reach, end: in grid steps, how far from the
    bay's beginning the first may lie, from which to which distance the next, and where the last must at least.
    """

    axis: int
    area: shapely.Polygon
    first: float
    step: float
    faults: Floats
    count: int
    bad: float
    start: tuple[int, int]
    reach: tuple[int, int]
    end: int

    def place(self, number: int) -> float:
        """A place of the grid [m] in the pattern."""
        return self.first + self.step * number

    def nearest(self, place: float) -> int | None:
        """The number of the grid's place nearest to one of the pattern [m]; None beside the bay."""
        number = round((place - self.first) / self.step)
        return number if 0 <= number < len(self.faults) else None

    @cached_property
    def alone(self) -> Flags:
        """(k,) whether one of the fewest supports can lie at each place."""
        return self._through(self._up) <= self._most

    def both(self, one: int, other: int) -> bool:
        """Whether two of them can lie at two places at once."""
        low, high = min(one, other), max(one, other)
        if low not in self._known:
            found = np.full_like(self._up, np.inf)
            for count in range(1, self.count + 1):
                found[count] = self._next(found[count - 1])
                found[count, low] = self._up[count, low]
            self._known[low] = self._through(found) <= self._most
        return bool(self._known[low][high])

    @cached_property
    def _known(self) -> dict[int, Flags]:
        """Where another can lie (k,) if one lies at a place, as far as it was asked for."""
        return {}

    @property
    def _most(self) -> float:
        return self.bad + abs(self.step)

    @cached_property
    def _up(self) -> Floats:
        """(count + 1, k): the least faults of so many supports from the bay's beginning, the last of them at each place."""
        found = np.full((self.count + 1, len(self.faults)), np.inf)
        if self.count:
            found[1, self.start[0] : self.start[1] + 1] = self.faults[self.start[0] : self.start[1] + 1]
        for count in range(2, self.count + 1):
            found[count] = self._next(found[count - 1])
        return found

    @cached_property
    def _down(self) -> Floats:
        """The same from its end backwards, the faults at the place itself left out."""
        found = np.full((self.count + 1, len(self.faults)), np.inf)
        if self.count:
            found[1, self.end :] = 0.0
        for count in range(2, self.count + 1):
            found[count] = _reached((found[count - 1] + self.faults)[::-1], self.reach)[::-1]
        return found

    def _next(self, before: Floats) -> Floats:
        """The least faults with one more support at each place, of those (k,) with the last at each place."""
        return _reached(before, self.reach) + self.faults

    def _through(self, up: Floats) -> Floats:
        """The least faults of the fewest supports by way of each place that the first (count + 1, k) of them end at."""
        found = np.full(len(self.faults), np.inf)
        for count in range(1, self.count + 1):
            np.minimum(found, up[count] + self._down[self.count + 1 - count], out=found)
        return found


def _reached(before: Floats, reach: tuple[int, int]) -> Floats:
    """The least of what stands (k,) at the places within reach before each."""
    found = np.full_like(before, np.inf)
    for distance in range(reach[0], min(reach[1], len(before) - 1) + 1):
        np.minimum(found[distance:], before[:-distance], out=found[distance:])
    return found


@dataclass(frozen=True, eq=False)
class SupportRoom:
    """Where supports can lie along a lid's joints. bays: of either way that supports may run; none where a lid needs none."""

    bays: tuple[SupportBay, ...] = ()

    @property
    def axes(self) -> tuple[int, ...]:
        """The axes of the pattern along which joints that supports can lie under are moved."""
        return tuple(dict.fromkeys(bay.axis for bay in self.bays))

    def across(self, axis: int) -> SupportRoom:
        """The same with supports that run one way alone."""
        return SupportRoom(tuple(bay for bay in self.bays if bay.axis == axis))

    def places(self, axis: int) -> Iterator[float]:
        """The places [m] along an axis at which stretches begin and end in which a support can lie."""
        for bay in self.bays:
            if bay.axis == axis:
                there = np.flatnonzero(np.diff(np.concatenate([[False], bay.alone, [False]])))
                for number, beyond in zip(there[0::2].tolist(), there[1::2].tolist(), strict=True):
                    yield from (bay.place(number), bay.place(beyond - 1))

    def under(self, cut: Cut, area: shapely.Geometry) -> list[BorneStretch]:
        """Where a support can lie along a cut across a board's area."""
        found = []
        for bay in self.bays:
            number = bay.nearest(cut.place) if bay.axis == cut.axis else None
            if number is not None and bay.alone[number]:
                length = float(shapely.intersection(shapely.intersection(cut.line, bay.area), area).length)
                found.append(BorneStretch(bay, number, length))
        return found


@dataclass(frozen=True, eq=False)
class BorneStretch:
    """A stretch of a joint, `length` [m], that a support at a bay's place of this number lies along."""

    bay: SupportBay
    number: int
    length: float

    def beside(self, others: Sequence[BorneStretch]) -> bool:
        """Whether it is borne at the same time as those of another joint."""
        return all(other.bay is not self.bay or self.bay.both(other.number, self.number) for other in others)


NO_SUPPORTS = SupportRoom()
"""Of a board that needs none, or that none can lie under."""
