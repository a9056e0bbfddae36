"""Where an edge of one flat part of card ends on the face of another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.cut.card.card_panels import CardPanel
from sketcher.analysis.cut.card.parts import CardPart, ModelScale
from sketcher.geometry.mesh import Floats
from sketcher.geometry.plane import Plane

Way = Literal["down", "up", "forward", "aft", "port", "starboard"]
_WAYS: tuple[tuple[Way, Way], ...] = (("forward", "aft"), ("port", "starboard"), ("down", "up"))

WAYS: dict[Way, tuple[float, float, float]] = {
    "down": (0.0, 0.0, -1.0), "up": (0.0, 0.0, 1.0), "forward": (-1.0, 0.0, 0.0), "aft": (1.0, 0.0, 0.0),
    "port": (0.0, -1.0, 0.0), "starboard": (0.0, 1.0, 0.0),
}  # fmt: skip
"""Unit vectors of the ways that an edge may look."""

LEAST = 3.0
"""[mm of paper] Shorter contacts are not joined."""

_ONE_LINE = 0.05
"""[mm of paper] Stretches of an edge with gaps below this are one."""


@dataclass(frozen=True, eq=False)
class Abutment:
    """An edge of `part` on a face of `against`. start, end, out: (2,) in the part's frame, out: beyond the edge.

    face: of the other part that is met, its normal out of the part. sine, cosine: of the angle between the two.
    """

    part: str
    against: str
    start: Floats
    end: Floats
    out: Floats
    face: Plane
    sine: float
    cosine: float

    @property
    def length(self) -> float:
        """How long it is [m]."""
        return float(np.linalg.norm(self.end - self.start))

    @property
    def along(self) -> Floats:
        """The unit vector from start to end (2,)."""
        way: Floats = (self.end - self.start) / self.length
        return way

    def way(self, part: CardPart) -> Way:
        """Whither the edge looks, roughly."""
        out = np.array(part.frame.u) * self.out[0] + np.array(part.frame.v) * self.out[1]
        axis = int(np.argmax(np.abs(out)))
        return _WAYS[axis][int(out[axis] > 0.0)]


def abutments(panel: CardPanel, parts: Sequence[CardPart], of: ModelScale) -> Iterator[Abutment]:
    """Where a panel's part ends on others, stretch by stretch; behind which there is card."""
    frame = panel.part.frame
    for name, face in panel.ends:
        across, beyond = frame.line(face)
        sine = float(np.hypot(*across))
        if sine < 0.2:
            continue
        out, cosine = across / sine, float(abs(face.normal @ frame.normal))
        near = of.thickness * cosine / sine + of.full(_ONE_LINE)
        along = np.array([-out[1], out[0]])
        for low, high in _runs(panel.part.outline, out, along, beyond / sine, near, of):
            start, end = (out * (beyond / sine) + along * t for t in (low, high))
            for other in parts:
                if other.of == name and other.curved is None and other.kind != "strap":
                    for a, b in _behind(panel.part, other, start, end):
                        if of.paper(float(np.linalg.norm(b - a))) >= LEAST:
                            yield Abutment(panel.part.name, other.name, a, b, out, face, sine, cosine)


def _runs(
    outline: shapely.Polygon, out: Floats, along: Floats, beyond: float, near: float, of: ModelScale
) -> list[tuple[float, float]]:
    """Stretches of an outline that lie on a line, from and to along it."""
    found: list[tuple[float, float]] = []
    for ring in (outline.exterior, *outline.interiors):
        points = np.asarray(ring.coords)
        on = np.abs(points @ out - beyond) < near
        for k in np.flatnonzero(on[:-1] & on[1:]).tolist():
            low, high = sorted((points[k : k + 2] @ along).tolist())
            found.append((low, high))
    joined: list[tuple[float, float]] = []
    for low, high in sorted(found):
        if joined and low <= joined[-1][1] + of.full(_ONE_LINE):
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def _behind(part: CardPart, other: CardPart, start: Floats, end: Floats) -> Iterator[tuple[Floats, Floats]]:
    """The stretches between two places of an edge behind which the other part has card."""
    there = shapely.LineString(other.frame.flat(part.frame.space(np.stack([start, end]))))
    for piece in shapely.get_parts(shapely.intersection(there, other.outline.buffer(1e-5))).tolist():
        if piece.geom_type == "LineString" and piece.length > 0.0:
            shares = [there.project(shapely.Point(end_)) / there.length for end_ in (piece.coords[0], piece.coords[-1])]
            low, high = sorted(shares)
            yield start + (end - start) * low, start + (end - start) * high
