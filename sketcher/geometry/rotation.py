"""Turning space so that one direction points up."""

from __future__ import annotations

import numpy as np

from sketcher.geometry.mesh import Floats, GeometryError


def turned_to(direction: Floats) -> Floats:
    """A rotation (3, 3) whose rows are the new axes, the third along `direction` (3,): points @ rotation.T are the new places.

    Axis-parallel directions keep the other axes parallel to theirs. Raises GeometryError for a direction without length.
    """
    size = float(np.linalg.norm(direction))
    if not 0.0 < size < np.inf:
        raise GeometryError("a direction must have a length")
    up = np.asarray(direction, dtype=np.float64) / size
    aside = np.eye(3)[int(np.argmin(np.abs(up)))]
    first = aside - up * float(up @ aside)
    first /= np.linalg.norm(first)
    return np.vstack([first, np.cross(up, first), up])
