"""Supports under wide lids: where they lie, how long they are, how their ends are cut, and where straps are let into them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np
import shapely

from sketcher.analysis.cut.boards.straps import StrapFace, strap_faces
from sketcher.analysis.cut.boards.support_room import SupportBay, SupportRoom
from sketcher.analysis.cut.outlines import clip_lines
from sketcher.analysis.cut.results import EndCut, Mark, Pattern, Support
from sketcher.analysis.cut.timber.bearer_patterns import outline_at
from sketcher.analysis.cut.timber.stringers import StringerRun, stringer_runs
from sketcher.analysis.findings import Phrase
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import PanelShape
from sketcher.geometry.flat.regions import polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.tolerances import INTO_NEIGHBOUR
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Scene

APART = 0.4
"""[m] What of a lid is left between supports, or between one and what else bears it, is no wider (source `lid-bearers`)."""

USUAL = (0.030, 0.045)
"""[m] Width and depth of a support under a lid that has no bearer stated, sawn from common planking."""

_GRID = 0.010
"""[m] Supports are tried at so many places across a lid."""

_BENEATH = _GRID / 2 + 1e-6
"""[m] A support whose middle is no further than that from a joint's lies under it: there is always such a place of the grid."""

_BESIDE = 0.010
"""[m] They keep so far from the rims of openings."""

_SHORTEST = 0.100
"""[m] What is shorter than this between what bears a lid is left out."""

_LEAST = 1e-3
"""[m] A circle that is wider than `APART` by less is none that a tape finds."""


@dataclass(frozen=True, eq=False)
class _Ground:
    """The under face of a lid's board. frame: u along the supports, v across them, its normal down; all in it.

    free: where supports may lie; bare: what of the boat is free, gaps left out, at their upper and lower face; holes: openings;
    straps: that lie there; neighbours: what bears the lid, by name.
    """

    frame: Frame
    free: shapely.Geometry
    bare: tuple[shapely.Geometry, shapely.Geometry]
    holes: shapely.Geometry
    straps: shapely.Geometry
    neighbours: dict[str, shapely.Geometry]


def supports_under(
    scene: Scene,
    form: HullForm,
    whole: Pattern,
    face: StrapFace,
    shapes: Sequence[PanelShape],
    runs: Sequence[StringerRun],
    straps: Sequence[Pattern] = (),
) -> tuple[Support, ...]:
    """The supports that a lid's board needs, by the hull's fine facets; none where nothing of it spans more than `APART`.

    face: its under face with what stands there; shapes, runs: the panels and bearers; straps: on that face.
    """
    mine = [run.stringer for run in runs if run.stringer.under == whole.panel]
    size = (mine[0].width, mine[0].depth) if mine else USUAL
    grounds = [_ground(scene, form, whole, face, shapes, runs, straps, size[1], turned) for turned in (False, True)]
    ways = [(_laid(ground, size), ground) for ground in grounds]
    laid, _ = min(ways, key=lambda each: (*_rank(each[0]), -_borne(*each)))
    made = [_support(ground, area, f"{whole.name}, support {k}", whole, size) for k, ((ground, area), _) in enumerate(laid, 1)]
    return tuple(each for each in made if each is not None)


_Laid = list[tuple[tuple[_Ground, shapely.Polygon], float]]


def _rank(laid: _Laid) -> tuple[float, int]:
    """How long supports are and how many, the better the less: a support bends by its own length, so they run the short way."""
    return round(max((length for _, length in laid), default=0.0), 2), len(laid)


def _borne(laid: _Laid, ground: _Ground) -> float:
    """How many metres of strap supports lie under all along."""
    middles = [((strap.bounds[1] + strap.bounds[3]) / 2, strap) for strap in _along(ground)]
    return sum(
        float(shapely.intersection(strap, part).area / (part.bounds[3] - part.bounds[1]))
        for (_, part), _ in laid
        for middle, strap in middles
        if abs(middle - (part.bounds[1] + part.bounds[3]) / 2) <= _BENEATH
    )


