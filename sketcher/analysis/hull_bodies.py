"""Both faces of the shell as closed bodies: the measured one as lofted, the other a shell's and a deck's thickness away."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.deck import DeckSurface, EndPlane, deck_lid
from sketcher.analysis.houses import check_houses, with_houses
from sketcher.geometry.loft import Sheet
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.offset import offset_half
from sketcher.geometry.shell import closed_half, half_body, mirrored, tidy_half
from sketcher.geometry.solid import reserve_ids, surface_of, to_manifold
from sketcher.geometry.tolerances import MITRE, SAME_PLACE
from sketcher.model.hull import Hull

SKIN, DECK, OPEN_END = 0, 1, 2
"""Labels of the triangles of the hull's bodies; the coachroof counts as deck, a cockpit's well too."""

LEAN_OVER = 1.0
"""[m] Over this length the deck's places move aft to end in a raked end's plane."""


@dataclass(frozen=True, eq=False)
class HullBodies:
    """The two bodies over one sheet. deck_steps: steps of the deck from its edge to its middle."""

    hull: Hull
    sheet: Sheet
    deck_steps: int

    def measured(self) -> TriMesh:
        """The body of the face that was measured."""
        grid, labels = self._with_deck()
        half = half_body(grid, labels, (SKIN, OPEN_END if self.hull.open_aft else SKIN))
        if self.hull.coachroof is None and self.hull.cockpit is None:
            return mirrored(half)
        deck = self._deck(0.0)
        check_houses(self.hull, deck, self.sheet.points)
        closed = closed_half(half, SKIN)
        first = reserve_ids(1)
        solid = with_houses(self.hull, to_manifold(closed, first, what="the hull"), deck, 0.0, self.deck_steps)
        surface = surface_of(solid)
        of_hull = surface.origin == first
        label = np.where(of_hull, closed.labels[np.where(of_hull, surface.face, 0)], DECK)
        return mirrored(tidy_half(TriMesh(surface.vertices, surface.triangles, label)))

    def other(self) -> TriMesh:
        """The body of the other face: the skin moved by the shell's thickness, under the deck's other face."""
        hull, points = self.hull, self.sheet.points
        out = 1.0 if hull.offsets_to == "inside" else -1.0
        lift = out * hull.deck.thickness
        deck = self._deck(lift)
        ends = (_end_plane(points[0], -out * hull.shell), _end_plane(points[-1], 0.0 if hull.open_aft else out * hull.shell))
        reach = MITRE * hull.shell + 0.1
        lid = deck_lid(deck, self.deck_steps, reach, float(points[..., 2].min()) - reach, ends)
        solid = with_houses(hull, to_manifold(lid, reserve_ids(1), what="the deck"), deck, lift, self.deck_steps)
        rise = hull.deck.thickness + 2.0 * hull.shell + 0.01
        flat_ends = (ends[0] is not None, ends[1] is not None)
        half = offset_half(points, out * hull.shell, rise, solid, (SKIN, DECK), flat_ends)
        corners = half.vertices[half.triangles]
        for end, label in zip(ends, (SKIN, OPEN_END if hull.open_aft else SKIN), strict=True):
            if end is not None:
                half.labels[end.holds(corners).all(axis=1)] = label
        return mirrored(half)

    def _deck(self, lift: float) -> DeckSurface:
        """The deck's surface from the measured face's sheer, lifted by `lift`."""
        edge = self.sheet.points[:, -1]
        return DeckSurface(edge[:, 0], edge[:, 1], edge[:, 2], self.hull.deck.camber, lift)

    def _with_deck(self) -> tuple[Floats, Ints]:
        """The half's outer grid: the skin's rows, then the deck's from its edge to the centreline; and each strip's label."""
        points = self.sheet.points
        edge = points[:, -1]
        inward = np.arange(1, self.deck_steps + 1) / self.deck_steps
        deck = np.repeat(edge[:, None], self.deck_steps, axis=1)
        deck[..., 1] = edge[:, None, 1] * (1.0 - inward)
        deck[..., 2] = self._deck(0.0).at(edge[:, :1], deck[..., 1])
        end = _end_plane(points[-1], 0.0)
        if end is not None:
            share = np.clip((edge[:, 0] - edge[-1, 0]) / LEAN_OVER + 1.0, 0.0, 1.0)[:, None]
            deck[..., 0] += share * end.lean * (deck[..., 2] - edge[:, None, 2])
        labels = np.concatenate([np.full(points.shape[1] - 1, SKIN), np.full(self.deck_steps, DECK)])
        return np.concatenate([points, deck], axis=1), labels


def _end_plane(column: Floats, shift: float) -> EndPlane | None:
    """The plane of an end with area, moved aft by shift; None for an end in the centreline's plane."""
    if (column[:, 1] <= SAME_PLACE).all():
        return None
    rise = float(column[-1, 2] - column[0, 2])
    lean = float(column[-1, 0] - column[0, 0]) / rise if rise > 0.0 else 0.0
    return EndPlane(float(column[0, 0]) - lean * float(column[0, 2]), lean).moved(shift)
