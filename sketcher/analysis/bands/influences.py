"""What figures feel of the hull: the sums over skin and deck that litres, buoyancy, waterplane, freeboards and berths go with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.bands.readings import TapeReading
from sketcher.analysis.bands.skin_field import Push, SkinField
from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.hull.bodies import DECK, SKIN
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.hull.standing import own_axes
from sketcher.analysis.results import BerthFigures, Compartment, WaterPlane
from sketcher.geometry.mesh import Flags, Floats, Ints, TriMesh
from sketcher.model.hull import Hull

ACROSS = (0.03, 0.25, 0.5, 0.75, 0.97)
"""Shares of a berth's length at which its edge is felt."""
ON_SKIN = 0.08
"""[m] A berth's edge nearer to the skin than this lies on it."""
LESSER = 0.5
"""[1] What the direction of a lesser figure (a centroid, a lowest point) counts beside litres, floating and berths."""
AT_A_TIME = 2048


def influences(evaluation: Evaluation, readings: Sequence[TapeReading]) -> Floats:
    """Rows (k, n): how each sum goes with each reading, scaled to a length of 1, lesser ones to `LESSER`."""
    felt = _Felt.of(evaluation)
    rows = []
    for share, push in felt.pushes(evaluation):
        row = felt.field.slopes(push, readings)
        size = float(np.linalg.norm(row))
        if size > 0.0 and np.isfinite(size):
            rows.append(share * row / size)
    return np.array(rows).reshape(-1, len(readings))


@dataclass(frozen=True, eq=False)
class _Faces:
    """Triangles folded to starboard: middles (n, 3), squares (n, 3) outward, the grid's nearest place, and which are deck."""

    middles: Floats
    squares: Floats
    nearest: Ints
    deck: Flags


