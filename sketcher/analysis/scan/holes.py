"""Where nothing of a scanned skin was seen, on neither side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.scan.skin import ANGLES, Skin
from sketcher.geometry.mesh import Flags, Floats, Ints

LEAST_HOLE = 0.15
"""[m] What is smaller along her and up is bridged without a word."""
_NARROW = 0.08
"""[m] Half-breadths below which a skin is seen edge on, so that its points are told from strays with difficulty."""
_EXPECTED = 25.0
"""Points that would be seen about a cell, so that it is empty by more than chance where there is none or one."""
_BELOW_EDGE = 0.06
"""[m] Nothing is missed so near the upper edge."""


@dataclass(frozen=True, slots=True)
class UnseenPatch:
    """From and to so far aft of the hull's zero [m], between two heights [m]; None: down to the keel, up to the sheer."""

    start: float
    end: float
    bottom: float | None
    top: float | None


def holes_of(
    skin: Skin,
    keel: Callable[[float], float | None],
    sheer: Callable[[float], float],
    end: Callable[[Floats], Floats],
    zero: Floats,
) -> tuple[UnseenPatch, ...]:
    """Where no point of the skin lies, from forward to aft, for a hull whose zero (3,) lies there.

    keel, sheer: heights by x, the keel's where an end's profile tells it; end: x by heights.
    """
    heights = skin.axis[None, :] + skin.rows * np.sin(ANGLES)[:, None]
    below = heights < np.array([sheer(float(x)) for x in skin.x])[None, :] - _BELOW_EDGE
    feet = [keel(float(x)) for x in skin.x]
    below &= heights > np.array([-np.inf if foot is None else foot + _BELOW_EDGE for foot in feet])[None, :]
    below &= skin.x[None, :] < end(heights) - 1.5 * float(skin.x[1] - skin.x[0])
    area = skin.rows * (ANGLES[1] - ANGLES[0]) * (skin.x[1] - skin.x[0])
    density = float(skin.seen[skin.seen > 0].sum() / area[skin.seen > 0].sum())
    empty = (_around(skin.seen) <= 1) & (9.0 * density * area > _EXPECTED) & below
    found = []
    for region in _regions(empty):
        rows, columns = np.nonzero(region)
        step = float(skin.x[1] - skin.x[0])
        first, last = float(skin.x[columns.min()]) - step, float(skin.x[columns.max()]) + step
        z = heights[region]
        down = rows.min() == 0
        if (skin.rows * np.cos(ANGLES)[:, None])[region].max() < _NARROW:
            continue
        edge = not (below & ~region)[:, columns][rows.max() + 1 :].any()
        if last - first >= LEAST_HOLE and (down or edge or float(np.ptp(z)) >= LEAST_HOLE / 2):
            bottom, top = float(z.min() - zero[2]), float(z.max() - zero[2])
            found.append(
                UnseenPatch(first - float(zero[0]), last - float(zero[0]), None if down else bottom, None if edge else top)
            )
    return tuple(sorted(found, key=lambda hole: hole.start))


def _around(seen: Ints) -> Ints:
    """The sum of each cell and those around it."""
    wide = np.pad(seen, 1)
    rows, columns = seen.shape
    return np.asarray(sum(wide[i : i + rows, j : j + columns] for i in range(3) for j in range(3)))


def _regions(empty: Flags) -> list[Flags]:
    """The parts of a mask that hang together by cells' sides."""
    left = empty.copy()
    regions = []
    while left.any():
        region = np.zeros_like(left)
        region.flat[int(np.argmax(left))] = True
        while True:
            grown = region.copy()
            grown[1:] |= region[:-1]
            grown[:-1] |= region[1:]
            grown[:, 1:] |= region[:, :-1]
            grown[:, :-1] |= region[:, 1:]
            grown &= left
            if (grown == region).all():
                break
            region = grown
        left &= ~region
        regions.append(region)
    return regions
