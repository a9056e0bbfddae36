"""Flaps to glue: along edges that end on a face, along the hull, and from plate to plate of the skin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.analysis.cut.card.abutments import Abutment
from sketcher.analysis.cut.card.parts import CardPart, GlueFlap, ModelScale
from sketcher.analysis.cut.card.shell_strakes import on_skin
from sketcher.analysis.cut.card.solids import flap_solid, overlap_depth, part_solid
from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.mesh import Floats

WIDE = 5.0
"""[mm of paper] Width of a flap."""

STRAIGHT, CURVED, SHORTEST = 40.0, 12.0, 4.0
"""[mm of paper] Length of a flap along a straight edge and along a curved one, and below which there is none."""

ROOT = 0.6
"""[mm of paper] Strip of a part that is drawn with its flap, since a fold is straight and an edge may not be."""

SAGITTA = 0.2
"""[mm of paper] An edge may leave the fold of a flap by so much."""

_BACKED = 0.6
"""[1] Share of a flap that must lie on what it is glued to."""

_CLEAR = 0.1
"""[mm of paper] A flap goes no deeper into any other part."""

_SQUARE_ENOUGH = 0.25
"""[1] Where a surface meets a part more flatly than this sine, no flap can be folded onto it."""

_APART = 0.4
"""[mm of paper] Between neighbouring flaps."""


@dataclass
class Assembly:
    """The parts in place, and the flaps so far, for asking what else has room."""

    of: ModelScale
    parts: dict[str, CardPart]

    def __post_init__(self) -> None:
        self.solids = {name: part_solid(part, self.of.thickness) for name, part in self.parts.items()}
        self.flaps: list[Manifold] = []

    def takes(self, name: str, flap: GlueFlap, push: Floats, onto: Sequence[str]) -> bool:
        """Add a flap to a part where it is clear of all else and lies on one of these; push: a card's thickness towards them."""
        part, clear = self.parts[name], self.of.full(_CLEAR)
        inner = flap.outline.buffer(-self.of.full(0.15))
        if shapely.intersects(inner, part.outline) or any(shapely.intersects(inner, each.outline) for each in part.flaps):
            return False
        solid = flap_solid(flap)
        moved = solid.translate(push.tolist())
        if sum((moved ^ self.solids[each]).volume() for each in onto) < _BACKED * solid.volume():
            return False
        if any(overlap_depth(solid, each) > clear for each in (*self.solids.values(), *self.flaps)):
            return False
        self.flaps.append(solid)
        self.parts[name] = replace(part, flaps=(*part.flaps, flap))
        return True


def flaps_on_face(assembly: Assembly, contact: Abutment) -> int:
    """Flaps along an edge that ends on a face, as many as there is room for."""
    of = assembly.of
    count = max(1, int(np.ceil(of.paper(contact.length) / STRAIGHT)))
    done = 0
    for k in range(count):
        a, b = (contact.start + (contact.end - contact.start) * (share / count) for share in (k, k + 1))
        done += _on_face(assembly, contact, a, b)
    return done


def _on_face(assembly: Assembly, contact: Abutment, a: Floats, b: Floats) -> int:
    """One flap, or two of half its length where that has no room."""
    if assembly.of.paper(float(np.linalg.norm(b - a))) < SHORTEST:
        return 0
    part = assembly.parts[contact.part]
    for side in (-1.0, 1.0):
        made = _folded(part, a, b, contact.out, contact.face.normal, side, contact.against, assembly.of)
        if made is not None and assembly.takes(part.name, *made, [contact.against]):
            return 1
    middle = (a + b) / 2
    return _on_face(assembly, contact, a, middle) + _on_face(assembly, contact, middle, b)


