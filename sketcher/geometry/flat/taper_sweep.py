"""Where in a flat outline a tapered figure may lie long: a sweep of places and angles, made finer about the best of them."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from sketcher.geometry.flat.tapers import Taper
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.tolerances import FIT_CELL

_ANGLES = 48
"""Directions looked at first: 7.5 degrees apart."""

_LOOKED_AT, _HALVINGS = 80, 3
"""Places of the sweep that are looked at more closely, and how often the grid about them is halved."""

_APART, _TURNED, _TURNED_AT_LAST = 0.12, 0.14, 0.20
"""Of places that differ by less amidships [m] and in angle [rad] one is looked at more closely, and one is handed on at last.

Not much wider than the sweep: a figure that lies straight along a wall must not be left out for one that lies askew beside it,
which looks longer while figures are tried slimmer than they are."""

_LOOKED_THROUGH = 256
"""Places are gone through so many at a time while some are chosen from them."""

LONGEST = 100.0
"""[m] A length no figure is asked to exceed; it bounds the programme."""


def likely_places(outline: Polygon, taper: Taper, count: int) -> Floats:
    """`count` poses (k, 4) to search from, each the best of a finer grid about a place of the sweep; longest first."""
    poses, cell, turn = candidates(outline, taper), _cell(outline), 2 * np.pi / _ANGLES
    poses = spread_places(poses, _LOOKED_AT, _APART, _TURNED)
    offsets = np.stack(np.meshgrid(*3 * [[-0.5, 0.5]], indexing="ij"), axis=-1).reshape(-1, 3)
    every = np.arange(len(poses))
    shapely.prepare(outline)
    for _ in range(_HALVINGS):
        cell, turn = cell / 2, turn / 2
        about = poses[:, None, :3] + offsets * [cell, cell, turn]
        lengths = _reach_at(about, shapely.get_coordinates(shapely.segmentize(outline.boundary, cell)), taper, cell)
        lengths[~shapely.contains_xy(outline, about[..., 0], about[..., 1]) | (lengths >= LONGEST)] = 0.0
        best = lengths.argmax(axis=1)
        poses = np.column_stack([about[every, best], lengths[every, best]])
    return spread_places(poses[np.argsort(-poses[:, 3], kind="stable")], count, _APART, _TURNED_AT_LAST)


def candidates(outline: Polygon, taper: Taper) -> Floats:
    """Poses (k, 4) from a sweep of places and angles, each with a length it might reach; longest first.

    The sweep is generous by half a cell, so that a place that fits between two cells is not missed; a local search settles it.
    """
    low, high = np.array(outline.bounds[:2]), np.array(outline.bounds[2:])
    cell = _cell(outline)
    counts = np.maximum(np.ceil((high - low) / cell).astype(int), 1)
    steps = [low[i] + (np.arange(counts[i]) + 0.5) * (high[i] - low[i]) / counts[i] for i in (0, 1)]
    heads = np.stack(np.meshgrid(*steps, indexing="ij"), axis=-1).reshape(-1, 2)
    heads = heads[shapely.contains_xy(outline, heads)]
    if not len(heads):
        heads = shapely.get_coordinates(outline.representative_point())
    rim = shapely.get_coordinates(shapely.segmentize(outline.boundary, cell / 2))
    poses = []
    for angle in np.linspace(0.0, 2 * np.pi, _ANGLES, endpoint=False):
        along, across = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
        lengths = _reach((rim @ along)[:, None] - heads @ along, (rim @ across)[:, None] - heads @ across, taper, cell)
        poses.append(np.column_stack([heads, np.full(len(heads), angle), lengths]))
    reaching = np.concatenate(poses)
    reaching = reaching[reaching[:, 3] < LONGEST]
    return reaching[np.argsort(-reaching[:, 3], kind="stable")]


def _cell(outline: Polygon) -> float:
    """The side of the sweep's cells [m]."""
    return max(FIT_CELL, float(np.sqrt(outline.area / 400.0)))


def _reach_at(poses: Floats, rim: Floats, taper: Taper, cell: float) -> Floats:
    """The same as `_reach` from poses (..., 3) to rim points (r, 2)."""
    x, y, c, s = poses[..., 0].ravel(), poses[..., 1].ravel(), np.cos(poses[..., 2]).ravel(), np.sin(poses[..., 2]).ravel()
    u = rim @ np.stack([c, s]) - (c * x + s * y)
    v = rim @ np.stack([-s, c]) - (c * y - s * x)
    return _reach(u, v, taper, cell).reshape(poses.shape[:-1])


def _reach(u: Floats, v: Floats, taper: Taper, cell: float) -> Floats:
    """The longest figure (...) that keeps clear of rim points at (u, v), each (r, ...) from the head, were it a cell slimmer."""
    head = max(taper.head / 2 - 0.7 * cell, taper.head / 6)
    foot = min(max(taper.foot / 2 - 0.7 * cell, taper.foot / 4), head * 0.999)
    share = np.minimum((head - np.abs(v)) / (head - foot), 1.0)
    reached = np.full_like(u, LONGEST)
    np.divide(u, share, out=reached, where=(u > 0.0) & (share > 1e-9))
    return reached.min(axis=0)  # type: ignore[no-any-return]


def spread_places(poses: Floats, count: int, apart: float = 0.25, turned: float = 0.43) -> Floats:
    """The first `count` poses that differ from each other by `apart` [m] amidships or `turned` [rad]."""
    c, s = np.cos(poses[:, 2]), np.sin(poses[:, 2])
    x, y = poses[:, 0] + poses[:, 3] / 2 * c, poses[:, 1] + poses[:, 3] / 2 * s
    alike, near = np.cos(turned), apart * apart

    def same(left: Ints, chosen: Ints) -> NDArray[np.bool_]:
        """(l, c) whether the one is as good as the other."""
        away, aside = x[left, None] - x[chosen], y[left, None] - y[chosen]
        turn = c[left, None] * c[chosen] + s[left, None] * s[chosen]
        return (turn >= alike) & (away * away + aside * aside <= near)  # type: ignore[no-any-return]

    chosen: list[int] = []
    for first in range(0, len(poses), _LOOKED_THROUGH):
        left = np.arange(first, min(first + _LOOKED_THROUGH, len(poses)))
        left = left[~same(left, np.array(chosen, dtype=np.int64)).any(axis=1)]
        while len(left):
            chosen.append(int(left[0]))
            if len(chosen) == count:
                return poses[chosen]
            left = left[1:][~same(left[1:], left[:1])[:, 0]]
    return poses[chosen]
