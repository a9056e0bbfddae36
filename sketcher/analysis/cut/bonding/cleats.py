"""Cleats under edges that nobody reaches later: how long, and of how many strips, so that they take the hull's curve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sketcher.analysis.cut.berth_boards import LEDGE
from sketcher.analysis.cut.results import Seam
from sketcher.analysis.cut.timber.bends import least_radius, strips_for
from sketcher.model.scene import Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleat:
    """A cleat along one seam. length [m]; strips: how many are glued one on another, None where it is sawn to the curve."""

    panel: str
    to: str
    length: float
    strips: int | None

    @property
    def strip(self) -> float:
        """How thick a strip is [m]; as the cleat where it is one piece or sawn."""
        return LEDGE / (self.strips or 1)


def cleats_for(scene: Scene, all_seams: Sequence[Seam]) -> tuple[Cleat, ...]:
    """A cleat for each seam of which some is out of reach; along the hull, bearers under a lid serve as such."""
    borne = {stringer.under for stringer in scene.stringers}
    return tuple(
        Cleat(panel=seam.panel.split(", ")[0], to=seam.to, length=seam.length - seam.reached, strips=_strips(seam))
        for seam in all_seams
        if seam.reached < seam.length and not (seam.to == "hull" and seam.panel.split(", ")[0] in borne)
    )


def _strips(seam: Seam) -> int | None:
    """How many strips bend to a seam's sharpest curve (source `cold-bend`); both sides of the boat have their own cleats."""
    sides = [part for line in seam.lines for part in (line[line[:, 1] <= 0.0], line[line[:, 1] >= 0.0]) if len(part) > 2]
    radii = [radius for part in sides if (radius := least_radius(part)) is not None]
    return strips_for(LEDGE, min(radii, default=None))
