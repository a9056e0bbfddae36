"""Faces of two panels that lie in one plane, moved apart by a micrometre before anything is cut.

Cuts along one plane twice leave it to rounding what lies between them. Of two panels the later by name gives way: where both look
the same way its face goes in, where they lie face to face it goes into the other. Two planes are one where no point of the later
panel's is further from the other than a gap that is seen, wherever the boat's zero is.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.panel_planes import Faces
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.tolerances import GAP_SEEN, INTO_NEIGHBOUR

_ONE_PLANE = 1.5 * INTO_NEIGHBOUR
"""[m] faces no further apart lie in one plane: those too of which one has given way to a third."""
_ALIGNED = 1e-6
"""[1] how far a cosine may be from 1 for two planes to be looked at: more than a seen gap turns the smallest board."""


def parted_faces(faces: dict[str, Faces], shapes: Sequence[PanelShape]) -> tuple[dict[str, Faces], dict[str, set[str]]]:
    """The faces, moved where one lies in a plane with another's; and by panel, the others that it gave way to.

    shapes: the panels as they stand before, of which only those that meet are looked at.
    """
    moved_faces = dict(faces)
    gave_way: dict[str, set[str]] = {}
    boxes = {shape.name: shape.mesh.bounds for shape in shapes}
    for earlier, later in _in_one_plane(faces, shapes):
        moved = {
            side: (
                _beside(pair[0], moved_faces[earlier], boxes[later]),
                _beside(pair[1], moved_faces[earlier], boxes[later]),
            )
            for side, pair in moved_faces[later].items()
        }
        if moved != moved_faces[later]:
            moved_faces[later] = moved
            gave_way.setdefault(later, set()).add(earlier)
    return moved_faces, gave_way


def _in_one_plane(faces: dict[str, Faces], shapes: Sequence[PanelShape]) -> list[tuple[str, str]]:
    """The pairs of panels that meet and of which two faces may lie in one plane, each with the later by name last."""
    planes = [(k, plane) for k, shape in enumerate(shapes) for pair in faces[shape.name].values() for plane in pair]
    if not planes:
        return []
    of = np.array([k for k, _ in planes])
    normals = np.array([plane.normal for _, plane in planes])
    aligned = np.abs(normals @ normals.T) > 1.0 - _ALIGNED
    low, high = (np.array([shape.mesh.bounds[end] for shape in shapes])[of] for end in (0, 1))
    meet = ((low[:, None] <= high + GAP_SEEN) & (low <= high[:, None] + GAP_SEEN)).all(axis=2)
    pairs = np.argwhere(aligned & meet & (of[:, None] < of))
    names = {(shapes[of[a]].name, shapes[of[b]].name) for a, b in pairs.tolist()}
    return sorted((min(pair), max(pair)) for pair in names)


def _beside(plane: Plane, others: Faces, box: tuple[Floats, Floats]) -> Plane:
    """The plane, moved where it coincides with a face of another panel within a box."""
    for other in (each for pair in others.values() for each in pair):
        cosine = float(plane.normal @ other.normal)
        if abs(cosine) < 1.0 - _ALIGNED:
            continue
        least, most = other.heights_within(plane, *box)
        if least < -GAP_SEEN or most > GAP_SEEN or most < -_ONE_PLANE:
            continue
        if cosine < 0:
            plane = other.flipped.moved(INTO_NEIGHBOUR)
        elif least <= _ONE_PLANE:
            plane = other.moved(-INTO_NEIGHBOUR)
    return plane
