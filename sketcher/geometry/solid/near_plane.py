"""The part of a surface near a plane, and what of it comes near from beside, where it turns a corner close to the plane."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.crossing import crossed_at, met
from sketcher.geometry.mesh import Floats, Ints, TriMesh, corners_that
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import RUNS_ON

_SPREAD = np.radians([-84.0, -75.0, -60.0, -45.0, -30.0, -15.0, 0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 84.0])
"""Where a ball about a point of the surface is cut: between these its rim falls short by 1 % of its radius at most."""

_AROUND = 10.0
_APART = 0.1
"""[gaps] How far about a place where the surface turns it is looked at, and how near such places are taken for one."""


def around_plane(mesh: TriMesh, frame: Frame, reach: float) -> TriMesh:
    """The triangles that come within a reach [m] of a plane, and all that share a corner with one of these.

    The cut there, its normals and what is within the reach of it are those of the whole mesh, found among far fewer.
    """
    height = (mesh.vertices - np.array(frame.origin)) @ frame.normal
    near = (corners_that(height <= reach, mesh.triangles) > 0) & (corners_that(height >= -reach, mesh.triangles) > 0)
    touched = np.zeros(len(mesh.vertices), dtype=bool)
    touched[mesh.triangles[near]] = True
    chosen = corners_that(touched, mesh.triangles) > 0
    triangles = mesh.triangles[chosen]
    touched[triangles] = True
    number = np.cumsum(touched) - 1
    return TriMesh(mesh.vertices[touched], number[triangles], mesh.labels[chosen])


def close_by(
    mesh: TriMesh, frame: Frame, area: shapely.Geometry, cut: tuple[Floats, Floats, Floats], gap: float
) -> shapely.Geometry | None:
    """The part of an area in a plane nearer than a gap [m] to a surface, about places where the cut alone does not tell.

    cut: starts (k, 2) and ends of its pieces, and the surface's normals (k, 3) there. None where the surface runs on straight
    through the plane for a gap either way: then the gap over the sine of the angle at which they meet says all.
    """
    starts, ends, normals = cut
    height = (mesh.vertices - np.array(frame.origin)) @ frame.normal
    low, high = (height <= gap)[mesh.triangles], (height >= -gap)[mesh.triangles]
    near = mesh.triangles[(low[:, 0] | low[:, 1] | low[:, 2]) & (high[:, 0] | high[:, 1] | high[:, 2])]
    flat = frame.flat(mesh.vertices)
    middles, lean = (starts + ends) / 2, normals @ frame.normal
    in_plane = normals @ np.array([frame.u, frame.v]).T
    size = np.einsum("ij,ij->i", in_plane, in_plane)
    odd = np.zeros(len(middles), dtype=bool)
    for by in (-gap, gap):
        _, beside = _pieces(flat, height - by, near)
        # A plane through the cut with this normal is met by the plane beside it so far away.
        ahead = middles - in_plane * (by * lean / np.where(size > 0.0, size, np.inf))[:, None]
        if not len(beside):
            return None
        odd |= shapely.STRtree(beside).query_nearest(shapely.points(ahead), return_distance=True, all_matches=False)[1] > RUNS_ON
    if not odd.any():
        return None
    _, apart = np.unique(np.round(middles[odd] / (_APART * gap)), axis=0, return_index=True)
    about = shapely.intersection(area, shapely.multipoints(middles[odd][apart]).buffer(_AROUND * gap, quad_segs=4))
    shapely.prepare(about)
    levels = [(*_pieces(flat, height - gap * np.sin(turn), near), float(gap * np.cos(turn))) for turn in _SPREAD]
    too_near = np.zeros(len(near), dtype=bool)
    for of, pieces, _ in levels:
        too_near[of[shapely.dwithin(pieces, about, gap)]] = True
    owner = np.concatenate([of[too_near[of]] for of, _, _ in levels])
    discs = np.concatenate([shapely.buffer(pieces[too_near[of]], reach, quad_segs=6) for of, pieces, reach in levels])
    order = np.argsort(owner, kind="stable")
    # What is near to a flat triangle is convex, in a plane too: its cuts at a few heights span it.
    spans = shapely.convex_hull(
        shapely.geometrycollections(discs[order], indices=np.unique(owner[order], return_inverse=True)[1])
    )
    return shapely.union_all(spans[shapely.intersects(spans, about)])


def _pieces(flat: Floats, height: Floats, triangles: Ints) -> tuple[Ints, Floats]:
    """Which triangles meet the plane of height 0, (k,), and the pieces in which they do, as lines (k,)."""
    cut = crossed_at(height, triangles)
    a, b, c = cut.vertices(triangles)
    ends = [met(flat, height, a, other) for other in cut.in_sense(b, c)]
    return cut.triangle, shapely.linestrings(np.stack(ends, axis=1))
