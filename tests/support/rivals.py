"""Other machines for the same answers: compartments cut with trimesh's capped slice planes, flooding by scipy's root finder."""

from __future__ import annotations

import numpy as np
import trimesh
from manifold3d import Manifold, Mesh64
from places import HULLS
from scipy.optimize import root

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.loading.weights import Loading
from sketcher.analysis.results import Layout, PanelShape, WaterPlane
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.model.files.hull_file import read_hull
from sketcher.model.scene import Bulkhead, Lid, Partition, Scene

TIED_LIDS = ("lid 0", "lid 1")


def twelve_compartments() -> Scene:
    """Three bulkheads, a lid in each of the four spaces and a web under each lid."""
    hull = read_hull(HULLS / "marram-29.yaml")
    bulkheads = tuple(Bulkhead(name=f"bulkhead {k}", at=at, thickness=0.018) for k, at in enumerate((2.2, 4.0, 6.0)))
    ends = ("stem", "bulkhead 0", "bulkhead 1", "bulkhead 2", "transom")
    heights = (0.66, 0.60, 0.55, 0.66)
    lids = tuple(Lid(name=f"lid {k}", height=heights[k], start=ends[k], end=ends[k + 1], thickness=0.012) for k in range(4))
    webs = tuple(
        Partition(name=f"web {k}", off_centre=(0.05, 0.05), start=ends[k], end=ends[k + 1], thickness=0.009, top=f"lid {k}")
        for k in range(4)
    )
    return Scene(name="twelve", units="mm", hull=hull, hull_path="", bulkheads=bulkheads, lids=lids, partitions=webs)


def _slab(solid: trimesh.Trimesh, shape: PanelShape) -> tuple[trimesh.Trimesh, trimesh.Trimesh]:
    """What lies before a panel's front face and behind its back face."""
    sides = []
    for _, plane in shape.faces[:2]:
        normal = np.array(plane.normal)
        sides.append(trimesh.intersections.slice_mesh_plane(solid, normal, normal * plane.distance, cap=True))
    return sides[0], sides[1]


def cut_by_slices(form: HullForm, layout: Layout) -> list[float]:
    """Volumes [m3] of the twelve compartments, largest last: the hull sliced by bulkheads, each part by its lid, then its web."""
    shapes = {shape.name: shape for shape in layout.panels}
    rest = trimesh.Trimesh(form.inside.vertices, form.inside.triangles, process=False)
    spaces = []
    for k in range(3):
        ahead, rest = _slab(rest, shapes[f"bulkhead {k}"])
        spaces.append(ahead)
    spaces.append(rest)
    found = []
    for k, space in enumerate(spaces):
        above, below = _slab(space, shapes[f"lid {k}"])
        port, starboard = _slab(below, shapes[f"web {k}"])
        found += [float(above.volume), float(port.volume), float(starboard.volume)]
    return sorted(found)


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
    """(3,) plumb height amidships [m] and the two slopes of the water with these spaces flooded."""
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
