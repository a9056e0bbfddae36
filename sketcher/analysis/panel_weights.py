"""The mass that panels bring aboard or take ashore, and where it acts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sketcher.analysis.cutting import FIRST_PANEL
from sketcher.analysis.layout import lay_out
from sketcher.analysis.results import Layout
from sketcher.model.hull import Point3
from sketcher.model.scene import Scene, Weight


def panel_weights(layout: Layout) -> tuple[Weight, ...]:
    """Planned panels that state their mass, and removed ones with theirs taken off [kg].

    Each acts at the centre of its faces inside the hull. What is `already` built is part of the boat as she floats.
    """
    planned = tuple(panel.name for panel in layout.scene.panels if panel.built == "planned" and panel.kg is not None)
    removed = tuple(panel.name for panel in layout.scene.panels if panel.built == "removed" and panel.kg is not None)
    found = [*_weighed(layout, planned, 1.0)]
    if removed:
        found += _weighed(lay_out(_put_back(layout.scene, removed), layout.hull), removed, -1.0)
    return tuple(found)


def _weighed(layout: Layout, names: tuple[str, ...], sign: float) -> list[Weight]:
    weights = []
    for number, shape in enumerate(layout.panels):
        centre = _face_centre(layout, number) if shape.name in names else None
        if centre is not None and shape.panel.kg is not None:
            weights.append(Weight(name=shape.name, kg=sign * shape.panel.kg, at=centre))
    return weights


def _put_back(scene: Scene, names: tuple[str, ...]) -> Scene:
    """The scene as it was while these panels still stood."""
    return replace(
        scene,
        bulkheads=tuple(replace(each, built="already") if each.name in names else each for each in scene.bulkheads),
        partitions=tuple(replace(each, built="already") if each.name in names else each for each in scene.partitions),
        lids=tuple(replace(each, built="already") if each.name in names else each for each in scene.lids),
    )


def _face_centre(layout: Layout, number: int) -> Point3 | None:
    """Centre of a panel's faces inside the hull [m], weighted by area; None where no compartment touches it."""
    area, moment = 0.0, np.zeros(3)
    for space in layout.compartments:
        corners = space.mesh.vertices[space.mesh.triangles[space.mesh.labels == FIRST_PANEL + number]]
        sizes = 0.5 * np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
        area += float(sizes.sum())
        moment += sizes @ corners.mean(axis=1)
    if area <= 0:
        return None
    x, y, z = (moment / area).tolist()
    return x, y, z
