"""Panels in parts: where one does not go below or come out of a sheet, a joint where it is short and clear of openings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely

from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.boards.hatch_fit import Limits, limits_for, why_not
from sketcher.analysis.cut.boards.joint_search import CrossedRow, StrapRoom, best_joints, crossed_joints, small_enough
from sketcher.analysis.cut.boards.notes import notes_of
from sketcher.analysis.cut.boards.stated_joints import DIRECTIONS, RATIOS, in_boat, place_of_joint, stated_places
from sketcher.analysis.cut.boards.straps import (
    EDGE,
    Cut,
    joint_lines,
    joint_marks,
    longest_strap,
    part_between,
    strap_faces,
    straps_over,
)
from sketcher.analysis.cut.boards.support_room import NO_SUPPORTS, SupportRoom
from sketcher.analysis.cut.panel_patterns import touched
from sketcher.analysis.cut.results import Bevel, Joint, Mark, Pattern
from sketcher.analysis.cut.timber.stringers import StringerRun
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.results import PanelShape
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import PART_AREA
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Opening, Scene

_FINEST = 0.0005
"""[m] No pencil line is finer."""


def in_parts(
    scene: Scene,
    pattern: Pattern,
    shapes: Sequence[PanelShape] = (),
    route: Sequence[Opening] | None = None,
    runs: Sequence[StringerRun] = (),
    axes: Sequence[int] = (0, 1),
    supports: Callable[[], SupportRoom] | None = None,
    fitted: Pattern | None = None,
) -> tuple[tuple[Pattern, ...], tuple[Joint, ...]]:
    """The pattern by itself where it goes below and out of a sheet, else its parts, with straps for each butt, and the joints.

    Joints that the scene states are taken as they are. A panel that no few straight cuts make small enough is left whole.
    shapes, runs: the panels and bearers that straps keep clear of; route: the openings to its place, as for `limits_for`.
    axes: along which it may be cut up, to the right and up on the pattern; along both at once only where both are given.
    supports: asked only where there is a joint, for where supports can lie under it; not minded where that takes more straps.
    fitted: the same board as gaps read in the boat move its edges: it is cut where the pattern would be, so that joints stay.
    """
    fitted = pattern if fitted is None else fitted
    parts, joints = _in_parts(scene, pattern, fitted, shapes, route, runs, axes, supports)
    if supports is not None and pattern.kind == "lid" and _straps(parts) > len(joints):
        plain, others = _in_parts(scene, pattern, fitted, shapes, route, runs, axes, None)
        if _straps(plain) < _straps(parts):
            return plain, tuple(replace(joint, unborne=Phrase("support-takes-strap")) for joint in others)
    return parts, joints


def _straps(parts: Sequence[Pattern]) -> int:
    return sum(part.kind == "butt strap" for part in parts)


def _in_parts(
    scene: Scene,
    pattern: Pattern,
    fitted: Pattern,
    shapes: Sequence[PanelShape],
    route: Sequence[Opening] | None,
    runs: Sequence[StringerRun],
    axes: Sequence[int],
    supports: Callable[[], SupportRoom] | None,
) -> tuple[tuple[Pattern, ...], tuple[Joint, ...]]:
    stated = stated_places(scene, pattern)
    limits = limits_for(scene, pattern.thickness, route)
    reason = why_not(limits, pattern, pattern.blank) if stated is None else None
    if not stated and reason is None:
        return (fitted,), ()
    butt = scene.cutting.joint == "butt strap"
    faces = strap_faces(pattern, shapes, runs) if butt else ()
    width = RATIOS[scene.cutting.joint] * pattern.thickness
    overlap = 0.0 if butt else width / 2
    room = StrapRoom(pattern, faces, width, runs, supports=NO_SUPPORTS if supports is None else supports())
    if stated:
        cuts = tuple(Cut(axis, place, overlap) for axis, place in stated)
    else:
        pattern, cuts = best_joints(limits, pattern, room, overlap, axes)
        cuts = _scarfed(limits, pattern, room, cuts)
    rows: tuple[CrossedRow, ...] = ()
    if not cuts and not stated and len(axes) > 1:
        pattern, cuts, rows = crossed_joints(limits, pattern, room, overlap)
    if not cuts:
        return (fitted,), ()
    if fitted is not pattern and fitted.fits:
        pattern = replace(fitted, grain=pattern.grain)
        faces = strap_faces(pattern, shapes, runs) if butt else ()
        room = StrapRoom(pattern, faces, width, runs, supports=room.supports)
        rows = tuple(
            replace(row, area=largest(part_between(pattern.blank, low, high)))
            for row, (low, high) in zip(rows, pairwise((None, *cuts, None)), strict=bool(rows))
        )
    bands = [_split(row.area, row.cuts) for row in rows] or [polygons(band) for band in _split(pattern.blank, cuts)]
    named = _named(pattern, [[piece for piece in band if piece.area >= PART_AREA] for band in bands])
    crossing = [row.cuts for row in rows] or [()] * len(named)
    parts = [
        _part(scene, pattern, name, piece, (*cuts, *across))
        for band, across in zip(named, crossing, strict=True)
        for name, piece in band
    ]
    joints: list[Joint] = []
    straps: list[Pattern] = []
    for cut, area, sides, there, beside in _all_cuts(pattern, cuts, rows, room, named):
        unborne = _why_unborne(limits, there, beside, cut, stated=reason is None)
        for line in joint_lines(cut, area):
            between_parts = (_beside(line, sides[0]), _beside(line, sides[1]))
            joints.append(replace(_joint(pattern, cut, line, between_parts, there, reason), unborne=unborne))
            for face in there.faces:
                if face.name in joints[-1].faces:
                    straps += straps_over(pattern, face, line, joints[-1], len(straps) + 1, longest_strap(limits, pattern))
    return (*parts, *straps), tuple(joints)


_Named = list[tuple[str, shapely.Polygon]]
"""Parts with their names."""


def _split(area: shapely.Geometry, cuts: Sequence[Cut]) -> list[shapely.Geometry]:
    """An area between parallel cuts."""
    return [part_between(area, low, high) for low, high in pairwise((None, *cuts, None))]


def _named(pattern: Pattern, bands: Sequence[Sequence[shapely.Polygon]]) -> list[_Named]:
    """The parts of each band, numbered through."""
    count = sum(len(band) for band in bands)
    numbers = iter(range(1, count + 1))
    return [[(f"{pattern.name}, part {next(numbers)} of {count}", piece) for piece in band] for band in bands]


def _all_cuts(
    pattern: Pattern, cuts: Sequence[Cut], rows: Sequence[CrossedRow], room: StrapRoom, named: Sequence[_Named]
) -> Iterator[tuple[Cut, shapely.Geometry, tuple[_Named, _Named], StrapRoom, Sequence[Cut]]]:
    """Each cut with its area, the parts on either side of it, the room that its straps have, and all cuts across that area."""
    for k, cut in enumerate(cuts):
        yield cut, pattern.blank, (named[k], named[k + 1]), room, cuts
    for row, mine in zip(rows, named[: len(rows)], strict=True):
        for k, cut in enumerate(row.cuts):
            yield cut, row.area, ([mine[k]], [mine[k + 1]]), row.room, row.cuts


def _scarfed(limits: Limits, pattern: Pattern, room: StrapRoom, cuts: tuple[Cut, ...]) -> tuple[Cut, ...]:
    """The cuts, with a scarf in place of each butt that no strap has full room over, where its parts then still go below."""
    for k, cut in enumerate(cuts):
        if room.faces and room.best_face(cut)[0][0] > 0.0:
            scarf = replace(cut, overlap=RATIOS["scarf"] * pattern.thickness / 2)
            tried = (*cuts[:k], scarf, *cuts[k + 1 :])
            cuts = tried if small_enough(limits, pattern, tried) else cuts
    return cuts


def _joint(pattern: Pattern, cut: Cut, line: Floats, parts: tuple[str, str], room: StrapRoom, reason: Phrase | None) -> Joint:
    """A joint along a line; its straps are on the face with the most room, and on both where neither has enough."""
    kind: Literal["butt strap", "scarf"] = "scarf" if cut.overlap else "butt strap"
    (x, y), (x2, y2) = line.tolist()
    ends = pattern.frame.space(line)
    short, clear_at = 0.0, None
    in_way: tuple[str, ...] = ()
    strapped: tuple[str, ...] = ()
    if room.faces:
        _, best = room.best_face(cut)
        short = room.short([line], cut.axis, room.faces.index(best))
        in_way = room.in_way(line, cut.axis) if short else ()
        strapped = tuple(each.name for each in room.faces if each is best or short) if kind == "butt strap" else ()
        clear = room.nearest_clear(cut) if short and reason is None and pattern.kind in DIRECTIONS else None
        if clear is not None:
            clear_at = place_of_joint(DIRECTIONS[pattern.kind][cut.axis], in_boat(pattern, cut.axis, clear))
    return Joint(
        panel=pattern.panel,
        kind=kind,
        line=((x, y), (x2, y2)),
        ends=(triple(ends[0]), triple(ends[1])),
        parts=parts,
        width=RATIOS[kind] * pattern.thickness,
        ratio=RATIOS[kind],
        source="butt-strap" if kind == "butt strap" else "scarf",
        reason=reason,
        faces=strapped,
        short=short,
        in_way=in_way,
        clear_at=clear_at,
        borne_by=room.bearers(cut),
    )


def _why_unborne(limits: Limits, room: StrapRoom, cuts: Sequence[Cut], cut: Cut, *, stated: bool) -> Phrase | None:
    """Why no support can lie along one of the parallel cuts across a lid's board; None where one can, or a panel is under it."""
    pattern = room.pattern
    if pattern.kind != "lid" or room.bearers(cut) or room.borne(cut):
        return None
    if not room.supports.bays:
        return Phrase("lid-needs-no-support")
    if cut.axis not in room.supports.axes:
        return Phrase("supports-run-across")
    others = [each for each in cuts if each is not cut]
    found = (replace(cut, place=place) for place in sorted(room.supports.places(cut.axis), key=lambda at: abs(at - cut.place)))
    moved = next((each for each in found if room.borne(each)), None)
    if moved is None:
        return Phrase("no-support-so-long")
    at = place_of_joint(DIRECTIONS[pattern.kind][cut.axis], in_boat(pattern, cut.axis, moved.place))
    if stated:
        return Phrase("support-lies-at", {"at": at})
    return Phrase("support-lies-where", {"at": at, "there": _what_hinders(limits, room, others, cut, moved)})


