"""Cleats at true size: what of the board's face one lies on, from its line along the edge and the cuts of its ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.cut.berth_boards import LEDGE
from sketcher.analysis.cut.bonding.cleat_ends import CleatEnd
from sketcher.analysis.cut.results import Seam
from sketcher.geometry.flat.regions import largest
from sketcher.geometry.mesh import Floats
from sketcher.geometry.vectors import cross

_BEYOND = 4.0 * LEDGE
"""[m] A run is drawn so far past its ends before it is cut there: a cut slants no further than this."""

_STEEPEST = 60.0
"""[deg] off square, up to which the far edge of a back is drawn."""


@dataclass(frozen=True, slots=True)
class CleatShape:
    """One run of a cleat flat on the face that bears the board [m], its chord to the right from its first end at (0, 0).

    outline: of that face as sawn; edge, far: lines (k, 2) of the back's edge there, and on the opposite face, square below it.
    """

    outline: shapely.Polygon
    edge: Floats
    far: Floats

    @property
    def curve_depth(self) -> float:
        """How far the edge lies off its chord at most [m]."""
        return float(np.abs(self.edge[:, 1]).max())


def run_shapes(seam: Seam, ends: Sequence[tuple[CleatEnd, CleatEnd]]) -> Iterator[CleatShape]:
    """Each run of a seam as its cleat is sawn; none where a run closes on itself, for it has no chord."""
    if seam.outward is None:
        return
    for line, corners, both in zip(seam.lines, seam.angles, ends, strict=True):
        chord = line[-1] - line[0]
        if np.linalg.norm(chord) > 1e-6:
            u = chord / np.linalg.norm(chord)
            yield _shape((line - line[0]) @ np.column_stack([u, cross(seam.outward, u)]), corners, both)


def _shape(edge: Floats, corners: Floats, ends: tuple[CleatEnd, CleatEnd]) -> CleatShape:
    first, last = (way / np.linalg.norm(way) for way in (edge[1] - edge[0], edge[-2] - edge[-1]))
    longer = np.concatenate([[edge[0] - _BEYOND * first], edge, [edge[-1] - _BEYOND * last]])
    area = shapely.buffer(shapely.LineString(longer), LEDGE, single_sided=True, join_style="mitre", cap_style="flat")
    area = shapely.difference(area, _beyond(edge[0], first, ends[0].cut.side))
    area = shapely.difference(area, _beyond(edge[-1], last, -ends[1].cut.side))
    ways = np.gradient(edge, axis=0)
    inward = np.column_stack([-ways[:, 1], ways[:, 0]]) / np.linalg.norm(ways, axis=1)[:, None]
    off = np.radians(np.clip(90.0 - corners, -_STEEPEST, _STEEPEST))
    return CleatShape(largest(area), edge, edge + LEDGE * np.tan(off)[:, None] * inward)


def _beyond(end: Floats, into: Floats, side: float) -> shapely.Polygon:
    """What a cut takes off an end: all on its outer side nearby. side [deg]: from the edge to the cut, left of `into` above 0."""
    turn = np.radians(side)
    cut = np.array([into[0] * np.cos(turn) - into[1] * np.sin(turn), into[0] * np.sin(turn) + into[1] * np.cos(turn)])
    out = np.array([-cut[1], cut[0]]) * np.sign(side)
    reach = 1.5 * _BEYOND
    return shapely.Polygon([end - reach * cut, end + reach * cut, end + reach * (cut + out), end + reach * (out - cut)])
