"""Dragged panels that keep their corners: each corner is worked out from its three planes instead of being searched for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.plane import HalfSpaces, Plane
from sketcher.geometry.solid.convex import LEAST_SPAN, meeting
from sketcher.geometry.tolerances import SAME_POINT

_CLEAR = 1e3 * SAME_POINT
"""A corner so far [m] within a plane has nothing to do with it."""


class KeptCorners:
    """The solids of panels that have moved, from how they stood before. started: these, by name."""

    def __init__(self, started: Mapping[str, PanelShape]) -> None:
        self._started = started

    def __call__(self, name: str, planes: Sequence[Plane]) -> TriMesh | None:
        """The panel within these planes, where it is of one piece and has the same corners as before; else None."""
        before = self._started.get(name)
        if before is None or len(before.pieces) != 1 or len(before.faces) != len(planes):
            return None
        corners = corner_planes(before.mesh, tuple(plane for _, plane in before.faces))
        return None if corners is None else reshaped(before.mesh, *corners, HalfSpaces.within(planes))


@kept_with_owner(4)
def corner_planes(mesh: TriMesh, planes: tuple[Plane, ...]) -> tuple[Ints, Floats] | None:
    """Which three of the planes of a convex solid meet at each of its corners (n, 3), and how they turn (n,).

    None where more than three do at one.
    """
    spaces = HalfSpaces.within(planes)
    on = np.abs(spaces.over(mesh.vertices)) <= 2 * SAME_POINT
    if (on.sum(axis=1) != 3).any():
        return None
    threes = np.nonzero(on)[1].reshape(-1, 3)
    return threes, np.sign(np.linalg.det(spaces.normals[threes]))


def reshaped(before: TriMesh, threes: Ints, turns: Floats, spaces: HalfSpaces) -> TriMesh | None:
    """A convex solid whose planes have moved, where it has the same corners as before; else None. See `corner_planes`.

    It has: if each corner lies clear within all the other planes, and the three planes at it turn as they did, then every edge
    still ends at the same two corners, and there can be no others.
    """
    determinant, sums = meeting(spaces, threes)
    if not (determinant * turns > LEAST_SPAN).all():
        return None
    points = sums / determinant[:, None]
    out = spaces.over(points)
    out[np.arange(len(points))[:, None], threes] = -np.inf
    return TriMesh(points, before.triangles, before.labels) if (out < -_CLEAR).all() else None
