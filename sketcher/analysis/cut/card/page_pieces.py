"""Parts larger than a page in pieces, with a strap of card behind each joint."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.analysis.cut.card.parts import CardMark, CardPart, CardSeam, ModelScale
from sketcher.analysis.cut.card.solids import footprint
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.vectors import triple

STRAP = 8.0
"""[mm of paper] A strap reaches so far to each side of its joint."""

_SETBACK = 0.5
"""[mm of paper] and keeps so far from the part's edge and from what stands there."""

_CLEAR = 4.0
"""[mm of paper] A joint keeps so far from slots and tabs."""

_TRIED = 41
"""Places of a joint that are looked at."""

_MIDDLE = 0.3
"""[1] Cut in two, a part has its joint off its middle only where each millimetre aside saves so much of the joint."""

_LEAST, _HELD = 20.0, 2.0
"""[mm2 and mm of paper] A smaller strap, or one along less of the joint, holds nothing."""

Cut = tuple[Floats, Floats]
"""A joint's line: a place on it and the unit vector along it, flat."""


def on_a_page(outline: shapely.Polygon, of: ModelScale, room: tuple[float, float]) -> bool:
    """Whether an outline lies in the room [mm of paper], turned as it may be."""
    level = np.ptp(np.asarray(outline.exterior.coords), axis=0)
    turned = np.diff(np.asarray(shapely.minimum_rotated_rectangle(outline).exterior.coords)[:3], axis=0)
    return any(
        all(of.paper(side) <= most for side, most in zip(sorted(sides.tolist()), sorted(room), strict=True))
        for sides in (level, np.linalg.norm(turned, axis=1))
    )


def in_pieces(part: CardPart, of: ModelScale, room: tuple[float, float]) -> tuple[list[CardPart], list[Cut]]:
    """A part in as few pieces as lie in the room, and the joints between them."""
    outlines, cuts = [part.outline], []
    done: list[shapely.Polygon] = []
    while outlines:
        outline = outlines.pop(0)
        if on_a_page(outline, of, room):
            done.append(outline)
            continue
        cut = _best_cut(outline, part.slots, of, room)
        cuts.append(cut)
        outlines += _parted(outline, cut)
    if len(done) == 1:
        return [part], []
    done.sort(key=lambda each: each.centroid.x)
    pieces = []
    for k, outline in enumerate(done):
        marks = tuple(own for mark in part.marks for own in _within(mark, outline))
        pieces.append(replace(part, name=f"{part.name} {chr(65 + k)}", piece_of=part.name, outline=outline, marks=marks))
    return pieces, cuts


def _within(mark: CardMark, outline: shapely.Polygon) -> Iterator[CardMark]:
    """What of a mark lies in an outline."""
    for piece in shapely.get_parts(shapely.line_merge(shapely.intersection(shapely.LineString(mark.line), outline))).tolist():
        if piece.geom_type == "LineString" and not piece.is_empty:
            yield replace(mark, line=shapely.get_coordinates(piece))


def _best_cut(outline: shapely.Polygon, slots: shapely.Geometry, of: ModelScale, room: tuple[float, float]) -> Cut:
    """The shortest joint across the longer side that leaves the fewest pieces, clear of slots where that can be."""
    corner = np.array(outline.bounds[:2])
    size = np.array(outline.bounds[2:]) - corner
    long, k = float(size.max()), int(np.argmax(size))
    along, across = np.eye(2)[k], np.eye(2)[1 - k]
    count = max(2, int(np.ceil(of.paper(long) / max(room))))
    best: tuple[float, Cut] | None = None
    for share in np.linspace(0.35, 1.0, _TRIED) / count if count > 2 else np.linspace(0.3, 0.7, _TRIED):
        at = corner + along * (long * float(share))
        line = shapely.LineString([at - across * 100.0, at + across * 100.0])
        length = shapely.intersection(line, outline).length
        near = of.paper(float(shapely.distance(line, slots))) if not slots.is_empty else _CLEAR
        aside = of.paper(long) * (abs(float(share) - 0.5) * _MIDDLE if count == 2 else -float(share))
        cost = of.paper(length) + 50.0 * max(0.0, _CLEAR - near) + aside
        if length > 0.0 and (best is None or cost < best[0]):
            best = (cost, (at, across))
    assert best is not None
    return best[1]


def _parted(outline: shapely.Polygon, cut: Cut) -> Iterator[shapely.Polygon]:
    at, across = cut
    along = np.array([across[1], -across[0]])
    far = 100.0
    for side in (1.0, -1.0):
        half = shapely.Polygon(
            [at - across * far, at + across * far, at + across * far + along * far * side, at - across * far + along * far * side]
        )
        yield from polygons(shapely.intersection(outline, half))


def straps(
    part: CardPart, pieces: Sequence[CardPart], cuts: Sequence[Cut], others: Sequence[Manifold], of: ModelScale
) -> Iterator[tuple[CardPart, CardSeam]]:
    """A strap of card behind each joint of a part, on the face that leaves it more room, clear of other parts."""
    number = 0
    faces = [
        Frame(triple(np.array(part.frame.origin) + part.frame.normal * side * of.thickness), part.frame.u, part.frame.v)
        for side in (-1.0, 1.0)
    ]
    free = [_free(part, others, side * of.thickness, of) for side in (-1.0, 1.0)]
    for at, across in cuts:
        line = shapely.LineString([at - across * 100.0, at + across * 100.0])
        for joint in shapely.get_parts(shapely.intersection(line, part.outline)).tolist():
            if joint.geom_type != "LineString":
                continue
            about = joint.buffer(of.full(STRAP), cap_style="flat")
            areas = [largest(shapely.intersection(about, room)) for room in free]
            side = max((0, 1), key=lambda k: areas[k].area)
            area = areas[side]
            met = shapely.intersection(joint, area)
            if of.paper(1.0) ** 2 * area.area < _LEAST or of.paper(met.length) < _HELD:
                continue
            number += 1
            free[side] = shapely.difference(free[side], area.buffer(of.full(_SETBACK)))
            name = f"strap {number} of {part.name}"
            strap = CardPart(name=name, kind="strap", frame=faces[side], outline=area, of=part.of, piece_of=part.name)
            ends = part.frame.space(shapely.get_coordinates(met)) + part.frame.normal * ((-0.5, 0.5)[side] * of.thickness)
            yield strap, CardSeam(kind="strap", part=name, against=part.name, line=ends)


def _free(part: CardPart, others: Sequence[Manifold], height: float, of: ModelScale) -> shapely.Geometry:
    """Where a strap may lie on a part: off its edges, its slots and all that comes near its face there."""
    setback = of.full(_SETBACK)
    area = part.outline.buffer(-setback)
    near = shapely.union_all([footprint(others, part.frame, height * share) for share in (0.55, 1.0, 1.45)])
    return shapely.difference(area, shapely.union(near, part.slots).buffer(setback))
