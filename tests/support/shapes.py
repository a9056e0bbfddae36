"""Closed meshes of known shape for checks against closed forms: x aft, y to starboard, z up [m]."""

import numpy as np
from manifold3d import Manifold

from sketcher.geometry.mesh import Floats, TriMesh


def tube(rings: Floats, label: int = 0) -> TriMesh:
    """Closed mesh through rings (n, k, 3) of equally many points, anticlockwise seen from aft; ends closed by fans."""
    n, k, _ = rings.shape
    index = np.arange(n * k).reshape(n, k)
    here, ahead = index[:-1], index[1:]
    a, b = here, np.roll(here, -1, axis=1)
    c, d = np.roll(ahead, -1, axis=1), ahead
    sides = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    fan = np.stack([np.zeros(k - 2, dtype=np.int64), np.arange(1, k - 1), np.arange(2, k)], -1)
    triangles = np.concatenate([sides, index[0][fan[:, ::-1]], index[-1][fan]]).astype(np.int64)
    return TriMesh(rings.reshape(-1, 3), triangles, np.full(len(triangles), label, dtype=np.int64))


def prism(section: Floats, start: float, end: float) -> TriMesh:
    """A convex section (k, 2) of y, z, anticlockwise with y to the right and z up, carried from `start` to `end`."""
    rings = np.stack([np.column_stack([np.full(len(section), x), section]) for x in (start, end)])
    return tube(rings)


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> TriMesh:
    """A box between two corners."""
    (y0, y1), (z0, z1) = (low[1], high[1]), (low[2], high[2])
    return prism(np.array([[y0, z0], [y1, z0], [y1, z1], [y0, z1]]), low[0], high[0])


def wedge(length: float, breadth: float, depth: float) -> TriMesh:
    """A V prism, apex down on the base line, `breadth` wide at its `depth`."""
    return prism(np.array([[0.0, 0.0], [breadth / 2, depth], [-breadth / 2, depth]]), 0.0, length)


def wigley(length: float, breadth: float, draft: float, columns: int = 160, rows: int = 80) -> TriMesh:
    """The parabolic hull from its keel at z = 0 up to the waterplane at z = draft; midship at x = 0."""
    x = -length / 2 * np.cos(np.linspace(0, np.pi, columns + 1))
    z = draft * (1 - np.cos(np.linspace(0, np.pi / 2, rows + 1)))
    y = breadth / 2 * (1 - (2 * x[:, None] / length) ** 2) * (1 - ((draft - z[None, :]) / draft) ** 2)
    grid = np.stack(np.broadcast_arrays(x[:, None], y, z[None, :]), axis=-1)
    port = grid[:, :0:-1] * np.array([1.0, -1.0, 1.0])
    return tube(np.concatenate([port, grid], axis=1))


def ellipsoid(a: float, b: float, c: float, columns: int = 160, rows: int = 160) -> TriMesh:
    """A whole ellipsoid about the origin with semi-axes a, b, c."""
    along = np.linspace(0, np.pi, columns + 1)
    round_about = np.linspace(0, 2 * np.pi, rows, endpoint=False)
    x = np.broadcast_to(-a * np.cos(along)[:, None], (columns + 1, rows))
    y = b * np.sin(along)[:, None] * np.cos(round_about)
    z = c * np.sin(along)[:, None] * np.sin(round_about)
    return tube(np.stack([x, y, z], axis=-1))


def cylinder(length: float, radius: float, facets: int = 720) -> TriMesh:
    """A round log lying along x, its axis on the base line."""
    angle = np.linspace(0, 2 * np.pi, facets, endpoint=False)
    return prism(radius * np.column_stack([np.cos(angle), np.sin(angle)]), 0.0, length)


def upright(trim: float = 0.0, heel: float = 0.0) -> Floats:
    """Unit normal out of the water for a trim by the bow and a heel to starboard [deg]."""
    raw = np.array([np.tan(np.radians(trim)), -np.tan(np.radians(heel)), 1.0])
    normal: Floats = raw / np.linalg.norm(raw)
    return normal


def mesh_of(solid: Manifold) -> TriMesh:
    """A solid of the boolean kernel as a closed mesh."""
    raw = solid.to_mesh64()
    triangles = np.asarray(raw.tri_verts, dtype=np.int64).reshape(-1, 3)
    return TriMesh(np.array(raw.vert_properties)[:, :3], triangles, np.zeros(len(triangles), dtype=np.int64))


def is_convex(mesh: TriMesh) -> bool:
    """Whether no vertex of a closed mesh stands out of any of its faces by more than rounding."""
    a, b, c = mesh.vertices[mesh.triangles.T]
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    unit = normal[size > 1e-18] / size[size > 1e-18, None]
    return bool((mesh.vertices @ unit.T <= np.einsum("ij,ij->i", unit, a[size > 1e-18]) + 1e-9).all())
