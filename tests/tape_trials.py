"""Seeded trials of the loftsman's look on the demo hulls; run as a script it prints what was found, named and proposed.

python tests/tape_trials.py
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from sketcher.analysis.loftsman_digits import likely_reading
from sketcher.analysis.loftsman_judgement import Slip, judge
from sketcher.model.hull import Hull
from sketcher.model.hull_file import read_hull

HULLS = Path(__file__).parents[1] / "hulls"
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


def slippable(hull: Hull, share: float = 0.7) -> list[tuple[int, int, int, float]]:
    """Numbers at interior stations whose own direction is within acos(share) of the square to the skin: with that share.

    Square to the skin: to the chord between the points on both sides; at keel and sheer to the one chord there is.
    """
    found = []
    for j, station in enumerate(hull.stations[1:-1], start=1):
        points = np.array(station.points)
        for i in range(len(points)):
            along = points[min(i + 1, len(points) - 1)] - points[max(i - 1, 0)]
            square = np.array([along[1], -along[0]]) / np.hypot(*along)
            for c in (0, 1):
                if abs(square[c]) >= share and (i or c):
                    found.append((j, i, c, float(square[c])))
    return found


@dataclass
class Tally:
    trials: int = 0
    judged: int = 0
    found: int = 0
    named_first: int = 0
    proposal_errors: tuple[float, ...] = ()


def plant(hull: Hull, seeds: Sequence[int], square: float | None) -> Tally:
    """Plant one slip a seed: 50 mm in a number (35 mm or more square to the skin), or exactly `square` [m] that way.

    Only numbers that the look does not list as beyond its judgement count as judged.
    """
    tally = Tally()
    beyond = {(u.station, u.point, u.coordinate) for u in judge(hull).unjudged}
    places = slippable(hull)
    for seed in seeds:
        rng = np.random.default_rng(seed)
        noisy = measured_again(hull, rng)
        j, i, c, share = places[int(rng.integers(len(places)))]
        size = 0.050 if square is None else square / abs(share)
        slip = float(size * rng.choice([-1.0, 1.0]))
        if c == 0 and noisy.stations[j].points[i][0] + slip <= 0.001:
            slip = -slip
        tally.trials += 1
        if (j, i, c) in beyond:
            continue
        tally.judged += 1
        wrong = slipped(noisy, j, i, c, slip)
        slips = judge(wrong).slips
        tally.found += any((s.station, s.point) == (j, i) for s in slips)
        if slips and (slips[0].station, slips[0].point) == (j, i):
            tally.named_first += 1
            proposal = _proposal(wrong, slips[0], c)
            tally.proposal_errors += (abs(proposal - noisy.stations[j].points[i][c]),)
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
    print("hull          slip            judged  found  named first  proposal off, median / 95 % [mm]   false alarms in 200")
    for name in DEMOS:
        hull = demo_hull(name)
        alarms = false_alarms(hull, range(200))
        for label, square in (("50 mm", None), ("35 mm square", 0.035)):
            t = plant(hull, range(1000, 1200), square)
            off = 1000 * np.quantile(t.proposal_errors, [0.5, 0.95])
            print(
                f"{name:13} {label:14} {t.judged:4} of {t.trials}  {t.found:5}  {t.named_first:11}  {off[0]:20.1f} / {off[1]:.1f}"
                f"{alarms:28}"
            )


if __name__ == "__main__":
    main()
