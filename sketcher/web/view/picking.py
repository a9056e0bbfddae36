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

TRIANGLES_TRIED = 6
"""Of a surface, for a place where it is seen: on each so many points as `SPREAD` has."""
SPREAD = np.array([[0.34, 0.33, 0.33], [0.8, 0.1, 0.1], [0.1, 0.8, 0.1], [0.1, 0.1, 0.8]])
"""Shares of a triangle's corners."""
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


def seen_at(
    shapes: Shapes, camera: Camera, size: tuple[int, int], key: str, middle: Floats, planes: Iterable[Plane] = ()
) -> Floats | None:
    """A point (3,) [m] at which a surface is seen, by its key: the middle if it is, else the nearest to that of some on it.

    None where all of those are behind another surface, or out of the picture.
    """
    kept = tuple(planes)
    spots = np.concatenate([middle[None], _spots_on(shapes.surfaces[key])])
    places = camera.project(spots, size)[:, :2]
    away = np.hypot(*(places - places[0]).T)
    for number in np.argsort(away, kind="stable").tolist():
        x, y = places[number].tolist()
        hit = surface_at(shapes, camera, size, (x, y), kept) if 0 < x < size[0] and 0 < y < size[1] else None
        if hit is not None and hit[0] == key:
            return np.asarray(spots[number] if number == 0 else hit[1].point)
    return None


def surface_at(
    shapes: Shapes, camera: Camera, size: tuple[int, int], at: tuple[float, float], planes: Iterable[Plane] = ()
) -> tuple[str, Hit] | None:
    """The key of the nearest surface with an owner under a pixel, and where."""
    kept = tuple(planes)
    hits = [(key, hit) for key, surface in shapes.surfaces.items() if (hit := _on_surface(surface, camera, size, at, kept, ()))]
    return max(hits, key=lambda hit: hit[1].nearness, default=None)


def _spots_on(surface: Surface) -> Floats:
    """Points (k, 3) [m] spread over the largest triangles of a surface."""
    corners = surface.points[surface.triangles]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    largest = corners[np.argsort(-area)[:TRIANGLES_TRIED]]
    return np.asarray(np.einsum("sk,nkj->nsj", SPREAD, largest).reshape(-1, 3))


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
    return _nearest(points, nearness, owners[hit], planes)


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
    return _nearest(points, feet[near, 2], np.full(len(near), strokes.owner), planes)


def _nearest(points: Floats, nearness: Floats, owners: Ints, planes: tuple[Plane, ...]) -> Hit | None:
    keep = np.ones(len(points), dtype=bool)
    for plane in planes:
        keep &= plane.over(points) >= 0
    if not keep.any():
        return None
    best = int(np.argmax(np.where(keep, nearness, -np.inf)))
    x, y, z = points[best]
    return Hit(owner=int(owners[best]), point=(float(x), float(y), float(z)), nearness=float(nearness[best]))
