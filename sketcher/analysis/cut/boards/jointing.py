"""Panels in parts: where one does not go below or come out of a sheet, a joint where it is short and clear of openings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.boards.hatch_fit import Limits, limits_for
from sketcher.analysis.cut.boards.notes import notes_of
from sketcher.analysis.cut.boards.stated_joints import RATIOS, stated_places
from sketcher.analysis.cut.outlines import clip_lines
from sketcher.analysis.cut.panel_patterns import touched
from sketcher.analysis.cut.results import Bevel, Joint, Mark, Pattern
from sketcher.analysis.findings import Length, Phrase
from sketcher.analysis.results import PanelShape
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.flat.widths import least_width
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import PART_AREA
from sketcher.geometry.vectors import triple
from sketcher.model.scene import Opening, Scene

_STEP = 0.025
"""[m] Joints are tried at so many places of the pattern."""

_MOST_PARTS = 8
"""A panel that would need more parts is left whole, and said to be."""

_EDGE = 0.030
"""[m] A strap stops this short of the panel's edges, clear of fillets and bevels."""

_STRAP_ROOM = 0.003
"""[m] A strap keeps so far from a panel that stands beside it: it is laid by hand."""

_FAR = 1e3


@dataclass(frozen=True)
class _Cut:
    """A line across a pattern: at `place` [m] along axis 0 or 1."""

    axis: int
    place: float

    def side(self, low: bool, overlap: float) -> shapely.Polygon:
        """The half of the paper on one side of the line, and `overlap` [m] beyond it."""
        edge = self.place + (overlap if low else -overlap)
        near, far = (-_FAR, edge) if low else (edge, _FAR)
        return shapely.box(near, -_FAR, far, _FAR) if self.axis == 0 else shapely.box(-_FAR, near, _FAR, far)

    @property
    def line(self) -> shapely.LineString:
        ends = ((self.place, -_FAR), (self.place, _FAR)) if self.axis == 0 else ((-_FAR, self.place), (_FAR, self.place))
        return shapely.LineString(ends)


def in_parts(
    scene: Scene, pattern: Pattern, shapes: Sequence[PanelShape] = (), route: Sequence[Opening] | None = None
) -> tuple[tuple[Pattern, ...], tuple[Joint, ...]]:
    """The pattern by itself where it goes below and out of a sheet, else its parts, with a strap for each butt, and the joints.

    Joints that the scene states are taken as they are. A panel that no few straight cuts make small enough is left whole.
    shapes: the panels that straps keep clear of; route: the openings to its place, as for `limits_for`.
    """
    stated = stated_places(scene, pattern)
    limits = limits_for(scene, pattern.thickness, route)
    ratio = RATIOS[scene.cutting.joint]
    width = ratio * pattern.thickness
    overlap = width / 2 if scene.cutting.joint == "scarf" else 0.0
    if stated is not None:
        reason, cuts = None, tuple(_Cut(axis, place) for axis, place in stated)
    else:
        reason = _why_not(limits, pattern, pattern.blank)
        pattern, cuts = _divided(limits, pattern, width, overlap) if reason else (pattern, ())
    if not cuts:
        return (pattern,), ()
    bands = [
        [piece for piece in polygons(_between(pattern.blank, low, high, overlap)) if piece.area >= PART_AREA]
        for low, high in pairwise((None, *cuts, None))
    ]
    count = sum(len(band) for band in bands)
    numbers = iter(range(1, count + 1))
    named = [[(f"{pattern.name}, part {next(numbers)} of {count}", piece) for piece in band] for band in bands]
    parts = [_part(scene, pattern, name, piece, cuts) for band in named for name, piece in band]
    joints: list[Joint] = []
    straps: list[Pattern] = []
    for k, cut in enumerate(cuts):
        for line in _joint_lines(cut, pattern):
            (x, y), (x2, y2) = line.tolist()
            ends = pattern.frame.space(line)
            joints.append(
                Joint(
                    panel=pattern.panel,
                    kind=scene.cutting.joint,
                    line=((x, y), (x2, y2)),
                    ends=(triple(ends[0]), triple(ends[1])),
                    parts=(_beside(line, named[k]), _beside(line, named[k + 1])),
                    width=width,
                    ratio=ratio,
                    source="butt-strap" if scene.cutting.joint == "butt strap" else "scarf",
                    reason=reason,
                )
            )
            if scene.cutting.joint == "butt strap":
                taken = _in_the_way(pattern, shapes)
                straps += _straps(scene, pattern, taken, line, joints[-1], len(straps) + 1, _longest_strap(limits, pattern))
    return (*parts, *straps), tuple(joints)


