"""An independent check of a packing: how far cylinders are from the surface and from each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.packing.cylinders import Packing
from sketcher.geometry.rotation import turned_to
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.tolerances import LAYER_SKIN


@dataclass(frozen=True, slots=True)
class Clearances:
    """wall: least distance of a cylinder's side from the surface [m]; apart: between two of them [m]; outside: how many are out.

    Negative distances are overlaps. With fewer than two cylinders `apart` is infinite, with none `wall` too.
    """

    wall: float
    apart: float
    outside: int


def clearances(solid: TriMesh, packing: Packing) -> Clearances:
    """The least clearances of a packing in its solid.

    A cylinder is clear of the surface when no part of the surface between its two ends comes nearer to its axis than its radius;
    a hair's breadth (`LAYER_SKIN`) at either end is not looked at, since cylinders stand on floors.
    """
    if not packing.count:
        return Clearances(np.inf, np.inf, 0)
    turn = turned_to(packing.direction)
    local = TriMesh(solid.vertices @ turn.T, solid.triangles, solid.labels)
    base = packing.base @ turn.T
    radius = np.array([size.radius for size in packing.sizes])[packing.kind]
    length = np.array([size.length for size in packing.sizes])[packing.kind]
    wall, outside = np.inf, 0
    for start, depth in sorted(set(zip(base[:, 2].tolist(), length.tolist(), strict=True))):
        mine = (base[:, 2] == start) & (length == depth)
        points = shapely.points(base[mine, :2])
        shadow = _between(local, start + LAYER_SKIN, start + depth - LAYER_SKIN)
        if len(shadow):
            _, distances = shapely.STRtree(shadow).query_nearest(points, return_distance=True, all_matches=False)
            wall = min(wall, float((distances - radius[mine]).min()))
        middle = Frame((0.0, 0.0, start + depth / 2), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
        outside += int((~shapely.contains(shapely.make_valid(section(local, middle)), points)).sum())
    return Clearances(wall, _least_apart(base, radius, length), outside)


def _between(mesh: TriMesh, low: float, high: float) -> list[shapely.Geometry]:
    """Triangles cut to the heights between low and high and laid flat: convex polygons, lines or points."""
    corner = mesh.vertices[mesh.triangles]
    z = corner[..., 2]
    near = (z.min(axis=1) < high) & (z.max(axis=1) > low)
    corner, z = corner[near], z[near]
    points, held = [corner[..., :2]], [(z > low) & (z < high)]
    for level in (low, high):
        after, z_after = np.roll(corner, -1, axis=1), np.roll(z, -1, axis=1)
        crosses = (z - level) * (z_after - level) < 0.0
        share = np.where(crosses, (level - z) / np.where(crosses, z_after - z, 1.0), 0.0)
        points.append((corner + share[..., None] * (after - corner))[..., :2])
        held.append(crosses)
    every, kept = np.concatenate(points, axis=1), np.concatenate(held, axis=1)
    owner = np.repeat(np.arange(len(every)), kept.sum(axis=1))
    hulls = shapely.convex_hull(shapely.multipoints(shapely.points(every[kept]), indices=owner))
    return hulls[~shapely.is_empty(hulls)].tolist()  # type: ignore[no-any-return]


def _least_apart(base: Floats, radius: Floats, length: Floats) -> float:
    """The least clearance of two cylinders whose ends overlap; the nearest of each are looked at."""
    points = shapely.points(base[:, :2])
    reach = 2.5 * float(radius.max())
    i, j = shapely.STRtree(points).query(points, predicate="dwithin", distance=reach)
    pairs = (i < j) & (
        np.minimum(base[i, 2] + length[i], base[j, 2] + length[j]) - np.maximum(base[i, 2], base[j, 2]) > LAYER_SKIN
    )
    i, j = i[pairs], j[pairs]
    if not len(i):
        return np.inf
    return float((np.hypot(*(base[i, :2] - base[j, :2]).T) - radius[i] - radius[j]).min())
