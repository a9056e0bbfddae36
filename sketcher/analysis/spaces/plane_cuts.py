"""Panels that divide a space from wall to wall, taken out of it between their two faces alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Literal

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.panel_solids import BEYOND
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import snapped
from sketcher.geometry.mesh import Floats, TriMesh, bounds_of
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.boolean import TracedSurface, checked, solid_of, subtract, surface_of, united
from sketcher.geometry.solid.clip import volume_under
from sketcher.geometry.solid.half_space import FaceCut, beyond

Volumes = Literal["measured", "alike", "quick"]
"""Whether panels' volumes are measured, or not but what is left is the same to the last bit, or is found the quickest way."""
_NONE: Mapping[str, tuple[int, ...]] = MappingProxyType({})


def cutting_order(shapes: Sequence[tuple[PanelShape, int]]) -> tuple[tuple[PanelShape, int], ...]:
    """Panels, each with its id in the kernel, so that what a panel is tied to comes before it."""
    waiting = sorted(shapes, key=lambda item: item[0].rank)
    placed: list[tuple[PanelShape, int]] = []
    while waiting:
        names = {shape.name for shape, _ in waiting}
        ready = next((item for item in waiting if not names & set(item[0].depends_on)), waiting[0])
        waiting.remove(ready)
        placed.append(ready)
    return tuple(placed)


def without_panels(
    surface: TracedSurface, shapes: Sequence[tuple[PanelShape, int]], besides: Mapping[str, tuple[int, ...]] = _NONE
) -> list[TracedSurface] | None:
    """The rest of a surface without the panels, in the order given, each with its id in the kernel.

    besides: faces by panel that are no limits here. None where any of them ends within a space or is bent, so that its two
    faces alone do not tell what it takes out.
    """
    parts = [surface]
    for shape, origin in shapes:
        left: list[TracedSurface] = []
        for part in parts:
            rest = _without(part, shape, origin, besides.get(shape.name, ()))
            if rest is None:
                return None
            left += rest
        parts = left
    return parts


def taken_out(
    surface: TracedSurface, boards: Sequence[tuple[PanelShape, int, Manifold]], volumes: Volumes = "measured"
) -> tuple[list[TracedSurface], float]:
    """What a closed surface encloses less the boards, in pieces, and the volume [m3] of the boards inside, found by itself.

    boards: panels, each with its id in the kernel and as a solid there; only those that end within a space need the solid.
    volumes: whether the boards' volume is wanted; else it is 0.
    """
    low, high = (np.array([shape.mesh.bounds[k] for shape, _, _ in boards]).reshape(-1, 3) for k in (0, 1))
    pieces: list[TracedSurface] = []
    volume = 0.0
    uncut = [(surface, _soonest_apart([shape for shape, _, _ in boards]))]
    while uncut:
        part, ahead = uncut.pop()
        least, most = bounds_of(part.vertices)
        meet = set(np.flatnonzero(((low <= most) & (high >= least)).all(axis=1)).tolist())
        ahead = [k for k in ahead if k in meet]
        ending: list[int] = []
        for place, k in enumerate(ahead):
            shape, origin, _ = boards[k]
            rests = _without(part, shape, origin)
            if rests is None:
                ending.append(k)
            elif len(rests) != 1 or rests[0] is not part:
                volume += _between_faces(part, shape) if volumes == "measured" else 0.0
                uncut += [(rest, [*ending, *ahead[place + 1 :]]) for rest in rests]
                break
        else:
            solids = [boards[k][2] for k in ending]
            if solids and volumes == "measured":
                inside, rest = solid_of(part).split(united(solids))
                volume += float(inside.volume())
                part = surface_of(checked(rest, "what the panels leave of the hull"))
            elif solids and volumes == "alike":
                part = surface_of(checked(solid_of(part) - united(solids), "what the panels leave of the hull"))
            elif solids:
                part = surface_of(checked(subtract(solid_of(part), solids), "what the panels leave of the hull"))
            pieces.append(part)
    return pieces, volume