def _what_hinders(limits: Limits, room: StrapRoom, others: Sequence[Cut], cut: Cut, moved: Cut) -> Phrase:
    """What is worse about a joint where it was moved to lie over a support."""
    (into, near), (into_now, near_now) = room.crossed(moved), room.crossed(cut)
    if into > into_now:
        return Phrase("joint-meets-opening")
    if room.faces:
        (short, tapered, *_), (short_now, tapered_now, *_) = room.best_face(moved)[0], room.best_face(cut)[0]
        if short > short_now:
            return Phrase("joint-meets-panels", {"panels": room.in_way(joint_lines(moved, room.pattern.blank)[0], cut.axis)})
        if tapered > tapered_now:
            return Phrase("joint-strap-tapers")
    if near > near_now:
        return Phrase("joint-near-corner")
    if small_enough(limits, room.pattern, sorted([*others, moved], key=lambda each: each.place)):
        return Phrase("joint-takes-support")
    return Phrase("joint-leaves-large")


def _beside(line: Floats, band: list[tuple[str, shapely.Polygon]]) -> str:
    """The name of the part that a joint line bounds, of those between two cuts; of all of them where it bounds several."""
    run = shapely.LineString(line)
    along = [name for name, piece in band if shapely.intersection(piece.buffer(EDGE), run).length > 3 * EDGE]
    if len(along) > 1:
        whole, _, of = along[0].rpartition(", part ")
        numbers = [name.rpartition(", part ")[2].partition(" of ")[0] for name in along]
        return f"{whole}, parts {' and '.join(numbers)} of {of.partition(' of ')[2]}"
    middle = shapely.Point(line.mean(axis=0))
    return min(band, key=lambda each: each[1].distance(middle))[0]


