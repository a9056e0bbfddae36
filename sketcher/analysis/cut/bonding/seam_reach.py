"""Which seams can still be got at from inside a space once the panel that closes it is in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from sketcher.analysis.cut.boards.hatch_fit import ShutOut
from sketcher.analysis.cut.boards.routes_below import spaces_without
from sketcher.analysis.cut.results import Pattern, Seam
from sketcher.analysis.cut.work_order import closed_by, order_of_panels
from sketcher.analysis.fit.access import REACH, entrances_to
from sketcher.analysis.results import Compartment, Layout, PanelShape
from sketcher.analysis.spaces.compartments import main_space
from sketcher.analysis.spaces.layout import lay_out
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.paths_inside import path_lengths, walls_of
from sketcher.geometry.tolerances import REACH_SKIN
from sketcher.model.stages import before_panels

_STEP = 0.050
"""[m] A seam is looked at so often: a brush's width."""

_INSIDE = 2e-3
"""[m] A path begins this far inside its opening, clear of the rim."""


def within_reach(
    layout: Layout, seams: Sequence[Seam], parts: Sequence[Pattern] = (), wholes: Sequence[Pattern] = ()
) -> tuple[Seam, ...]:
    """The seams with the length of each that can be worked on; of seams that a panel closes in, what openings lead to.

    A hand or an arm reaches as far as sources `access-opening` and `arm-reach` say; where a person gets in, all of it. It is
    judged when the panel goes in: what comes after it does not part spaces yet.
    """
    planned, late = order_of_panels(layout, parts, wholes)
    reached = list(seams)
    bonded_with = [_bonded_with(seam, late) for seam in seams]
    for at, shape in enumerate(planned):
        mine = [k for k, panel in enumerate(bonded_with) if panel == shape.name]
        if not mine:
            continue
        there, closes = _shut_by(layout, shape, planned, [later.name for later in planned[at + 1 :]])
        for k in mine:
            inside = [space for space in closes if (seams[k].panel.split(", ")[0], seams[k].face) in space.bounds]
            reached[k] = _reached(there, seams[k], inside, closes) if inside else seams[k]
    return tuple(reached)


def _bonded_with(seam: Seam, late: Mapping[str, ShutOut]) -> str:
    """The panel with which a seam is bonded: its own, or the one that it waits for."""
    panel = seam.panel.split(", ")[0]
    return seam.to if panel in late and late[panel].before == seam.to else panel


def _shut_by(
    layout: Layout, shape: PanelShape, planned: Sequence[PanelShape], later: Sequence[str]
) -> tuple[Layout, list[Compartment]]:
    """The spaces that a panel closes as it goes in, in the layout as it then is: some are parted by later panels only.

    What leads to a space that people live in, or to the largest, is not closed yet.
    """
    now, main = spaces_without(layout, later), main_space(layout)
    left_open = {now[each.name] for each in layout.compartments if each.use == "accommodation" or each.name == main}
    left_open |= {now[each.name] for each in layout.compartments if not each.bounded}
    parted = {
        now[each.name]
        for each in layout.compartments
        if list(now.values()).count(now[each.name]) > 1 and any(panel == shape.name for panel, _ in each.bounds)
    }
    if not parted - left_open:
        closed = closed_by(layout, shape, planned)
        return layout, [space for space in layout.compartments if space.name in closed]
    there = lay_out(before_panels(layout.scene, later), layout.hull)
    closed = closed_by(there, shape, [each for each in planned if each.name not in later])
    lived_in = {name for name, group in now.items() if group in left_open}
    return there, [space for space in there.compartments if space.name in closed and space.name not in lived_in]


def _reached(layout: Layout, seam: Seam, closed: list[Compartment], closes: Sequence[Compartment]) -> Seam:
    """A seam with what of it is reached from where one can be: an opening out of a space closed with it only, if one gets in."""
    ways = {space.name: entrances_to(layout, space) for space in closes}
    from_without = {name: [way for way in all_ if way.beyond not in ways] for name, all_ in ways.items()}
    entered = {name for name, all_ in from_without.items() if any(way.limb == "person" for way in all_)}
    no_place = set(ways) - entered if any(from_without.values()) else set()
    spots, lengths = _spots(seam.lines)
    shut, out, through = np.zeros(len(spots), dtype=bool), np.ones(len(spots), dtype=bool), dict[str, None]()
    for space in closed:
        low, high = space.mesh.bounds
        shut |= ((spots >= low - REACH_SKIN) & (spots <= high + REACH_SKIN)).all(axis=1)
        walls = walls_of(space.mesh)
        for entrance in (way for way in ways[space.name] if way.beyond not in no_place):
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
