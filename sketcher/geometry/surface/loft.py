"""A sheet through cross curves: lines from curve to curve, fair or ruled, sharp along matched corners, as a grid of points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, GeometryError, Ints
from sketcher.geometry.surface.fair_lines import Lines, fair_lines, ruled_lines
from sketcher.geometry.surface.grid_spacing import (
    chord_errors,
    chord_sags,
    shared_steps,
    steps_for,
    steps_within,
    trial_positions,
    twist_steps,
    twisted_apart,
)
from sketcher.geometry.surface.row_matching import CrossCurve, Rows
from sketcher.geometry.tolerances import FACET_ERROR, SAME_PLACE

TRIAL_STEPS = 6
"""Steps of a gap in which the need for grid lines is tried."""


MOST_ROWS = 300
"""Rows kept for corners and for points to be ruled through: more than any boat's, few enough for a table of thousands."""


class BackwardLineError(GeometryError):
    """A line of the sheet runs back in x between cross curve `cross_curve` and the next, at `place` (3,) on the first of them."""

    def __init__(self, cross_curve: int, place: Floats) -> None:
        super().__init__(f"lines run back between cross curves {cross_curve} and {cross_curve + 1}")
        self.cross_curve = cross_curve
        self.place = place


@dataclass(frozen=True, eq=False)
class LoftedGrid:
    """A grid of points on a sheet, x growing with the first index: (columns, rows, 3).

    curve_columns: the column of each curve; those columns hold every point that their curve was given.
    """

    points: Floats
    curve_columns: tuple[int, ...]


def loft(
    cross_curves: Sequence[CrossCurve],
    *,
    smooth: bool,
    cells: int,
    by_index: bool = False,
    error: float = FACET_ERROR,
    sag: float | None = None,
) -> LoftedGrid:
    """The sheet through two or more cross curves, in order of x, in at most some `cells` cells, closest where it curves most.

    smooth: fair lines; otherwise exactly ruled between neighbouring curves. by_index: neighbours with equally many points are
    joined point by point; others, and all where False, by share of length between matched corners. An inner curve is no profile.
    error: share of the volume of the sheet's box that facets may cost each way; a grid that errs less is not refined.
    sag: in place of `cells` and `error`, how far facets may leave the sheet by each way's curve and by twist [m].
    Raises BackwardLineError where a line runs back in x.
    """
    rows = Rows(cross_curves, by_index)
    must = _thinned(rows.of_corners() if smooth else rows.of_points())
    ends = np.arange(len(cross_curves), dtype=float)
    tried = rows.places(trial_positions(must, TRIAL_STEPS))
    _check_forward(tried)
    if sag is None:
        positions, columns = _by_volume(rows, must, tried, smooth, cells, error)
    else:
        positions, columns = _by_sag(rows, must, tried, smooth, sag)
    points = _lines(rows, positions, smooth).at(columns)
    curve_columns = tuple(int(c) for c in np.searchsorted(columns, ends))
    for column, pinned in zip(curve_columns, rows.pinned(positions), strict=True):
        points[column] = pinned
    return LoftedGrid(points, curve_columns)


def _lines(rows: Rows, positions: Floats, smooth: bool) -> Lines:
    places = rows.places(positions)
    return fair_lines(places, *rows.leads(positions)) if smooth else ruled_lines(places)


def _by_volume(rows: Rows, must: Floats, tried: Floats, smooth: bool, cells: int, error: float) -> tuple[Floats, Floats]:
    """Positions of rows and of columns for some `cells` cells."""
    ends = np.arange(len(tried), dtype=float)
    trial = trial_positions(ends, TRIAL_STEPS)
    across, along, size = _errors(tried, smooth, trial, _few(tried.shape[1]))
    row_steps, column_steps = steps_for(across, along, cells, error * size, (len(must) - 1, len(ends) - 1))
    positions = shared_steps(must, across, row_steps, rows.least_steps(must))
    least = np.ones(len(ends) - 1, dtype=np.int64) if smooth else twist_steps(rows.places(positions))
    return positions, shared_steps(ends, along, column_steps, least)


def _by_sag(rows: Rows, must: Floats, tried: Floats, smooth: bool, sag: float) -> tuple[Floats, Floats]:
    """Positions of rows and of columns so close that no facet leaves the sheet by more than `sag` [m] each way and by twist."""
    ends = np.arange(len(tried), dtype=float)
    corners = rows.places(must)
    least = np.maximum(rows.least_steps(must), twisted_apart(corners, 1, sag))
    positions = steps_within(must, chord_sags(tried), sag, least)
    along = np.zeros((len(ends) - 1) * TRIAL_STEPS)
    if smooth:
        trial = trial_positions(ends, TRIAL_STEPS)
        along = chord_sags(_lines(rows, trial_positions(must, TRIAL_STEPS), smooth).at(trial).swapaxes(0, 1))
    return positions, steps_within(ends, along, sag, twisted_apart(corners, 0, sag))


def _thinned(must: Floats) -> Floats:
    """Rows that must be, or MOST_ROWS of them; every point still gets a row of its own where its curve needs one."""
    if len(must) <= MOST_ROWS:
        return must
    return must[np.linspace(0, len(must) - 1, MOST_ROWS).astype(np.int64)]


def _few(count: int) -> Ints:
    """Indices of a few of `count` rows, both edges among them."""
    return np.linspace(0, count - 1, min(count, 13)).astype(np.int64)


def _check_forward(places: Floats) -> None:
    back = np.diff(places[..., 0], axis=0) < -SAME_PLACE
    if back.any():
        cross_curve, row = (int(i) for i in np.argwhere(back)[0])
        raise BackwardLineError(cross_curve, places[cross_curve, row])


def _errors(tried: Floats, smooth: bool, columns: Floats, few: Ints) -> tuple[Floats, Floats, float]:
    """Chord errors of the trial steps across and along [m3], and the size of the body they are judged against [m3]."""
    x = tried[..., 0].mean(axis=1)
    reach = np.gradient(x)
    across = chord_errors(tried, reach)
    girth = np.linalg.norm(np.diff(tried, axis=1), axis=2).sum(axis=1)
    size = float(np.prod(np.ptp(tried.reshape(-1, 3), axis=0)))
    if not smooth:
        return across, np.zeros((len(columns) - 1) // 2), size
    lines = fair_lines(tried[:, few]).at(columns)
    along = chord_errors(lines.swapaxes(0, 1), np.full(len(few), float(girth.mean()) / len(few)))
    return across, along, size