def support_room(
    scene: Scene, form: HullForm, whole: Pattern, shapes: Sequence[PanelShape], runs: Sequence[StringerRun]
) -> SupportRoom:
    """Where supports under a lid's board can lie along joints, before it has any; none under other boards."""
    if whole.kind != "lid":
        return SupportRoom()
    mine = [run.stringer for run in runs if run.stringer.under == whole.panel]
    size = (mine[0].width, mine[0].depth) if mine else USUAL
    face = _under(whole, shapes, runs)
    grounds = [_ground(scene, form, whole, face, shapes, runs, (), size[1], turned) for turned in (False, True)]
    ranks = [_rank(_laid(ground, size)) for ground in grounds]
    return SupportRoom(
        tuple(
            _bay(ground, region, whole, size[0])
            for ground, rank in zip(grounds, ranks, strict=True)
            if rank == min(ranks)
            for region in _wide(ground)
        )
    )


def _bay(ground: _Ground, region: shapely.Polygon, whole: Pattern, width: float) -> SupportBay:
    """A region of a ground as a bay of a lid's pattern."""
    _, south, _, north = region.bounds
    axes = np.array([ground.frame.u, ground.frame.v]) @ np.array([whole.frame.u, whole.frame.v]).T
    axis = int(np.argmax(np.abs(axes[1])))
    way = float(np.sign(axes[1, axis]))
    faults = _faults(ground, region, width)
    chosen = places_across(south, north, width, faults)
    numbers = [min(round((place - south) / _GRID), len(faults) - 1) for place in chosen]
    return SupportBay(
        axis=axis,
        area=shapely.transform(region, lambda flat: flat @ axes),
        first=way * south,
        step=way * _GRID,
        faults=faults,
        count=len(chosen),
        bad=float(faults[numbers].sum()),
        start=(int(width / 2 / _GRID + 1e-9) + 1, int((width / 2 + APART) / _GRID + 1e-9)),
        reach=(int(width / _GRID + 1e-9) + 1, int((width + APART) / _GRID + 1e-9)),
        end=max(0, ceil((north - south - width / 2 - APART) / _GRID - 1e-9)),
    )


def _wide(ground: _Ground) -> Iterator[shapely.Polygon]:
    """The stretches of a lid that span more than is usual.

    The rim of an opening bears nothing: what spans over it counts whole.
    """
    for region in polygons(shapely.union(ground.free, ground.holes.buffer(_BESIDE))):
        if 2.0 * shapely.maximum_inscribed_circle(region, tolerance=_LEAST).length > APART + _LEAST:
            yield region


def _laid(ground: _Ground, size: tuple[float, float]) -> _Laid:
    """The upper faces of supports on one ground, with how long each is [m]."""
    found: _Laid = []
    for region in _wide(ground):
        west, south, east, north = region.bounds
        faults, joints = _faults(ground, region, size[0]), _joints(ground, region)
        for place in places_across(south, north, size[0], faults, joints):
            band = shapely.box(west - 1.0, place - size[0] / 2, east + 1.0, place + size[0] / 2)
            for part in polygons(shapely.difference(shapely.intersection(band, region), _barred(ground, band))):
                long = part.bounds[2] - part.bounds[0]
                if long > _SHORTEST:
                    found.append(((ground, part), long))
    return found


def _barred(ground: _Ground, band: shapely.Polygon) -> shapely.Geometry:
    """The stretches of a band in which an opening takes some of its width."""
    _, south, _, north = band.bounds
    rims = polygons(shapely.intersection(ground.holes.buffer(_BESIDE), band))
    met = [part.bounds for part in rims if part.bounds[3] - part.bounds[1] > _LEAST]
    return shapely.union_all([shapely.box(west, south - 1.0, east, north + 1.0) for west, _, east, _ in met])


def _faults(ground: _Ground, region: shapely.Polygon, width: float) -> Floats:
    """What is against a support at each place of the grid (k,) across a region: metres of openings, and of straps' edges.

    A strap may cross it, or lie on it as on a bearer; one that lies on half of its width is in its way.
    """
    west, south, east, north = region.bounds
    places = np.arange(south, north + _GRID, _GRID)
    half = width / 2
    bands = shapely.box(west, places - half, east, places + half)
    holes = shapely.intersection(shapely.box(west, places - half - _BESIDE, east, places + half + _BESIDE), ground.holes)
    faults = _lengths(holes)
    for each in polygons(ground.straps):
        strap = shapely.intersection(bands, each)
        along = _lengths(strap)
        covered = shapely.area(strap) / np.maximum(along, 1e-9)
        faults += np.where((along > APART) & (covered < width - _LEAST), along, 0.0)
    return faults


