"""Both faces of the shell as closed bodies: the measured one as lofted, the other a shell's and a deck's thickness away."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import triangulate

from sketcher.analysis.hull.coachroof import check_houses, raised, with_houses
from sketcher.analysis.hull.deck import DeckSurface, deck_lid
from sketcher.analysis.hull.transom import END_SAG, CurvedEnd, HullEnd, abaft, along_end, curved_end, with_curved_end
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import reserve_ids, surface_of, to_manifold
from sketcher.geometry.surface.loft import LoftedGrid
from sketcher.geometry.surface.offset import CarriedSheet, half_within, moved_sheet
from sketcher.geometry.surface.shell import (
    closed_half,
    grid_triangles,
    half_body,
    largest_piece,
    mirrored,
    put_together,
    stitched,
    tidy_half,
)
from sketcher.geometry.surface.trim import MarkedSheet
from sketcher.geometry.tolerances import MITRE, SAME_PLACE
from sketcher.model.hull import Hull

SKIN, DECK, OPEN_END = 0, 1, 2
"""Labels of the triangles of the hull's bodies; the coachroof counts as deck, a cockpit's well too."""

TOP, AHEAD, ASTERN = 1, 2, 4
"""Bits of the cuts that a moved skin is trimmed by: the deck, the flat ends forward and aft."""

Ends = tuple[Plane | None, HullEnd | None]

RUN_BACK = 1e-6
"""[m] How far a deck's edge may run back from vertex to vertex, as rounding makes it do across a blunted stem."""

LEAN_OVER = 0.1
"""Share of the length over which the deck's places move aft to end in a raked end's plane."""


