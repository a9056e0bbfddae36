"""From where a picture is seen: parallel projections, so that one scale holds along each axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from sketcher.geometry.mesh import Floats

ViewName = Literal["quarter", "profile", "plan", "ahead"]

VIEW_ANGLES: dict[ViewName, tuple[float, float]] = {
    "quarter": (52.0, 24.0),
    "profile": (90.0, 0.0),
    "plan": (90.0, 90.0),
    "ahead": (0.0, 0.0),
}
"""Azimuth and elevation [deg] of the eye: azimuth 0 stands ahead of the stem, 90 to port, so that the bow is at the left."""

VIEW_WORDS: dict[ViewName, str] = {
    "quarter": "from the port bow",
    "profile": "from port",
    "plan": "from above, starboard at the top",
    "ahead": "from ahead, her starboard on the left",
}


@dataclass(frozen=True, eq=False)
class View:
    """right, up, eye: unit vectors (3,) to the right and up the picture and towards the eye."""

    name: ViewName
    right: Floats
    up: Floats
    eye: Floats

    def flat(self, points: Floats) -> Floats:
        """Points (n, 3) as (n, 2) [m] to the right and up the picture."""
        placed: Floats = points @ np.stack([self.right, self.up], axis=1)
        return placed


def view(name: ViewName) -> View:
    """One of the four views."""
    azimuth, elevation = np.radians(VIEW_ANGLES[name])
    eye = np.array([-np.cos(azimuth) * np.cos(elevation), -np.sin(azimuth) * np.cos(elevation), np.sin(elevation)])
    right = np.array([np.sin(azimuth), -np.cos(azimuth), 0.0])
    return View(name, right, np.cross(eye, right), eye)