def _joints(ground: _Ground, region: shapely.Polygon) -> Floats:
    """How many metres of joint a support at each place of the grid (k,) across a region lies under, all along."""
    _, south, _, north = region.bounds
    places = np.arange(south, north + _GRID, _GRID)
    borne = np.zeros(len(places))
    for strap in _along(ground):
        _, low, _, high = strap.bounds
        under = np.abs(places - (low + high) / 2) <= _BENEATH
        borne[under] += shapely.intersection(strap, region).area / (high - low)
    return borne


def _along(ground: _Ground) -> list[shapely.Polygon]:
    """The straps that run the way supports do."""
    boxes = [(strap, strap.bounds) for strap in polygons(ground.straps)]
    return [strap for strap, (west, low, east, high) in boxes if east - west > high - low]


def _lengths(areas: Any) -> Floats:
    """How far each of some areas (k,) reaches along the supports [m]."""
    bounds = np.nan_to_num(shapely.bounds(areas))
    lengths: Floats = bounds[:, 2] - bounds[:, 0]
    return lengths


def places_across(low: float, high: float, width: float, faults: Floats, joints: Floats | None = None) -> list[float]:
    """The middles of supports of a width that leave no more than `APART` clear from low to high [m].

    The fewest, or one more where that keeps them off what is in their way; then under as much of joints as can be, for which none
    is added, since a strap holds without; then as even as can be. faults, joints: (k,) [m] at each place of the grid from low on.
    """
    borne = np.zeros(len(faults)) if joints is None else joints
    least = max(0, ceil((high - low - APART) / (APART + width) - 1e-9))
    (few, bad), (more, worse) = (_even(low, high, width, faults, borne, count) for count in (least, least + 1))
    return (more or []) if few is None or (more is not None and worse < bad - _GRID) else few


def _even(low: float, high: float, width: float, faults: Floats, joints: Floats, count: int) -> tuple[list[float] | None, float]:
    """So many places with the least faults, then under most of joints, then the least squares of what is left clear.

    With those faults; None where so few leave too much clear.
    """
    if count == 0:
        return ([], 0.0) if high - low <= APART + 1e-9 else (None, np.inf)
    even = low + (high - low) * (np.arange(count) + 1) / (count + 1)
    sound = all(faults[min(round((place - low) / _GRID), len(faults) - 1)] == 0.0 for place in even)
    if sound and not joints.any():
        return even.tolist(), 0.0
    places = low + _GRID * np.arange(len(faults))
    best: dict[float, tuple[tuple[float, float, float], list[float]]] = {low - width / 2: ((0.0, 0.0, 0.0), [])}
    for _ in range(count):
        further: dict[float, tuple[tuple[float, float, float], list[float]]] = {}
        for before, (cost, chosen) in best.items():
            for k in np.flatnonzero((places > before + width) & (places <= before + width + APART + 1e-9)).tolist():
                clear = places[k] - before - width
                total = (cost[0] + float(faults[k]), cost[1] - float(joints[k]), cost[2] + clear**2)
                if places[k] not in further or total < further[places[k]][0]:
                    further[places[k]] = total, [*chosen, float(places[k])]
        best = further
    ends = [
        ((cost[0], cost[1], cost[2] + (high - last - width / 2) ** 2), chosen)
        for last, (cost, chosen) in best.items()
        if high - last - width / 2 <= APART + 1e-9
    ]
    if not ends:
        # So little may be to spare that no places of the grid will do.
        return (even.tolist(), 0.0) if sound else (None, np.inf)
    (bad, _, _), chosen = min(ends)
    return chosen, bad