def flaps_on_hull(assembly: Assembly, name: str, form: HullForm) -> int:
    """Flaps along all of a part's edge that lies on the skin, as many as there is room for."""
    of, part = assembly.of, assembly.parts[name]
    plates = [other for other, each in assembly.parts.items() if each.curved is not None]
    done = 0
    for a, b, normal in _chords(part, form, of):
        out = _outward(part, normal, a, b)
        for side in (-1.0, 1.0):
            made = _folded(part, a, b, out, normal, side, "hull", of)
            if made is not None and assembly.takes(name, *made, plates):
                done += 1
                break
    return done


def _chords(part: CardPart, form: HullForm, of: ModelScale) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Straight stretches of a part's edge on the skin, each as long as the edge hardly leaves it, and the skin's normal there."""
    line = np.asarray(shapely.segmentize(part.outline.exterior, of.full(1.0)).coords)
    on, facing = on_skin(part, line, form, of)
    k = 0
    while k < len(line) - 1:
        if not on[k]:
            k += 1
            continue
        for most in (CURVED, CURVED / 1.5, CURVED / 2, SHORTEST):
            end = k + 1
            while end < len(line) - 1 and on[end] and of.paper(float(np.linalg.norm(line[end] - line[k]))) < most:
                end += 1
            run = line[k : end + 1]
            straight = shapely.LineString([run[0], run[-1]])
            if of.paper(float(shapely.distance(shapely.points(run), straight).max())) <= SAGITTA:
                break
        length = of.paper(float(np.linalg.norm(run[-1] - run[0])))
        if on[k : end + 1].all() and length >= SHORTEST:
            inset = (run[-1] - run[0]) / length * _APART / 2
            yield run[0] + inset, run[-1] - inset, facing[(k + end) // 2]
        k = end


def _outward(part: CardPart, normal: Floats, a: Floats, b: Floats) -> Floats:
    """Square to a stretch of an edge, out of the part (2,)."""
    along = (b - a) / np.linalg.norm(b - a)
    out = np.array([along[1], -along[0]])
    facing = np.array([part.frame.u, part.frame.v]) @ normal
    result: Floats = out * (1.0 if out @ facing >= 0.0 else -1.0)
    return result


def _folded(
    part: CardPart, a: Floats, b: Floats, out: Floats, normal: Floats, side: float, onto: str, of: ModelScale
) -> tuple[GlueFlap, Floats] | None:
    """A flap on a stretch of an edge, folded to a side of the part onto a surface; and a card's thickness into that surface."""
    ends = part.frame.space(np.stack([a, b]))
    length = float(np.linalg.norm(ends[1] - ends[0]))
    along = (ends[1] - ends[0]) / length
    level = normal - (normal @ along) * along
    level /= np.linalg.norm(level)
    way = np.cross(along, level)
    way *= np.sign(way @ part.frame.normal) * side
    steep = abs(float(way @ part.frame.normal))
    if steep < _SQUARE_ENOUGH:
        return None
    wide, short = of.full(WIDE), min(of.full(WIDE) * 0.6, length / 3)
    # Folded by more than a right angle it begins where its own thickness is clear of the part.
    clear = of.thickness / 2 + of.thickness * max(0.0, side * float(level @ part.frame.normal))
    root = ends + way * (clear / steep)
    tip = root + way * wide + np.stack([along, -along]) * short
    face = np.concatenate([root, tip])
    flat_along = (b - a) / length
    paper = shapely.Polygon([a, b, b + out * wide - flat_along * short, a + out * wide + flat_along * short])
    solid = np.concatenate([face, face - level * of.thickness])
    fold, root = np.stack([a, b]), _rooted(paper, a, b, -out * of.full(ROOT))
    return GlueFlap(outline=paper, root=root, fold=fold, solid=solid, onto=onto, away=side < 0.0), level * of.thickness


def _rooted(paper: shapely.Polygon, a: Floats, b: Floats, into: Floats) -> shapely.Polygon:
    """A flap with a strip of the part beside its fold."""
    hull: shapely.Polygon = shapely.convex_hull(shapely.union(paper, shapely.MultiPoint([a + into, b + into])))
    return hull


