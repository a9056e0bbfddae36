"""Which seams can still be got at from inside a space once the panel that closes it is in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.cut.results import Seam
from sketcher.analysis.cut.work_order import closed_by, panels_in_order
from sketcher.analysis.fit.access import REACH, entrances_to
from sketcher.analysis.results import Compartment, Layout
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.paths_inside import path_lengths, walls_of
from sketcher.geometry.tolerances import REACH_SKIN

_STEP = 0.050
"""[m] A seam is looked at so often: a brush's width."""

_INSIDE = 2e-3
"""[m] A path begins this far inside its opening, clear of the rim."""


def within_reach(layout: Layout, seams: Sequence[Seam]) -> tuple[Seam, ...]:
    """The seams with the length of each that can be worked on; of seams that a panel closes in, what openings lead to.

    A hand or an arm reaches as far as sources `access-opening` and `arm-reach` say; where a person gets in, all of it.
    """
    planned = panels_in_order(layout)
    spaces = {space.name: space for space in layout.compartments}
    reached = []
    for seam in seams:
        shape = next((each for each in planned if seam.panel == each.name or seam.panel.startswith(f"{each.name}, ")), None)
        closes = [] if shape is None else [spaces[name] for name in closed_by(layout, shape, planned)]
        inside = [space for space in closes if shape is not None and (shape.name, seam.face) in space.bounds]
        reached.append(_reached(layout, seam, inside) if inside else seam)
    return tuple(reached)


def _reached(layout: Layout, seam: Seam, closed: list[Compartment]) -> Seam:
    spots, lengths = _spots(seam.lines)
    shut, out, through = np.zeros(len(spots), dtype=bool), np.ones(len(spots), dtype=bool), dict[str, None]()
    for space in closed:
        low, high = space.mesh.bounds
        shut |= ((spots >= low - REACH_SKIN) & (spots <= high + REACH_SKIN)).all(axis=1)
        walls = walls_of(space.mesh)
        for entrance in entrances_to(layout, space):
            away = path_lengths(walls, np.array(entrance.centre) + _INSIDE * entrance.inwards, spots)
            near = np.isfinite(away) & (away <= REACH[entrance.limb])
            if near.any():
                through[entrance.name] = None
            out &= ~near
    kept = ~(shut & out)
    reached = seam.length if kept.all() else min(seam.length, float(lengths[kept].sum()))
    return replace(seam, reached=reached, closed_in=float(lengths[shut].sum()), through=tuple(through))


def _spots(lines: Sequence[Floats]) -> tuple[Floats, Floats]:
    """Places (n, 3) along lines, each in the middle of a stretch as long as (n,) [m]."""
    spots, lengths = [], []
    for line in lines:
        along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
        count = max(1, round(along[-1] / _STEP))
        middles = (np.arange(count) + 0.5) / count * along[-1]
        spots.append(np.column_stack([np.interp(middles, along, line[:, k]) for k in range(3)]))
        lengths.append(np.full(count, along[-1] / count))
    return np.vstack(spots), np.concatenate(lengths)
