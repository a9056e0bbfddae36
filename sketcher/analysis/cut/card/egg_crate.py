"""A hull that does not unroll: frames about the skin, at bulkheads and between them, that stand on a spine under her keel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.card.card_panels import SMOOTHED, common_area
from sketcher.analysis.cut.card.parts import CardMark, CardPart, ModelScale
from sketcher.analysis.hull.form import DECK, OPEN_END, HullForm
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.cut_edges import cut_edges
from sketcher.geometry.solid.near_plane import around_plane
from sketcher.geometry.solid.section import Frame, frame_y
from sketcher.geometry.vectors import triple

DEPTH = 12.0
"""[mm of paper] How far frames and spine stand out from the skin: wide enough for a slot of half that."""

APART = 50.0
"""[mm of paper] Frames are no further apart."""

_ROUND = 1e-5
"""[m] Pieces of a cut whose ends lie within this are one line."""

_SHARED = 2e-5
"""[m] A frame begins so far inside the skin, so that a bulkhead and its frame are one area."""

_STRAIGHT = 0.01
"""[m] What of a section's edge is so near to the line from sheer to sheer is not taken for skin."""

_END = 1e-3
"""[m] The hull's ends are looked at so far inside them."""

_FLAT_END = 0.02
"""[m] An after end narrower than this is sharp."""


def skin_section(form: HullForm, frame: Frame) -> shapely.Polygon:
    """What a plane cuts of the space within the skin, straight from sheer to sheer, without deck, coachroof and cockpit."""
    cut = cut_edges(around_plane(form.inside, frame, 0.0), frame)
    skin = cut.labels != DECK
    starts, ends = cut.starts[skin], cut.ends[skin]
    if len(starts) < 2:
        return shapely.Polygon()
    points = np.concatenate([starts, ends])
    middle = (points[:, 0].min() + points[:, 0].max()) / 2
    tops = [side[int(np.argmax(side[:, 1]))] for side in (points[points[:, 0] <= middle], points[points[:, 0] >= middle])]
    lines = np.concatenate([np.stack([starts, ends], axis=1), np.array(tops)[None]])
    thick = shapely.union_all(shapely.buffer(shapely.linestrings(lines), _ROUND))
    within = [shapely.Polygon(ring) for part in polygons(thick) for ring in part.interiors]
    return max(
        (part.buffer(_ROUND, join_style="mitre") for part in within), key=lambda part: part.area, default=shapely.Polygon()
    )


def without_deck(skin: shapely.Polygon) -> shapely.Geometry:
    """The edge of a section that is skin: not the straight line from sheer to sheer."""
    left, right = _tops(skin)
    return shapely.difference(skin.exterior, shapely.LineString([left, right]).buffer(_STRAIGHT, cap_style="square"))


def _tops(skin: shapely.Polygon) -> list[Floats]:
    """The highest place on either side of a section."""
    points = np.asarray(skin.exterior.coords)
    middle = (points[:, 0].min() + points[:, 0].max()) / 2
    return [side[int(np.argmax(side[:, 1]))] for side in (points[points[:, 0] <= middle], points[points[:, 0] >= middle])]


def _about(skin: shapely.Polygon, of: ModelScale) -> shapely.Polygon:
    """The ring outside a section, as far up as its sheer."""
    around = skin.buffer(of.full(DEPTH)).difference(skin.buffer(-_SHARED))
    left, right = _tops(skin)
    along = (right - left) / np.linalg.norm(right - left)
    far, up = along * 100.0, np.array([-along[1], along[0]]) * 100.0
    # A little lower: else the strip shared with the skin would go on along the straight line.
    left, right = (top - up / 100.0 * 3 * _SHARED for top in (left, right))
    above = shapely.Polygon([left - far, right + far, right + far + up, left - far + up])
    return largest(shapely.difference(around, above))


