"""A panel under the hand: what stays is cut once, and each move takes only the moved boards out of the spaces they touch."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.results import Compartment, Layout, PanelShape
from sketcher.analysis.spaces.blocks import LayoutBlock, layout_block, sealed_block, together
from sketcher.analysis.spaces.boolean_cuts import (
    Owners,
    PanelSolids,
    hull_solid,
    outside,
    owners_of,
    panel_solids,
    parts_in,
    taken_apart,
    with_trim,
)
from sketcher.analysis.spaces.compartments import spaces_from
from sketcher.analysis.spaces.drag.carried_layout import carried
from sketcher.analysis.spaces.drag.closed_gaps import CutPiece, closed_cuts
from sketcher.analysis.spaces.drag.dragged_cuts import PreCut
from sketcher.analysis.spaces.drag.kept_corners import KeptCorners
from sketcher.analysis.spaces.layout import assembled, lay_out
from sketcher.analysis.spaces.leaks.gap_sealing import Sealed, seal
from sketcher.analysis.spaces.misplaced_panels import panel_misfits
from sketcher.analysis.spaces.panel_limits import tied_panels
from sketcher.analysis.spaces.panel_solids import BEYOND, PlacedPanels, place_panels
from sketcher.analysis.spaces.plane_cuts import columns, cutting_order, taken_out, without_panels
from sketcher.geometry.crossing import snapped
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface, compact, divided, joined, reserve_ids
from sketcher.geometry.tolerances import NO_ROOM
from sketcher.model.scene import Panel, Scene


@dataclass(eq=False)
class _Piece:
    """A separate piece of the hull less all the panels that stay. block: what it encloses while nothing moved is in it; pre_cut:
    the quick way of taking what moves out of it. beside: by panel a face of its own that the whole piece was found to lie beyond.
    """

    surface: TracedSurface
    low: Floats
    high: Floats
    block: LayoutBlock | None = None
    pre_cut: PreCut | None = None
    beside: dict[str, Plane] = field(default_factory=dict)

    def quick_cuts(self, started: dict[str, PanelShape]) -> PreCut:
        """The quick way of taking what moves out of it, by the panels where the drag began."""
        if self.pre_cut is None:
            self.pre_cut = PreCut(self.surface, started)
        return self.pre_cut

    def lies_beside(self, shape: PanelShape) -> bool:
        """Whether all of it lies beyond one face of a panel; a plane that stays where it was needs no second look."""
        planes = [plane for name, plane in shape.faces if name != BEYOND]
        if len(shape.pieces) > 1 or self.beside.get(shape.name) in planes:
            return len(shape.pieces) == 1
        corners = columns(self.surface.vertices)
        beyond = next((plane for plane in planes if snapped(plane.normal @ corners - plane.distance).min() >= 0), None)
        if beyond is not None:
            self.beside[shape.name] = beyond
        return beyond is not None


_Cuts = list[tuple[_Piece, list[tuple[PanelShape, int, Manifold]]]]
"""Pieces, each with the boards that are to be taken out of it: panels, their ids in the kernel and solids there."""
_Seen = tuple[tuple[PanelShape, ...], tuple[Compartment, ...]]
"""Panels and spaces as they are seen at one place of the hand."""
PLACES_KEPT = 24
"""Places of the hand that are kept so: who looks for the right one goes to and fro over a few."""
_SealCuts = Callable[[_Cuts, Sequence[PanelShape], Owners, float], Sealed]


def moving_with(scene: Scene, panel: str) -> frozenset[str]:
    """The panel and all that change with it: tied to it or placed from it, and what is tied to those in turn."""
    moving = {panel}
    while True:
        more = {p.name for p in scene.panels if p.name not in moving and moving & tied_panels(p)}
        if not more:
            return frozenset(moving)
        moving |= more


def _moving(layout: Layout, panel: str) -> frozenset[str]:
    """All that changes where a panel goes: with it what is tied to it, and what ends at or gave way to a face of any of these."""
    leaning = place_panels(layout.scene, layout.hull).leaning
    moving = moving_with(layout.scene, panel)
    while True:
        beside = [name for name, met in leaning.items() if name not in moving and met & moving]
        if not beside:
            return moving
        moving = moving.union(*(moving_with(layout.scene, name) for name in beside))


class Mover:
    """Layouts of one scene while one of its panels, and those tied to it, change place.

    Made when a panel is grasped: that costs about as much as a layout. `at` then answers for every scene that differs from the
    first in the place, limits and angles of those panels and in its openings, with the figures of a fresh layout to 1e-9; for
    any other scene it lays out afresh. Not looked for on the way, and so missing among its findings: two panels in one place,
    and several names in one space; and the volume of the panels is what the spaces leave, so that their sum is not checked. What
    is written to a file is evaluated afresh.
    """

    def __init__(self, layout: Layout, panel: str) -> None:
        self.layout = layout
        self.panel = panel
        self.moving = _moving(layout, panel)
        self._hull = hull_solid(layout.hull)
        self._still = panel_solids(tuple(shape for shape in layout.panels if shape.name not in self.moving))
        self._known = {shape.name: shape for shape in self._still.shapes}
        self._started = {shape.name: shape for shape in layout.panels if shape.name in self.moving}
        self._origin = reserve_ids(len(self._started))
        self._alike: set[tuple[int, ...]] = set()
        self._seen: OrderedDict[tuple[Panel, ...], _Seen] = OrderedDict()
        self._ids = range(self._origin, self._origin + len(self._started))
        self._pieces = _pieces(taken_apart(self._hull, self._still, "quick")[0])

    def at(self, scene: Scene) -> Layout:
        """The layout of a scene in which only the grasped panel and those tied to it have moved. Raises as `lay_out` does."""
        form, placing = self.layout.hull, self._placed(scene)
        if placing is None:
            return lay_out(scene, form)
        solids = self._solids(placing.shapes)
        shapes = with_trim(self._hull, solids)
        whole = together(self._blocks(scene, shapes, solids, self._sealed))
        out = outside(self._hull, solids, whole.bounding)
        findings = panel_misfits(scene, form, (*placing.astray, *out), placing.empty)
        return assembled(scene, form, shapes, whole, spaces_from(scene, whole, shapes), findings, panel_volume=None)

    def seen_at(self, scene: Scene, last: Layout) -> Layout:
        """What is seen at once of the same: panels, spaces and their volumes. The rest is that of a moment before, `last`.

        Openings go with their panels; what else joins spaces, and findings, stay. Where a panel leaves the boat, or that
        moment's layout has other panels, it is the whole layout.
        """
        moved = tuple(panel for panel in scene.panels if panel.name in self.moving)
        seen = self._seen.pop(moved, None) if self._only_moved(scene) else None
        if seen is None:
            seen = self._seen_anew(scene)
        if seen is None or len(seen[0]) != len(last.panels):
            return self.at(scene)
        self._seen[moved] = seen
        while len(self._seen) > PLACES_KEPT:
            self._seen.popitem(last=False)
        return carried(last, scene, *seen, self.moving)

    def _seen_anew(self, scene: Scene) -> _Seen | None:
        """Panels and spaces of a scene; None where only the whole layout can tell."""
        placing = self._placed(scene)
        if placing is None or placing.empty or placing.astray:
            return None
        solids = self._solids(placing.shapes)
        shapes = with_trim(self._hull, solids)
        whole = together(self._blocks(scene, shapes, solids, self._sealed_before))
        return (shapes, spaces_from(scene, whole, shapes).compartments) if len(whole.bounding) == len(shapes) else None

    def _placed(self, scene: Scene) -> PlacedPanels | None:
        """The panels in place; None where more differs from the start than what moves, or another panel gives way to it."""
        if not self._only_moved(scene):
            return None
        placing = place_panels(scene, self.layout.hull, self._known, KeptCorners(self._started))
        same = [shape.name for shape in placing.shapes] == [shape.name for shape in self.layout.panels]
        leans = any(met & self.moving for name, met in placing.leaning.items() if name not in self.moving)
        return placing if same and not leans else None

    def _only_moved(self, scene: Scene) -> bool:
        """Whether nothing that spaces come from differs from the scene at the start, but the panels that move."""
        start = self.layout.scene
        same = scene.hull == start.hull and scene.gap_limit == start.gap_limit and scene.compartments == start.compartments
        still = [[p for p in of.panels if p.name not in self.moving] for of in (scene, start)]
        return same and still[0] == still[1] and moving_with(scene, self.panel) <= self.moving

    def _solids(self, shapes: tuple[PanelShape, ...]) -> PanelSolids:
        """All the panels as solids in their order: those that move made anew, the others as at the start."""
        moved = panel_solids(tuple(shape for shape in shapes if shape.name in self.moving), self._origin)
        known = {
            shape.name: (shape, solid, origin)
            for group in (self._still, moved)
            for shape, solid, origin in zip(group.shapes, group.solids, group.origins, strict=True)
        }
        solids = [known[shape.name] for shape in shapes]
        return PanelSolids(tuple(f[0] for f in solids), tuple(f[1] for f in solids), tuple(f[2] for f in solids))

    def _blocks(
        self, scene: Scene, shapes: tuple[PanelShape, ...], solids: PanelSolids, seal_cuts: _SealCuts
    ) -> list[LayoutBlock]:
        """What the pieces enclose without the moved panels: those that these touch as one block, the others as they were."""
        owners = owners_of(self._hull, solids)
        moved = [k for k, shape in enumerate(shapes) if shape.name in self.moving]
        low, high = (np.array([shapes[k].mesh.bounds[end] for k in moved]).reshape(-1, 3) for end in range(2))
        near = self._near(low, high)
        touched: list[tuple[_Piece, list[int]]] = []
        blocks: list[LayoutBlock] = []
        for piece, is_near in zip(self._pieces, near, strict=True):
            inside = [k for k in moved if not piece.lies_beside(shapes[k])] if is_near else []
            if inside:
                touched.append((piece, inside))
                continue
            if piece.block is None:
                piece.block = layout_block(scene, piece.surface, shapes, self._hull, owners)
            blocks.append(piece.block)
        if touched:
            solid = {k: (shapes[k], solids.origins[k], solids.solids[k]) for k in moved}
            cuts = [(piece, [solid[k] for k in inside]) for piece, inside in touched]
            blocks.append(sealed_block(scene, seal_cuts(cuts, shapes, owners, scene.gap_limit), shapes))
        return blocks

    def _sealed(self, cuts: _Cuts, shapes: Sequence[PanelShape], owners: Owners, limit: float) -> Sealed:
        """What is left of pieces without the boards in them, every gap closed that joins two spaces."""
        cut = joined([part for piece, boards in cuts for part in self._less(piece, boards)])
        return seal(parts_in(cut, self._hull, owners), shapes, self._hull, owners, limit)

    def _sealed_before(self, cuts: _Cuts, shapes: Sequence[PanelShape], owners: Owners, limit: float) -> Sealed:
        """The same, quicker where gaps lie clear of what moves: then they are closed before it is cut out."""

        def close(surface: TracedSurface) -> Sealed:
            return seal(parts_in(surface, self._hull, owners), shapes, self._hull, owners, limit)

        found: list[CutPiece] = []
        for piece, boards in cuts:
            order = cutting_order([(shape, origin) for shape, origin, _ in boards])
            more = piece.quick_cuts(self._started).closed_without(order, close)
            if more is None:
                return self._sealed(cuts, shapes, owners, limit)
            found += more
        sealed, unsure = closed_cuts(found, owners, lambda surface, owners: parts_in(surface, self._hull, owners), self._ids)
        if unsure and unsure not in self._alike:
            whole = self._sealed(cuts, shapes, owners, limit)
            if whole.parts.count != sealed.parts.count or not np.allclose(whole.gap_volume, sealed.gap_volume, 0.0, NO_ROOM):
                return whole
            # So it is until the cut runs through other parts: the whole layout, which follows, would tell.
            self._alike.add(unsure)
        return sealed

    def _near(self, low: Floats, high: Floats) -> list[bool]:
        """For each piece whether any of some boxes, given by their corners (n, 3), meets its own."""
        lows, highs = (np.array([getattr(piece, end) for piece in self._pieces]).reshape(-1, 1, 3) for end in ("low", "high"))
        meets = np.atleast_2d(((low <= highs) & (high >= lows)).all(axis=2))
        return [bool(each) for each in np.atleast_1d(meets.any(axis=1))]

    def _less(self, piece: _Piece, boards: list[tuple[PanelShape, int, Manifold]]) -> list[TracedSurface]:
        """The rest of a piece without the boards, by the quickest method that serves."""
        order = cutting_order([(shape, origin) for shape, origin, _ in boards])
        left = piece.quick_cuts(self._started).without(order)
        if left is None:
            left = without_panels(piece.surface, order)
        return taken_out(piece.surface, boards, "quick")[0] if left is None else left


def _pieces(surface: TracedSurface) -> list[_Piece]:
    """The separate pieces of a surface."""
    separate = divided(surface)
    pieces: list[_Piece] = []
    for k in np.flatnonzero(separate.volume > NO_ROOM).tolist():
        which = separate.part == k
        used, triangles = compact(surface.triangles[which], len(surface.vertices))
        vertices = surface.vertices[used]
        own = TracedSurface(vertices, triangles, surface.origin[which], surface.face[which])
        pieces.append(_Piece(own, vertices.min(axis=0), vertices.max(axis=0)))
    return pieces
