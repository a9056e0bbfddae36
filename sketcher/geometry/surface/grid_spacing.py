"""Where a curved surface needs its grid lines: shared out so that the facets' errors come out even."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import FLAT_TWIST

LEAST_DENSITY = 0.3
"""Share of the mean density of lines that even the flattest part gets, so that no facet grows very long."""

LONGEST_SIDE = 8.0
"""Most lines one way for each line the other way."""

MOST_TWIST_STEPS = 12
"""Steps of a ruled gap at most, however twisted."""


def chord_errors(points: Floats, weights: Floats) -> Floats:
    """Volume [m3] that chords leave out, for each of the steps along the second axis of points (lines, 2 steps + 1, 3).

    The points between stand in mid-step; weights (lines,) [m] are what each line stands for, across.
    """
    start, middle, end = points[:, :-1:2], points[:, 1::2], points[:, 2::2]
    area = np.linalg.norm(np.cross(middle - start, end - start), axis=2)
    errors: Floats = (2.0 / 3.0) * (weights @ area)
    return errors


def steps_for(across: Floats, along: Floats, cells: int, allowed: float, least: tuple[int, int]) -> tuple[int, int]:
    """Numbers of steps (across, along) that make about `cells` cells with the least error; fewer where fewer do.

    across, along: chord errors of equal trial steps each way. allowed [m3]: the error each way that is not gone below.
    least: steps that there are anyway.
    """
    needs = [float(np.cbrt(errors).sum()) ** 1.5 for errors in (across, along)]
    enough = [max(1.0, need / np.sqrt(allowed)) for need in needs]
    few, many = (0, 1) if needs[0] <= needs[1] else (1, 0)
    steps = [0.0, 0.0]
    steps[few] = max(least[few], min(_side(needs[few], needs[many], cells), enough[few]))
    steps[many] = max(least[many], min(cells / steps[few], enough[many]))
    return round(steps[0]), round(steps[1])


def _side(need: float, other: float, cells: int) -> float:
    """Steps of the side that needs fewer."""
    ratio = max(need / other if other > 0.0 else 1.0, 1.0 / LONGEST_SIDE)
    return float(np.sqrt(cells * ratio))


def shared_steps(fixed: Floats, errors: Floats, steps: int, least: Ints) -> Floats:
    """Positions: the fixed ones (k,), rising, and between them about `steps` steps in all, closer where errors are large.

    errors: (m (k - 1),) chord errors of m equal trial steps in each gap. least: (k - 1,) steps that each gap must have.
    """
    density = np.cbrt(errors).reshape(len(fixed) - 1, -1)
    density = density + LEAST_DENSITY * density.mean() if density.any() else np.ones_like(density)
    wanted = steps * density.sum(axis=1) / density.sum()
    return _spread(fixed, density, np.maximum(np.round(wanted).astype(np.int64), least))


def steps_within(fixed: Floats, sags: Floats, allowed: float, least: Ints) -> Floats:
    """Positions as of `shared_steps`, so close that no chord leaves its curve by more than `allowed` [m].

    sags: (m (k - 1),) how far the chords of m equal trial steps in each gap leave it [m]; it falls with the square of the step.
    """
    needs = np.sqrt(sags / allowed).reshape(len(fixed) - 1, -1)
    density = needs + (least / needs.shape[1])[:, None]
    return _spread(fixed, density, np.ceil(density.sum(axis=1)).astype(np.int64))


def _spread(fixed: Floats, density: Floats, counts: Ints) -> Floats:
    """Fixed positions (k,) and counts (k - 1,) of steps between, as dense as (k - 1, m) says of m parts of each gap."""
    parts = [fixed[:1]]
    for gap, count in enumerate(counts):
        grown = np.concatenate([[0.0], np.cumsum(density[gap])])
        share = np.interp(np.arange(1, count) / count, grown / grown[-1], np.linspace(0.0, 1.0, len(grown)))
        parts += [fixed[gap] + share * (fixed[gap + 1] - fixed[gap]), fixed[gap + 1 : gap + 2]]
    return np.concatenate(parts)


def chord_sags(points: Floats) -> Floats:
    """How far chords along the second axis of points (lines, 2 steps + 1, 3) leave any of their lines [m], (steps,).

    The points between stand in mid-step; judged there, square to the chord.
    """
    start, middle, end = points[:, :-1:2], points[:, 1::2], points[:, 2::2]
    chord = end - start
    length = np.linalg.norm(chord, axis=2)
    area = np.linalg.norm(np.cross(middle - start, chord), axis=2)
    sags: Floats = (area / np.where(length > 0.0, length, np.inf)).max(axis=0)
    return sags


def twisted_apart(places: Floats, axis: int, allowed: float) -> Ints:
    """Steps each gap along an axis (0: of curves, 1: of rows) needs so that no facet leaves a twisted cell by `allowed` [m].

    places: (curves, rows, 3) corners of the cells; each is taken to be parted in as many steps the other way.
    """
    off = np.linalg.norm(np.diff(np.diff(places, axis=0), axis=1), axis=2).max(axis=1 - axis) / 4.0
    steps: Ints = np.maximum(np.ceil(np.sqrt(off / allowed)).astype(np.int64), 1)
    return steps


def trial_positions(fixed: Floats, steps: int) -> Floats:
    """Ends and middles of `steps` equal steps in each gap between the fixed positions, (2 steps (k - 1) + 1,)."""
    share = np.arange(2 * steps) / (2 * steps)
    inner = (fixed[:-1, None] + share * np.diff(fixed)[:, None]).ravel()
    return np.append(inner, fixed[-1])


def twist_steps(places: Floats) -> Ints:
    """Steps each gap between curves needs so that facets follow its twisted ruled cells; even, 1 where flat.

    places: (curves, rows, 3) corners of the cells.
    """
    flat = FLAT_TWIST * float(np.ptp(places.reshape(-1, 3), axis=0).max())
    twist = np.linalg.norm(np.diff(np.diff(places, axis=0), axis=1), axis=2).max(axis=1)
    even = 2 * np.ceil(twist / (8.0 * flat)).astype(np.int64)
    return np.where(twist > flat, np.clip(even, 2, MOST_TWIST_STEPS), 1)