def flaps_on_plate(assembly: Assembly, name: str, edge: Edge, other: str, its: Edge) -> int:
    """Flaps along an edge of a plate that lie on the outside of the next."""
    of, part, beside = assembly.of, assembly.parts[name], assembly.parts[other]
    flat, own, _, _ = edge_of(part, edge)
    _, middle, normals, ways = edge_of(beside, its)
    axis = int(np.argmax(np.ptp(middle, axis=0)))
    order = np.argsort(middle[:, axis])
    at = middle[order, axis]
    done = 0
    for i, j in _steps(flat, own[:, axis], (at[0], at[-1]), of):
        places = own[[i, j], axis]
        root, facing, way = (
            np.column_stack([np.interp(places, at, each[order, k]) for k in range(3)]) for each in (middle, normals, ways)
        )
        sizes = [np.linalg.norm(each, axis=1, keepdims=True) for each in (facing, way)]
        if min(float(size.min()) for size in sizes) < 1e-9:
            continue
        facing, way = facing / sizes[0], way / sizes[1]
        along = (root[1] - root[0]) / np.linalg.norm(root[1] - root[0])
        wide, short = of.full(WIDE), min(of.full(WIDE) * 0.6, float(np.linalg.norm(root[1] - root[0])) / 3)
        foot = root + facing * of.thickness / 2
        face = np.concatenate([foot, foot + way * wide + np.stack([along, -along]) * short])
        up = np.concatenate([facing, facing]) * of.thickness
        paper = _beside(flat[i], flat[j], part.outline, wide, short)
        out = np.asarray(paper.exterior.coords)[2] - flat[j]
        root = _rooted(paper, flat[i], flat[j], -out * (ROOT / WIDE))
        solid = np.concatenate([face, face + up])
        flap = GlueFlap(outline=paper, root=root, fold=flat[[i, j]], solid=solid, onto=other, away=True)
        done += assembly.takes(name, flap, -facing.mean(axis=0) * of.thickness, [other])
    return done


Edge = str
"""Which edge of a plate: `upper`, `lower`, `fore` or `after`."""


def edge_of(part: CardPart, edge: Edge) -> tuple[Floats, Floats, Floats, Floats]:
    """An edge of a plate: flat (n, 2), in space (n, 3), the normals out of the boat there, and the ways into the plate."""
    assert part.curved is not None
    sheet = part.curved
    # Turned so that the edge comes first.
    turn = {"upper": (1, -1), "lower": (1, 1), "fore": (0, 1), "after": (0, -1)}
    axis, way = turn[edge]
    flat, middle, normals = (np.moveaxis(each, axis, 0)[::way] for each in (sheet.flat, sheet.middle, sheet.normals))
    return flat[0], middle[0], normals[0], middle[1] - middle[0]


def _steps(flat: Floats, at: Floats, within: tuple[float, float], of: ModelScale) -> Iterator[tuple[int, int]]:
    """Stretches of an edge's points for flaps, where the other plate reaches as well."""
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(flat, axis=0), axis=1))])
    inside = np.flatnonzero((at >= within[0] - 1e-9) & (at <= within[1] + 1e-9))
    if len(inside) < 2:
        return
    first, last = int(inside.min()), int(inside.max())
    count = max(1, round(of.paper(float(run[last] - run[first])) / CURVED))
    cuts = np.unique(np.searchsorted(run, np.linspace(run[first], run[last], count + 1)[1:-1]))
    for i, j in pairwise([first, *cuts.tolist(), last]):
        if of.paper(float(run[j] - run[i])) >= SHORTEST:
            yield i, j


def _beside(a: Floats, b: Floats, outline: shapely.Polygon, wide: float, short: float) -> shapely.Polygon:
    """A flap on the outer side of a stretch of an outline."""
    along = (b - a) / np.linalg.norm(b - a)
    out = np.array([along[1], -along[0]])
    if outline.contains(shapely.Point((a + b) / 2 + out * wide / 2)):
        out = -out
    return shapely.Polygon([a, b, b + out * wide - along * short, a + out * wide + along * short])