def _beside(line: Floats, band: list[tuple[str, shapely.Polygon]]) -> str:
    """The name of the part that a joint line bounds, of those between two cuts."""
    middle = shapely.Point(line.mean(axis=0))
    return min(band, key=lambda each: each[1].distance(middle))[0]


def _why_not(limits: Limits, pattern: Pattern, area: shapely.Geometry) -> Phrase | None:
    """Why a board cannot be in one piece; None where it can."""
    width, _ = least_width(area)
    if limits.room is not None and width > limits.room:
        values = {"width": Length(width), "opening": limits.opening, "room": Length(limits.room)}
        return Phrase("wider-than-way", values)
    return None if limits.fits_sheet(area, pattern.grain) else Phrase("larger-than-sheet")


def _divided(limits: Limits, pattern: Pattern, width: float, overlap: float) -> tuple[Pattern, tuple[_Cut, ...]]:
    """The pattern and its cuts, with its grain turned where only that brings it out of the sheets; () if none are found."""
    cuts = _cuts(limits, pattern, width, overlap)
    if cuts or pattern.grain is None:
        return pattern, cuts
    turned = replace(pattern, grain=(-pattern.grain[1], pattern.grain[0]))
    if not _why_not(limits, turned, turned.blank):
        return turned, ()
    cuts = _cuts(limits, turned, width, overlap)
    return (turned, cuts) if cuts else (pattern, ())


def _cuts(limits: Limits, pattern: Pattern, width: float, overlap: float) -> tuple[_Cut, ...]:
    """Parallel cuts into parts that are small enough; () if none are found.

    The fewest parts, or one more where that keeps the joints clear of openings; then clear of panels that land there, then short.
    """
    west, south, east, north = pattern.blank.bounds
    keep_off = [cutout.outline.buffer(width / 2) for cutout in pattern.cutouts]
    lands = [
        shapely.Polygon(mark.line).buffer(width / 2) for mark in pattern.marks if mark.kind == "touches" and len(mark.line) > 3
    ]
    fewest: tuple[int, tuple[_Cut, ...]] | None = None
    for count in range(2, _MOST_PARTS + 1):
        if fewest is not None and count > fewest[0] + 1:
            break
        candidates: list[tuple[int, int, float, tuple[_Cut, ...]]] = []
        for axis, low, high in ((0, west, east), (1, south, north)):
            wanted = low + (high - low) * np.arange(1, count) / count
            choices = [_near(_Cut(axis, float(place)), pattern, keep_off, lands, (high - low) / count) for place in wanted]
            for pick in range(max(len(choice) for choice in choices)):
                cuts = tuple(choice[min(pick, len(choice) - 1)][3] for choice in choices)
                if _small_enough(limits, pattern, cuts, overlap):
                    rows = [choice[min(pick, len(choice) - 1)] for choice in choices]
                    candidates.append((sum(r[0] for r in rows), sum(r[1] for r in rows), sum(r[2] for r in rows), cuts))
                    break
        if candidates:
            crossed, _, _, cuts = min(candidates, key=lambda row: row[:3])
            if crossed == 0:
                return cuts
            fewest = fewest or (count, cuts)
    return fewest[1] if fewest is not None else ()


