"""A compartment as shapes: its far walls in its tint and its panels' colour, marked by the water, and its corners in ink."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from sketcher.analysis.results import Compartment
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import frame_on
from sketcher.outputs import palette
from sketcher.outputs.palette import shade
from sketcher.outputs.scene3d.cutaway.cut_faces import add_face, plane_outline
from sketcher.outputs.scene3d.cutaway.openings import PanelHole, with_holes
from sketcher.outputs.scene3d.objects import Appearance, ObjectRef
from sketcher.outputs.scene3d.shapes import FIRST_PANEL, Colour, Shapes, Strokes, Surface, WaterMarks, label_edges

INK, ACCENT, PANEL, PAPER = (shade(colour) for colour in (palette.INK, palette.ACCENT, palette.TIMBER, palette.PAPER))
FADED_SHARE = 0.65
"""How much of the paper the other spaces take on while one is selected."""
FILL_SHARE, FILLED = 0.35, 0.7
"""How much of the accent colour fills that one, and how opaque."""
SELECTED_SHARE = 0.55
"""How much of the accent colour a selected thing takes on."""
PANEL_SHARE = 0.2
"""How much of a panel's face is its own colour, the rest the tint of the space it bounds."""


@dataclass(frozen=True, eq=False, kw_only=True)
class SpacePainter:
    """What all compartments' shapes are made with. number: gives a part its number; panels: in the layout's order."""

    shapes: Shapes
    number: Callable[[ObjectRef], int]
    panels: tuple[ObjectRef, ...]
    look: Appearance
    selected: ObjectRef | None
    cut: Plane | None
    holes: Mapping[str, tuple[PanelHole, ...]]

    def add(self, space: Compartment, tint: Colour, water: WaterMarks | None, opacity: float = 1.0) -> None:
        """Add one compartment that is not hidden."""
        part = ObjectRef("compartment", space.name)
        if part in self.look.hidden:
            return
        chosen = self.panels.index(self.selected) if self.selected in self.panels else -1
        paints = _paints(self._faded(tint, part), len(self.panels), chosen, self.selected == part)
        hidden = bytes([0, *(panel in self.look.hidden for panel in self.panels)])
        bounding = _panels_of(space.mesh)
        through = tuple(
            (number, self.holes[panel.name])
            for number, panel in enumerate(self.panels, 1)
            if panel.name in self.holes and number in bounding
        )
        points, triangles, kinds = _walls(space.mesh, hidden, through)
        names = tuple(hole.name for _, each in through for hole in each)
        self.shapes.surfaces[f"space/{space.name}"] = Surface(
            points=points,
            triangles=triangles,
            colours=np.frombuffer(paints, dtype=np.uint8).reshape(-1, 3),
            owner_of=np.array([self.number(part), *(self.number(panel) for panel in self.panels)]),
            kinds=kinds,
            opacity=opacity,
            water=water,
            source=(space.mesh, paints, hidden, opacity, water, through),
            cut=(paints, hidden, opacity, water, names),
        )
        edges = label_edges(space.mesh)
        if len(edges):
            self.shapes.strokes[f"corners/{space.name}"] = Strokes(
                points=space.mesh.vertices, segments=edges, colour=INK, width=1.0, source=space.mesh, cut=INK
            )
        if self.selected == part:
            self._fill(space, tint)

    def _faded(self, tint: Colour, part: ObjectRef) -> Colour:
        """While another space is selected, a tint nearly that of the paper."""
        others = self.selected is not None and self.selected.kind == "compartment" and self.selected != part
        return triple_of(mixed(tint, PAPER, FADED_SHARE)) if others else tint

    def _fill(self, space: Compartment, tint: Colour) -> None:
        """Show the space that is selected as a body: filled where it is cut, else by the walls that are turned to the eye."""
        colour, key = triple_of(mixed(tint, ACCENT, FILL_SHARE)), f"fill/{space.name}"
        outline = shapely.Polygon() if self.cut is None else plane_outline(space.mesh, frame_on(self.cut))
        if self.cut is not None and not outline.is_empty:
            add_face(self.shapes, key, outline, frame_on(self.cut), colour, -1, opacity=FILLED)
            return
        self.shapes.surfaces[key] = Surface(
            points=space.mesh.vertices,
            triangles=space.mesh.triangles,
            colours=np.array([colour], dtype=np.uint8),
            owner_of=np.array([-1]),
            culling="back",
            opacity=FILLED,
            source=(space.mesh, colour),
        )


def triple_of(colour: NDArray[np.uint8]) -> Colour:
    """A colour as three numbers."""
    red, green, blue = colour.tolist()
    return red, green, blue


def mixed(colour: Colour, other: Colour, share: float) -> NDArray[np.uint8]:
    """A colour with a share of another, as an array (3,)."""
    blend = np.array(colour) * (1 - share) + np.array(other) * share
    return blend.round().astype(np.uint8)


@remembered(128)
def _paints(tint: Colour, panels: int, chosen: int, space_chosen: bool) -> bytes:
    """The colours of a space's own walls and of each panel's faces in it, three bytes each."""
    own = mixed(tint, ACCENT, SELECTED_SHARE) if space_chosen else np.array(tint, dtype=np.uint8)
    faces = np.tile(own if space_chosen else mixed(tint, PANEL, PANEL_SHARE), (panels, 1))
    if chosen >= 0:
        faces[chosen] = mixed(PANEL, ACCENT, SELECTED_SHARE)
    return own.tobytes() + faces.tobytes()


@kept_with_owner(1)
def _panels_of(mesh: TriMesh) -> frozenset[int]:
    """1 + i of each panel that is a wall of a space."""
    return frozenset((np.flatnonzero(np.bincount(mesh.labels)[FIRST_PANEL:]) + 1).tolist())


@kept_with_owner(4)
def _walls(mesh: TriMesh, hidden: bytes, through: tuple[tuple[int, tuple[PanelHole, ...]], ...]) -> tuple[Floats, Ints, Ints]:
    """A space's points, its triangles without those of hidden panels, and 0 for skin and deck or 1 + i for the i-th panel.

    through: the holes in each panel, by 1 + i.
    """
    kinds = np.where(mesh.labels >= FIRST_PANEL, mesh.labels - FIRST_PANEL + 1, 0)
    triangles = mesh.triangles
    if any(hidden):
        kept = ~np.frombuffer(hidden, dtype=bool)[kinds]
        triangles, kinds = triangles[kept], kinds[kept]
    points = mesh.vertices
    for number, holes in through:
        of_panel = kinds == number
        if of_panel.any():
            points, cut, cut_kinds = with_holes(points, triangles[of_panel], kinds[of_panel], holes)
            triangles, kinds = np.concatenate([triangles[~of_panel], cut]), np.concatenate([kinds[~of_panel], cut_kinds])
    return points, triangles, kinds
