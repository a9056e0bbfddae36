"""A piece of the hull under a moving panel: panels tied to it that keep their planes are cut out once, before it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.drag.closed_gaps import Close, ClosedPiece, CutPiece
from sketcher.analysis.spaces.drag.like_cuts import LikeCuts
from sketcher.analysis.spaces.leaks.edge_extensions import in_box
from sketcher.analysis.spaces.plane_cuts import columns, faces_through, height_over, without_panels
from sketcher.geometry.mesh import Floats, Ints, bounds_of
from sketcher.geometry.plane import HalfSpaces
from sketcher.geometry.solid.boolean import TracedSurface, checked, joined, solid_of, subtract, surface_of, to_manifold
from sketcher.geometry.solid.convex import convex_solid
from sketcher.geometry.solid.half_space import FaceCut, Fill, beyond
from sketcher.geometry.tolerances import BEYOND_HULL

Board = tuple[PanelShape, int]
"""A panel with its id in the kernel."""
Limits = tuple[int, ...]
"""Faces of a panel by their numbers."""
_Parting = tuple[tuple[str, Limits], ...]
"""What is cut out of a piece in advance: panels by name, each but for some of its limits."""


class PreCut:
    """A piece of the hull from which tied panels are cut in advance.

    surface: the piece without anything that moves; started: the panels that move, by name, where the drag began.

    Cuts along planes can be made in any order. Those of tied panels stay where they are, only the moving panel's own two come
    last, on pieces that need not be cut again.
    """

    def __init__(self, surface: TracedSurface, started: Mapping[str, PanelShape]) -> None:
        self.surface = surface
        self._started = started
        self._like, self._like_closed = LikeCuts(), LikeCuts()
        self._kept: dict[_Parting, TracedSurface | None] = {}
        self._closed: dict[_Parting, ClosedPiece] = {}

    def without(self, boards: Sequence[Board]) -> list[TracedSurface] | None:
        """The rest of the piece without the boards, the moving panel first, under the same ids in every call.

        None where that cannot be told from planes that stay, or a panel ends within the piece: it must be cut in order then.
        """
        cuts = self._cuts(boards, lambda _key, parted: ClosedPiece(parted), self._like)
        return None if cuts is None else [cut.surface for cut in cuts]

    def closed_without(self, boards: Sequence[Board], close: Close) -> list[CutPiece] | None:
        """The same of the piece with its gaps closed beforehand; None also where one is near the cut."""

        def closed(key: _Parting, parted: TracedSurface) -> ClosedPiece:
            if key not in self._closed:
                self._closed[key] = ClosedPiece.of(parted, close(parted))
            return self._closed[key]

        return self._cuts(boards, closed, self._like_closed)

    def _cuts(
        self, boards: Sequence[Board], closed: Callable[[_Parting, TracedSurface], ClosedPiece], like: LikeCuts
    ) -> list[CutPiece] | None:
        (moving, origin), *tied = boards
        moved = {shape.name: limits for shape, _ in tied if (limits := self._moved(shape)) is not None}
        faces = faces_through(self.surface, moving, origin)
        if not faces or len(moved) < len(tied):
            return None
        cuts: list[CutPiece] = []
        for face in faces:
            there = self.surface.vertices[face.height >= 0]
            reaching = [_reaches(there, shape, moved[shape.name]) for shape, _ in tied]
            if None in reaching:
                return None
            through = [board for board, reaches in zip(tied, reaching, strict=True) if reaches]
            key = tuple((shape.name, moved[shape.name]) for shape, _ in through)
            parted = self._parted(key, through, moved)
            if parted is None:
                return None
            piece = closed(key, parted).beyond(face.plane, parted)
            if piece is None:
                return None
            height = height_over(columns(piece.surface.vertices), moving, face.number)
            loops: list[int] = []
            fill = partial(_counted, loops, partial(like.fill, face.number))
            part = beyond(piece.surface, FaceCut(face.plane, face.origin, face.number, height), fill)
            if [_reaches(part.vertices, shape, moved[shape.name]) for shape, _ in tied] != reaching:
                return None
            cuts.append(CutPiece(part, sum(loops), piece))
        return cuts

    def _moved(self, shape: PanelShape) -> Limits | None:
        """The faces of a tied panel that are not where they were; None where these are not its limits alone."""
        before = self._started.get(shape.name)
        if before is None or len(before.faces) != len(shape.faces) or len(shape.pieces) > 1:
            return None
        front, back, *limits = shape.pieces[0]
        moved = [number for number in shape.pieces[0] if shape.faces[number] != before.faces[number]]
        return None if {front, back} & set(moved) else tuple(number for number in limits if number in moved)

    def _parted(self, key: _Parting, boards: Sequence[Board], moved: Mapping[str, Limits]) -> TracedSurface | None:
        """The piece less boards that reach through it, as far as their faces that stay go; worked out once."""
        if key not in self._kept:
            left = without_panels(self.surface, boards, moved)
            self._kept[key] = self._without_solids(boards, moved) if left is None else joined(left) if left else None
        return self._kept[key]

    def _without_solids(self, boards: Sequence[Board], moved: Mapping[str, Limits]) -> TracedSurface | None:
        """The same where a board ends within the piece: as solids that run through where it moved; None for one that is bent."""
        if any(len(shape.pieces) > 1 for shape, _ in boards):
            return None
        low, high = (corner + side * BEYOND_HULL for corner, side in zip(bounds_of(self.surface.vertices), (-1, 1), strict=True))
        solids: list[Manifold] = []
        for shape, origin in boards:
            numbers = [number for number in shape.pieces[0] if number not in moved[shape.name]]
            planes = in_box(tuple(shape.faces[number].plane for number in numbers), low, high)
            # Sides of the box lie outside the piece: their number is never seen.
            mesh = convex_solid(HalfSpaces.within(planes), np.array([*numbers, *[0] * 6]))
            if mesh is not None:
                solids.append(to_manifold(mesh, origin, flat_faces=True, what=f"{shape.kind} {shape.name!r}"))
        return surface_of(checked(subtract(solid_of(self.surface), solids), "what the panels leave of the hull"))


def _counted(counts: list[int], fill: Fill, loops: list[Floats]) -> Ints:
    """Close a cut, and note of how many loops it is."""
    counts.append(len(loops))
    return fill(loops)


def _reaches(points: Floats, shape: PanelShape, limits: Limits) -> bool | None:
    """Whether all the points (n, 3) lie within some limits of a panel; False where all lie beyond one, None for neither."""
    if not len(points):
        return True
    heights = [height_over(columns(points), shape, number) for number in limits]
    if any(height.min() >= 0 for height in heights):
        return False
    return True if all(height.max() < 0 for height in heights) else None
