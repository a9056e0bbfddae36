"""The buoyancy of a boat: the outside of her hull or hulls, and her appendages, less the spaces open to the sea."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import WaterPlane
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import ClipBody, ClippedBody, clip_body, under_together
from sketcher.model.hull import Hull

Lost = Sequence[tuple[ClipBody, float]]
"""Spaces open to the sea, each with its permeability: the share of it that water can fill."""


@dataclass(frozen=True, eq=False, slots=True)
class Carried:
    """The water displaced under a plane. cut: hulls less what is lost; volume [m3] and moment (3,) [m4] with appendages."""

    cut: ClippedBody
    volume: float
    moment: Floats

    @property
    def centre(self) -> Floats:
        """(3,) centre of buoyancy [m]."""
        centre: Floats = self.moment / self.volume
        return centre

    @property
    def metacentric_radii(self) -> tuple[float, float]:
        """Transverse and longitudinal metacentre over the centre of buoyancy [m], about axes in the water's surface."""
        along, across, _ = self.cut.along(water_axes(self.cut.plane.normal)).second
        return across / self.volume, along / self.volume


@dataclass(frozen=True, eq=False, slots=True)
class Buoyancy:
    """Hull bodies and appendages. fixed_volume [m3], fixed_moment (3,) [m4]: appendages, counted as wholly under water."""

    bodies: tuple[ClipBody, ...]
    fixed_volume: float
    fixed_moment: Floats

    @property
    def reserve(self) -> float:
        """Volume displaced when everything is under water [m3]."""
        return self.fixed_volume + sum(body.volume for body in self.bodies)

    def under(self, plane: Plane, lost: Lost = (), hulls: ClippedBody | None = None) -> Carried:
        """What is displaced under a plane; hulls: their cut by that plane, if it is known already."""
        parts = [(body, -share) for body, share in lost]
        if hulls is None:
            parts += [(body, 1.0) for body in self.bodies]
        cut = under_together(parts, plane)
        cut = cut if hulls is None else cut + hulls
        return Carried(cut, cut.volume + self.fixed_volume, cut.moment + self.fixed_moment)


def buoyancy_of(form: HullForm) -> Buoyancy:
    """The bodies that carry the boat of this form; a twin's port hull is the mirror of the starboard one."""
    bodies = [clip_body(form.outside)]
    if form.hull.twin_spacing is not None:
        bodies.append(clip_body(_port_hull(form.outside, form.hull.twin_spacing, form.hull.apart)))
    points = appendage_points(form.own)
    volumes = np.array([volume for volume, _ in points])
    places = np.array([at for _, at in points]).reshape(-1, 3)
    return Buoyancy(tuple(bodies), float(volumes.sum()), volumes @ places)


@kept_with_owner(8)
def carried_at(form: HullForm, water: WaterPlane) -> Carried:
    """What the boat displaces at a waterline; kept, since panels move oftener than hull and water."""
    return buoyancy_of(form).under(water.plane)


def appendage_points(hull: Hull) -> list[tuple[float, Floats]]:
    """Volume [m3] and centre (3,) [m] of every appendage, of both hulls where there are two."""
    points = [(each.volume, np.array(each.at, dtype=np.float64)) for each in hull.appendages]
    if hull.twin_spacing is not None:
        points += [(volume, np.array([x, -hull.twin_spacing - y, z])) for volume, (x, y, z) in points]
    return points


def water_axes(normal: Floats) -> Floats:
    """(3, 3) unit vectors: aft and to starboard in the water's surface, and its normal (3,), which points up out of it."""
    x, y, z = normal.tolist()
    flat = math.sqrt(y * y + z * z)
    return np.array([[flat, -x * y / flat, -x * z / flat], [0.0, z / flat, -y / flat], [x, y, z]])


@kept_with_owner(1)
def _port_hull(starboard: TriMesh, spacing: float, apart: bool) -> TriMesh:
    if apart:
        return TriMesh(
            starboard.vertices * [1.0, -1.0, 1.0] - [0.0, spacing, 0.0], starboard.triangles[:, ::-1], starboard.labels
        )
    return TriMesh(starboard.vertices - np.array([0.0, spacing, 0.0]), starboard.triangles, starboard.labels)
