"""Faces of two panels that lie in one plane, moved apart by a micrometre before anything is cut.

Cuts along one plane twice leave it to rounding what lies between them. Of two panels the later by name gives way: where both look
the same way its face goes in, where they lie face to face it goes into the other.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.panel_planes import Faces
from sketcher.geometry.plane import Plane
from sketcher.geometry.tolerances import GAP_SEEN, INTO_NEIGHBOUR, PARALLEL

_ONE_PLANE = 1.5 * INTO_NEIGHBOUR
"""[m] faces no further apart lie in one plane: those too of which one has given way to a third."""


def parted_faces(faces: dict[str, Faces], shapes: Sequence[PanelShape]) -> tuple[dict[str, Faces], dict[str, set[str]]]:
    """The faces, moved where one lies in a plane with another's; and by panel, the others that it gave way to.

    shapes: the panels as they stand before, of which only those that meet are looked at.
    """
    moved_faces = dict(faces)
    gave_way: dict[str, set[str]] = {}
    for earlier, later in _in_one_plane(faces, shapes):
        moved = {
            side: (_beside(pair[0], moved_faces[earlier]), _beside(pair[1], moved_faces[earlier]))
            for side, pair in moved_faces[later].items()
        }
        if moved != moved_faces[later]:
            moved_faces[later] = moved
            gave_way.setdefault(later, set()).add(earlier)
    return moved_faces, gave_way


def _in_one_plane(faces: dict[str, Faces], shapes: Sequence[PanelShape]) -> list[tuple[str, str]]:
    """The pairs of panels that meet and of which two faces lie in one plane, each with the later by name last."""
    planes = [(k, plane) for k, shape in enumerate(shapes) for pair in faces[shape.name].values() for plane in pair]
    if not planes:
        return []
    of = np.array([k for k, _ in planes])
    normals, distances = np.array([plane.normal for _, plane in planes]), np.array([plane.distance for _, plane in planes])
    along = normals @ normals.T
    alike = (along > 1.0 - PARALLEL) & (np.abs(distances[:, None] - distances) <= GAP_SEEN)
    opposed = (along < PARALLEL - 1.0) & (np.abs(distances[:, None] + distances) <= GAP_SEEN)
    low, high = (np.array([shape.mesh.bounds[end] for shape in shapes])[of] for end in (0, 1))
    meet = ((low[:, None] <= high + GAP_SEEN) & (low <= high[:, None] + GAP_SEEN)).all(axis=2)
    pairs = np.argwhere((alike | opposed) & meet & (of[:, None] < of))
    names = {(shapes[of[a]].name, shapes[of[b]].name) for a, b in pairs.tolist()}
    return sorted((min(pair), max(pair)) for pair in names)


def _beside(plane: Plane, others: Faces) -> Plane:
    """The plane, moved where it coincides with a face of another panel."""
    for other in (each for pair in others.values() for each in pair):
        cosine = float(plane.normal @ other.normal)
        if cosine > 1.0 - PARALLEL and abs(plane.distance - other.distance) <= _ONE_PLANE:
            plane = plane.moved(other.distance - plane.distance - INTO_NEIGHBOUR)
        elif cosine < PARALLEL - 1.0 and -_ONE_PLANE <= -other.distance - plane.distance <= GAP_SEEN:
            plane = plane.moved(INTO_NEIGHBOUR - other.distance - plane.distance)
    return plane
