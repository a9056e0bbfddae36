"""Openings in the upright faces of a coachroof or a cockpit: companionway, window, door."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.hull.form import DECK
from sketcher.analysis.results import OUTSIDE, Compartment, FlowPath
from sketcher.analysis.spaces.leaks.flow_paths import flow_path
from sketcher.analysis.spaces.leaks.opening_shapes import carried_onto, covered_part, outline
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Flags, Floats, Ints
from sketcher.geometry.tolerances import HOLE_AREA
from sketcher.geometry.vectors import cross
from sketcher.model.hull import Coachroof, Cockpit, Hull
from sketcher.model.scene import Opening

FACING = 0.7
"""[1] What looks so squarely out of a face belongs to it: a side may taper in plan by up to 45 degrees."""

NEAR = 0.05
"""[m] The face inside lies so near to where the house is stated to end, beside the deck's thickness."""


def in_house(hull: Hull, spaces: Sequence[Compartment], opening: Opening) -> list[FlowPath]:
    """The paths from every space behind that face to the outside; none where there is no such face, or it is not met.

    The opening is looked at square to its face, in (off centre, height) or, on a side, (aft, height), on the face inside.
    """
    house = hull.cockpit if opening.through == "cockpit" else hull.coachroof
    if house is None or opening.face is None:
        return []
    axes = [1, 2, 0] if opening.face in ("forward", "aft") else [0, 2, 1]
    hole = outline(opening)
    paths = []
    for space in spaces:
        mine = space.mesh.triangles[space.mesh.labels == DECK]
        vertices = space.mesh.vertices
        mine = mine[_of_face(vertices, mine, house, opening.face, hull.deck.thickness + NEAR)]
        turned = vertices[:, axes] - np.array([*opening.at, 0.0])
        over = covered_part(hole, turned[:, :2][mine])
        if over.area > HOLE_AREA:
            rim = np.concatenate([np.asarray(polygon.exterior.coords)[:-1] for polygon in polygons(over)])
            corners = np.empty((len(rim), 3))
            corners[:, axes] = carried_onto(turned, mine, rim) + np.array([*opening.at, 0.0])
            paths.append(flow_path(opening.name, "opening", (space.name, OUTSIDE), opening.through, over.area, corners))
    return paths


def _of_face(vertices: Floats, triangles: Ints, house: Coachroof | Cockpit, face: str, near: float) -> Flags:
    """(k,) which triangles of a space belong to a house's face; from a coachroof one looks out, into a cockpit too."""
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normal = cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-300)
    ahead = -1.0 if face in ("forward", "port") else 1.0
    out = ahead if isinstance(house, Coachroof) else -ahead
    x, y = (np.stack([a[:, k], b[:, k], c[:, k]]) for k in range(2))
    if face in ("forward", "aft"):
        end = house.start if face == "forward" else house.end
        found: Flags = (out * normal[:, 0] > FACING) & (np.abs(x - end) <= near).all(axis=0)
        return found
    along = (x >= house.start - near).all(axis=0) & (x <= house.end + near).all(axis=0)
    beside: Flags = (out * normal[:, 1] > FACING) & (ahead * y > 0.0).all(axis=0) & along
    return beside
