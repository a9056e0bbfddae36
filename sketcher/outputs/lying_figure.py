"""A person who lies on the back, as a body to draw: head, shoulders, arms, legs and feet in the proportions of an adult.

Proportions of the stature are about those of Drillis and Contini, Body Segment Parameters (1966), from memory: head and neck
0.18, trunk 0.3, legs 0.53. They serve the eye; what fits is reckoned with the outline alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sketcher.analysis.fit.berths import STATURE_MARGIN
from sketcher.analysis.fit.lying import LyingPlace, Sleeper
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.mesh import Floats, TriMesh

SIDES = 14
"""Flat sides round a limb."""
NARROWER = 0.04
"""[m] The body is so much narrower than the outline that it was given."""
HEAD = (
    (0.0, 0.0, 0.0),
    (0.008, 0.022, 0.026),
    (0.035, 0.041, 0.052),
    (0.075, 0.045, 0.058),
    (0.11, 0.036, 0.05),
    (0.13, 0.0, 0.0),
)
"""Rings from crown to chin: how far from the crown, half the width, half the height, in shares of the stature."""
NECK = ((0.11, 0.03, 0.03), (0.18, 0.034, 0.034))
LEG = (
    (0.46, 0.05, 0.05),
    (0.52, 0.052, 0.052),
    (0.70, 0.036, 0.036),
    (0.76, 0.035, 0.035),
    (0.93, 0.022, 0.022),
    (0.97, 0.024, 0.026),
)
FOOT = ((0.955, 0.02, 0.03), (0.975, 0.025, 0.062), (1.0, 0.022, 0.058))
ARM = ((0.185, 0.03, 0.034), (0.22, 0.03, 0.034), (0.34, 0.022, 0.024), (0.46, 0.017, 0.018), (0.52, 0.014, 0.012))
TRUNK = (
    (0.165, 0.35, 0.04),
    (0.20, 0.86, 0.058),
    (0.27, 0.80, 0.068),
    (0.38, 0.66, 0.06),
    (0.46, 0.72, 0.058),
    (0.51, 0.66, 0.05),
)
"""As the others, but for half the width, in shares of half of that across the shoulders."""

Rings = tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class _Body:
    """Where a body lies: its crown (3,) on the cushion, unit vectors along it and across, its stature [m]."""

    crown: Floats
    along: Floats
    across: Floats
    stature: float

    def limb(self, rings: Rings, aside: tuple[float, float] = (0.0, 0.0), half: float | None = None) -> TriMesh:
        """A part through rings; aside [m]: its middle off the body's, at its first ring and at its last.

        half [m]: what the rings' widths are shares of, where not of the stature.
        """
        angle = 2 * np.pi * np.arange(SIDES) / SIDES
        places = []
        for share, wide, high in rings:
            gone = (share - rings[0][0]) / (rings[-1][0] - rings[0][0])
            off = aside[0] + gone * (aside[1] - aside[0])
            across = off + wide * (self.stature if half is None else half) * np.cos(angle)
            up = high * self.stature * (1.0 + np.sin(angle))
            ring = self.crown + share * self.stature * self.along + across[:, None] * self.across
            places.append(ring + up[:, None] * np.array([0.0, 0.0, 1.0]))
        return _lofted(np.array(places))


@kept_with_owner(2)
def lying_figure(sleeper: Sleeper, place: LyingPlace) -> TriMesh:
    """The body of a sleeper on the cushion, within the outline that was fitted; of closed parts that run into each other."""
    head, foot = sleeper.outline[:2].mean(axis=0), sleeper.outline[2:].mean(axis=0)
    span = float(np.linalg.norm(foot - head))
    stature = max(span - STATURE_MARGIN, span / 2)
    along = np.append((foot - head) / span, 0.0)
    across = np.array([-along[1], along[0], 0.0])
    crown = np.append(head, place.surface) + (span - stature) / 2 * along
    body = _Body(crown, along, across, stature)
    ends = _half(sleeper.outline[:2]), _half(sleeper.outline[2:])
    shoulders, hand, feet = (_half_at(ends, stature / span, share) for share in (ARM[1][0], ARM[-1][0], FOOT[-1][0]))
    arm, hip = shoulders - ARM[1][1] * stature, 0.36 * shoulders
    sole, wrist = min(feet - FOOT[1][1] * stature, hip), min(arm, hand - ARM[2][1] * stature)
    parts = [body.limb(HEAD), body.limb(NECK), body.limb(TRUNK, half=shoulders)]
    for side in (-1.0, 1.0):
        parts += [
            body.limb(ARM, (side * arm, side * wrist)),
            body.limb(LEG, (side * hip, side * sole)),
            body.limb(FOOT, (side * sole, side * sole)),
        ]
    return _together(parts)


def _half(corners: Floats) -> float:
    """Half of what is between two corners (2, 2) of the outline, less what the body is narrower."""
    return float(np.linalg.norm(corners[1] - corners[0]) / 2 - NARROWER / 2)


def _half_at(ends: tuple[float, float], part: float, share: float) -> float:
    """Half of the outline's width [m] at a share of the stature, which is that part of the outline's length and in its middle."""
    return ends[0] + ((1.0 - part) / 2 + share * part) * (ends[1] - ends[0])


def _lofted(rings: Floats) -> TriMesh:
    """The closed body through rings (n, k, 3), its ends closed by flat faces."""
    count, sides = rings.shape[:2]
    ring, side = np.meshgrid(np.arange(count - 1), np.arange(sides), indexing="ij")
    a, b = ring * sides + side, ring * sides + (side + 1) % sides
    walls = np.stack([np.stack([a, b, b + sides], -1), np.stack([a, b + sides, a + sides], -1)]).reshape(-1, 3)
    fan = np.stack([np.zeros(sides - 2, dtype=np.int64), np.arange(1, sides - 1), np.arange(2, sides)], axis=1)
    triangles = np.concatenate([walls, fan[:, ::-1], fan + (count - 1) * sides])
    mesh = TriMesh(rings.reshape(-1, 3), triangles, np.zeros(len(triangles), dtype=np.int64))
    return mesh if mesh.volume > 0.0 else TriMesh(mesh.vertices, triangles[:, ::-1], mesh.labels)


def _together(parts: list[TriMesh]) -> TriMesh:
    """Meshes as one."""
    starts = np.cumsum([0, *(len(part.vertices) for part in parts[:-1])])
    triangles = np.concatenate([part.triangles + start for part, start in zip(parts, starts, strict=True)])
    return TriMesh(np.concatenate([part.vertices for part in parts]), triangles, np.zeros(len(triangles), dtype=np.int64))
