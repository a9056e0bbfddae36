"""A layout of twelve compartments, and the same compartments cut with trimesh's capped slice planes."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import trimesh

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import Layout, PanelShape
from sketcher.model.files.hull_file import read_hull
from sketcher.model.scene import Bulkhead, Lid, Partition, Scene

ROOT = Path(__file__).parents[2]
TIED_LIDS = ("lid 0", "lid 1")


def twelve_compartments() -> Scene:
    """Three bulkheads, a lid in each of the four spaces and a web under each lid."""
    hull = read_hull(ROOT / "hulls" / "marram-29.yaml")
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
