"""The hull's surfaces from its measurements: the space inside and the body outside, both closed."""

from __future__ import annotations

from dataclasses import dataclass, field

from sketcher.analysis.results import Finding
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.model.hull import Hull

SKIN, DECK, OPEN_END = 0, 1, 2
"""Labels of the triangles of `HullForm.inside` and `.outside`; the coachroof counts as deck, a cockpit's well too."""


@dataclass(frozen=True, eq=False, kw_only=True)
class HullForm:
    """Both faces of the shell as closed solids in the boat's level axes; the deck, coachroof and cockpit belong to them.

    lines: the loft's grid on the measured face, starboard, (sections, rows, 3), keel to sheer, kept for drawings.
    sheer: (k, 3) the deck's edge of the outside body, starboard, from forward to aft; freeboard is measured to it.
    x_forward, x_after [m]: the outside body's foremost and aftmost point on the centreline.
    """

    hull: Hull
    inside: TriMesh
    outside: TriMesh
    lines: Floats = field(repr=False)
    sheer: Floats = field(repr=False)
    x_forward: float
    x_after: float
    findings: tuple[Finding, ...] = ()

    def deck_underside(self, x: float, y: float) -> float | None:
        """Height [m] of the highest inside point over (x, y), coachroof included; None outside the deck's plan."""
        raise NotImplementedError

    def stem_at(self, height: float) -> float | None:
        """x [m] of the inside face's foremost point on the centreline at a height; None above or below the hull."""
        raise NotImplementedError

    def transom_at(self, height: float) -> float | None:
        """x [m] of the inside face's aftmost point on the centreline at a height; None above or below the hull."""
        raise NotImplementedError


def form_hull(hull: Hull) -> HullForm:
    """Loft a hull and close both its faces.

    Raises SketchError where the measurements cannot make a hull (turned inside out, no area), naming station and remedy.
    """
    raise NotImplementedError
