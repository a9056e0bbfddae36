"""Flooding by scipy's root finder driving capped cuts: the same cases, the same equations, another machine."""

from __future__ import annotations

import numpy as np
from manifold3d import Manifold, Mesh64
from scipy.optimize import root

from sketcher.analysis.loading.weights import Loading
from sketcher.analysis.results import Layout, WaterPlane
from sketcher.geometry.mesh import Floats, TriMesh


def solid(mesh: TriMesh) -> Manifold:
    """A closed mesh as a solid of the boolean kernel."""
    return Manifold(Mesh64(mesh.vertices, mesh.triangles.astype(np.uint64)))


def volume_and_moment(part: Manifold) -> tuple[float, Floats]:
    """Volume [m3] and first moment (3,) [m4] of a solid, from its triangles."""
    if part.is_empty():
        return 0.0, np.zeros(3)
    mesh = part.to_mesh64()
    a, b, c = np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts).astype(np.int64).T]
    sixth = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    return float(sixth.sum()), (sixth[:, None] * (a + b + c) / 4.0).sum(axis=0)


def by_scipy(
    layout: Layout, boat: Loading, water: WaterPlane, hull: Manifold, spaces: dict[str, Manifold], floods: tuple[str, ...]
) -> Floats:
    """(3,) plumb height amidships [m] and the two slopes of the water with these spaces flooded, by a root finder."""
    volume = boat.mass / layout.scene.water_density
    shares = {space.name: space.permeability for space in layout.compartments}
    middle = 0.5 * (water.x_forward + water.x_after)
    fixed = [(each.volume, np.array(each.at)) for each in layout.hull.hull.appendages]

    def unbalanced(unknown: Floats) -> Floats:
        level, along, across = unknown
        raw = np.array([-along, -across, 1.0])
        normal = raw / np.linalg.norm(raw)
        distance = float(normal @ [middle, 0.0, level])
        carried, moment = volume_and_moment(hull.trim_by_plane(-normal, -distance))
        for name in floods:
            lost, lost_moment = volume_and_moment(spaces[name].trim_by_plane(-normal, -distance))
            carried, moment = carried - shares[name] * lost, moment - shares[name] * lost_moment
        for each, at in fixed:
            carried, moment = carried + each, moment + each * at
        arm = volume * boat.centre - moment
        aft, abeam = np.array([1.0, 0.0, along]), np.array([0.0, 1.0, across])
        return np.array([carried - volume, arm @ aft, arm @ abeam])

    start = np.array([0.5 * (water.forward + water.after), (water.after - water.forward) / (2 * (water.x_after - middle)), 0.0])
    found = root(unbalanced, start, method="hybr", tol=1e-7)
    return np.asarray(found.x) if found.success else np.full(3, np.nan)
