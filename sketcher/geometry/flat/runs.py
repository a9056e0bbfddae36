"""Straight runs inside a flat outline: the longest parallel to an axis, and the clear width across at a place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from sketcher.geometry.mesh import Floats

SAME_LENGTH = 1e-9
"""Runs closer than this [m] count as equally long: rounding in a section is far below it, a tape far above."""


@dataclass(frozen=True, slots=True)
class Run:
    """A segment parallel to the first axis: from (start, across) to (end, across) [m]."""

    start: float
    end: float
    across: float

    @property
    def length(self) -> float:
        return self.end - self.start


def _edges(outline: Polygon) -> tuple[Floats, Floats]:
    rings = [np.asarray(ring.coords)[:, :2] for ring in (outline.exterior, *outline.interiors)]
    return np.concatenate([r[:-1] for r in rings]), np.concatenate([r[1:] for r in rings])


def longest_run(outline: Polygon) -> Run | None:
    """The longest segment parallel to the first axis that stays inside the outline, holes respected; None if it is empty.

    The length is linear in the second coordinate between corners, so the answer is exact: only corners are looked at. Among
    equally long runs, the one nearest the outline's own middle.
    """
    if outline.is_empty or outline.area == 0.0:
        return None
    p, q = _edges(outline)
    levels, place = np.unique(np.concatenate([p[:, 1], q[:, 1]]), return_inverse=True)
    low, high = levels[:-1], levels[1:]
    first, last = np.sort(place.reshape(2, -1), axis=0)
    # One row for each edge in each band of levels that it goes through; a closed outline has an even number of them in a band.
    count = last - first
    edge = np.repeat(np.arange(len(p)), count)
    band = np.arange(len(edge)) + np.repeat(first - np.cumsum(count) + count, count)
    rise = np.where(q[:, 1] == p[:, 1], 1.0, q[:, 1] - p[:, 1])
    slope = (q[:, 0] - p[:, 0]) / rise

    def crossing(level: Floats) -> Floats:
        places: Floats = p[edge, 0] + (level[band] - p[edge, 1]) * slope[edge]
        return places

    order = np.lexsort((crossing((low + high) / 2), band))
    at_low, at_high = (crossing(level)[order].reshape(-1, 2) for level in (low, high))
    bands = band[order][::2]
    lengths = [x[:, 1] - x[:, 0] for x in (at_low, at_high)]
    best = max(float(length.max()) for length in lengths)
    centre = float(outline.centroid.y)
    runs: list[tuple[float, Run]] = []
    for pair in np.flatnonzero((lengths[0] >= best - SAME_LENGTH) | (lengths[1] >= best - SAME_LENGTH)):
        bottom, top = low[bands[pair]], high[bands[pair]]
        ends = [lengths[k][pair] >= best - SAME_LENGTH for k in (0, 1)]
        across = float(np.clip(centre, bottom if ends[0] else top, top if ends[1] else bottom))
        share = (across - bottom) / (top - bottom)
        start, end = (1 - share) * at_low[pair] + share * at_high[pair]
        runs.append((abs(across - centre), Run(float(start), float(end), across)))
    return min(runs, key=lambda item: item[0])[1]


def clear_across(outline: Polygon, along: float, across: float) -> tuple[float, float] | None:
    """The clear stretch (low, high) [m] along the second axis at `along` that holds `across`; None if it is not inside."""
    low, high = outline.bounds[1] - 1.0, outline.bounds[3] + 1.0
    cut = shapely.intersection(outline, shapely.linestrings([(along, low), (along, high)]))
    for part in shapely.get_parts(cut):
        _, start, _, end = shapely.bounds(part)
        if start - SAME_LENGTH <= across <= end + SAME_LENGTH:
            return float(start), float(end)
    return None
