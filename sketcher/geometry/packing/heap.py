"""A heap poured onto one point in a closed solid: how high it stands with its own angle of repose, and where its weight is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from manifold3d import Manifold

from sketcher.geometry.caching import kept_with_owner, remembered
from sketcher.geometry.mesh import Floats, GeometryError, TriMesh
from sketcher.geometry.solid.boolean import checked, surface_of, to_manifold
from sketcher.geometry.tolerances import PILE_VOLUME

_SIDES = 64
"""Facets of a heap's cone; their circle has the true cone's area, so that an open heap's volume is exact."""

_ROUNDS = 40


@dataclass(frozen=True, eq=False)
class Heap:
    """A heap. peak [m]: its height under the point it was poured on, or as high as it would reach there; volume [m3].

    centroid: (3,) [m]; mesh: the heap as a closed solid; spilled [m3]: what was poured beyond what the solid holds below the
    point. reaches: whether the heap stands up to the point it is poured from, so that no more runs down by itself.
    """

    peak: float
    volume: float
    centroid: tuple[float, float, float]
    mesh: TriMesh
    spilled: float
    reaches: bool


@remembered(16)
def heap(solid: TriMesh, volume: float, over: tuple[float, float, float], repose: float) -> Heap:
    """The heap that `volume` [m3] makes when poured from the point `over` (3,) [m], its slope `repose` [deg] everywhere.

    Its surface is a cone under the point; everything in the solid below that cone is filled, as things that slide to the lowest
    place fill it. Where less has room below the point than is poured, the rest is `spilled`. Raises GeometryError for a
    negative volume, a slope outside 0 to 80 degrees or a solid that is not closed.
    """
    if not (volume >= 0.0 and 0.0 <= repose <= 80.0):
        raise GeometryError("a heap needs a volume of 0 or more and a slope between 0 and 80 degrees")
    body = to_manifold(solid, 1)
    low, high = solid.bounds
    reach = _reach(solid, over)
    fall = reach * float(np.tan(np.radians(repose)))
    level = (float(low[2]), float(low[2]) + fall + float(high[2] - low[2]))

    def filled(peak: float) -> Manifold:
        return body ^ _cone(over, peak, reach, fall, float(low[2]) - 1.0)

    most = filled(over[2])
    room = most.volume()
    if volume >= room:
        return _pile(most, over[2], volume - room, True)
    peak = _solve(lambda peak: filled(peak).volume(), volume, level[0], min(level[1], over[2]))
    return _pile(filled(peak), peak, 0.0, False)


def volume_heaped(solid: TriMesh, peak: float, over: tuple[float, float, float], repose: float) -> float:
    """The volume [m3] of a heap under the point `over` that stands up to `peak` [m], its slope `repose` [deg]."""
    reach = _reach(solid, over)
    cone = _cone(over, peak, reach, reach * float(np.tan(np.radians(repose))), float(solid.bounds[0][2]) - 1.0)
    return float((to_manifold(solid, 1) ^ cone).volume())


@kept_with_owner(64)
def between(solid: TriMesh, low: float, high: float) -> TriMesh:
    """The part of a closed solid between two heights [m]; without triangles where there is none."""
    part = to_manifold(solid, 1).trim_by_plane((0.0, 0.0, 1.0), low).trim_by_plane((0.0, 0.0, -1.0), -high)
    surface = surface_of(part)
    return TriMesh(surface.vertices.copy(), surface.triangles, np.zeros(len(surface.triangles), dtype=np.int64))


def _reach(solid: TriMesh, over: tuple[float, float, float]) -> float:
    """How far out a cone over a point has to go [m] to cover the solid."""
    low, high = solid.bounds
    return float(np.hypot(*(np.maximum(high[:2] - over[:2], over[:2] - low[:2])))) + 1.0


def _cone(over: tuple[float, float, float], peak: float, reach: float, fall: float, floor: float) -> Manifold:
    """Everything below a cone with its tip at `peak` under the point, out to `reach`."""
    angle = 2 * np.pi * np.arange(_SIDES) / _SIDES
    # A regular polygon of this radius has the area of the circle of radius 1.
    fit = float(np.sqrt(2 * np.pi / (_SIDES * np.sin(2 * np.pi / _SIDES))))
    ring = reach * fit * np.column_stack([np.cos(angle), np.sin(angle)]) + np.array(over[:2])
    rim = np.column_stack([ring, np.full(_SIDES, peak - fall)])
    foot = np.column_stack([ring, np.full(_SIDES, min(floor, peak - fall - 1.0))])
    tip = np.array([[over[0], over[1], peak]])
    return checked(Manifold.hull_points(np.vstack([tip, rim, foot]).astype(np.float64)), "the heap")


def _solve(volume_at: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """The peak at which the volume is the one wanted: regula falsi with halving, the volume rising with the peak."""
    below, above = volume_at(low) - wanted, volume_at(high) - wanted
    side = 0
    for _ in range(_ROUNDS):
        middle = low + (high - low) * below / (below - above) if above > below else (low + high) / 2
        value = volume_at(middle) - wanted
        if abs(value) < PILE_VOLUME:
            return float(middle)
        if value < 0.0:
            low, below = middle, value
            above, side = (above / 2 if side == -1 else above), -1
        else:
            high, above = middle, value
            below, side = (below / 2 if side == 1 else below), 1
    return float((low + high) / 2)


def _pile(solid: Manifold, peak: float, spilled: float, reaches: bool) -> Heap:
    surface = surface_of(solid)
    mesh = TriMesh(surface.vertices.copy(), surface.triangles, np.zeros(len(surface.triangles), dtype=np.int64))
    return Heap(peak, mesh.volume if len(mesh.triangles) else 0.0, centroid(mesh), mesh, spilled, reaches)


def centroid(mesh: TriMesh) -> tuple[float, float, float]:
    """The middle of a closed mesh's volume (3,) [m]; its corners' middle where it has none."""
    if not len(mesh.triangles):
        return (float("nan"),) * 3
    about: Floats = mesh.vertices.mean(axis=0)
    a, b, c = (mesh.vertices - about)[mesh.triangles.T]
    weight = np.einsum("ij,ij->i", a, np.cross(b, c))
    total = float(weight.sum())
    if total <= 0.0:
        return (float(about[0]), float(about[1]), float(about[2]))
    middle = about + (weight[:, None] * (a + b + c)).sum(axis=0) / (4.0 * total)
    return (float(middle[0]), float(middle[1]), float(middle[2]))
