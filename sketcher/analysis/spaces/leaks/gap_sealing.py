"""Gaps closed: which of the slots beyond panels' open edges keep two spaces apart but for a leak."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from manifold3d import Manifold

from sketcher.analysis.results import PanelShape
from sketcher.analysis.spaces.boolean_cuts import HullSolid, Owners, Parts, parts_in, parts_together
from sketcher.analysis.spaces.leaks.contacts import Contact, contacts, one_plane
from sketcher.analysis.spaces.leaks.edge_extensions import Strip, held_by_both, in_box, open_edges, solid_within, strips_along
from sketcher.analysis.spaces.leaks.lapped_gaps import laps_between
from sketcher.analysis.spaces.leaks.slots import Slot, drawn_out, looked_beyond, short_slots, slots_beyond
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.boolean import solid_of, surface_of, united
from sketcher.geometry.tolerances import ADJOINING_AREA, EVEN, GAP_SEEN, NO_ROOM, SLIVER_VOLUME

_FACING = 0.7
"""[1] least cosine between the way through a gap and a wall of a space for that space to lie at the gap's end."""
_IN_TURN = ((True, False, GAP_SEEN), (False, False, GAP_SEEN), (True, False, 0.0), (True, True, GAP_SEEN))
"""How spaces may lie about a gap, the surest first: at its own strip's sides, facing each other aslant, so wide [m] at least."""


@dataclass(frozen=True, eq=False)
class Sealed:
    """The parts once every gap up to the limit counts as closed. gap_volume [m3]: of the gaps; slots: every one found.

    strips: all that were looked along for gaps.
    """

    parts: Parts
    owners: Owners
    slots: tuple[Slot, ...]
    gap_volume: float
    strips: tuple[Strip, ...] = ()


@dataclass(frozen=True, eq=False)
class Parted:
    """A part with strips taken out of it, where that leaves more than one space.

    taken, left: what the strips hold of it, and the rest; gaps: the slots through which its spaces would leak into each other,
    each told once. telling: the strips that these belong to, each within a box about its gap.
    """

    taken: Manifold
    left: Parts
    gaps: tuple[Slot, ...]
    telling: tuple[Strip, ...]


def seal(parts: Parts, shapes: Sequence[PanelShape], hull: HullSolid, owners: Owners, limit: float) -> Sealed:
    """Close the gaps no wider than `limit` [m] that alone join two spaces, and find every narrow slot beside.

    Each part is looked at by itself, so that a part is sealed alike whatever lies beside it.
    """
    reach = max(limit, GAP_SEEN) + EVEN
    opened = open_edges(parts, shapes)
    sealed_parts: list[Parts] = []
    slots: list[Slot] = []
    looked_along: list[Strip] = []
    gap_volume = 0.0
    start = 0
    for part in range(parts.count):
        mesh = parts.mesh(part)
        edges = opened.get(part, ())
        strips = (*strips_along(shapes, edges, reach), *laps_between(shapes, edges, reach))
        looked_along += strips
        owners = with_strips(owners, strips)
        near = {strip.origin: slots_beyond(strip, mesh, shapes[strip.panel]) for strip in strips}
        parted = _sealed(solid_of(parts.of(part)), strips, near, shapes, hull, owners) if strips else None
        left = parts.only(part) if parted is None else parted.left
        told = () if parted is None else parted.gaps
        telling = {} if parted is None else {strip.origin: strip for strip in parted.telling}
        found = [replace(slot, between=(slot.between[0] + start, slot.between[1] + start)) for slot in told if slot.between]
        alone = [strip for strip in strips if strip.origin not in telling and not strip.lapping]
        short = [(strip, slot) for strip in alone for slot in short_slots(strip, mesh, shapes[strip.panel], near[strip.origin])]
        found += _told_once(short, telling.values())
        slots += [looked_beyond(slot, mesh) for slot in found]
        gap_volume += 0.0 if parted is None else float(parts.volume[part] - left.volume.sum())
        sealed_parts.append(left)
        start += left.count
    return Sealed(parts_together(sealed_parts) if gap_volume else parts, owners, tuple(slots), gap_volume, tuple(looked_along))


