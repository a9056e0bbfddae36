"""Whether each part reaches its place past those that are glued before it: straight down, or tilted and let down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from manifold3d import Manifold

from sketcher.analysis.cut.card.fit_check import OVERLAP
from sketcher.analysis.cut.card.parts import CardPart, ModelScale
from sketcher.analysis.cut.card.solids import overlap_depth
from sketcher.analysis.cut.card.tabs import PROUD
from sketcher.geometry.mesh import Floats

_LIFTS = (2.0, 6.0, 15.0, 40.0)
"""[mm of paper] How far above its place a part is looked at on its way down."""


def blocked(
    parts: Sequence[CardPart], solids: Mapping[str, Manifold], slides: Mapping[str, Floats], of: ModelScale
) -> tuple[tuple[str, str], ...]:
    """Parts that on their way meet one glued before them, with its name. slides: the way of a part's tabs, where they are level.

    Pieces are joined first. Plates of the skin are bent round what stands, and are not looked at.
    """
    found: list[tuple[str, str]] = []
    placed: list[str] = []
    for name in dict.fromkeys(part.uncut for part in parts if part.kind != "strap" and part.curved is None):
        pieces = [part for part in parts if part.uncut == name and part.kind != "strap"]
        own = [solids[part.name] for part in pieces]
        if pieces[0].kind != "spine":
            for pose in _way_in(pieces, slides.get(name), of):
                hit = next(
                    (other for other in placed if any(_meets(each.transform(pose), solids[other], of) for each in own)), None
                )
                if hit is not None:
                    found.append((name, hit))
                    break
        placed += [part.name for part in pieces]
    return tuple(found)


def _meets(one: Manifold, other: Manifold, of: ModelScale) -> bool:
    return of.paper(overlap_depth(one, other)) > OVERLAP


def _way_in(pieces: Sequence[CardPart], slide: Floats | None, of: ModelScale) -> Iterator[Floats]:
    """Poses (3, 4) of a part on its way in: along its own plane, or with its tabs out and its other end raised."""
    frame = pieces[0].frame
    up = np.array(frame.v) if abs(frame.normal[2]) < 0.5 else np.array([0.0, 0.0, 1.0])
    if slide is None:
        for lift in _LIFTS:
            yield np.column_stack([np.eye(3), up * of.full(lift)])
        return
    level = abs(frame.normal[2]) > 0.5
    points = np.concatenate([part.frame.space(np.asarray(part.outline.exterior.coords)) for part in pieces])
    out = 1.1 * of.thickness + of.full(PROUD)
    along = points @ slide
    length = float(np.ptp(along))
    angle = float(np.arccos(max(0.0, 1.0 - out / length))) if level else 0.0
    hinge = points[int(np.argmax(along))]
    for share, lift in ((0.5, 0.0), (1.0, 0.0), *((1.0, lift) for lift in _LIFTS)):
        tilt = _raised(slide, up, angle * share)
        # A lid between two panels goes back by what its tilt gives; an upright part stands free at its other end.
        back = -slide * (min(out, length * (1.0 - np.cos(angle * share))) if level else out * share)
        yield np.column_stack([tilt, hinge - tilt @ hinge + back + up * of.full(lift)])


def _raised(slide: Floats, up: Floats, angle: float) -> Floats:
    """The turn (3, 3) about the line across a part's slide that raises its other end."""
    axis = np.cross(up, slide)
    axis /= np.linalg.norm(axis)
    cross = np.array([[0.0, -axis[2], axis[1]], [axis[2], 0.0, -axis[0]], [-axis[1], axis[0], 0.0]])
    turn: Floats = np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * cross @ cross
    return turn
