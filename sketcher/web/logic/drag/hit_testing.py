"""What lies under the pointer in the picture, which object a press there means, and where a line of sight ends."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.scene3d.shapes import Shapes
from sketcher.web.logic.view_settings import ViewSettings
from sketcher.web.view.picking import STROKE_REACH, Hit, pick

Place = tuple[float, float]
SQUARELY = 3.0
"""[pixels] A press so near to an opening's line means the opening; further off its panel may be meant."""
BEFORE_WALL = 0.005
"""[m] What the pointer shows lies so far before the wall that one sees: in the compartment, not in the wall."""
FAR_OFF = np.full(3, 1e6)
"""[m] Where a line of sight ends that meets nothing of the boat."""


def object_at(
    boat: BoatShapes, view: ViewSettings, at: Place, shapes: Shapes | None = None, reach: float = STROKE_REACH
) -> tuple[ObjectRef, Hit] | None:
    """What is under a place in the picture (shares of it). shapes: what of the boat counts, None: all; reach [pixels]."""
    found = pick(shapes or boat.shapes, view.camera, view.size, view.pixels(at), boat.planes, reach)
    return None if found is None else (boat.part(found.owner), found)


def objects_at(boat: BoatShapes, view: ViewSettings, at: Place) -> tuple[ObjectRef, ...]:
    """All that is under a place in the picture (shares of it), the nearest to the eye first."""
    found: list[int] = []
    while hit := pick(boat.shapes, view.camera, view.size, view.pixels(at), boat.planes, without=found):
        found.append(hit.owner)
    return tuple(boat.part(owner) for owner in found)


def object_to_move(boat: BoatShapes, view: ViewSettings, at: Place, selected: ObjectRef | None) -> tuple[ObjectRef, Hit] | None:
    """What a press means to move: an opening if selected, or hit squarely with nothing selected; else what is behind it."""
    hit = object_at(boat, view, at)
    if hit is None or hit[0].kind != "opening" or hit[0] == selected:
        return hit
    squarely = object_at(boat, view, at, reach=SQUARELY) if selected is None else None
    if squarely is not None and squarely[0] == hit[0]:
        return hit
    strokes = boat.shapes.strokes
    others = {key: line for key, line in strokes.items() if line.owner < 0 or boat.part(line.owner).kind != "opening"}
    return object_at(boat, view, at, Shapes(surfaces=boat.shapes.surfaces, strokes=others))


@dataclass(frozen=True, eq=False)
class CompartmentWalls:
    """The walls of the compartments as they are drawn, and the planes that cut them."""

    shapes: Shapes = field(default_factory=Shapes)
    planes: tuple[Plane, ...] = ()

    @classmethod
    def of(cls, boat: BoatShapes) -> CompartmentWalls:
        surfaces = {key: surface for key, surface in boat.shapes.surfaces.items() if key.startswith("space/")}
        return cls(Shapes(surfaces=surfaces), boat.planes)

    def line_of_sight(self, view: ViewSettings, at: Place) -> tuple[Floats, Floats]:
        """Where the line of sight at a place in the picture ends (3,) [m], and the direction to the eye (3,).

        It ends just before the wall that one sees.
        """
        eye = view.camera.axes()[2]
        found = pick(self.shapes, view.camera, view.size, view.pixels(at), self.planes)
        return (FAR_OFF if found is None else np.array(found.point) + BEFORE_WALL * eye), eye
