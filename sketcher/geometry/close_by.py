"""What of a surface comes near a plane from beside it, where the surface turns a corner close to the plane."""

from __future__ import annotations

import numpy as np
import shapely

from sketcher.geometry.cut_edges import crossed
from sketcher.geometry.mesh import Floats, Ints, TriMesh
from sketcher.geometry.section import Frame
from sketcher.geometry.tolerances import RUNS_ON

_SPREAD = np.radians([-84.0, -75.0, -60.0, -45.0, -30.0, -15.0, 15.0, 30.0, 45.0, 60.0, 75.0, 84.0])
"""Where a ball about a point of the surface is cut: between these its rim falls short by 1 % of its radius at most."""

_AROUND = 10.0
"""[gaps] How far about a place where the surface turns it is looked at."""


def close_by(mesh: TriMesh, frame: Frame, starts: Floats, ends: Floats, normals: Floats, gap: float) -> shapely.Geometry | None:
    """The part of a plane that is nearer than a gap [m] to a surface, about places where the cut alone does not tell.

    starts, ends: (k, 2) of the cut; normals: (k, 3) of the surface there. None where the surface runs on straight through the
    plane for a gap either way: then the gap over the sine of the angle at which they meet says all.
    """
    height = (mesh.vertices - np.array(frame.origin)) @ frame.normal
    of_corners = height[mesh.triangles]
    near = mesh.triangles[(of_corners.min(axis=1) <= gap) & (of_corners.max(axis=1) >= -gap)]
    flat = frame.flat(mesh.vertices)
    middles, lean = (starts + ends) / 2, normals @ frame.normal
    in_plane = normals @ np.array([frame.u, frame.v]).T
    size = np.einsum("ij,ij->i", in_plane, in_plane)
    odd = np.zeros(len(middles), dtype=bool)
    for by in (-gap, gap):
        cut = _pieces(flat, height - by, near)
        # A plane through the cut with this normal is met by the plane beside it so far away.
        ahead = middles - in_plane * (by * lean / np.where(size > 0.0, size, np.inf))[:, None]
        if not len(cut):
            return None
        odd |= shapely.STRtree(cut).query_nearest(shapely.points(ahead), return_distance=True, all_matches=False)[1] > RUNS_ON
    if not odd.any():
        return None
    about = shapely.multipoints(middles[odd]).buffer(_AROUND * gap, quad_segs=4)
    found = []
    for turn in _SPREAD:
        cut = _pieces(flat, height - gap * np.sin(turn), near)
        kept = cut[shapely.intersects(cut, about)]
        found.append(shapely.union_all(shapely.buffer(kept, gap * np.cos(turn), quad_segs=6)))
    return shapely.union_all(found)


def _pieces(flat: Floats, height: Floats, triangles: Ints) -> Floats:
    """The pieces (k,) in which triangles meet the plane of height 0, as lines."""
    hit, lone, *others = crossed(height, triangles)
    a, ends = triangles[hit, lone], []
    for other in others:
        b = triangles[hit, other]
        share = (height[a] / (height[a] - height[b]))[:, None]
        ends.append(flat[a] + share * (flat[b] - flat[a]))
    lines: Floats = shapely.linestrings(np.stack(ends, axis=1))
    return lines
