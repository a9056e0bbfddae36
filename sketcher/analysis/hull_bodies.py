"""Both faces of the shell as closed bodies: the measured one as lofted, the other a shell's and a deck's thickness away."""

from __future__ import annotations

import numpy as np

from sketcher.analysis.deck import DeckSurface, EndPlane, deck_lid
from sketcher.analysis.houses import check_houses, raised, with_houses
from sketcher.geometry.frozen import dataclass
from sketcher.geometry.loft import Sheet
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.offset import offset_half
from sketcher.geometry.shell import closed_half, half_body, largest_piece, mirrored, tidy_half
from sketcher.geometry.solid import reserve_ids, surface_of, to_manifold
from sketcher.geometry.tolerances import MITRE, SAME_PLACE
from sketcher.model.hull import Hull

SKIN, DECK, OPEN_END = 0, 1, 2
"""Labels of the triangles of the hull's bodies; the coachroof counts as deck, a cockpit's well too."""

LEAN_OVER = 0.1
"""Share of the length over which the deck's places move aft to end in a raked end's plane."""


@dataclass(frozen=True, eq=False)
class HullBodies:
    """The two bodies over one sheet. deck_steps: steps of the deck from its edge to its middle."""

    hull: Hull
    sheet: Sheet
    deck_steps: int

    def measured(self) -> TriMesh:
        """The body of the face that was measured."""
        return self._lofted(self.sheet.points, 0.0)

    def other(self) -> tuple[TriMesh, float]:
        """The body of the other face, and the volume [m3] of pieces that came apart from it and were left out.

        The skin is moved by the shell's thickness, under the deck's other face.
        """
        out = 1.0 if self.hull.offsets_to == "inside" else -1.0
        lift = out * self.hull.deck.thickness
        if self.hull.shell == 0.0:
            points = self.sheet.points
            return self._lofted(points if lift == 0.0 else _with_edge_at(points, self._deck(lift)), lift), 0.0
        return self._offset(out * self.hull.shell, lift)

    def _lofted(self, points: Floats, lift: float) -> TriMesh:
        """The body of a skin as it stands, under the deck lifted by `lift`."""
        deck = self._deck(lift)
        grid, labels = self._with_deck(points, deck)
        half = half_body(grid, labels, (SKIN, OPEN_END if self.hull.open_aft else SKIN))
        if self.hull.coachroof is None and self.hull.cockpit is None:
            return mirrored(half)
        check_houses(self.hull, deck, points)
        try:
            return mirrored(raised(self.hull, half, deck, lift, self.deck_steps, DECK))
        except GeometryError:
            return self._whole_with_houses(half, deck, lift)

    def _whole_with_houses(self, half: TriMesh, deck: DeckSurface, lift: float) -> TriMesh:
        """A body whose coachroof or cockpit cuts more than its deck, such as a cockpit open to the transom."""
        closed = closed_half(half, SKIN)
        first = reserve_ids(1)
        solid = with_houses(self.hull, to_manifold(closed, first, what="the hull"), deck, lift, self.deck_steps)
        surface = surface_of(solid)
        of_hull = surface.origin == first
        label = np.where(of_hull, closed.labels[np.where(of_hull, surface.face, 0)], DECK)
        return mirrored(tidy_half(TriMesh(surface.vertices, surface.triangles, label)))

    def _offset(self, shift: float, lift: float) -> tuple[TriMesh, float]:
        """The body of the skin moved outward by `shift`, under the deck lifted by `lift`."""
        hull, points = self.hull, self.sheet.points
        deck = self._deck(lift)
        ends = (_end_plane(points[0], -shift), _end_plane(points[-1], 0.0 if hull.open_aft else shift))
        reach = 2.0 * MITRE * hull.shell
        lid = deck_lid(deck, self.deck_steps, reach, float(points[..., 2].min()) - reach, ends)
        solid = with_houses(hull, to_manifold(lid, reserve_ids(1), what="the deck"), deck, lift, self.deck_steps)
        rise = hull.deck.thickness + 3.0 * hull.shell
        flat_ends = (ends[0] is not None, ends[1] is not None)
        half = offset_half(points, shift, rise, solid, (SKIN, DECK), flat_ends)
        corners = half.vertices[half.triangles]
        for end, label in zip(ends, (SKIN, OPEN_END if hull.open_aft else SKIN), strict=True):
            if end is not None:
                half.labels[end.holds(corners).all(axis=1)] = label
        return largest_piece(mirrored(half))

    def _deck(self, lift: float) -> DeckSurface:
        """The deck's surface from the measured face's sheer, lifted by `lift`."""
        edge = self.sheet.points[:, -1]
        return DeckSurface(edge[:, 0], edge[:, 1], edge[:, 2], self.hull.deck.camber, lift)

    def _with_deck(self, points: Floats, surface: DeckSurface) -> tuple[Floats, Ints]:
        """The half's outer grid: the skin's rows, then the deck's from its edge to the centreline; and each strip's label."""
        edge = points[:, -1]
        inward = np.arange(1, self.deck_steps + 1) / self.deck_steps
        deck = np.repeat(edge[:, None], self.deck_steps, axis=1)
        deck[..., 1] = edge[:, None, 1] * (1.0 - inward)
        deck[..., 2] = surface.at(edge[:, :1], deck[..., 1])
        end = _end_plane(points[-1], 0.0)
        if end is not None:
            reach = LEAN_OVER * (edge[-1, 0] - edge[0, 0])
            share = np.clip((edge[:, 0] - edge[-1, 0]) / reach + 1.0, 0.0, 1.0)[:, None]
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


def _with_edge_at(points: Floats, deck: DeckSurface) -> Floats:
    """The grid with its top edge carried on, or cut back, to the surface; rows cut off gather on the new edge."""
    over = points[:, -1] + _upward(points) * max(2.0 * deck.lift, 0.0)
    grown = np.concatenate([points, over[:, None]], axis=1)
    above = grown[..., 2] - deck.at(grown[..., 0], grown[..., 1])
    above[:, -1] = np.maximum(above[:, -1], 0.0)
    cut = np.argmax(above >= 0.0, axis=1)
    if (cut == 0).any():
        raise GeometryError("the deck is thicker than the hull is deep")
    column = np.arange(len(points))
    low, high = grown[column, cut - 1], grown[column, cut]
    fall, rise = above[column, cut - 1], above[column, cut]
    share = np.clip(-fall / np.where(rise > fall, rise - fall, 1.0), 0.0, 1.0)[:, None]
    edge = low + share * (high - low)
    rows = np.arange(grown.shape[1])
    return np.where((rows >= cut[:, None])[..., None], edge[:, None], grown)


def _upward(points: Floats) -> Floats:
    """For each column the step by which the skin goes on past its edge while it rises by 1, no flatter than 1 in MITRE."""
    step = points[:, -1] - points[:, -2]
    step /= np.maximum(np.linalg.norm(step, axis=1, keepdims=True), SAME_PLACE)
    step[step[:, 2] < 1.0 / MITRE] = [0.0, 0.0, 1.0]
    return step / step[:, 2:]
