"""The one plane of the whole program, and several planes as half spaces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.geometry.mesh import Floats


@dataclass(frozen=True, eq=False, slots=True)
class Plane:
    """The points p with normal . p = distance [m]. normal: (3,) a unit vector, out of what the plane bounds.

    Planes of the same numbers are equal, so that what was found about one can be kept.
    """

    normal: Floats
    distance: float

    @classmethod
    def of(cls, normal: Sequence[float], distance: float) -> Plane:
        """The same, its unit normal given as three numbers."""
        return cls(np.array(normal, dtype=np.float64), distance)

    @classmethod
    def through(cls, point: Sequence[float], normal: Sequence[float]) -> Plane:
        """The plane square to `normal`, of any length, through a point."""
        across = np.array(normal, dtype=np.float64)
        unit = across / np.linalg.norm(across)
        return cls(unit, float(unit @ np.array(point)))

    @classmethod
    def level(cls, height: float) -> Plane:
        """The level plane at a height [m], its normal upwards."""
        return cls.of((0.0, 0.0, 1.0), height)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Plane):
            return NotImplemented
        return self.distance == other.distance and bool((self.normal == other.normal).all())

    def __hash__(self) -> int:
        return hash((self.distance, *self.normal.tolist()))

    @property
    def flipped(self) -> Plane:
        """The same points, the normal the other way."""
        return Plane(-self.normal, -self.distance)

    def moved(self, by: float) -> Plane:
        """The plane so far [m] along its normal."""
        return Plane(self.normal, self.distance + by)

    def over(self, points: Floats) -> Floats:
        """Heights (...,) [m] of points (..., 3) over the plane, negative on its inner side."""
        heights: Floats = points @ self.normal - self.distance
        return heights

    def coordinate(self, axis: int, point: Sequence[float] | Floats) -> float:
        """Where the line along an axis (0, 1 or 2) through a point meets the plane: its coordinate there [m]."""
        across = float(self.normal[axis])
        return float(point[axis] - (self.normal @ np.array(point) - self.distance) / across)

    def heights_within(self, other: Plane, low: Floats, high: Floats) -> tuple[float, float]:
        """The least and greatest height [m] over this plane of `other`, nearly parallel, within a box of two corners (3,).

        Planes not quite parallel come nearer or further with every metre; so what counts is where they are looked at.
        """
        alike = 1.0 if self.normal @ other.normal > 0 else -1.0
        if (self.normal == alike * other.normal).all():
            height = alike * other.distance - self.distance
            return height, height
        corners = np.stack(np.meshgrid(*np.stack([low, high], axis=1)), axis=-1).reshape(-1, 3)
        heights = self.over(corners - other.over(corners)[:, None] * other.normal)
        return float(heights.min()), float(heights.max())


@dataclass(frozen=True, eq=False, slots=True)
class HalfSpaces:
    """The space on the inner side of each of several planes. normals: (k, 3) unit vectors; distances: (k,) [m]."""

    normals: Floats
    distances: Floats

    @classmethod
    def within(cls, planes: Sequence[Plane]) -> HalfSpaces:
        """The half spaces that planes, one or more, bound."""
        return cls(np.array([plane.normal for plane in planes]), np.array([plane.distance for plane in planes]))

    def over(self, points: Floats) -> Floats:
        """Heights (n, k) [m] of points (n, 3) over each plane."""
        heights: Floats = points @ self.normals.T - self.distances
        return heights
