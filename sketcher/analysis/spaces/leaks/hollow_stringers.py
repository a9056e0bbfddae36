"""Hollow stringers as flow paths: an open core joins every space that it runs through."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from sketcher.analysis.hull.form import SKIN, HullForm
from sketcher.analysis.results import Compartment, FlowPath
from sketcher.analysis.spaces.leaks.flow_paths import flow_path
from sketcher.analysis.spaces.panel_planes import Faces, faces_by_name
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import crossed_at, met
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.rays import home_of
from sketcher.model.scene import Scene, Stringer

_STEPS = 60
"""Places along a stringer at which the space it lies in is looked up."""


def hollow_stringers(scene: Scene, form: HullForm, spaces: Sequence[Compartment]) -> list[FlowPath]:
    """A conduit between every two spaces that follow each other along an open hollow stringer."""
    paths: list[FlowPath] = []
    hollow = [stringer for stringer in scene.stringers if stringer.hollow == "open"]
    faces = faces_by_name(scene, form) if hollow else {}
    for stringer in hollow:
        for side in {"port": (-1,), "starboard": (1,), "both": (-1, 1)}[stringer.side]:
            paths += _along(faces, form, spaces, stringer, side)
    return paths


def _along(
    faces: Mapping[str, Faces], form: HullForm, spaces: Sequence[Compartment], stringer: Stringer, side: int
) -> list[FlowPath]:
    meshes = [space.mesh for space in spaces]
    before: tuple[str, Floats] | None = None
    paths: dict[tuple[str, str], FlowPath] = {}
    for point in core_points(faces, form, stringer, side):
        home = home_of(point, meshes)
        if home < 0:
            continue
        name = spaces[home].name
        if before is not None and before[0] != name:
            between = before[0], name
            name_of = stringer.name if stringer.side != "both" else f"{stringer.name}, {'port' if side < 0 else 'starboard'}"
            paths.setdefault(
                between,
                flow_path(name_of, "conduit", between, None, stringer.width * stringer.depth, np.array([before[1], point])),
            )
        before = name, point
    return list(paths.values())


def core_points(faces: Mapping[str, Faces], form: HullForm, stringer: Stringer, side: int) -> list[Floats]:
    """Points (3,) in the middle of the stringer from forward to aft, where it lies within the hull. faces: of each panel."""
    low, high = form.inside.bounds
    if stringer.under not in faces:
        return []
    under = faces[stringer.under].get(side, faces[stringer.under].get(0, next(iter(faces[stringer.under].values()))))[1]
    ends: list[float] = []
    for limit, face, edge in ((stringer.start, 1, low[0]), (stringer.end, 0, high[0])):
        if not isinstance(limit, str):
            ends.append(limit)
        elif limit in faces:
            plane = faces[limit][0][face]
            ends.append(plane.distance / plane.normal[0])
        else:
            ends.append(float(edge))
    x = np.convolve(np.linspace(ends[0], ends[1], _STEPS + 1), [0.5, 0.5], mode="valid")
    heights = (under.distance - under.normal[0] * x) / under.normal[2] - stringer.depth / 2
    breadths = _breadths(form, under, stringer.depth / 2, side, x)
    points = np.column_stack([x, side * (breadths - stringer.width / 2), heights])
    return list(points[breadths > stringer.width])


def _breadths(form: HullForm, under: Plane, below: float, side: int, x: Floats) -> Floats:
    """How far out (n,) [m] the skin of a side is at each x, so far plumb below a plane; 0 where the skin is not met there."""
    first, last = _skin_line(form, under, below)
    length = last[:, 0] - first[:, 0]
    share = (x[:, None] - first[:, 0]) / np.where(length > 0.0, length, 1.0)
    reach = side * (first[:, 1] + share * (last[:, 1] - first[:, 1]))
    out: Floats = np.where((length > 0.0) & (share >= 0.0) & (share <= 1.0), reach, 0.0).max(axis=1, initial=0.0)
    return out


@kept_with_owner(16)
def _skin_line(form: HullForm, under: Plane, below: float) -> tuple[Floats, Floats]:
    """The stretches of the skin's line so far plumb below a plane: their forward and after ends, (n, 3) each."""
    skin = form.inside.triangles[form.inside.labels == SKIN]
    corners = form.inside.vertices
    heights = corners[:, 2] - (under.distance - under.normal[0] * corners[:, 0]) / under.normal[2] + below
    cut = crossed_at(heights, skin)
    lone, second, third = cut.vertices(skin)
    # Each triangle met leaves a stretch: from one edge that ends at its lone corner to the other.
    one, other = met(corners, heights, lone, second), met(corners, heights, lone, third)
    ahead = one[:, :1] <= other[:, :1]
    return np.where(ahead, one, other), np.where(ahead, other, one)
