"""Parts of card as solids of its thickness in the boat, and by how much two of them overlap."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from manifold3d import CrossSection, FillRule, Manifold

from sketcher.analysis.cut.card.parts import CardPart, CurvedSheet, GlueFlap
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.solid.boolean import reserve_ids, to_manifold
from sketcher.geometry.solid.section import Frame

_NOTHING = 1e-15
"""[m3] What rounding leaves of two solids that touch."""


def part_solid(part: CardPart, thickness: float) -> Manifold:
    """A part in its place, without its flaps."""
    if part.curved is not None:
        return _sheet_solid(part.curved, thickness)
    return slab(part.outline, part.frame, -thickness / 2, thickness / 2)


def flap_solid(flap: GlueFlap) -> Manifold:
    """A folded flap in its place."""
    return Manifold.hull_points(np.ascontiguousarray(flap.solid))


def slab(area: shapely.Geometry, frame: Frame, low: float, high: float) -> Manifold:
    """An area in a frame between two heights [m] over it, along its normal."""
    rings = [np.asarray(ring.coords)[:-1] for part in polygons(area) for ring in (part.exterior, *part.interiors)]
    if not rings:
        return Manifold()
    normal = frame.normal
    foot = np.array(frame.origin) + normal * low
    turn = np.column_stack([frame.u, frame.v, normal, foot])
    return Manifold.extrude(CrossSection(rings, FillRule.EvenOdd), high - low).transform(turn)


def _sheet_solid(sheet: CurvedSheet, thickness: float) -> Manifold:
    """A plate of the skin between its two faces."""
    columns, rows = sheet.middle.shape[:2]
    faces = [(sheet.middle + sheet.normals * side * thickness / 2).reshape(-1, 3) for side in (-1.0, 1.0)]
    number = np.arange(columns * rows).reshape(columns, rows)
    a, b, c, d = (each.ravel() for each in (number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]))
    inner = np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])
    rim = np.concatenate([number[:-1, 0], number[-1, :-1], number[:0:-1, -1], number[0, :0:-1]])
    following, over = np.roll(rim, -1), columns * rows
    sides = np.concatenate(
        [np.stack([rim, rim + over, following + over], axis=1), np.stack([rim, following + over, following], axis=1)]
    )
    triangles = np.concatenate([inner, inner[:, ::-1] + over, sides])
    mesh = TriMesh(np.concatenate(faces), triangles, np.zeros(len(triangles), dtype=np.int64))
    if mesh.volume < 0.0:
        mesh = TriMesh(mesh.vertices, triangles[:, ::-1], mesh.labels)
    return to_manifold(mesh, reserve_ids(1), what="a plate of card")


def overlap_depth(one: Manifold, other: Manifold) -> float:
    """How deep two solids go into each other [m]: for each place where they do, how thin that is at most; 0 where they do not.

    A sliver is at most four times its volume over its surface thick, and no thicker than it is long along any line.
    """
    if not boxes_meet(one, other):
        return 0.0
    common = one ^ other
    if common.volume() <= _NOTHING:
        return 0.0
    return max((_thinnest(piece) for piece in common.decompose()), default=0.0)


def _thinnest(piece: Manifold) -> float:
    volume, surface = piece.volume(), piece.surface_area()
    if volume <= _NOTHING or surface <= 0.0:
        return 0.0
    corners = np.asarray(piece.to_mesh64().vert_properties)[:, :3]
    corners = corners - corners.mean(axis=0)
    axes = np.linalg.svd(corners, full_matrices=False)[2]
    return float(min(np.ptp(corners @ axes.T, axis=0).min(), 4.0 * volume / surface))


def boxes_meet(one: Manifold, other: Manifold) -> bool:
    """Whether the boxes about two solids meet."""
    a, b = (np.array(solid.bounding_box()) for solid in (one, other))
    return bool((a[:3] <= b[3:]).all() and (b[:3] <= a[3:]).all())


def footprint(solids: Sequence[Manifold], frame: Frame, height: float) -> shapely.Geometry:
    """What solids take of the plane at a height [m] over a frame."""
    axes = np.array([frame.u, frame.v, frame.normal])
    foot = np.array(frame.origin) + frame.normal * height
    back = np.column_stack([axes, -axes @ foot])
    found = []
    for solid in solids:
        rings = [np.asarray(ring) for ring in solid.transform(back).slice(0.0).to_polygons()]
        found += [shapely.Polygon(ring) for ring in rings if len(ring) > 2 and _turns_left(ring)]
    return shapely.union_all(found)


def _turns_left(ring: Floats) -> bool:
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) > 0.0
