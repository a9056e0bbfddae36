"""Every part put back into the boat: where two overlap, and where a joint gapes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.analysis.cut.card.egg_crate import skin_section, without_deck
from sketcher.analysis.cut.card.parts import CardFit, CardPart, CardSeam, ModelScale
from sketcher.analysis.cut.card.shell_strakes import on_skin
from sketcher.analysis.cut.card.solids import boxes_meet, flap_solid, overlap_depth
from sketcher.analysis.hull.form import HullForm
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.nearest import distances_to_mesh

OVERLAP, GAP = 0.2, 1.0
"""[mm of paper] Half a usual card, which gives by that under a thumb; and a gap that glue still fills."""

_SEEN = 1e-3
"""[mm of paper] Less is rounding."""

_HULL_POINTS = 40
"""Places along a part's edge on the hull at which it is measured."""

Solids = Mapping[str, Manifold]


def overlaps(parts: Sequence[CardPart], solids: Solids, of: ModelScale) -> tuple[CardFit, ...]:
    """By how much parts and their flaps go into each other, the worst first."""
    bodies = [(part.name, solids[part.name], False) for part in parts]
    bodies += [(part.name, flap_solid(flap), True) for part in parts for flap in part.flaps]
    worst: dict[tuple[str, str], float] = {}
    for (one, a, folded), (other, b, also) in combinations(bodies, 2):
        if (one != other or (folded and also)) and boxes_meet(a, b):
            depth = of.paper(overlap_depth(a, b))
            if depth > max(_SEEN, worst.get((one, other), 0.0)):
                worst[one, other] = depth
    found = [CardFit(part=one, against=other, measured=depth) for (one, other), depth in worst.items()]
    return tuple(sorted(found, key=lambda fit: -fit.measured))


def gaps(
    parts: Sequence[CardPart], seams: Sequence[CardSeam], solids: Solids, form: HullForm, of: ModelScale
) -> tuple[CardFit, ...]:
    """How far joints gape at their worst place, the worst first."""
    named = {part.name: part for part in parts}
    found = [_gap(seam, named, parts, solids, of) for seam in seams]
    plates = [solids[part.name] for part in parts if part.curved is not None]
    rings = [part for part in parts if part.ring and part.kind != "spine"]
    for part in parts:
        if part.curved is None and not part.ring and part.kind != "strap":
            found += _to_hull(part, plates, form, of) if plates else _to_frames(part, rings, solids, form, of)
    return tuple(sorted(found, key=lambda fit: -fit.measured))


def _gap(seam: CardSeam, named: Mapping[str, CardPart], parts: Sequence[CardPart], solids: Solids, of: ModelScale) -> CardFit:
    """The gap of a joint: how far its places are from both parts, at whichever face of the first they are nearer.

    A halved joint is measured where the two slots end.
    """
    line = seam.line[1:2] if seam.kind == "halved" else seam.line
    part = named.get(seam.part) or next(each for each in parts if each.uncut == seam.part)
    half = part.frame.normal * (of.thickness / 2 if part.curved is None and seam.kind != "halved" else 0.0)
    apart = np.full(len(line), np.inf)
    for places in (line - half, line, line + half):
        worse = np.zeros(len(places))
        for name in (seam.part, seam.against):
            own = [solids[each.name] for each in parts if name == each.name or (name == each.uncut and each.kind != "strap")]
            worse = np.maximum(worse, distances_to(places, own))
        apart = np.minimum(apart, worse)
    return CardFit(part=seam.part, against=seam.against, measured=of.paper(float(apart.max())))


def distances_to(points: Floats, solids: Sequence[Manifold]) -> Floats:
    """How far (n,) points (n, 3) are from the nearest surface of solids [m]."""
    meshes = [solid.to_mesh64() for solid in solids]
    corners = [np.asarray(mesh.vert_properties)[:, :3] for mesh in meshes]
    starts = np.cumsum([0, *(len(each) for each in corners[:-1])])
    triangles = np.concatenate(
        [np.asarray(mesh.tri_verts, dtype=np.int64) + start for mesh, start in zip(meshes, starts, strict=True)]
    )
    vertices = np.concatenate(corners)
    middles = vertices[triangles].mean(axis=1)
    reach = np.linalg.norm(vertices[triangles] - middles[:, None], axis=2).max(axis=1)
    found = []
    for point in points:
        off = np.linalg.norm(middles - point, axis=1)
        near = triangles[off - reach <= (off + reach).min()]
        found.append(float(distances_to_mesh(point, vertices, near).min()))
    return np.array(found)


def _both_faces(part: CardPart, flat: Floats, of: ModelScale) -> tuple[Floats, Floats]:
    middle, half = part.frame.space(flat), part.frame.normal * of.thickness / 2
    return middle - half, middle + half


def _to_hull(part: CardPart, plates: Sequence[Manifold], form: HullForm, of: ModelScale) -> Iterator[CardFit]:
    """How far a part's edge on the skin is from the plates, at whichever face it is nearer."""
    line = shapely.get_coordinates(shapely.segmentize(part.outline.exterior, of.full(1.0)))
    line = line[on_skin(part, line, form, of)[0]]
    if len(line):
        some = line[np.linspace(0, len(line) - 1, _HULL_POINTS).astype(int)]
        off = np.minimum(*(distances_to(face, plates) for face in _both_faces(part, some, of)))
        yield CardFit(part=part.name, against="hull", measured=of.paper(float(off.max())))


def _to_frames(part: CardPart, rings: Sequence[CardPart], solids: Solids, form: HullForm, of: ModelScale) -> Iterator[CardFit]:
    """How far a part's edge on the skin is from each frame that it passes."""
    for name, ring in {ring.of: ring for ring in rings}.items():
        across, beyond = part.frame.line(ring.frame.plane)
        size = float(np.hypot(*across))
        if size < 0.2:
            continue
        foot, along = across * (beyond / size**2), np.array([-across[1], across[0]]) / size
        line = shapely.LineString([foot - along * 100.0, foot + along * 100.0])
        at = shapely.get_coordinates(shapely.intersection(line, part.outline.exterior))
        if not len(at):
            continue
        skin = without_deck(skin_section(form, ring.frame))
        on = at[shapely.distance(shapely.points(ring.frame.flat(part.frame.space(at))), skin) < 1.5 * of.thickness]
        if len(on):
            whole = [solids[each.name] for each in rings if each.of == name]
            off = np.minimum(*(distances_to(face, whole) for face in _both_faces(part, on, of)))
            yield CardFit(part=part.name, against=name, measured=of.paper(float(off.max())))
