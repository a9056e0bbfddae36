"""A spot on the selected part that is in sight in the picture, and a corner for figures that is clear of it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

import numpy as np

from sketcher.geometry.mesh import Floats
from sketcher.outputs.scene3d.boat_shapes import BoatShapes
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.objects import ObjectRef
from sketcher.outputs.scene3d.shapes import Surface
from sketcher.web.state import CORNERS, Corner, DragFigure
from sketcher.web.view.clearance import overlaps_any, spans_of_boxes
from sketcher.web.view.picking import pick

SPOTS_TRIED = 12
"""Spots on a part that are tried for being in sight before it is taken to be hidden."""
FIGURES_NAME = 20
"""Characters of a name that stand on one line of the figures under the hand."""
FIGURES_WIDE, FIGURES_HEAD, FIGURES_LINE, CONTROLS = 296.0, 84.0, 19.0, 46.0
"""Pixels: the card of figures under the hand with its margins, its head, each line more; and the controls above the boat."""
EDGE = 10.0
"""Pixels from the border of the picture within which nothing can be taken hold of."""


def spot_in_sight(boat: BoatShapes, part: ObjectRef, camera: Camera, size: tuple[int, int]) -> Floats | None:
    """A spot (3,) [m] of a part that is seen; None: it is out of sight."""
    for spot in _spots(boat, part):
        x, y, _ = camera.project(spot[None], size)[0]
        if not (EDGE < x < size[0] - EDGE and EDGE < y < size[1] - EDGE):
            continue
        hit = pick(boat.shapes, camera, size, (float(x), float(y)), boat.planes)
        if hit is not None and boat.part(hit.owner) == part:
            return spot
    return None


def lines_of(figures: Sequence[DragFigure]) -> int:
    """How many lines figures under the hand take: long names run over several."""
    return sum(len(wrap(line.label, FIGURES_NAME)) or 1 for line in figures)


def clear_corner(size: tuple[int, int], lines: int, worked_on: list[Floats], last: Corner) -> tuple[Corner, Floats]:
    """The corner of the picture where so many lines of figures cover nothing of what is worked on, and their span there.

    last: where they stand, and stay if they can. Where no corner is clear of all, one that is clear of the last, the hand.
    """
    wide, tall = FIGURES_WIDE, FIGURES_HEAD + FIGURES_LINE * lines
    places: dict[Corner, tuple[float, float]] = {
        "right": (size[0] - wide / 2, size[1] - tall / 2),
        "left": (wide / 2, size[1] - tall / 2),
        "high right": (size[0] - wide / 2, CONTROLS + tall / 2),
        "high left": (wide / 2, CONTROLS + tall / 2),
    }
    spans = {corner: spans_of_boxes(np.array([place]), np.array([wide, tall])) for corner, place in places.items()}
    wanted = [(corner, keep) for keep in (worked_on, worked_on[-1:]) for corner in (last, *CORNERS)]
    chosen = next((corner for corner, keep in wanted if not overlaps_any(spans[corner], keep)[0]), last)
    return chosen, spans[chosen][:, 0]


def _spots(boat: BoatShapes, part: ObjectRef) -> list[np.ndarray]:
    """Spots on a part, the middle of what is drawn of it first: on the largest triangles near it, then along its lines."""
    if part not in boat.parts:
        return []
    owner = boat.parts.index(part)
    spots: list[np.ndarray] = []
    for surface in boat.shapes.surfaces.values():
        spots += _on_surface(surface, owner)
    for strokes in boat.shapes.strokes.values():
        if strokes.owner == owner and len(strokes.segments):
            middles = strokes.points[strokes.segments].mean(axis=1)
            spots += list(middles[:: max(len(middles) // SPOTS_TRIED, 1)])
    return spots


def _on_surface(surface: Surface, owner: int) -> list[np.ndarray]:
    triangles = surface.triangles[surface.owners == owner]
    if not len(triangles):
        return []
    corners = surface.points[triangles]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    middles = corners.mean(axis=1)
    middle = np.average(middles, axis=0, weights=area + 1e-12)
    order = np.lexsort((np.linalg.norm(middles - middle, axis=1), -np.round(np.log2(area + 1e-12))))
    return [middle, *middles[order[:SPOTS_TRIED]]]
