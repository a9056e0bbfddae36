"""Which faces of which panels bound each part."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL, Parts
from sketcher.analysis.spaces.default_names import Bounds
from sketcher.analysis.spaces.panel_planes import FACE_NAMES
from sketcher.geometry.tolerances import ADJOINING_AREA


def bounding_faces(parts: Parts, shapes: Sequence[PanelShape]) -> tuple[Bounds, ...]:
    """For each part the sorted (panel, face) pairs that bound it; only the two faces of each panel, not its edges."""
    bounds: list[set[tuple[str, str]]] = [set() for _ in range(parts.count)]
    width = max((len(shape.faces) for shape in shapes), default=0)
    on_panel = (parts.owner >= FIRST_PANEL) & ~parts.plug
    row = parts.part[on_panel] * len(shapes) + parts.owner[on_panel] - FIRST_PANEL
    a, b, c = parts.vertices[parts.triangles[on_panel].T]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2
    seen = np.bincount(row * width + parts.face[on_panel], area)
    for value in np.flatnonzero(seen > ADJOINING_AREA).tolist():
        row_of, face = divmod(value, width)
        part, panel = divmod(row_of, len(shapes))
        name = shapes[panel].faces[face].name
        if name in FACE_NAMES:
            bounds[part].add((shapes[panel].name, name))
    return tuple(tuple(sorted(faces)) for faces in bounds)
