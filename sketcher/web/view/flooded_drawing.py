"""Water standing in flooded spaces, in a drawing: what of each outline it fills."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.analysis.results import WaterPlane
from sketcher.geometry.crossing import ring_part
from sketcher.geometry.flat.regions import polygons
from sketcher.outputs.drawing.recording import FilledArea, Item, PaperPlacing
from sketcher.outputs.palette import FLOODED

FAR = 5000.0
"""[mm]: beyond any sheet of paper."""


def flooded_items(
    items: list[Item], floods: tuple[str, ...], water: WaterPlane | None, placing: PaperPlacing, at: float
) -> list[Item]:
    """The items of a view, and in each flooded compartment the part of it that is filled."""
    if water is None or not floods:
        return items
    filled: list[Item] = []
    for item in items:
        filled.append(item)
        if isinstance(item, FilledArea) and item.layer == "compartments" and item.part.removeprefix("compartment/") in floods:
            filled += _filled(item, _below(water, placing, at))
    return filled


def _filled(area: FilledArea, below: shapely.Polygon) -> list[Item]:
    outline = shapely.Polygon()
    for ring in area.rings:
        outline = shapely.symmetric_difference(outline, shapely.Polygon(ring))
    wet = polygons(shapely.intersection(outline, below))
    return [
        FilledArea(
            tuple(tuple((x, y) for x, y in ring.coords) for ring in (part.exterior, *part.interiors)),
            FLOODED,
            None,
            area.layer,
            area.part,
        )
        for part in wet
    ]


def _below(water: WaterPlane, placing: PaperPlacing, at: float) -> shapely.Polygon:
    """The part of the paper that lies under the water in a view cut at `at` [m]."""

    def depth(spot: tuple[float, float]) -> float:
        u, v = placing.boat(*spot)
        x, y, z = {"xz": (u, at, v), "yz": (at, u, v), "xy": (u, v, at)}[placing.axes]
        return water.height(x, y) - z

    corners = [(-FAR, -FAR), (FAR, -FAR), (FAR, FAR), (-FAR, FAR)]
    kept = ring_part(np.array(corners), np.array([depth(corner) for corner in corners]))
    return shapely.Polygon(kept) if len(kept) > 2 else shapely.Polygon()