def _near(
    wanted: _Cut, pattern: Pattern, keep_off: list[shapely.Geometry], lands: list[shapely.Geometry], spacing: float
) -> list[tuple[int, int, float, _Cut]]:
    """Places for a cut about where it is wanted, the best first: openings crossed, panels that land along it, length or shift."""
    rows = []
    for shift in np.arange(-round(spacing / 3 / _STEP), round(spacing / 3 / _STEP) + 1) * _STEP:
        cut = _Cut(wanted.axis, wanted.place + float(shift))
        line = shapely.intersection(cut.line, pattern.blank)
        crossed = sum(bool(line.intersects(each)) for each in keep_off)
        landed = sum(bool(line.intersection(each).length > 0.8 * line.length) for each in lands)
        rows.append((crossed, landed, float(line.length) + 3.0 * abs(float(shift)), cut))
    return sorted(rows, key=lambda row: row[:3])


def _small_enough(limits: Limits, pattern: Pattern, cuts: tuple[_Cut, ...], overlap: float) -> bool:
    """Whether every part between the cuts is one piece that goes below and comes out of a sheet."""
    for low, high in pairwise((None, *cuts, None)):
        part = _between(pattern.blank, low, high, overlap)
        if part.geom_type != "Polygon" or part.area < PART_AREA or _why_not(limits, pattern, part):
            return False
    return True


def _between(area: shapely.Geometry, low: _Cut | None, high: _Cut | None, overlap: float) -> shapely.Geometry:
    """The part of an area between two cuts, and `overlap` [m] beyond each."""
    if low is not None:
        area = shapely.intersection(area, low.side(False, overlap))
    return area if high is None else shapely.intersection(area, high.side(True, overlap))


def _joint_lines(cut: _Cut, whole: Pattern) -> list[Floats]:
    """The ends (2, 2) of each stretch in which a cut goes through wood."""
    found = shapely.get_parts(shapely.intersection(cut.line, whole.blank)).tolist()
    return [np.asarray(part.coords)[[0, -1]] for part in found if part.geom_type == "LineString" and part.length > _EDGE]


def _part(scene: Scene, whole: Pattern, name: str, blank: shapely.Polygon, cuts: tuple[_Cut, ...]) -> Pattern:
    """One piece of a pattern between its cuts as a pattern in the same frame."""
    outline, other = (largest(shapely.intersection(area, blank)) for area in (whole.outline, whole.other_outline))
    marks = [mark for mark in whole.marks for mark in _clipped_mark(mark, blank)]
    for cut in cuts:
        marks += _joint_marks(shapely.intersection(cut.line, blank))
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


def _joint_marks(joint: shapely.Geometry) -> Iterator[Mark]:
    for part in shapely.get_parts(joint).tolist():
        if part.geom_type == "LineString" and not part.is_empty:
            yield Mark(kind="joint", line=np.asarray(part.coords), says=Phrase("joint-mark"))


def _bevels_on(bevels: tuple[Bevel, ...], outline: shapely.Polygon) -> tuple[Bevel, ...]:
    """The bevels whose places are on a part's outline, in the order in which it goes."""
    ring = outline.exterior
    kept = [b for b in bevels if ring.distance(shapely.Point(b.at)) < 1e-6]
    moved = [replace(b, along=float(ring.project(shapely.Point(b.at)))) for b in kept]
    return tuple(sorted(moved, key=lambda b: b.along))


def _in_the_way(pattern: Pattern, shapes: Sequence[PanelShape]) -> shapely.Geometry:
    """The area of the face that is not drawn on which other panels stand, or stand so close that a strap has no room."""
    stands = []
    for share in (1.0, 1.5, 2.0):
        origin = np.array(pattern.frame.origin) - pattern.frame.normal * (pattern.thickness * share)
        level = Frame(triple(origin), pattern.frame.u, pattern.frame.v)
        stands += [clip_lines(run, level, thick=True) for each in shapes if each.name != pattern.panel for run in each.convex]
    return shapely.union_all(stands).buffer(_STRAP_ROOM, join_style="mitre")


