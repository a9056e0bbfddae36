"""The mass that panels bring aboard or take ashore, and where it acts."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from sketcher.analysis.cut.boards.mass import board_mass, surface_density
from sketcher.analysis.loading.bonding_mass import bonding_weight
from sketcher.analysis.results import Layout
from sketcher.analysis.spaces.boolean_cuts import FIRST_PANEL
from sketcher.analysis.spaces.layout import lay_out
from sketcher.analysis.spaces.leaks.opening_shapes import outline
from sketcher.geometry.caching import kept_with_owner
from sketcher.model.hull import Point3
from sketcher.model.scene import Panel, Scene, Weight


@kept_with_owner(1)
def panel_weights(layout: Layout) -> tuple[Weight, ...]:
    """Planned panels that state their mass or whose material is known, and removed ones with theirs taken off [kg].

    A stated mass stands; by material it is that of the faces inside the hull, less openings. Each acts at the centre of its
    faces inside the hull. What is `already` built is part of the boat as she floats. What bonds panels known by their material
    is one weight more; a stated mass is taken for all of it.
    """
    planned = tuple(panel.name for panel in layout.scene.panels if panel.built == "planned")
    removed = tuple(panel.name for panel in layout.scene.panels if panel.built == "removed" and panel.kg is not None)
    weights = [*_weighed(layout, planned, 1.0)]
    if removed:
        weights += _weighed(lay_out(_put_back(layout.scene, removed), layout.hull), removed, -1.0)
    weights += _boards_of_berths(layout)
    by_material = {each.name for each in weights if each.planned} - {panel.name for panel in layout.scene.panels if panel.kg}
    bonding = bonding_weight(layout, by_material) if by_material else None
    bonded = (*weights, bonding) if bonding is not None else tuple(weights)
    return (*bonded, *_as_weighed(layout, weights))


def _as_weighed(layout: Layout, counted: list[Weight]) -> list[Weight]:
    """By how much each weighed part of a planned panel is heavier than planned, the whole where its panel's mass is not counted.

    A part is called as its panel, or so and on after a comma.
    """
    known = {each.name for each in counted}
    found = []
    for number, shape in enumerate(layout.panels):
        mine = [each for each in layout.scene.as_built if each.name == shape.name or each.name.startswith(f"{shape.name}, ")]
        total = next((each.kg for each in counted if each.name == shape.name), None)
        for each in mine:
            if each.kg is None or shape.panel.built != "planned":
                continue
            planned = each.planned_kg if each.planned_kg is not None else total if each.name == shape.name else None
            centre = _faces(layout, number)[1]
            if centre is not None and (planned is not None or shape.name not in known):
                more = each.kg - (planned or 0.0) if shape.name in known else each.kg
                found.append(Weight(name=f"{each.name}, as weighed", kg=more, at=centre, planned=True))
    return found


def unweighed_panels(scene: Scene) -> tuple[str, ...]:
    """Planned panels of which neither mass nor material is known, so that they count for nothing in her weight."""
    planned = (panel for panel in scene.panels if panel.built == "planned" and panel.kg is None)
    return tuple(panel.name for panel in planned if _by_material(scene, panel) is None)


def boards_by_usual_plywood(layout: Layout, names: Collection[str]) -> float | None:
    """What the boards of panels would weigh [kg] of the plywood that the booklet takes; None where one is in no table."""
    masses = [
        board_mass(layout.scene, shape.panel, _faces(layout, number)[0] / 2 - _open(layout.scene, shape.name))[1]
        for number, shape in enumerate(layout.panels)
        if shape.name in names
    ]
    known = [mass for mass in masses if mass is not None]
    return sum(known) if known and len(known) == len(masses) else None


def _boards_of_berths(layout: Layout) -> list[Weight]:
    """Berths' own boards and infills where their sheet's material is known [kg]."""
    scene = layout.scene
    if all(each.thickness is None or surface_density(scene, each.thickness, None) is None for each in scene.berths):
        return []
    from sketcher.analysis.cut.berth_boards import berth_patterns

    weights = []
    for pattern in berth_patterns(layout, None):
        if pattern.mass is not None and not pattern.mass_assumed:
            middle = np.array([[pattern.outline.centroid.x, pattern.outline.centroid.y]])
            x, y, z = (pattern.frame.space(middle)[0] - pattern.frame.normal * pattern.thickness / 2).tolist()
            weights.append(Weight(name=f"boards of {pattern.name}", kg=pattern.mass, at=(x, y, z), planned=True))
    return weights


def _weighed(layout: Layout, names: tuple[str, ...], sign: float) -> list[Weight]:
    weights = []
    for number, shape in enumerate(layout.panels):
        per_area = _by_material(layout.scene, shape.panel) if shape.name in names and shape.panel.kg is None else None
        if shape.name not in names or (shape.panel.kg is None and per_area is None):
            continue
        area, centre = _faces(layout, number)
        if centre is not None:
            kg = (
                shape.panel.kg if shape.panel.kg is not None else (per_area or 0.0) * (area / 2 - _open(layout.scene, shape.name))
            )
            weights.append(Weight(name=shape.name, kg=sign * max(kg, 0.0), at=centre, planned=sign > 0.0))
    return weights


def _by_material(scene: Scene, panel: Panel) -> float | None:
    """What a square metre of a panel weighs [kg]; None where its material is not known."""
    return surface_density(scene, panel.thickness, panel.material)


def _open(scene: Scene, panel: str) -> float:
    """The area of the openings in a panel [m2]."""
    return float(sum(outline(opening).area for opening in scene.openings if opening.through == panel))


def _put_back(scene: Scene, names: tuple[str, ...]) -> Scene:
    """The scene with these removed panels put back."""
    return replace(
        scene,
        bulkheads=tuple(replace(each, built="already") if each.name in names else each for each in scene.bulkheads),
        partitions=tuple(replace(each, built="already") if each.name in names else each for each in scene.partitions),
        lids=tuple(replace(each, built="already") if each.name in names else each for each in scene.lids),
    )


def _faces(layout: Layout, number: int) -> tuple[float, Point3 | None]:
    """Area of both faces of a panel inside the hull [m2] and their centre [m], None where no compartment touches it."""
    area, moment = 0.0, np.zeros(3)
    for space in layout.compartments:
        corners = space.mesh.vertices[space.mesh.triangles[space.mesh.labels == FIRST_PANEL + number]]
        sizes = 0.5 * np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
        area += float(sizes.sum())
        moment += sizes @ corners.mean(axis=1)
    if area <= 0:
        return 0.0, None
    x, y, z = (moment / area).tolist()
    return area, (x, y, z)
