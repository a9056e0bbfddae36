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
    levels = np.unique(np.concatenate([p[:, 1], q[:, 1]]))
    low, high = levels[:-1], levels[1:]
    middle = (low + high) / 2
    spans = (np.minimum(p[:, 1], q[:, 1])[None] < middle[:, None]) & (np.maximum(p[:, 1], q[:, 1])[None] > middle[:, None])
    rise = np.where(q[:, 1] == p[:, 1], 1.0, q[:, 1] - p[:, 1])
    slope = (q[:, 0] - p[:, 0]) / rise

    def crossing(level: Floats) -> Floats:
        return np.where(spans, p[:, 0] + (level[:, None] - p[:, 1]) * slope, np.inf)

    order = np.argsort(crossing(middle), axis=1)[:, : int(spans.sum(axis=1).max())]
    at_low, at_high = (np.take_along_axis(crossing(level), order, axis=1) for level in (low, high))
    with np.errstate(invalid="ignore"):
        lengths = [np.nan_to_num(x[:, 1::2] - x[:, 0::2], nan=-1.0, posinf=-1.0) for x in (at_low, at_high)]
    best = max(float(length.max()) for length in lengths)
    centre = float(outline.centroid.y)
    runs: list[tuple[float, Run]] = []
    for band, pair in np.argwhere((lengths[0] >= best - SAME_LENGTH) | (lengths[1] >= best - SAME_LENGTH)):
        ends = [lengths[k][band, pair] >= best - SAME_LENGTH for k in (0, 1)]
        within = (low[band] if ends[0] else high[band], high[band] if ends[1] else low[band])
        across = float(np.clip(centre, *within))
        share = (across - low[band]) / (high[band] - low[band])
        start, end = ((1 - share) * at_low[band, 2 * pair + k] + share * at_high[band, 2 * pair + k] for k in (0, 1))
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