def _soonest_apart(shapes: Sequence[PanelShape]) -> list[int]:
    """An order of panels that soon leaves small pieces: bulkheads by halves, then the others before what is tied to them."""
    across = [k for k, shape in enumerate(shapes) if shape.kind == "bulkhead"]
    across.sort(key=lambda k: float(shapes[k].mesh.bounds[0][0]))
    halved: list[int] = []
    runs = [across]
    while runs:
        runs = [run for run in runs if run]
        halved += [run[len(run) // 2] for run in runs]
        runs = [part for run in runs for part in (run[: len(run) // 2], run[len(run) // 2 + 1 :])]
    return halved + [k for _, k in cutting_order([(shape, k) for k, shape in enumerate(shapes)]) if shapes[k].kind != "bulkhead"]


def _between_faces(surface: TracedSurface, shape: PanelShape) -> float:
    """The volume [m3] that a closed surface encloses between the planes of a panel's two faces."""
    front, back = shape.front, shape.back
    mesh = TriMesh(surface.vertices, surface.triangles, surface.origin)
    ahead, astern = (float(face.over(surface.vertices).max()) for face in (front, back))
    # Seen from the face beyond which less lies, fewer triangles are looked at.
    near, far = (front, back) if ahead > astern else (back, front)
    return volume_under(mesh, near) - volume_under(mesh, far.flipped)


def _without(surface: TracedSurface, shape: PanelShape, origin: int, besides: tuple[int, ...] = ()) -> list[TracedSurface] | None:
    faces = faces_through(surface, shape, origin, besides)
    if not faces:
        return None if faces is None else [surface]
    return [part for part in (_beyond(surface, *_known_by(face)) for face in faces) if len(part.triangles)]


def _known_by(face: FaceCut) -> tuple[Plane, int, int]:
    return face.plane, face.origin, face.number


@kept_with_owner(2)
def _beyond(surface: TracedSurface, plane: Plane, origin: int, number: int) -> TracedSurface:
    """Kept for the two faces of the panel that was taken out of a surface last: the next layout's is often the same."""
    return beyond(surface, FaceCut(plane, origin, number, snapped(plane.normal @ columns(surface.vertices) - plane.distance)))


def faces_through(
    surface: TracedSurface, shape: PanelShape, origin: int, besides: tuple[int, ...] = ()
) -> tuple[FaceCut, ...] | None:
    """The two faces along which a panel parts a surface from wall to wall; none where it lies beside it.

    origin: its id in the kernel; besides: faces that do not limit it here. None where it ends within the surface or is bent.
    """
    if len(shape.pieces) > 1:
        return None
    numbers = [number for number in shape.pieces[0] if shape.faces[number].name != BEYOND and number not in besides]
    front, back, *limits = numbers
    corners = columns(surface.vertices)
    over = {number: height_over(corners, shape, number) for number in numbers}
    if any(height.min() >= 0 for height in over.values()):
        return ()
    if any(over[number].max() >= 0 for number in limits):
        return None
    return tuple(FaceCut(shape.faces[number].plane, origin, number, over[number]) for number in (front, back))


def within_faces(surface: TracedSurface, shape: PanelShape, origin: int) -> TracedSurface | None:
    """The part of a closed surface within all faces of a panel; None where it is bent. origin: its id in the kernel."""
    if len(shape.pieces) > 1:
        return None
    for number in shape.pieces[0]:
        over = height_over(columns(surface.vertices), shape, number)
        if (over > 0.0).any():
            surface = beyond(surface, FaceCut(shape.faces[number].plane.flipped, origin, number, -over))
    return surface


def columns(points: Floats) -> Floats:
    """Points (n, 3) as (3, n), each row together in memory: several times quicker to measure over planes."""
    return np.ascontiguousarray(points.T)


def height_over(corners: Floats, shape: PanelShape, number: int) -> Floats:
    """Height (n,) [m] of points, given as (3, n), over a face of a panel by its number; those in its plane count as at 0."""
    plane = shape.faces[number].plane
    found: Floats = plane.normal @ corners - plane.distance
    return snapped(found)
