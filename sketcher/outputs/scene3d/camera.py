"""The camera, always a parallel projection, as on a drawing: a length in one direction has one scale everywhere.

Picture coordinates: pixels, origin at the top left, y down. Angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sketcher.geometry.caching import remembered
from sketcher.geometry.mesh import Floats
from sketcher.outputs.scene3d.objects import Appearance, CutAway, CutKind

ViewName = Literal["quarter", "profile", "plan", "ahead"]

VIEW_ANGLES: dict[ViewName, tuple[float, float]] = {
    "quarter": (48.0, 26.0),
    "profile": (90.0, 0.0),
    "plan": (90.0, 90.0),
    "ahead": (0.0, 0.0),
}
"""Azimuth and elevation: azimuth 0 looks aft from ahead of the stem, 90 looks to starboard from the port side."""

VIEW_WORDS: dict[ViewName, str] = {
    "quarter": "from the port bow",
    "profile": "from port",
    "plan": "from above, starboard at the top",
    "ahead": "from ahead, her starboard on the left",
}

LEAST_ASIDE = 0.2
"""A face on the centreline is seen at less than this share of its breadth: too narrow to look through."""

STEEPEST = 90.0
LEAST_HEIGHT, MOST_HEIGHT = 0.2, 80.0
"""Height of the picture in the boat [m]: from a hand's breadth to a yard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """centre [m]: the point in the middle of the picture; height [m]: how much of the boat the picture is high."""

    centre: tuple[float, float, float]
    azimuth: float
    elevation: float
    height: float

    def axes(self) -> tuple[Floats, Floats, Floats]:
        """Unit vectors to the right of the picture, up the picture, and towards the eye; each (3,)."""
        return _axes(self.azimuth, self.elevation)

    def project(self, points: Floats, size: tuple[int, int]) -> Floats:
        """Points (n, 3) [m] to (n, 3): pixels across, pixels down, and nearness to the eye [m]."""
        right, up, eye = self.axes()
        scale = size[1] / self.height
        relative = np.atleast_2d(points) - np.array(self.centre)
        across, upward = relative @ right, relative @ up
        return np.stack([size[0] / 2 + scale * across, size[1] / 2 - scale * upward, relative @ eye], axis=1)

    def metres_along(self, axis: Floats, moved: tuple[float, float], size: tuple[int, int]) -> float | None:
        """How far along a unit axis (3,) a pointer moved by (dx, dy) pixels has gone [m].

        None where the axis points so nearly at the eye that the hand could not be followed.
        """
        right, up, _ = self.axes()
        seen = np.array([axis @ right, -(axis @ up)])
        length = float(np.hypot(*seen))
        if length < LEAST_FORESHORTENING:
            return None
        return float(np.dot(moved, seen)) / length**2 * self.height / size[1]

    def orbited(self, across: float, upward: float) -> Camera:
        """Turned by degrees; the elevation stops at the poles."""
        elevation = float(np.clip(self.elevation + upward, -STEEPEST, STEEPEST))
        return replace(self, azimuth=(self.azimuth + across) % 360.0, elevation=elevation)

    def panned(self, moved: tuple[float, float], size: tuple[int, int]) -> Camera:
        """Moved so that what was under the pointer stays under it; (dx, dy) pixels."""
        right, up, _ = self.axes()
        shift = (-moved[0] * right + moved[1] * up) * self.height / size[1]
        x, y, z = np.array(self.centre) + shift
        return replace(self, centre=(float(x), float(y), float(z)))

    def zoomed(self, factor: float, at: tuple[float, float], size: tuple[int, int]) -> Camera:
        """Closer by a factor, the point under the pointer (pixels) staying where it is."""
        height = float(np.clip(self.height / factor, LEAST_HEIGHT, MOST_HEIGHT))
        kept = 1.0 - height / self.height
        offset = (-(at[0] - size[0] / 2) * kept, -(at[1] - size[1] / 2) * kept)
        return replace(self.panned(offset, size), height=height)


@remembered(8)
def _axes(azimuth: float, elevation: float) -> tuple[Floats, Floats, Floats]:
    a, e = np.radians(azimuth), np.radians(elevation)
    eye = np.array([-np.cos(a) * np.cos(e), -np.sin(a) * np.cos(e), np.sin(e)])
    right = np.array([np.sin(a), -np.cos(a), 0.0])
    return right, np.cross(eye, right), eye


LEAST_FORESHORTENING = 0.12
"""Below this share of its length an axis is seen end-on; a pixel would move a panel by ten times its size on the screen."""


def named_view(view: ViewName) -> Camera:
    """A named view of the boat's zero, 1 m high, to be moved to what it shows."""
    azimuth, elevation = VIEW_ANGLES[view]
    return Camera(centre=(0.0, 0.0, 0.0), azimuth=azimuth, elevation=elevation, height=1.0)


def seen_from(look: Appearance, camera: Camera) -> Appearance:
    """A look in which it is settled which half is the nearer: none where one looks along the centreline, or from above."""
    if look.cut.kind != "near":
        return look
    aside = float(np.sin(np.radians(camera.azimuth)) * np.cos(np.radians(camera.elevation)))
    kind: CutKind = "none" if abs(aside) < LEAST_ASIDE else "port" if aside > 0.0 else "starboard"
    return replace(look, cut=CutAway(kind=kind))


def framed(view: ViewName, points: Floats, size: tuple[int, int], above: float = 44.0, beside: float = 30.0) -> Camera:
    """A named view that holds points (n, 3) [m], with so many pixels free above them and on the other sides."""
    return holding(named_view(view), points, size, above, beside)


def holding(camera: Camera, points: Floats, size: tuple[int, int], above: float = 44.0, beside: float = 30.0) -> Camera:
    """The camera moved, not turned, so that the picture holds points (n, 3) [m] as in `framed`."""
    right, up, eye = camera.axes()
    seen = points @ np.stack([right, up, eye], axis=1)
    low, high = seen.min(axis=0), seen.max(axis=0)
    wide, deep = max(size[0] - 2 * beside, 1.0), max(size[1] - above - beside, 1.0)
    per_pixel = max(float(high[0] - low[0]) / wide, float(high[1] - low[1]) / deep)
    height = float(np.clip(per_pixel * size[1], LEAST_HEIGHT, MOST_HEIGHT))
    middle = (low + high) / 2
    middle[1] += (above - beside) / 2 * height / size[1]
    x, y, z = right * middle[0] + up * middle[1] + eye * middle[2]
    return replace(camera, centre=(float(x), float(y), float(z)), height=height)
