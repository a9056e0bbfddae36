"""A tapered outline that lies in a flat one: where it stands, and how clear it is of edges and of another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from sketcher.geometry.mesh import Floats, GeometryError


@dataclass(frozen=True, slots=True)
class Taper:
    """A figure as wide as `head` at its head end, straight down to `foot` at the other [m]; its length is what is sought."""

    head: float
    foot: float

    def __post_init__(self) -> None:
        if not 0.0 < self.foot <= self.head < np.inf:
            raise GeometryError("a tapered figure must be wider than 0 at its foot and not narrower at its head")


@dataclass(frozen=True, slots=True)
class Lying:
    """A figure in place: its head end's middle at (x, y) [m], its feet towards `angle` [rad] from the first axis."""

    x: float
    y: float
    angle: float
    length: float
    taper: Taper

    @property
    def corners(self) -> Floats:
        """(4, 2), anticlockwise from the head's left corner as seen by one who lies on the back [m]."""
        pose = np.array([[self.x, self.y, self.angle, self.length]])
        found: Floats = taper_corners(pose, self.taper)[0]
        return found

    @property
    def polygon(self) -> Polygon:
        return Polygon(self.corners)


@dataclass(frozen=True, eq=False)
class OutlineEdges:
    """The edges of an outline, holes included, the inside on their left. start, end: (e, 2) [m]; normal: (e, 2) inwards."""

    start: Floats
    end: Floats
    normal: Floats


def outline_edges(outline: Polygon) -> OutlineEdges:
    """The edges of a polygon with holes; edges without length are left out. Raises GeometryError for an empty outline."""
    if outline.is_empty or outline.area <= 0.0:
        raise GeometryError("an outline without area has no edges")
    turned = orient(outline)
    rings = [np.asarray(ring.coords)[:, :2] for ring in (turned.exterior, *turned.interiors)]
    start, end = np.concatenate([r[:-1] for r in rings]), np.concatenate([r[1:] for r in rings])
    along = end - start
    length = np.hypot(along[:, 0], along[:, 1])
    kept = length > 1e-12
    unit = along[kept] / length[kept, None]
    return OutlineEdges(start[kept], end[kept], np.column_stack([-unit[:, 1], unit[:, 0]]))


def taper_corners(poses: Floats, taper: Taper) -> Floats:
    """Corners (k, 4, 2) [m] of a figure at poses (k, 4): x, y, angle, length."""
    c, s, length = np.cos(poses[:, 2]), np.sin(poses[:, 2]), poses[:, 3]
    u = np.stack([0 * length, 0 * length, length, length], axis=1)
    v = np.array([taper.head, -taper.head, -taper.foot, taper.foot]) / 2
    x = poses[:, :1] + u * c[:, None] - v * s[:, None]
    y = poses[:, 1:2] + u * s[:, None] + v * c[:, None]
    return np.stack([x, y], axis=2)


def overlap_of_pairs(first: Floats, second: Floats, taper: Taper) -> Floats:
    """By how much two figures at poses (k, 4) each overlap (k,) [m]: negative clearance as positive depth, else 0."""
    a, b = taper_corners(first, taper), taper_corners(second, taper)
    apart = np.concatenate([_apart(a, b), _apart(b, a)], axis=1)
    return np.maximum(-apart.min(axis=2).max(axis=1), 0.0)  # type: ignore[no-any-return]


def _apart(a: Floats, b: Floats) -> Floats:
    """(k, 4, 4) how far each corner of b lies beyond each side of a [m]."""
    side = np.roll(a, -1, axis=1) - a
    normal = np.stack([side[..., 1], -side[..., 0]], axis=2) / np.hypot(side[..., 0], side[..., 1])[..., None]
    return np.einsum("kij,klj->kil", normal, b) - np.einsum("kij,kij->ki", normal, a)[..., None]  # type: ignore[no-any-return]