def strap_findings(joints: Sequence[Joint], wholes: Sequence[Pattern] = ()) -> Iterator[Finding]:
    """Findings for joints that no strap has full room over, whether a scarf or a strap on each face was found instead.

    wholes: the boards before they were cut, of which joints found may come too near to openings.
    """
    for joint in joints:
        if not joint.stated:
            yield from _near_openings(joint, [each for each in wholes if each.panel == joint.panel])
        if joint.short > 0.0:
            yield Finding(
                code="strap-not-full" if joint.kind == "butt strap" else "scarf-for-strap",
                severity="warn" if joint.kind == "butt strap" else "note",
                object=joint.panel,
                values={
                    "panel": joint.panel,
                    "parts": tuple(part.removeprefix(f"{joint.panel}, ") for part in joint.parts),
                    "short": Length(joint.short),
                    "width": Length(joint.width),
                    "in_way": joint.in_way,
                    **({"clear_at": joint.clear_at} if joint.kind == "butt strap" else {}),
                },
                measured=joint.short,
                source=joint.source,
            )


def _near_openings(joint: Joint, boards: Sequence[Pattern]) -> Iterator[Finding]:
    """Findings for openings that a joint runs up to, or that its strap or scarf comes nearer to than it is kept off."""
    line = shapely.LineString(joint.line)
    strip = line.buffer(joint.width / 2, cap_style="flat")
    holes = [hole for board in boards if board.blank.distance(line) < EDGE for hole in board.cutouts if hole.kind == "opening"]
    for hole in holes:
        clear = float(strip.distance(hole.outline))
        if clear < EDGE - _FINEST:
            yield Finding(
                code="strap-near-opening",
                severity="note",
                object=joint.panel,
                values={
                    "panel": joint.panel,
                    "parts": tuple(part.removeprefix(f"{joint.panel}, ") for part in joint.parts),
                    "kind": joint.kind,
                    "opening": hole.name,
                    "clear": None if line.distance(hole.outline) < EDGE else Length(clear),
                    "usual": Length(EDGE),
                },
                measured=clear,
                limit=EDGE,
                source=joint.source,
            )