def _told_once(short: Iterable[tuple[Strip, Slot]], telling: Iterable[Strip]) -> list[Slot]:
    """The short edges that no gap tells of: two panels in one place end short as one, whichever's face it is that is seen."""
    tellers, found = list(telling), []
    for strip, slot in short:
        if not _told_already(strip, slot, [other for other in tellers if other is not strip]):
            found.append(slot)
            tellers.append(strip)
    return found


def _told_already(strip: Strip, slot: Slot, telling: Iterable[Strip]) -> bool:
    """Whether most of a strip's slot is part of gaps that others tell of: of two panels that end at one gap one tells it."""
    told = shapely.union_all([shapely.intersection(slot.region, held_by_both(strip, other, slot.frame)) for other in telling])
    return bool(told.area > slot.region.area / 2)


def with_strips(owners: Owners, strips: Sequence[Strip]) -> Owners:
    """These owners and those of the strips."""
    if not strips:
        return owners
    return owners.with_plugs(np.array([strip.origin for strip in strips]), np.array([strip.panel for strip in strips]))


def _sealed(
    solid: Manifold,
    strips: Sequence[Strip],
    near: dict[int, list[Slot]],
    shapes: Sequence[PanelShape],
    hull: HullSolid,
    owners: Owners,
) -> Parted | None:
    """The part with its gaps closed; None where it stays one space.

    First all strips are taken out, which shows what leaks where; then, unless that is all that was taken, only those that tell of
    a gap, and no more of them than is about it, so that everything else is given back.
    """
    first = parted(solid, strips, near, shapes, hull, owners)
    if first is None or (first.taken - united([strip.solid for strip in first.telling])).volume() <= NO_ROOM:
        return first
    second = parted(solid, first.telling, near, shapes, hull, owners)
    whole = second is not None and _spaces(second.left) == _spaces(first.left)
    return second if whole else first


def _spaces(parts: Parts) -> int:
    return int(np.count_nonzero(parts.volume > SLIVER_VOLUME))


def parted(
    solid: Manifold,
    strips: Sequence[Strip],
    near: dict[int, list[Slot]],
    shapes: Sequence[PanelShape],
    hull: HullSolid,
    owners: Owners,
) -> Parted | None:
    """A part less strips; None where that leaves one space. near: what each strip, by its id, holds right beyond its edge."""
    inside, outside = solid.split(united([strip.solid for strip in strips]))
    left = parts_in(surface_of(outside), hull, owners)
    if _spaces(left) < 2:
        return None
    taken = parts_in(surface_of(inside), hull, owners)
    touching = [contact for contact in contacts(taken, left, strips) if left.volume[contact.space] > SLIVER_VOLUME]
    by_id = {strip.origin: strip for strip in strips}
    within = _by_piece(taken, near, by_id)
    gaps: list[Slot] = []
    about: dict[int, list[Floats]] = {}
    for piece in range(taken.count):
        walls = [contact for contact in touching if contact.piece == piece]
        spaces = sorted({contact.space for contact in walls})
        if len(spaces) < 2:
            continue
        told = _told(spaces, walls, within.get(piece, []), by_id)
        corners = taken.vertices[taken.triangles[taken.part == piece]].reshape(-1, 3)
        for origin, _ in told:
            about.setdefault(origin, []).append(corners)
        gaps += [drawn_out(slot, by_id[origin].aside) for origin, slot in told]
    telling = tuple(_about(by_id[origin], np.concatenate(corners), shapes) for origin, corners in about.items())
    return Parted(inside, left, tuple(gaps), telling) if gaps else None


