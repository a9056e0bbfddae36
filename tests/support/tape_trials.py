"""Seeded trials of the loftsman's look on the demo hulls; run as a script it prints what was found, named and proposed.

python tests/support/tape_trials.py
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from places import HULLS

from sketcher.analysis.survey.misread_digits import likely_reading
from sketcher.analysis.survey.outliers import Slip, judge
from sketcher.model.files.hull_file import read_hull
from sketcher.model.hull import Hull

DEMOS = ("quillet-21", "marram-29", "ternholm-34", "pellwick-30")
TAPE_ERROR = 5e-3
"""[m] every number of a trial is off by up to this much either way, on top of what the demo's own numbers are off by."""


def demo_hull(name: str) -> Hull:
    return read_hull(HULLS / f"{name}.yaml")


def measured_again(hull: Hull, rng: np.random.Generator, error: float = TAPE_ERROR) -> Hull:
    """The hull with a fresh random error on every number, rounded to whole millimetres; the centreline stays."""
    stations = []
    for station in hull.stations:
        points = [
            (
                0.0 if y == 0.0 else max(round(y + rng.uniform(-error, error), 3), 0.001),
                round(z + rng.uniform(-error, error), 3),
            )
            for y, z in station.points
        ]
        stations.append(replace(station, points=tuple(points)))
    return replace(hull, stations=tuple(stations))


def slipped(hull: Hull, station: int, point: int, coordinate: int, slip: float) -> Hull:
    """The hull with one number off by `slip` [m]."""
    points = [list(p) for p in hull.stations[station].points]
    points[point][coordinate] += slip
    moved = replace(hull.stations[station], points=tuple((y, z) for y, z in points))
    return replace(hull, stations=(*hull.stations[:station], moved, *hull.stations[station + 1 :]))


def slippable(hull: Hull, share: float = 0.7) -> list[Place]:
    """Numbers at interior stations whose own direction is within acos(share) of the square to the skin.

    Square to the skin: to the chord between the points on both sides; at keel and sheer to the one chord there is.
    """
    found = []
    for j, station in enumerate(hull.stations[1:-1], start=1):
        points = np.array(station.points)
        marks = {len(other.knuckles) for other in hull.stations[j - 1 : j + 2]}
        for i in range(len(points)):
            along = points[min(i + 1, len(points) - 1)] - points[max(i - 1, 0)]
            square = np.array([along[1], -along[0]]) / np.hypot(*along)
            edge = i in (0, len(points) - 1) or len(marks) > 1
            found += [Place(j, i, c, float(square[c]), edge) for c in (0, 1) if abs(square[c]) >= share and (i or c)]
    return found


@dataclass(frozen=True)
class Place:
    """A number: station, point, coordinate (0 half-breadth, 1 height), and how much of a slip in it is square to the skin.

    edge: on the keel or the sheer, or at a station where a knuckle begins or ends.
    """

    station: int
    point: int
    coordinate: int
    share: float
    edge: bool


@dataclass
class Tally:
    """Of so many trials: slips found, named first, or not found but listed as beyond judgement; errors of the proposals [m]."""

    trials: int = 0
    found: int = 0
    named_first: int = 0
    listed: int = 0
    proposal_errors: tuple[float, ...] = ()


def plant(hull: Hull, seeds: Sequence[int], square: float | None, edge: bool = False) -> Tally:
    """Plant one slip a seed: 50 mm in a number (35 mm or more square to the skin), or exactly `square` [m] that way.

    edge: on keel and sheer and where knuckles end instead of everywhere between.
    """
    tally = Tally()
    beyond = {(u.station, u.point, u.coordinate) for u in judge(hull).unjudged}
    places = [place for place in slippable(hull) if place.edge == edge]
    for seed in seeds:
        rng = np.random.default_rng(seed)
        noisy = measured_again(hull, rng)
        place = places[int(rng.integers(len(places)))]
        j, i, c = place.station, place.point, place.coordinate
        size = 0.050 if square is None else square / abs(place.share)
        slip = float(size * rng.choice([-1.0, 1.0]))
        if c == 0 and noisy.stations[j].points[i][0] + slip <= 0.001:
            slip = -slip
        wrong = slipped(noisy, j, i, c, slip)
        slips = judge(wrong).slips
        found = any((s.station, s.point) == (j, i) for s in slips)
        tally.trials += 1
        tally.found += found
        tally.listed += not found and (j, i, c) in beyond
        if slips and (slips[0].station, slips[0].point) == (j, i):
            tally.named_first += 1
            tally.proposal_errors += (abs(_proposal(wrong, slips[0], c) - noisy.stations[j].points[i][c]),)
    return tally


def _proposal(hull: Hull, slip: Slip, c: int) -> float:
    assert slip.point is not None
    typed = hull.stations[slip.station].points[slip.point][c]
    share = slip.direction[c] or 1.0
    return likely_reading(typed, slip.off / share, slip.spread / abs(share), hull.units).value


def false_alarms(hull: Hull, seeds: Sequence[int]) -> int:
    """How many of the sound sets of measurements, one a seed, raise anything."""
    alarms = 0
    for seed in seeds:
        judged = judge(measured_again(hull, np.random.default_rng(seed)))
        alarms += bool(judged.slips or judged.missed)
    return alarms


def main() -> None:
    head = "hull          slip           where           trials  found  named first  not found but listed  proposal off [mm]"
    print(head + "  median / 95 %")
    for name in DEMOS:
        hull = demo_hull(name)
        for label, square in (("50 mm", None), ("35 mm square", 0.035)):
            for where, edge in (("between", False), ("keel and sheer", True)):
                t = plant(hull, range(1000, 1200), square, edge)
                off = 1000 * np.quantile(t.proposal_errors, [0.5, 0.95])
                row = f"{name:13} {label:14} {where:15} {t.trials:6} {t.found:6} {t.named_first:12} {t.listed:21}"
                print(f"{row} {off[0]:24.1f} / {off[1]:.1f}")
        print(f"{name:13} false alarms in 200 sound sets of measurements: {false_alarms(hull, range(200))}")


if __name__ == "__main__":
    main()
