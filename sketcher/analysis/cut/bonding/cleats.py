"""Cleats under edges that nobody reaches later: how long, and of how many strips, so that they take the hull's curve."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.cut.berth_boards import LEDGE
from sketcher.analysis.cut.bevels import TURN
from sketcher.analysis.cut.results import BackBevel, Seam
from sketcher.analysis.cut.timber.bends import least_radius, strips_for
from sketcher.geometry.mesh import Floats
from sketcher.model.scene import Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleat:
    """A cleat along one seam. length [m]; strips: how many are glued one on another, None where it is sawn to the curve.

    face: of the panel, that lies on it; radius [m]: of its sharpest bend, None where it is straight; settings: of each of its
    runs, how the back that lies on `to` is planed: a cleat is square where the two meet at 90 degrees.
    """

    panel: str
    to: str
    length: float
    strips: int | None
    face: str = ""
    radius: float | None = None
    settings: tuple[tuple[BackBevel, ...], ...] = ()

    @property
    def strip(self) -> float:
        """How thick a strip is [m]; as the cleat where it is one piece or sawn."""
        return LEDGE / (self.strips or 1)


def cleats_for(scene: Scene, all_seams: Sequence[Seam]) -> tuple[Cleat, ...]:
    """A cleat for each seam of which some is out of reach; along the hull, bearers under a lid serve as such."""
    borne = {stringer.under for stringer in scene.stringers}
    return tuple(
        _cleat(seam)
        for seam in all_seams
        if seam.reached < seam.length and not (seam.to == "hull" and seam.panel.split(", ")[0] in borne)
    )


def _cleat(seam: Seam) -> Cleat:
    """The cleat along a seam, of strips that bend to its sharpest curve; both sides of the boat have their own."""
    sides = [part for line in seam.lines for part in (line[line[:, 1] <= 0.0], line[line[:, 1] >= 0.0]) if len(part) > 2]
    radius = min((found for part in sides if (found := least_radius(part)) is not None), default=None)
    return Cleat(
        panel=seam.panel.split(", ")[0],
        to=seam.to,
        length=seam.length - seam.reached,
        strips=strips_for(LEDGE, radius),
        face=seam.face,
        radius=radius,
        settings=tuple(tuple(_settings(line, angles)) for line, angles in zip(seam.lines, seam.angles, strict=False)),
    )


def _settings(line: Floats, corners: Floats) -> Iterator[BackBevel]:
    """The bevel of a cleat's back at both ends of a run, and wherever it has changed by TURN degrees."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    kept = 0
    for k, angle in enumerate((90.0 - corners).tolist()):
        if k in (0, len(along) - 1) or abs(angle - (90.0 - corners[kept])) >= TURN:
            kept, under = k, LEDGE * max(0.0, 1.0 - float(np.tan(np.radians(min(abs(angle), 89.0)))))
            yield BackBevel(along=float(along[k]), angle=angle, under=under)
