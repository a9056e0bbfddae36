"""Where what a cut took out of a space touches what is left of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sketcher.analysis.spaces.boolean_cuts import Parts
from sketcher.analysis.spaces.leaks.edge_extensions import Strip
from sketcher.geometry.flat.regions import flat_regions
from sketcher.geometry.mesh import Floats, Ints
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.section import Frame, frame_on
from sketcher.geometry.tolerances import IN_PLANE, NO_CONTACT
from sketcher.geometry.vectors import cross


@dataclass(frozen=True, eq=False)
class Contact:
    """A flat region on which a piece taken out touches a space. out: (3,) unit normal, from the piece into the space."""

    piece: int
    space: int
    out: Floats
    plane: Plane
    frame: Frame
    region: shapely.Geometry

    def seen_in(self, frame: Frame) -> shapely.Geometry:
        """The region square onto another plane, in that plane's coordinates.

        Sound again where parts a few nanometres wide came to lie across others by rounding.
        """
        seen = shapely.transform(self.region, lambda flat: frame.flat(self.frame.space(flat)))
        return seen if shapely.is_valid(seen) else shapely.make_valid(seen, method="structure", keep_collapsed=False)


def contacts(taken: Parts, left: Parts, strips: Sequence[Strip]) -> list[Contact]:
    """Every flat region on which pieces taken out, the strips' common part with a space, touch the parts left of it.

    Told by planes, not by which strip a triangle came from: strips of two panels in one plane share their faces.
    """
    planes, at = _planes(strips)
    normals = np.array([plane.normal for plane in planes])
    regions: list[Contact] = []
    inner, outer = _on_planes(taken, at, normals), _on_planes(left, at, normals)
    for plane in sorted({plane for plane, _, _ in inner} & {plane for plane, _, _ in outer}):
        frame = frame_on(planes[plane])
        pieces, spaces = _regions(taken, inner, plane, frame), _regions(left, outer, plane, frame)
        for (piece, way_out), region in pieces.items():
            for (space, way_in), other in spaces.items():
                if way_out == way_in:
                    continue
                shared = shapely.intersection(region, other)
                if shared.area > NO_CONTACT:
                    regions.append(Contact(piece, space, normals[plane] * way_out, planes[plane], frame, shared))
    return regions


def _planes(strips: Sequence[Strip]) -> tuple[list[Plane], dict[tuple[int, int], int]]:
    """The planes of all faces of strips, each once, and by (id, face) which of them it is."""
    planes: list[Plane] = []
    at: dict[tuple[int, int], int] = {}
    for strip in strips:
        for face, own in enumerate(strip.planes):
            same = next((k for k, other in enumerate(planes) if one_plane(own, other)), len(planes))
            planes += [own] if same == len(planes) else []
            at[strip.origin, face] = same
    return planes, at


def one_plane(plane: Plane, other: Plane) -> bool:
    """Whether two planes, whichever way they look, are one."""
    alike = 1.0 if plane.normal @ other.normal > 0 else -1.0
    apart = float(np.abs(plane.normal - alike * other.normal).max())
    return apart <= IN_PLANE and abs(plane.distance - alike * other.distance) <= IN_PLANE


def _on_planes(parts: Parts, at: dict[tuple[int, int], int], normals: Floats) -> dict[tuple[int, int, int], Ints]:
    """The triangles that lie on each plane, by plane, part and whether (1 or -1) they look along its normal."""
    chosen = np.flatnonzero(parts.plug)
    plane = np.array([at[key] for key in zip(parts.origin[chosen].tolist(), parts.face[chosen].tolist(), strict=True)], dtype=int)
    a, b, c = parts.vertices[parts.triangles[chosen].T]
    along = np.einsum("ij,ij->i", cross(b - a, c - a), normals[plane] if len(plane) else np.empty((0, 3)))
    by_plane: dict[tuple[int, int, int], list[int]] = {}
    for triangle, k, part, sign in zip(
        chosen.tolist(), plane.tolist(), parts.part[chosen].tolist(), np.sign(along).tolist(), strict=True
    ):
        if sign:
            by_plane.setdefault((k, part, int(sign)), []).append(triangle)
    return {key: np.array(triangles) for key, triangles in by_plane.items()}


def _regions(
    parts: Parts, on: dict[tuple[int, int, int], Ints], plane: int, frame: Frame
) -> dict[tuple[int, int], shapely.Geometry]:
    """The outlines of the triangles on a plane, by part and the way they look."""
    found: dict[tuple[int, int], shapely.Geometry] = {}
    for (k, part, sign), triangles in on.items():
        if k == plane:
            used, index = np.unique(parts.triangles[triangles], return_inverse=True)
            group = np.zeros(len(triangles), dtype=np.int64)
            found[part, sign] = flat_regions(frame.flat(parts.vertices[used]), index.reshape(-1, 3), group)[0]
    return found