def _ground(
    scene: Scene,
    form: HullForm,
    whole: Pattern,
    face: StrapFace,
    shapes: Sequence[PanelShape],
    runs: Sequence[StringerRun],
    straps: Sequence[Pattern],
    depth: float,
    turned: bool,
) -> _Ground:
    own = whole.frame
    down = own.normal if face.drawn else -own.normal
    origin = np.array(own.origin) - (0.0 if face.drawn else whole.thickness) * own.normal
    u, v = (np.array(own.v), np.array(own.u)) if turned else (np.array(own.u), np.array(own.v))
    v = v * np.sign(np.cross(u, v) @ down)
    frame = Frame(triple(origin), triple(u), triple(v))
    across = np.array([own.u, own.v]) @ np.array([u, v]).T

    def moved(area: shapely.Geometry) -> shapely.Geometry:
        return shapely.transform(area, lambda flat: flat @ across)

    holes = shapely.union_all([moved(each.outline) for each in whole.cutouts if each.kind == "opening"])
    neighbours = {name: moved(area) for name, area in face.taken.items()}
    free = shapely.difference(moved(face.wood), shapely.union_all([*neighbours.values(), holes.buffer(_BESIDE)]))
    on_it = [shapely.transform(each.outline, lambda flat, of=each: frame.flat(of.frame.space(flat))) for each in straps]
    bare = (_bare(form, frame, whole, shapes, runs, 0.0), _bare(form, frame, whole, shapes, runs, depth))
    return _Ground(frame, free, bare, holes, shapely.union_all(on_it), neighbours)


def _bare(
    form: HullForm, frame: Frame, whole: Pattern, shapes: Sequence[PanelShape], runs: Sequence[StringerRun], down: float
) -> shapely.Geometry:
    """The inside of the hull so far [m] under a lid, less panels and the bearers under the same lid."""
    level = Frame(triple(np.array(frame.origin) + frame.normal * (down + INTO_NEIGHBOUR)), frame.u, frame.v)
    taken = [clip_lines(piece, level, thick=True) for shape in shapes if shape.name != whole.panel for piece in shape.convex]
    taken += [outline_at(run, level, down) for run in runs if run.stringer.under == whole.panel]
    return shapely.difference(section(form.inside, level), shapely.union_all(taken))


def _support(ground: _Ground, area: shapely.Polygon, name: str, whole: Pattern, size: tuple[float, float]) -> Support | None:
    """One support: its upper face's corners with straight ends, and how far its lower face ends short of them.

    None where the hull is so close below the lid that nothing of its lower face is free.
    """
    width, depth = size
    _, south, _, north = area.bounds
    south, north = (south + north - width) / 2, (south + north + width) / 2
    band = shapely.box(*area.buffer(1.0).bounds[:1], south, area.bounds[2] + 1.0, north)
    barred = _barred(ground, band)
    bare = [_beside(shapely.difference(shapely.intersection(free, band), barred), area) for free in ground.bare]
    if any(each.is_empty for each in bare):
        return None
    first, last = (_end(area, bare, south, north, low=low) for low in (True, False))
    upper = np.array([[first[0][0], south], [last[0][0], south], [last[0][1], north], [first[0][1], north]])
    lower = upper + np.array([[first[1], 0.0], [-last[1], 0.0], [-last[1], 0.0], [first[1], 0.0]])
    corners = [ground.frame.space(upper), ground.frame.space(lower) + ground.frame.normal * depth]
    edges = (float(upper[1, 0] - upper[0, 0]), float(upper[2, 0] - upper[3, 0]))
    ends = (_cut(ground, upper, first[1], depth, low=True), _cut(ground, upper, last[1], depth, low=False))
    return Support(
        name=name,
        lid=whole.panel,
        width=width,
        depth=depth,
        corners=np.stack(corners),
        edges=edges,
        ends=ends,
        notches=tuple(_notches(ground, upper)),
        notched=whole.thickness,
        source="lid-bearers",
    )


def _beside(area: shapely.Geometry, upper: shapely.Polygon) -> shapely.Polygon:
    """The part of an area that a support lies in."""
    parts = polygons(area)
    return max(parts, key=lambda part: shapely.intersection(part, upper).area, default=shapely.Polygon())


def _end(
    area: shapely.Polygon, bare: Sequence[shapely.Polygon], south: float, north: float, *, low: bool
) -> tuple[tuple[float, float], float]:
    """Where an end is on both edges of the upper face, along the support, and how far inward [m] the lower face ends from it."""
    inward = 1.0 if low else -1.0
    sides = [_reach(area, at, low=low) for at in (south, north)]
    middle = _reach(area, (south + north) / 2, low=low)
    hollow = max(0.0, inward * (middle - (sides[0] + sides[1]) / 2))
    one, two = (side + inward * hollow for side in sides)
    heres, theres = ([_reach(each, at, low=low) for at in (south, (south + north) / 2, north)] for each in bare)
    back = max(inward * (there - here) for here, there in zip(heres, theres, strict=True))
    return (one, two), back