@dataclass(frozen=True, eq=False)
class HullBodies:
    """The two bodies over one sheet. steps: of a parabola, the deck's or the coachroof's, from its edge to its middle.

    across: (k, 3) the measured face's sheer on the other side, as a mirror shows it, where that is no image of this one.
    """

    hull: Hull
    sheet: LoftedGrid
    steps: int
    across: Floats | None = None

    @property
    def deck_steps(self) -> int:
        """Steps of the deck from its edge to its middle: one where it is flat."""
        return self.steps if self.hull.deck.camber else 1

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
        deck, bent = self._deck(lift), curved_end(self.hull, self.sheet.points[-1, 0])
        if bent is not None:
            points = np.concatenate([points[:-1], bent.put(points[-1:])])
        grid, labels = self._with_deck(points, deck)
        half = half_body(grid, labels, (SKIN, None if bent is not None else OPEN_END if self.hull.open_aft else SKIN))
        if bent is not None:
            half = with_curved_end(half, bent, SKIN)
        if self.hull.coachroof is None and self.hull.cockpit is None:
            return mirrored(half)
        check_houses(self.hull, deck, points)
        try:
            return mirrored(raised(self.hull, half, deck, lift, self.steps, DECK))
        except GeometryError:
            return self._whole_with_houses(half, deck, lift)

    def _whole_with_houses(self, half: TriMesh, deck: DeckSurface, lift: float) -> TriMesh:
        """A body whose coachroof or cockpit cuts more than its deck, such as a cockpit open to the transom."""
        closed = closed_half(half, SKIN)
        first = reserve_ids(1)
        solid = with_houses(self.hull, to_manifold(closed, first, what="the hull"), deck, lift, self.steps)
        surface = surface_of(solid)
        of_hull = surface.origin == first
        label = np.where(of_hull, closed.labels[np.where(of_hull, surface.face, 0)], DECK)
        return mirrored(tidy_half(TriMesh(surface.vertices, surface.triangles, label)))

    def _offset(self, shift: float, lift: float) -> tuple[TriMesh, float]:
        """The body of the skin moved outward by `shift`, under the deck lifted by `lift`."""
        hull, points = self.hull, self.sheet.points
        deck = self._deck(lift)
        ends = (_end_plane(points[0], -shift), self._after_end(points[-1], 0.0 if hull.open_aft else shift))
        rise = hull.deck.thickness + 3.0 * hull.shell
        highest = float(points[..., 2].max()) + hull.deck.camber + hull.deck.thickness
        if hull.coachroof is not None:
            highest += hull.coachroof.height
        skin = moved_sheet(points, shift, rise, highest, (ends[0] is not None, ends[1] is not None))
        try:
            return mirrored(self._trimmed(skin, deck, lift, ends)), 0.0
        except GeometryError:
            return self._within_lid(skin, deck, lift, ends)

    def _trimmed(self, skin: CarriedSheet, deck: DeckSurface, lift: float, ends: Ends) -> TriMesh:
        """The half within the moved skin, cut at the centreline, the ends and the deck.

        Raises GeometryError where a fold of the skin crosses a cut, so that its edges do not come out in one piece each.
        """
        sheet = MarkedSheet(skin.vertices, skin.triangles, np.zeros(len(skin.vertices), dtype=np.int64))
        sheet = sheet.trimmed(sheet.vertices[:, 1], 0)
        for end, facing, bit in zip(ends, (-1.0, 1.0), (AHEAD, ASTERN), strict=True):
            if end is not None:
                sheet = sheet.trimmed(-facing * end.over(sheet.vertices), bit)
                sheet = _put_on(end, sheet, bit)
        x, y, z = sheet.vertices.T
        sheet = _put_on(ends[1], sheet.trimmed(deck.at(x, y) - z, TOP), ASTERN).tidy()
        edge, ahead, astern = sheet.edges((TOP, AHEAD, ASTERN))
        if not len(edge) or (np.diff(edge[:, 0]) < -RUN_BACK).any():
            raise GeometryError("the deck's edge runs back")
        rows = self._deck_rows(edge, deck, ends[1])
        parts = [TriMesh(sheet.vertices, sheet.triangles, np.full(len(sheet.triangles), SKIN)), _grid_part(rows, DECK)]
        if ends[0] is not None:
            parts.append(_end_part(ahead, rows[0], SKIN, turned=True))
        if isinstance(ends[1], CurvedEnd):
            half = with_curved_end(put_together(parts), ends[1], SKIN)
        else:
            if ends[1] is not None:
                parts.append(_end_part(astern[::-1], rows[-1], OPEN_END if self.hull.open_aft else SKIN, turned=False))
            half = stitched(parts)
        if self.hull.coachroof is None and self.hull.cockpit is None:
            return half
        return raised(self.hull, half, deck, lift, self.steps, DECK)

    def _within_lid(self, skin: CarriedSheet, deck: DeckSurface, lift: float, ends: Ends) -> tuple[TriMesh, float]:
        """The same by the solid kernel, which copes with folds, and the volume [m3] of pieces left out."""
        hull = self.hull
        reach = 2.0 * MITRE * hull.shell
        bent = isinstance(ends[1], CurvedEnd)
        past = hull.transom_curve if bent else 0.0
        flat = (ends[0], None if isinstance(ends[1], CurvedEnd) else ends[1])
        lid = deck_lid(deck, self.deck_steps, reach + past, float(self.sheet.points[..., 2].min()) - reach, flat)
        solid = with_houses(hull, to_manifold(lid, reserve_ids(1), what="the deck"), deck, lift, self.steps)
        if isinstance(ends[1], CurvedEnd):
            low, high = lid.bounds
            solid = solid - abaft(ends[1], low - [0.0, 1.0, 1.0], high + 1.0)
        half = half_within(skin, solid, (SKIN, DECK))
        corners = half.vertices[half.triangles]
        for end, label in zip(ends, (SKIN, OPEN_END if hull.open_aft else SKIN), strict=True):
            if end is not None:
                near = 2.0 * END_SAG if isinstance(end, CurvedEnd) else SAME_PLACE
                half.labels[(np.abs(end.over(corners)) <= near).all(axis=1)] = label
        return largest_piece(mirrored(half))

    def _deck(self, lift: float) -> DeckSurface:
        """The deck's surface from the measured face's sheer, lifted by `lift`."""
        opposite = None if self.across is None else DeckSurface.along(self.across, 0.0)
        return DeckSurface.along(self.sheet.points[:, -1], self.hull.deck.camber, lift, opposite)

    def _with_deck(self, points: Floats, surface: DeckSurface) -> tuple[Floats, Ints]:
        """The half's outer grid: the skin's rows, then the deck's from its edge to the centreline; and each strip's label."""
        rows = self._deck_rows(points[:, -1], surface, self._after_end(points[-1], 0.0))
        labels = np.concatenate([np.full(points.shape[1] - 1, SKIN), np.full(self.deck_steps, DECK)])
        return np.concatenate([points, rows[:, 1:]], axis=1), labels

    def _deck_rows(self, edge: Floats, surface: DeckSurface, end: HullEnd | None) -> Floats:
        """Places (k, deck_steps + 1, 3) of the deck from its edge (k, 3) to the centreline, the last in the end's plane."""
        inward = np.arange(self.deck_steps + 1) / self.deck_steps
        rows = np.repeat(edge[:, None], self.deck_steps + 1, axis=1)
        rows[..., 1] = edge[:, None, 1] * (1.0 - inward)
        rows[:, 1:, 2] = surface.at(edge[:, :1], rows[:, 1:, 1])
        if end is not None:
            reach = LEAN_OVER * (edge[-1, 0] - edge[0, 0])
            share = np.clip((edge[:, 0] - edge[-1, 0]) / reach + 1.0, 0.0, 1.0)[:, None]
            rows[..., 0] += share * along_end(end, rows, edge[:, None])
        return rows

    def _after_end(self, column: Floats, shift: float) -> HullEnd | None:
        """The after end, moved aft by shift; None where it is in the centreline's plane."""
        bent = curved_end(self.hull, column[0])
        return _end_plane(column, shift) if bent is None else bent.moved(shift)


def _put_on(end: HullEnd | None, sheet: MarkedSheet, bit: int) -> MarkedSheet:
    """The sheet with the cut at an end on it throughout, where that is curved."""
    return sheet.carried(end.put, bit) if isinstance(end, CurvedEnd) else sheet


def _grid_part(rows: Floats, label: int) -> TriMesh:
    triangles = grid_triangles(*rows.shape[:2])
    return TriMesh(rows.reshape(-1, 3), triangles, np.full(len(triangles), label))


def _end_part(side: Floats, deck: Floats, label: int, *, turned: bool) -> TriMesh:
    """A flat end within its side (k, 3), keel to deck, and the deck's row from there to the centreline."""
    outline = np.concatenate([side, deck[1:]])
    triangles: Ints = triangulate([np.ascontiguousarray(outline[:, 1:])]).astype(np.int64)
    return TriMesh(outline, triangles[:, ::-1] if turned else triangles, np.full(len(triangles), label))


def _end_plane(column: Floats, shift: float) -> Plane | None:
    """The plane of an end with area, moved aft by shift; None for an end in the centreline's plane."""
    if (column[:, 1] <= SAME_PLACE).all():
        return None
    rise = float(column[-1, 2] - column[0, 2])
    lean = float(column[-1, 0] - column[0, 0]) / rise if rise > 0.0 else 0.0
    return Plane.through(column[0], (1.0, 0.0, -lean)).moved(shift)


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
