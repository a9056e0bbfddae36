"""What lies under the pointer: the nearest triangle that is drawn there, by plain arithmetic on the projected shapes.

It leaves out what the drawing leaves out (faces turned to the eye, what is cut away), which a library's picker would not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.outputs.scene3d.camera import Camera
from sketcher.outputs.scene3d.shapes import Shapes, Strokes, Surface

STROKE_REACH = 7.0
"""A line is hit within this many pixels: about the width of a fingertip's uncertainty with a mouse."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """owner: index into the shapes' parts; point (3,) [m] on the boat; nearness to the eye [m]."""

    owner: int
    point: tuple[float, float, float]
    nearness: float


def pick(
    shapes: Shapes,
    camera: Camera,
    size: tuple[int, int],
    at: tuple[float, float],
    planes: Iterable[Plane] = (),
    reach: float = STROKE_REACH,
    without: Sequence[int] = (),
) -> Hit | None:
    """The nearest drawn thing with an owner under a pixel; a stroke within reach [pixels] goes before a surface behind it.

    without: owners that do not count.
    """
    kept = tuple(planes)
    hits = [hit for surface in shapes.surfaces.values() if (hit := _on_surface(surface, camera, size, at, kept, without))]
    hits += [
        hit
        for strokes in shapes.strokes.values()
        if strokes.owner not in without and (hit := _on_strokes(strokes, camera, size, at, kept, reach))
    ]
    return max(hits, key=lambda hit: hit.nearness, default=None)


def _on_surface(
    surface: Surface,
    camera: Camera,
    size: tuple[int, int],
    at: tuple[float, float],
    planes: tuple[Plane, ...],
    without: Sequence[int],
) -> Hit | None:
    if (surface.owner_of < 0).all():
        return None
    owners = surface.owners
    seen = camera.project(surface.points, size)
    x, y = seen[:, 0] - at[0], seen[:, 1] - at[1]
    a, b, c = surface.triangles.T
    ab, bc, ca = x[a] * y[b] - x[b] * y[a], x[b] * y[c] - x[c] * y[b], x[c] * y[a] - x[a] * y[c]
    area = ab + bc + ca
    # Rows run down the picture, so a triangle that is anticlockwise to the eye has a negative area here.
    turned = {"front": area > 0, "back": area < 0, "none": area != 0}[surface.culling]
    inside = turned & (ab * area >= 0) & (bc * area >= 0) & (ca * area >= 0) & (owners >= 0)
    if without:
        inside &= ~np.isin(owners, without)
    hit = np.nonzero(inside)[0]
    if not len(hit):
        return None
    weights = np.stack([bc[hit], ca[hit], ab[hit]], axis=1) / area[hit, None]
    corners = surface.triangles[hit]
    points = np.einsum("ij,ijk->ik", weights, surface.points[corners])
    nearness = np.einsum("ij,ij->i", weights, seen[:, 2][corners])
    return _nearest(points, nearness, owners[hit], () if surface.whole else planes)


def _on_strokes(
    strokes: Strokes,
    camera: Camera,
    size: tuple[int, int],
    at: tuple[float, float],
    planes: tuple[Plane, ...],
    reach: float,
) -> Hit | None:
    if strokes.owner < 0 or not len(strokes.segments):
        return None
    seen = camera.project(strokes.points, size)
    start, end = seen[strokes.segments[:, 0]], seen[strokes.segments[:, 1]]
    along = end[:, :2] - start[:, :2]
    length = np.maximum(np.einsum("ij,ij->i", along, along), 1e-12)
    share = np.clip(np.einsum("ij,ij->i", np.array(at) - start[:, :2], along) / length, 0.0, 1.0)
    feet = start + share[:, None] * (end - start)
    near = np.nonzero(np.hypot(feet[:, 0] - at[0], feet[:, 1] - at[1]) <= reach)[0]
    if not len(near):
        return None
    first, second = strokes.points[strokes.segments[near, 0]], strokes.points[strokes.segments[near, 1]]
    points = first + share[near, None] * (second - first)
    return _nearest(points, feet[near, 2], np.full(len(near), strokes.owner), () if strokes.whole else planes)


def _nearest(points: Floats, nearness: Floats, owners: Ints, planes: tuple[Plane, ...]) -> Hit | None:
    keep = np.ones(len(points), dtype=bool)
    for plane in planes:
        keep &= plane.over(points) >= 0
    if not keep.any():
        return None
    best = int(np.argmax(np.where(keep, nearness, -np.inf)))
    x, y, z = points[best]
    return Hit(owner=int(owners[best]), point=(float(x), float(y), float(z)), nearness=float(nearness[best]))