def _reach(area: shapely.Geometry, at: float, *, low: bool) -> float:
    """How far an area reaches along the line at a place across it."""
    west, south, east, north = area.bounds
    at = min(max(at, south + 1e-6), north - 1e-6)
    met = shapely.intersection(area, shapely.LineString([(west - 1.0, at), (east + 1.0, at)])).bounds
    return float(met[0] if low else met[2])


def _cut(ground: _Ground, upper: Floats, back: float, depth: float, *, low: bool) -> EndCut:
    """An end's angles: on the upper face from the first edge, on the first edge's face from the upper one, face to cut."""
    one, two = (upper[0], upper[3]) if low else (upper[1], upper[2])
    into = np.array([1.0 if low else -1.0, 0.0, 0.0])
    across, down = np.array([*(two - one), 0.0]), np.array([into[0] * back, 0.0, depth])
    normal = np.cross(across, down)
    normal *= np.sign(normal @ into) / np.linalg.norm(normal)
    side, face = (float(np.degrees(np.arccos(into @ way / np.linalg.norm(way)))) for way in (across, down))
    middle = shapely.Point((one + two) / 2)
    beyond = shapely.Point((one + two) / 2 - into[:2] * _BESIDE)
    near = min(ground.neighbours, key=lambda name: ground.neighbours[name].distance(beyond), default=None)
    touches = near is not None and ground.neighbours[near].distance(beyond) < _BESIDE / 2
    at_rim = not ground.holes.is_empty and ground.holes.distance(middle) < 2.0 * _BESIDE
    place = near if touches else "opening" if at_rim else "hull"
    return EndCut(place=place, side=side, face=face, tilt=float(np.degrees(np.arccos(np.clip(-normal[2], -1.0, 1.0)))))


def _notches(ground: _Ground, upper: Floats) -> Iterator[tuple[float, float]]:
    """From where to where [m], along the first edge from its first end, straps lie over a support."""
    over = polygons(shapely.intersection(ground.straps, shapely.Polygon(upper)))
    first, last = float(upper[0, 0]), float(upper[1, 0])
    for part in sorted(over, key=lambda each: each.bounds[0]):
        # Its other edge may begin before the first one does, where its ends are slanted.
        start, end = max(part.bounds[0], first), min(part.bounds[2], last)
        if end > start:
            yield start - first, end - first


def lids_supports(
    scene: Scene, form: HullForm, boards: Sequence[tuple[Pattern, Sequence[Pattern]]], shapes: Sequence[PanelShape]
) -> tuple[Support, ...]:
    """The supports of all lids. boards: each whole board with the parts and straps that it is cut as."""
    runs = stringer_runs(scene, form) if scene.stringers else ()
    found: list[Support] = []
    for whole, parts in boards:
        if whole.kind == "lid":
            face = _under(whole, shapes, runs)
            straps = [each for each in parts if each.kind == "butt strap" and each.forward.values["face"] == "under"]
            found += supports_under(scene, form, whole, face, shapes, runs, straps)
    return tuple(found)


def _under(whole: Pattern, shapes: Sequence[PanelShape], runs: Sequence[StringerRun]) -> StrapFace:
    """The under face of a lid's board with what stands there."""
    return next(each for each in strap_faces(whole, shapes, runs) if each.name == "under")


def timber_marks(pattern: Pattern, supports: Sequence[Support], runs: Sequence[StringerRun]) -> tuple[Mark, ...]:
    """Where supports, and the inner edges of bearers, lie under a lid's board."""
    if pattern.kind != "lid":
        return ()
    lines = [(each.name, np.vstack([each.corners[0], each.corners[0, :1]])) for each in supports if each.lid == pattern.panel]
    lines += [(run.name, run.sections[:, 1]) for run in runs if run.stringer.under == pattern.panel]
    face = None if pattern.drawn_face == "under" else "under"
    return tuple(
        Mark(kind="stringer", line=np.asarray(part.coords), says=Phrase("landing-mark", {"panel": name, "face": face}))
        for name, line in lines
        for part in shapely.get_parts(shapely.intersection(shapely.LineString(pattern.frame.flat(line)), pattern.blank)).tolist()
        if part.geom_type == "LineString" and part.length > _BESIDE
    )
