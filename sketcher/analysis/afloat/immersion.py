"""How far each compartment is immersed: above the water, below it, or crossed by it."""

from __future__ import annotations

from collections.abc import Sequence

from sketcher.analysis.results import Compartment, Immersion, WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.geometry.tolerances import IN_PLANE


def immersion(compartments: Sequence[Compartment], water: WaterPlane | None) -> tuple[Immersion | None, ...]:
    """For each compartment the volume below the water [m3] and where it lies, trim and heel included.

    A face lying in the water's plane counts as just above it: a space whose lid is at the water is below, one whose floor is
    there is above. None for each where no waterline is stated. Of a space that runs out of an open hull end only the measured
    part is told.
    """
    if water is None:
        return (None,) * len(compartments)
    return tuple(_one(space.mesh, space.volume, water.plane) for space in compartments)


@kept_with_owner(4)
def _one(mesh: TriMesh, volume: float, plane: Plane) -> Immersion:
    heights = plane.over(mesh.vertices)
    if heights.max() <= IN_PLANE:
        return Immersion(below=volume, position="below")
    if heights.min() >= -IN_PLANE:
        return Immersion(below=0.0, position="above")
    return Immersion(below=volume_under(mesh, plane), position="crosses")