def _about(strip: Strip, corners: Floats, shapes: Sequence[PanelShape]) -> Strip:
    """The part of a strip in the box round the corners (n, 3) of its gaps."""
    planes = in_box(strip.planes, corners.min(axis=0) - EVEN, corners.max(axis=0) + EVEN)
    solid = solid_within(planes, strip.origin, shapes[strip.panel].name)
    return strip if solid is None else replace(strip, planes=planes, mesh=solid[0], solid=solid[1])


def _by_piece(taken: Parts, near: dict[int, list[Slot]], strips: Iterable[int]) -> dict[int, list[tuple[int, Slot]]]:
    """The slots beyond the strips' edges, each with its strip's id, by the piece taken out that they lie in."""
    found: dict[int, list[tuple[int, Slot]]] = {}
    for origin in strips:
        for slot in near[origin]:
            middle = slot.region.representative_point()
            piece = taken.holding(slot.frame.space(np.array([[middle.x, middle.y]]))[0])
            found.setdefault(piece, []).append((origin, slot))
    return found


def _told(
    spaces: Sequence[int], walls: Sequence[Contact], near: Sequence[tuple[int, Slot]], strips: dict[int, Strip]
) -> list[tuple[int, Slot]]:
    """The slots through which the spaces round a piece taken out leak into each other, each with its strip's id.

    The largest tells first; what it told, or what another strip holds of the same gap, is not told again. Spaces that lie at a
    strip's two sides come before those that other strips lie between, these before those at the sides of a joint too narrow to be
    seen, and these before those that face each other aslant only; and where spaces stay that no slot joins to the others so, as
    where two gaps cross, one more is told between those at either side of it.
    """
    leaks: list[tuple[int, Slot]] = []
    told: dict[tuple[int, int], list[tuple[int, shapely.Geometry]]] = {}
    for exactly, aslant, narrowest in _IN_TURN:
        apart = _components(spaces, [slot.between for _, slot in leaks if slot.between])
        if len(apart) == 1:
            break
        options = [
            (origin, slot, *facing)
            for origin, slot in near
            for facing in _facing(slot, [wall for wall in walls if not exactly or _at(wall, strips[origin])], aslant)
        ]
        for origin, slot, front, back, region in sorted(options, key=lambda option: -round(option[-1].area, 9)):
            if any({front, back} <= group for group in apart):
                continue
            others = told.setdefault((min(front, back), max(front, back)), [])
            for other, its in others:
                again = its if other == origin else held_by_both(strips[origin], strips[other], slot.frame)
                region = shapely.difference(region, again)
            areas = [area for area in polygons(region) if area.area > ADJOINING_AREA and not area.buffer(-narrowest / 2).is_empty]
            for area in _together(areas, strips[origin].reach):
                rest = replace(slot, region=area, between=(front, back), blind=False)
                begun = _begun(leaks, rest)
                if begun is None:
                    leaks.append((origin, rest))
                else:
                    k, whole = begun
                    leaks[k] = leaks[k][0], replace(leaks[k][1], region=whole)
            if areas:
                others.append((origin, shapely.union_all(areas)))
    joined = _components(spaces, [slot.between for _, slot in leaks if slot.between])
    while len(joined) > 1 and near:
        origin, slot, one, other = _at_either_side(joined, walls, near)
        leaks.append((origin, replace(slot, between=(one, other), blind=False)))
        joined = _components(spaces, [slot.between for _, slot in leaks if slot.between])
    return leaks


def _begun(leaks: Sequence[tuple[int, Slot]], rest: Slot) -> tuple[int, shapely.Geometry] | None:
    """Which leak a slot is the rest of, and what that is together: a gap wider than the limit between two edges in one plane.

    The strip before the one edge holds as much of it as the limit, that before the other what is left.
    """
    corners = rest.frame.space(shapely.get_coordinates(rest.region))
    for k, (_, leak) in enumerate(leaks):
        if rest.panel == leak.panel or leak.lapping or rest.lapping or set(leak.between or ()) != set(rest.between or ()):
            continue
        if np.abs(leak.frame.plane.over(corners)).max() < GAP_SEEN:
            further = shapely.transform(rest.region, lambda flat, to=leak.frame: to.flat(rest.frame.space(flat)))
            beyond = further.bounds[1] > leak.region.bounds[3] - GAP_SEEN
            if beyond and shapely.distance(further, leak.region) < GAP_SEEN:
                return k, shapely.union(leak.region, further)
    return None


