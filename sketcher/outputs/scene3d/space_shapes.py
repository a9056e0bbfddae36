"""A compartment as shapes: its far walls in its tint and its panels' colour, marked by the water, and its corners in ink."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sketcher.analysis.results import Compartment
from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.mesh import Ints, TriMesh
from sketcher.outputs import palette
from sketcher.outputs.scene3d.loose_things import shade
from sketcher.outputs.scene3d.objects import Appearance, ObjectRef
from sketcher.outputs.scene3d.shapes import FIRST_PANEL, Colour, Shapes, Strokes, Surface, WaterMarks, label_edges
from sketcher.outputs.wording.known_spaces import Relation

INK, ACCENT, PANEL = shade(palette.INK), shade(palette.ACCENT), shade(palette.TIMBER)
TINTS: dict[Relation, Colour] = {shown: shade(colour) for shown, colour in palette.TINTS.items()}
SELECTED_SHARE = 0.55
"""How much of the accent colour a selected thing takes on."""
PANEL_SHARE = 0.45
"""How much of a panel's face is its own colour, the rest the tint of the space it bounds."""


@dataclass(frozen=True, eq=False, kw_only=True)
class SpacePainter:
    """What all compartments' shapes are made with. number: gives a part its number; panels: in the layout's order."""

    shapes: Shapes
    number: Callable[[ObjectRef], int]
    panels: tuple[ObjectRef, ...]
    look: Appearance
    selected: ObjectRef | None

    def add(self, space: Compartment, shown: Relation, water: WaterMarks | None, opacity: float = 1.0) -> None:
        """Add one compartment that is not hidden. shown: how it stands to the water, for its tint."""
        part = ObjectRef("compartment", space.name)
        if part in self.look.hidden:
            return
        chosen = self.panels.index(self.selected) if self.selected in self.panels else -1
        paints = _paints(shown, len(self.panels), chosen, self.selected == part)
        hidden = bytes([0, *(panel in self.look.hidden for panel in self.panels)])
        triangles, kinds = _walls(space.mesh, hidden)
        self.shapes.surfaces[f"space/{space.name}"] = Surface(
            points=space.mesh.vertices,
            triangles=triangles,
            colours=np.frombuffer(paints, dtype=np.uint8).reshape(-1, 3),
            owner_of=np.array([self.number(part), *(self.number(panel) for panel in self.panels)]),
            kinds=kinds,
            opacity=opacity,
            water=water,
            source=(space.mesh, paints, hidden, opacity, water),
            cut=(paints, hidden, opacity, water),
        )
        edges = label_edges(space.mesh)
        if len(edges):
            self.shapes.strokes[f"corners/{space.name}"] = Strokes(
                points=space.mesh.vertices, segments=edges, colour=INK, width=1.0, source=space.mesh, cut=INK
            )


def mixed(colour: Colour, other: Colour, share: float) -> NDArray[np.uint8]:
    """A colour with a share of another, as an array (3,)."""
    blend = np.array(colour) * (1 - share) + np.array(other) * share
    return blend.round().astype(np.uint8)


@remembered(128)
def _paints(shown: Relation, panels: int, chosen: int, space_chosen: bool) -> bytes:
    """The colours of a space's own walls and of each panel's faces in it, three bytes each."""
    tint = TINTS[shown]
    own = mixed(tint, ACCENT, SELECTED_SHARE) if space_chosen else np.array(tint, dtype=np.uint8)
    faces = np.tile(own if space_chosen else mixed(tint, PANEL, PANEL_SHARE), (panels, 1))
    if chosen >= 0:
        faces[chosen] = mixed(PANEL, ACCENT, SELECTED_SHARE)
    return own.tobytes() + faces.tobytes()


@kept_with_owner(4)
def _walls(mesh: TriMesh, hidden: bytes) -> tuple[Ints, Ints]:
    """A space's triangles without those of hidden panels, and 0 for skin and deck or 1 + i for the i-th panel."""
    kinds = np.where(mesh.labels >= FIRST_PANEL, mesh.labels - FIRST_PANEL + 1, 0)
    triangles = mesh.triangles
    if any(hidden):
        kept = ~np.frombuffer(hidden, dtype=bool)[kinds]
        triangles, kinds = triangles[kept], kinds[kept]
    return triangles, kinds