@dataclass(frozen=True, eq=False)
class _Felt:
    hull: Hull
    form: HullForm
    field: SkinField

    @staticmethod
    def of(evaluation: Evaluation) -> _Felt:
        form = evaluation.layout.hull
        return _Felt(own_axes(form.hull), form, SkinField.of(form))

    def pushes(self, evaluation: Evaluation) -> Iterator[tuple[float, Push]]:
        """Every sum with what it counts."""
        water, where = evaluation.water, evaluation.floating.least_freeboard_at
        for space in evaluation.layout.compartments:
            yield from self._of_space(space, water)
        if water is not None:
            yield from self._carrying(self.form.outside, water)
        sheer = self.field.places[:, -1]
        columns = [0, len(sheer) - 1]
        if where is not None:
            columns.append(int(np.argmin(np.abs(sheer[:, 0] - where[0]))))
        for column in dict.fromkeys(columns):
            yield 1.0, self._at_place((column, -1), np.array([0.0, 0.0, 1.0]))
        for berth in evaluation.berths:
            yield from self._of_berth(berth)

    def _of_space(self, space: Compartment, water: WaterPlane | None) -> Iterator[tuple[float, Push]]:
        skin_or_deck = space.mesh.labels <= DECK
        faces, wet = self._faces(space.mesh, skin_or_deck, water)
        if not len(faces.middles):
            return
        yield 1.0, self._push(faces, np.ones(len(faces.middles)))
        if wet.any() and not wet.all():
            yield 1.0, self._push(faces, wet.astype(float))
        for axis in (0, 2):
            yield LESSER, self._push(faces, faces.middles[:, axis] - space.centroid[axis])
        heights = faces.middles[:, 2]
        for end in (int(heights.argmin()), int(heights.argmax())):
            one = np.zeros(len(heights))
            one[end] = 1.0 / max(float(np.linalg.norm(faces.squares[end])), 1e-12)
            yield LESSER, self._push(faces, one)

    def _carrying(self, body: TriMesh, water: WaterPlane) -> Iterator[tuple[float, Push]]:
        """Volume and moments of what is under water, and of the waterplane area, its moments and both inertias."""
        faces, wet = self._faces(body, body.labels == SKIN, water)
        x = faces.middles[:, 0] - 0.5 * (water.x_forward + water.x_after)
        for factor in (np.ones(len(x)), x, faces.middles[:, 2]):
            yield 1.0, self._push(faces, wet * factor)
        corners = body.vertices[body.triangles[body.labels == SKIN]]
        over = corners[..., 2] - water.height(0.0) - (corners[..., 0]) * (water.height(1.0) - water.height(0.0))
        rise = np.ptp(over, axis=1)
        crossed = (over.min(axis=1) < 0.0) & (over.max(axis=1) > 0.0)
        # A face that the water crosses gives its level width times how far it goes out for each metre.
        level = np.where(crossed, 1.0 / np.maximum(rise, 1e-9), 0.0)
        for factor in (np.ones(len(x)), x, faces.middles[:, 1] ** 2, x**2):
            yield 1.0, self._push(faces, level * factor)

    def _of_berth(self, berth: BerthFigures) -> Iterator[tuple[float, Push]]:
        outline = berth.outline
        if not len(outline):
            return
        places = self.field.places.reshape(-1, 3)
        for x in outline[:, 0].min() + np.ptp(outline[:, 0]) * np.array(ACROSS):
            for edge in _edges_at(outline, float(x)):
                at = np.array([x, abs(edge), berth.surface])
                near = int(np.linalg.norm(places - at, axis=1).argmin())
                here = np.unravel_index(near, self.field.places.shape[:2])
                normal = self._normal(int(here[0]), int(here[1]))
                if abs((at - places[near]) @ normal) < ON_SKIN:
                    yield 1.0, self._at_place((int(here[0]), int(here[1])), normal)
        for x, y in berth.line or ():
            yield 1.0, self._deck_at(x, abs(y))

    def _faces(self, mesh: TriMesh, kept: Flags, water: WaterPlane | None) -> tuple[_Faces, Flags]:
        corners = mesh.vertices[mesh.triangles[kept]]
        middles = corners.mean(axis=1)
        squares = 0.5 * np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        wet = np.zeros(len(middles), dtype=bool)
        if water is not None:
            slope, heel = water.height(1.0) - water.height(0.0), water.height(0.0, 1.0) - water.height(0.0)
            wet = middles[:, 2] < water.height(0.0) + slope * middles[:, 0] + heel * middles[:, 1]
        side = np.where(middles[:, 1] < 0.0, -1.0, 1.0)
        middles[:, 1] *= side
        squares[:, 1] *= side
        deck = mesh.labels[kept] == DECK
        return _Faces(middles, squares, self._nearest(middles), deck), wet

    def _nearest(self, points: Floats) -> Ints:
        places = self.field.places.reshape(-1, 3)
        squares = (places**2).sum(axis=1)
        starts = range(0, len(points), AT_A_TIME)
        found = [np.argmin(squares - 2.0 * points[k : k + AT_A_TIME] @ places.T, axis=1) for k in starts]
        return np.concatenate(found) if found else np.zeros(0, dtype=np.int64)

    def _push(self, faces: _Faces, factor: Floats) -> Push:
        """The sum of each face's square times a factor, as the grid's places and the deck's parts move."""
        pushed = faces.squares * factor[:, None]
        skin = np.zeros(self.field.places.shape)
        np.add.at(skin.reshape(-1, 3), faces.nearest[~faces.deck], pushed[~faces.deck])
        up = pushed[faces.deck, 2]
        deck = self._on_deck(skin, faces.middles[faces.deck], up)
        return Push(skin, deck)

    def _on_deck(self, skin: Floats, places: Floats, up: Floats) -> dict[str, float]:
        """What lifting places of the deck (n, 3) gives: the sheer's part put on the skin, the other parts' returned."""
        sheer = self.field.places[:, -1]
        after = np.clip(np.searchsorted(sheer[:, 0], places[:, 0]), 1, len(sheer) - 1)
        run = np.maximum(sheer[after, 0] - sheer[after - 1, 0], 1e-9)
        share = np.clip((places[:, 0] - sheer[after - 1, 0]) / run, 0.0, 1.0)
        breadth, height = (sheer[after - 1, k] * (1 - share) + sheer[after, k] * share for k in (1, 2))
        arch = np.clip((breadth**2 - places[:, 1] ** 2) / max(float(sheer[:, 1].max()) ** 2, 1e-9), 0.0, 1.0)
        over = places[:, 2] - height - self.hull.deck.camber * arch
        roof, well = self.hull.coachroof, self.hull.cockpit
        x = places[:, 0]
        on_roof = np.zeros(len(x), dtype=bool) if roof is None else (x > roof.start) & (x < roof.end) & (over > 0.5 * roof.height)
        in_well = np.zeros(len(x), dtype=bool) if well is None else (x > well.start) & (x < well.end) & (over < -0.1)
        lifted = np.where(in_well, 0.0, up)
        np.add.at(skin[:, -1, 2], after - 1, lifted * (1 - share))
        np.add.at(skin[:, -1, 2], after, lifted * share)
        return {
            "camber": float(lifted @ arch),
            "coachroof": float(up @ on_roof),
            "sole": float(up @ in_well),
        }

    def _at_place(self, here: tuple[int, int], direction: Floats) -> Push:
        skin = np.zeros(self.field.places.shape)
        skin[here] = direction
        return Push(skin)

    def _deck_at(self, x: float, y: float) -> Push:
        """The height of what is overhead at a place."""
        height = self.form.deck_underside(x, y)
        skin = np.zeros(self.field.places.shape)
        if height is None:
            return Push(skin)
        return Push(skin, self._on_deck(skin, np.array([[x, y, height]]), np.ones(1)))

    def _normal(self, column: int, row: int) -> Floats:
        places = self.field.places
        last_column, last_row = places.shape[0] - 1, places.shape[1] - 1
        along = places[min(column + 1, last_column), row] - places[max(column - 1, 0), row]
        up = places[column, min(row + 1, last_row)] - places[column, max(row - 1, 0)]
        normal = np.cross(along, up)
        size = float(np.linalg.norm(normal))
        return normal / size if size else np.array([0.0, 1.0, 0.0])


def _edges_at(outline: Floats, x: float) -> tuple[float, ...]:
    """The outermost y of an outline on each side at x."""
    a, b = outline, np.roll(outline, -1, axis=0)
    met = (a[:, 0] - x) * (b[:, 0] - x) < 0.0
    if not met.any():
        return ()
    share = (x - a[met, 0]) / (b[met, 0] - a[met, 0])
    y = a[met, 1] + share * (b[met, 1] - a[met, 1])
    edges = (float(y.min()), float(y.max()))
    return edges[:1] if abs(abs(edges[0]) - abs(edges[1])) < 1e-3 else edges