def with_ring(part: CardPart, form: HullForm, of: ModelScale) -> CardPart:
    """A bulkhead and the frame about the hull in its plane as one part; as it is where it does not reach the hull all round."""
    skin = skin_section(form, part.frame)
    if part.kind not in ("bulkhead", "transom") or skin.is_empty:
        return part
    ring = _about(skin, of)
    joined = shapely.union(part.outline, ring)
    touched = shapely.get_coordinates(shapely.intersection(part.outline.exterior, ring))
    middle = part.outline.centroid.x
    if joined.geom_type != "Polygon" or not len(touched) or not touched[:, 0].min() < middle < touched[:, 0].max():
        return part
    # What rounding leaves between the two is no hole.
    holes = [ring for ring in joined.interiors if shapely.Polygon(ring).buffer(-of.full(SMOOTHED)).area > 0.0]
    outline = shapely.simplify(shapely.Polygon(joined.exterior, holes), of.full(SMOOTHED))
    runs = shapely.get_parts(shapely.line_merge(without_deck(skin))).tolist()
    marks = [CardMark(line=shapely.get_coordinates(run), name="hull") for run in runs if run.length > of.full(1.0)]
    return replace(part, outline=outline, ring=True, marks=(*part.marks, *marks))


def frames_between(form: HullForm, rings: Sequence[CardPart], of: ModelScale) -> Iterator[CardPart]:
    """Frames that fill what lies between the ends and the rings of bulkheads, evenly."""
    stand = [_reach_along(ring) for ring in rings]
    stem, end = form.x_forward, _after_foot(form)
    gaps = [(stem, stem), *sorted(stand), (end, end)]
    number = 0
    for (_, a), (b, _) in pairwise(gaps):
        count = int(np.ceil(of.paper(b - a) / APART - 1e-9)) - 1
        for k in range(count):
            x = a + (b - a) * (k + 1) / (count + 1)
            # Looked at from ahead, as bulkheads are: starboard is left.
            frame = Frame((x, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
            skin = skin_section(form, frame)
            if skin.is_empty or of.paper(float(np.sqrt(skin.area))) < DEPTH / 2:
                continue
            number += 1
            outline = shapely.simplify(_about(skin, of), of.full(SMOOTHED))
            yield CardPart(name=f"frame {number}", kind="frame", frame=frame, outline=outline, of=f"frame {number}", ring=True)


def _reach_along(part: CardPart) -> tuple[float, float]:
    x = part.frame.space(np.asarray(part.outline.exterior.coords))[:, 0]
    return float(x.min()), float(x.max())


def _after_foot(form: HullForm) -> float:
    """Where the after end of the skin begins [m aft]: a raked one's foot, or all there is of a sharp or open one."""
    last = form.lines[-1]
    return float(last[:, 0].min())


def spine(form: HullForm, of: ModelScale) -> CardPart:
    """The spine: about the stem, under the keel and up the after end, on the centreline."""
    frame = frame_y(0.0)
    outline = _about(skin_section(form, frame), of)
    if (form.inside.labels == OPEN_END).any():
        outline = largest(shapely.intersection(outline, shapely.box(-100.0, -100.0, float(form.inside.bounds[1][0]), 100.0)))
    outline = shapely.simplify(outline, of.full(SMOOTHED))
    return CardPart(name="spine", kind="spine", frame=frame, outline=outline, of="spine", ring=True)


def transom(form: HullForm, of: ModelScale, *, framed: bool = True) -> CardPart | None:
    """The flat after end of the inside, its after face on it; None where that is sharp, open or curved across.

    framed: as in `card_panels`.
    """
    hull, last = form.hull, form.lines[-1]
    if hull.stern or hull.open_aft or hull.transom_curve or float(np.ptp(last[:, 1])) < _FLAT_END:
        return None
    rake = np.radians(hull.transom_rake)
    aft, up = np.array([np.cos(rake), 0.0, -np.sin(rake)]), np.array([np.sin(rake), 0.0, np.cos(rake)])
    foot = last[int(np.argmin(last[:, 2]))] * [1.0, 0.0, 1.0]
    reach = float(((form.inside.vertices - foot) @ aft).max())
    middle: Floats = foot + aft * (reach - of.thickness / 2)
    frame = Frame(triple(middle), (0.0, -1.0, 0.0), triple(up))
    area = largest(common_area(form, frame, of, framed=framed, inside=_END))
    if area.is_empty:
        return None
    return CardPart(name="transom", kind="transom", frame=frame, outline=shapely.simplify(area, of.full(SMOOTHED)), of="transom")
