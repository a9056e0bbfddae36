"""Gaps under a moving panel: those clear of it are closed once, in the piece before the panel cuts it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from sketcher.analysis.spaces.boolean_cuts import Owners, Parts
from sketcher.analysis.spaces.leaks.gap_sealing import Sealed
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface, joined

Close = Callable[[TracedSurface], Sealed]
"""Closes the gaps in a piece of the hull."""


@dataclass(frozen=True, eq=False)
class ClosedPiece:
    """A piece with its gaps closed, if it has any. strips: (n, 3) corners of all that was looked along for gaps; reach [m]: how
    far beyond edges; ids, panels: of what closes gaps, as in Owners; gap_volume [m3]: of the gaps.
    """

    surface: TracedSurface
    strips: Floats = field(default_factory=lambda: np.zeros((0, 3)))
    reach: float = 0.0
    ids: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    panels: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    gap_volume: float = 0.0

    @classmethod
    def of(cls, surface: TracedSurface, sealed: Sealed) -> ClosedPiece:
        """A piece whose gaps were looked for; without one it stays as it is."""
        parts, plugs = sealed.parts, sealed.owners.ids >= sealed.owners.first_plug
        closed = TracedSurface(parts.vertices, parts.triangles, parts.origin, parts.face) if sealed.gap_volume else surface
        corners = np.concatenate([np.zeros((0, 3)), *(strip.mesh.vertices for strip in sealed.strips)])
        reach = max((strip.reach for strip in sealed.strips), default=0.0)
        return cls(closed, corners, reach, sealed.owners.ids[plugs], sealed.owners.panel[plugs], sealed.gap_volume)

    def beyond(self, plane: Plane, parted: TracedSurface) -> ClosedPiece | None:
        """The piece to be cut along a plane, of which only what lies over it counts; parted: it with its gaps open.

        None where one of the gaps, or what just fails to be one, is near the plane, or there are gaps on both sides of it.
        """
        over = plane.over(self.strips)
        if (np.abs(over) <= self.reach).any():
            return None
        if (over < 0.0).all():
            return ClosedPiece(parted)
        return self if (over > 0.0).all() or not self.gap_volume else None


@dataclass(frozen=True, eq=False)
class CutPiece:
    """A piece beyond one face of the moving panel. loops: how many outlines the cut has; closed: the piece it was cut from."""

    surface: TracedSurface
    loops: int
    closed: ClosedPiece


def closed_cuts(
    cuts: Sequence[CutPiece], owners: Owners, parts_of: Callable[[TracedSurface, Owners], Parts], made_by: Sequence[int]
) -> tuple[Sealed, tuple[int, ...]]:
    """The parts of cut pieces whose gaps are closed, and how they were cut where it is not sure that the same gaps leak as
    before: how many outlines each has, and how many parts there are; nothing where it is.

    made_by: ids of what may have made the cuts. It is sure where each part is cut in one outline: what the panel leaves of it
    stays in one, through a layer along the cut that no gap is in; so spaces and gaps are those of the piece, cut off there.
    """
    plugs = [(cut.closed.ids, cut.closed.panels) for cut in cuts if len(cut.closed.ids)]
    if plugs:
        ids, panels = (np.concatenate(each) for each in zip(*plugs, strict=True))
        order = np.argsort(ids)
        owners = owners.with_plugs(ids[order], panels[order])
    parts = parts_of(joined([cut.surface for cut in cuts]), owners)
    sealed = Sealed(parts, owners, (), sum(cut.closed.gap_volume for cut in cuts))
    cut_parts = np.unique(parts.part[np.isin(parts.origin, list(made_by))])
    loops = tuple(cut.loops for cut in cuts)
    sure = not any(len(cut.closed.strips) for cut in cuts) or sum(loops) <= len(cut_parts)
    return sealed, () if sure else (*loops, parts.count)
