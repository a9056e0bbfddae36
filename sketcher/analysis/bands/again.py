"""Which readings are worth taking again: those that would narrow a figure's band most, and to what."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from math import sqrt

import numpy as np

from sketcher.analysis.bands.known import WITHIN, HowKnown, Slopes
from sketcher.analysis.bands.readings import Place, TapeReading
from sketcher.geometry.mesh import Floats

MOST = 3
TRIED = 4
"""Places that are looked at by themselves, of which `MOST` are told: directions tell which matter, and only nearly how much."""


@dataclass(frozen=True, slots=True)
class WorthMeasuring:
    """A place to be read again, by one of its readings. path: of the figure; now, then: half its band [SI], before and after."""

    reading: TapeReading
    path: str
    now: float
    then: float


def worth_measuring(known: HowKnown, path: str, executor: Executor | None = None) -> tuple[WorthMeasuring, ...]:
    """The readings that would narrow a figure's band most if taken again with care, each by itself; fewer where few matter."""
    slopes = known.slopes(path)
    if slopes is None or slopes.deviation == 0.0:
        return ()
    gradient = known.gradient(slopes)
    size = float(np.linalg.norm(gradient))
    gains = _gains(known.readings, gradient)
    likely = sorted(gains, key=lambda place: -gains[place])[:TRIED]
    felt = _looked_at(known, path, slopes, gradient, likely, executor)
    then = {place: sqrt(max(slopes.deviation**2 - gain, 0.0)) for place, gain in felt.items()}
    told = [place for place in sorted(then, key=lambda place: then[place]) if felt[place] > (LEAST_GAIN * size) ** 2][:MOST]
    first = {reading.place: reading for reading in reversed(known.readings)}
    return tuple(WorthMeasuring(first[place], path, WITHIN * slopes.deviation, WITHIN * then[place]) for place in told)


LEAST_GAIN = 0.05
"""[share of a figure's deviation] A place that brings less is not worth a walk to the boat."""


def _gains(readings: Sequence[TapeReading], gradient: Floats) -> dict[Place, float]:
    """By how much a figure's variance shrinks if a place is read again."""
    gains: dict[Place, float] = {}
    for reading, slope in zip(readings, gradient.tolist(), strict=True):
        gains[reading.place] = gains.get(reading.place, 0.0) + slope**2 * (1.0 - reading.left**2)
    return gains


def _looked_at(
    known: HowKnown, path: str, slopes: Slopes, gradient: Floats, places: Sequence[Place], executor: Executor | None
) -> dict[Place, float]:
    """The gain of each place, from a boat in which it alone is off, its numbers together as far as the figure feels each."""
    of_place = [np.array([reading.place == place for reading in known.readings]) for place in places]
    moves = [np.where(own, gradient, 0.0) for own in of_place]
    moves = [move / max(float(np.linalg.norm(move)), 1e-300) for move in moves]
    looking = known.looking.intact if known.looking.seen_intact(path) else known.looking
    gains, base = {}, known.base.values.get(path)
    for place, move, look in zip(places, moves, looking.all(moves, executor), strict=True):
        value = None if look is None else look.values.get(path)
        slope = float(move @ gradient)
        if isinstance(value, int | float) and isinstance(base, int | float):
            slope = float(value) - float(base)
        gains[place] = sum(_gains(known.readings, slope * move).values())
    return gains
