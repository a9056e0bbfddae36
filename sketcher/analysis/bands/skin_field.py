"""How a hull's skin follows the readings it was made of: by how much each place of it moves with each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from sketcher.analysis.bands.readings import TapeReading
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.hull.standing import levelled, own_axes
from sketcher.analysis.hull.station_curves import frames_of
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.surface.interpolation import chord_weights
from sketcher.geometry.tolerances import POINTS_APART
from sketcher.model.hull import Hull

ROWS = 18
"""Rows of a field, about, and `COLUMNS` between two stations: fewer or more than the loft's, and no surface is read off them."""
COLUMNS = 3
KNOTS_APART = 1e-3
"""[m] Nearer to each other places on a line are one."""

Spot = tuple[str, int, int]
"""A point of a cross curve as the file has it: of a station or a profile, its number, the point's number."""


@dataclass(frozen=True, eq=False)
class SkinField:
    """A thinned grid of the measured face, starboard, (columns, rows, 3), and how it follows the points of the cross curves.

    along: (columns, curves, rows) weights of the curves; across: of each curve the weights (rows, points) of its points, and
    which spot each of these is. down: heights were read downwards.
    """

    places: Floats
    along: Floats
    across: tuple[Floats, ...]
    spots: tuple[tuple[Spot | None, ...], ...]
    down: bool = False

    @staticmethod
    def of(form: HullForm) -> SkinField:
        """The field of a hull's form."""
        hull, lines = own_axes(form.hull), form.lines
        columns, curves = _columns(form.station_columns)
        rows = _rows(lines.shape[1])
        places = _between(_between(lines, columns).swapaxes(0, 1), rows).swapaxes(0, 1)
        runs = _lengths_along(places)
        along = np.stack([_weights(runs[curves, row], runs[:, row]) for row in range(len(rows))], axis=2)
        across, spots = [], []
        for number, cross_curve in enumerate(frames_of(hull).cross_curves):
            points = cross_curve.curve.points
            column = lines[form.station_columns[number]]
            run = _lengths_along(column[:, None])[:, 0]
            at = run[_nearest(points, column)]
            across.append(_weights(at, _between(run, rows)))
            spots.append(_spots(hull, number, points))
        return SkinField(places, along, tuple(across), tuple(spots), form.hull.heights_down)

    def slopes(self, push: Push, readings: Sequence[TapeReading]) -> Floats:
        """How a sum over the skin goes with each reading, for one standard deviation of it."""
        by_curve = np.einsum("skr,srd->krd", self.along, push.skin)
        of_spot: dict[Spot, Floats] = {}
        for number, (weights, spots) in enumerate(zip(self.across, self.spots, strict=True)):
            for spot, pushed in zip(spots, weights.T @ by_curve[number], strict=True):
                if spot is not None:
                    of_spot[spot] = of_spot.get(spot, np.zeros(3)) + pushed
        whole: dict[int, float] = {}
        for (kind, number, _), pushed in of_spot.items():
            if kind == "point":
                whole[number] = whole.get(number, 0.0) + float(pushed[0])
        none, up = np.zeros(3), -1.0 if self.down else 1.0

        def slope(reading: TapeReading) -> float:
            at, point = reading.number, reading.point
            match reading.what:
                case "half-breadth":
                    return float(of_spot.get(("point", at, point), none)[1])
                case "height":
                    return up * float(of_spot.get(("point", at, point), none)[2])
                case "station":
                    return whole.get(at, 0.0)
                case "stem" | "stern":
                    pushed = of_spot.get((reading.what, at, 0), none)
                    return up * float(pushed[2]) if reading.axis else float(pushed[0])
                case "camber" | "coachroof" | "sole":
                    return push.deck.get(reading.what, 0.0) * (up if reading.what == "sole" else 1.0)
                case _:
                    return 0.0

        return np.array([slope(reading) * reading.error for reading in readings])


@dataclass(frozen=True, eq=False)
class Push:
    """What a sum over the skin gives for each metre that the grid's places (columns, rows, 3) or a part of the deck are moved."""

    skin: Floats
    deck: dict[str, float] = field(default_factory=dict)


def _columns(curves: Sequence[int]) -> tuple[Floats, Ints]:
    """The field's columns as places among the loft's, and which of these are the cross curves'."""
    steps = [np.linspace(first, last, COLUMNS + 1, endpoint=False) for first, last in pairwise(curves)]
    return np.concatenate([*steps, [float(curves[-1])]]), np.arange(len(curves)) * (COLUMNS + 1)


def _rows(count: int) -> Floats:
    """The field's rows as places among the loft's: some of many, or each of few with others between."""
    if count > ROWS:
        return np.linspace(0, count - 1, ROWS).round()
    parts = -(-ROWS // max(count - 1, 1))
    return np.linspace(0.0, count - 1.0, parts * (count - 1) + 1)


def _between(values: Floats, at: Floats) -> Floats:
    """Values (n, ...) read between their places, by straight lines."""
    before = np.minimum(at.astype(np.int64), len(values) - 2)
    share = (at - before).reshape(-1, *[1] * (values.ndim - 1))
    read: Floats = values[before] * (1.0 - share) + values[before + 1] * share
    return read


def _lengths_along(places: Floats) -> Floats:
    """How far each place (n, rows, 3) is from the first along its line (n, rows)."""
    steps = np.linalg.norm(np.diff(places, axis=0), axis=2)
    return np.concatenate([np.zeros((1, places.shape[1])), np.cumsum(steps, axis=0)])


def _weights(knots: Floats, at: Floats) -> Floats:
    """Weights (places, knots) of knots for places between, by straight lines; of knots in one place the first has them all.

    A fair line's weights differ little in sum, and run wild where knots lie close; what they are for is which directions matter.
    """
    kept = [0]
    for k in range(1, len(knots)):
        if knots[k] - knots[kept[-1]] > KNOTS_APART:
            kept.append(k)
    weights = np.zeros((len(at), len(knots)))
    weights[:, kept] = chord_weights(knots[kept], at)
    return weights


def _nearest(points: Floats, places: Floats) -> Ints:
    apart = np.linalg.norm(points[:, None] - places[None], axis=2)
    return np.maximum.accumulate(apart.argmin(axis=1))


def _spots(hull: Hull, number: int, points: Floats) -> tuple[Spot | None, ...]:
    """Which point of the file each point of a cross curve is, the hull in its own axes; None: of none."""
    first = int(bool(hull.stem))
    if first <= number < first + len(hull.stations):
        at = number - first
        put_in = len(points) - len(hull.stations[at].points)
        return tuple(("point", at, max(k - put_in, 0)) for k in range(len(points)))
    end, station = ("stem", 0) if number < first else ("stern", len(hull.stations) - 1)
    level = levelled(hull, [(x, 0.0, height) for x, height in getattr(hull, end)])
    apart = np.linalg.norm(points[:, None] - level[None], axis=2)
    found: list[Spot | None] = []
    for k in range(len(points)):
        near = int(apart[k].argmin())
        found.append(("point", station, 0) if k == 0 else (end, near, 0) if apart[k, near] < POINTS_APART else None)
    return tuple(found)
