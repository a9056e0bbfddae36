"""What a gap that was read in the boat did to a board, of which `Pattern.planned` is the drawn outline before that."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A gap read at a place of a board, and what it did there, all in [m].

    at: as on the pattern; planned: what it would be by the hull's measurements; moved: how far out the edge went in its plane.
    """

    at: tuple[float, float]
    read: float
    planned: float
    moved: float