def _together(areas: Sequence[shapely.Polygon], reach: float) -> list[shapely.Geometry]:
    """Areas of one slot, those no further apart than `reach` [m] as one: a corner that stands before a gap makes no two of it."""
    groups = polygons(shapely.union_all([area.buffer(reach / 2) for area in areas]))
    return [shapely.union_all([area for area in areas if group.contains(area)]) for group in groups]


def _at(wall: Contact, strip: Strip) -> bool:
    """Whether a wall is one of the strip's own."""
    return any(one_plane(wall.plane, plane) for plane in strip.planes)


def _facing(slot: Slot, walls: Sequence[Contact], aslant: bool) -> Iterator[tuple[int, int, shapely.Geometry]]:
    """The spaces before and behind a slot that face each other through it, and where.

    aslant: at the same place along its edge, for one that is narrow beside what its walls are out of square.
    """
    normal = slot.frame.normal
    sides: tuple[dict[int, shapely.Geometry], dict[int, shapely.Geometry]] = ({}, {})
    for wall in walls:
        cosine = float(wall.out @ normal)
        if abs(cosine) > _FACING:
            side = sides[0 if cosine > 0 else 1]
            seen = wall.seen_in(slot.frame)
            side[wall.space] = shapely.union(side.get(wall.space, shapely.Polygon()), _across(seen, slot) if aslant else seen)
    for front, before in sides[0].items():
        for back, behind in sides[1].items():
            region = shapely.intersection(shapely.intersection(before, behind), slot.region)
            if front != back and region.area > ADJOINING_AREA:
                yield front, back, region


def _across(area: shapely.Geometry, slot: Slot) -> shapely.Geometry:
    """All of a slot's width, as far along its edge as an area's parts reach."""
    _, low, _, high = slot.region.bounds
    return shapely.union_all([shapely.box(part.bounds[0], low, part.bounds[2], high) for part in polygons(area)])


def _components(spaces: Sequence[int], pairs: Sequence[tuple[int, int]]) -> list[set[int]]:
    """The spaces in groups that pairs of them join."""
    groups = [{space} for space in spaces]
    for pair in pairs:
        meeting = [group for group in groups if group & set(pair)]
        groups = [group for group in groups if not group & set(pair)] + [set().union(*meeting)]
    return groups


def _at_either_side(
    groups: Sequence[set[int]], walls: Sequence[Contact], near: Sequence[tuple[int, Slot]]
) -> tuple[int, Slot, int, int]:
    """The slot with the first group of spaces wholly to one side and another wholly to the other, else that parts them best.

    With its strip's id and a space of either group, the one before it first.
    """
    options: list[tuple[bool, float, int, Slot, int, int]] = []
    for origin, slot in near:
        off = {wall.space: 0.0 for wall in walls}
        for wall in walls:
            x, y = wall.region.centroid.x, wall.region.centroid.y
            off[wall.space] += float((wall.frame.space(np.array([[x, y]]))[0] - slot.frame.origin) @ slot.frame.normal)
        for other in groups[1:]:
            one, its = ({space: off[space] for space in group} for group in (groups[0], other))
            apart = max(min(one.values()) - max(its.values()), min(its.values()) - max(one.values()))
            a, b = max(one, key=lambda k: abs(one[k])), max(its, key=lambda k: abs(its[k]))
            front, back = (a, b) if off[a] >= off[b] else (b, a)
            options.append((apart > 0, -slot.region.area if apart > 0 else apart, origin, slot, front, back))
    _, _, origin, slot, front, back = max(options, key=lambda option: option[:2])
    return origin, slot, front, back