def _part(scene: Scene, whole: Pattern, name: str, blank: shapely.Polygon, cuts: tuple[Cut, ...]) -> Pattern:
    """One piece of a pattern between its cuts as a pattern in the same frame."""
    outline, other = (largest(shapely.intersection(area, blank)) for area in (whole.outline, whole.other_outline))
    marks = [mark for mark in whole.marks for mark in _clipped_mark(mark, blank)]
    for cut in cuts:
        marks += joint_marks(shapely.intersection(cut.line, blank))
    named, checks = corners_and_diagonals(outline)
    share = (outline.area + other.area) / (whole.outline.area + whole.other_outline.area)
    bevels = _bevels_on(whole.bevels, outline)
    cutouts = tuple(cutout for cutout in whole.cutouts if cutout.outline.intersects(blank.buffer(0.002)))
    of_whole = set(notes_of(scene.cutting, whole.bevels, whole.cutouts))
    return replace(
        whole,
        name=name,
        outline=outline,
        other_outline=other,
        blank=blank,
        area=max(outline.area, other.area),
        mass=None if whole.mass is None else whole.mass * share,
        marks=tuple(marks),
        bevels=bevels,
        cutouts=cutouts,
        corners=named,
        diagonals=checks,
        touches=touched(bevels, marks),
        notes=(*notes_of(scene.cutting, bevels, cutouts), *(note for note in whole.notes if note not in of_whole)),
    )


def from_own_edges(part: Pattern) -> Pattern:
    """A part with its zero on its own lowest edge, where a tape can be hooked, and its left one where no centreline is on it."""
    west, south, east, _ = part.blank.bounds
    keep = part.kind != "partition" and west <= 0.0 <= east
    move = -np.array([0.0 if keep else west, south])

    def shifted(area: shapely.Polygon) -> shapely.Polygon:
        return shapely.transform(area, lambda flat: flat + move)

    outline, other = shifted(part.outline), shifted(part.other_outline)
    named, checks = corners_and_diagonals(outline)
    return replace(
        part,
        frame=Frame(triple(part.frame.space(-move[None])[0]), part.frame.u, part.frame.v),
        outline=outline,
        other_outline=other,
        blank=shifted(part.blank),
        marks=tuple(replace(mark, line=mark.line + move) for mark in part.marks),
        bevels=tuple(replace(bevel, at=(bevel.at[0] + float(move[0]), bevel.at[1] + float(move[1]))) for bevel in part.bevels),
        cutouts=tuple(replace(cutout, outline=shifted(cutout.outline)) for cutout in part.cutouts),
        corners=named,
        diagonals=checks,
    )


def _clipped_mark(mark: Mark, board: shapely.Polygon) -> Iterator[Mark]:
    for part in shapely.get_parts(shapely.intersection(shapely.LineString(mark.line), board.buffer(1e-6))).tolist():
        if part.geom_type == "LineString" and part.length > 0.005:
            yield replace(mark, line=np.asarray(part.coords))


def _bevels_on(bevels: tuple[Bevel, ...], outline: shapely.Polygon) -> tuple[Bevel, ...]:
    """The bevels whose places are on a part's outline, in the order in which it goes."""
    ring = outline.exterior
    kept = [b for b in bevels if ring.distance(shapely.Point(b.at)) < 1e-6]
    moved = [replace(b, along=float(ring.project(shapely.Point(b.at)))) for b in kept]
    return tuple(sorted(moved, key=lambda b: b.along))