def _longest_strap(limits: Limits, pattern: Pattern) -> float:
    """How long [m] a strap comes out of a sheet: with its grain across the joint, no longer than the sheet is wide."""
    return max(max(size) if pattern.grain is None else size[1] for size in limits.sheets) - _STRAP_ROOM


def _straps(
    scene: Scene, pattern: Pattern, taken: shapely.Geometry, line: Floats, joint: Joint, number: int, most: float
) -> list[Pattern]:
    """Butt straps on the face that is not drawn, along a joint, clear of the panel's edges and of what is taken there.

    A strap longer than `most` [m] comes in pieces as long as each other, end to end.
    """
    width = joint.width
    direction = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
    axes = np.array([direction, [-direction[1], direction[0]]])
    along = float(np.linalg.norm(line[1] - line[0]))
    free = shapely.difference(pattern.other_outline.buffer(-_EDGE), taken)
    laid = shapely.transform(free, lambda flat: (flat - line[0]) @ axes.T + [0.0, width / 2])
    straps: list[shapely.Polygon] = []
    for part in polygons(shapely.intersection(laid, shapely.box(0.0, 0.0, along, width))):
        west, _, east, _ = part.bounds
        edges = np.linspace(west, east, int(np.ceil((east - west) / most - 1e-9)) + 1)
        pieces = [shapely.intersection(part, shapely.box(a, 0.0, b, width)) for a, b in pairwise(edges.tolist())]
        straps += [largest(piece) for piece in pieces if _long(piece)]
    return [_strap(scene, pattern, line[0], axes, part, number + k, joint) for k, part in enumerate(straps)]


def _long(strap: shapely.Polygon) -> bool:
    west, _, east, _ = strap.bounds
    return bool(east - west > 0.05)


def _strap(
    scene: Scene, pattern: Pattern, start: Floats, axes: Floats, area: shapely.Polygon, number: int, joint: Joint
) -> Pattern:
    """One strap: its outline along and across the joint, which starts at a place of the pattern and has these axes in it."""
    west, south, east, north = area.bounds
    width = RATIOS["butt strap"] * pattern.thickness
    corner = np.array([west, south])
    area = shapely.transform(area, lambda flat: flat - corner)
    origin = pattern.frame.space((start + (corner - [0.0, width / 2]) @ axes)[None])[0]
    origin = origin - pattern.frame.normal * pattern.thickness
    u, v = axes @ np.array([pattern.frame.u, pattern.frame.v])
    named, checks = corners_and_diagonals(area)
    name = f"{pattern.name}, strap {number}"
    per_area = None if pattern.mass is None else 2 * pattern.mass / (pattern.outline.area + pattern.other_outline.area)
    plain = area.area > (1 - 1e-6) * (east - west) * (north - south)
    middle = width / 2 - south
    between = tuple(part.removeprefix(f"{pattern.name}, ") for part in joint.parts)
    return replace(
        pattern,
        name=name,
        kind="butt strap",
        frame=Frame(triple(origin), triple(u), triple(v)),
        drawn_face="glued",
        other_face="outer",
        outline=area,
        other_outline=area,
        blank=area,
        up=Phrase("either-face-up") if plain else Phrase("drawn-face-glued"),
        forward=Phrase("glued-over-joint", {"parts": between, "face": pattern.other_face}),
        area=area.area,
        mass=None if per_area is None else per_area * area.area,
        marks=tuple(_joint_marks(shapely.intersection(shapely.LineString([[0.0, middle], [east - west, middle]]), area))),
        bevels=(),
        cutouts=(),
        corners=named,
        diagonals=checks,
        grain=None if pattern.grain is None else (0.0, 1.0),
        touches=(),
        notes=(
            *((Phrase("grain-across-joint"),) if pattern.grain is not None else ()),
            Phrase("strap-ends-clear"),
        ),
    )
