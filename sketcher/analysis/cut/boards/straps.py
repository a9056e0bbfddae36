"""Where a board is cut across, which room its faces leave for butt straps, and the straps' patterns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely

from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.boards.hatch_fit import Limits
from sketcher.analysis.cut.outlines import clip_lines
from sketcher.analysis.cut.results import Joint, Mark, Pattern
from sketcher.analysis.cut.timber.stringers import StringerRun
from sketcher.analysis.findings import Phrase
from sketcher.analysis.results import PanelShape
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.vectors import triple

EDGE = 0.030
"""[m] A strap stops this short of the panel's edges and openings, clear of fillets and bevels."""

ROOM = 0.003
"""[m] A strap keeps so far from a panel that stands beside it: it is laid by hand."""

SHORTEST = 0.050
"""[m] A strap that touches less of its joint is left out."""

BREAK = 0.060
"""[m] A panel across a joint breaks its strap by so much at most; what takes more room leaves the strap short of full."""

_CENTRED = 0.001
"""[m] A strap whose middle is nearer to its joint than half of this lies with its middle on it: no pencil line is finer."""

_FAR = 1e3

_BESIDE = 0.5
"""[m] What stands on a board is looked at so far beside it."""


@dataclass(frozen=True)
class Cut:
    """A line across a pattern: at `place` [m] along axis 0 or 1. overlap [m]: of the parts beyond it, half a scarf."""

    axis: int
    place: float
    overlap: float = 0.0

    def side(self, low: bool) -> shapely.Polygon:
        """The half of the paper on one side of the line, and what of a scarf is beyond it."""
        edge = self.place + (self.overlap if low else -self.overlap)
        near, far = (-_FAR, edge) if low else (edge, _FAR)
        return shapely.box(near, -_FAR, far, _FAR) if self.axis == 0 else shapely.box(-_FAR, near, _FAR, far)

    @property
    def line(self) -> shapely.LineString:
        """The line itself, far beyond the board."""
        ends = ((self.place, -_FAR), (self.place, _FAR)) if self.axis == 0 else ((-_FAR, self.place), (_FAR, self.place))
        return shapely.LineString(ends)


def joint_lines(cut: Cut, area: shapely.Geometry) -> list[Floats]:
    """The ends (2, 2) of each stretch in which a cut goes through wood."""
    found = shapely.get_parts(shapely.intersection(cut.line, area)).tolist()
    return [np.asarray(part.coords)[[0, -1]] for part in found if part.geom_type == "LineString" and part.length > EDGE]


def part_between(area: shapely.Geometry, low: Cut | None, high: Cut | None) -> shapely.Geometry:
    """The part of an area between two cuts, with its share of a scarf."""
    if low is not None:
        area = shapely.intersection(area, low.side(False))
    return area if high is None else shapely.intersection(area, high.side(True))


@dataclass(frozen=True, eq=False)
class StrapFace:
    """One face of a board, for straps. wood: its outline; taken: what other panels and bearers take of it, by name.

    drawn: whether it is the face that the pattern shows.
    """

    name: str
    drawn: bool
    wood: shapely.Polygon
    taken: dict[str, shapely.Geometry]

    @property
    def free(self) -> shapely.Geometry:
        """Where a strap may lie."""
        return shapely.difference(self.wood.buffer(-EDGE), shapely.union_all(list(self.taken.values())))


def strap_faces(pattern: Pattern, shapes: Sequence[PanelShape], runs: Sequence[StringerRun] = ()) -> tuple[StrapFace, StrapFace]:
    """Both faces of a board, the one that is not drawn first. shapes, runs: the panels and bearers that straps keep clear of."""
    other = StrapFace(pattern.other_face, False, pattern.other_outline, _taken(pattern, shapes, runs, (1.0, 1.5, 2.0)))
    return other, StrapFace(pattern.drawn_face, True, pattern.outline, _taken(pattern, shapes, runs, (0.0, -0.5, -1.0)))


def _taken(
    pattern: Pattern, shapes: Sequence[PanelShape], runs: Sequence[StringerRun], depths: tuple[float, ...]
) -> dict[str, shapely.Geometry]:
    """The areas of a board on which something stands, or so close that a strap has no room, by name.

    depths: below the drawn face, in thicknesses, from the face looked at to a strap's outer face.
    """
    near = shapely.box(*pattern.blank.bounds).buffer(_BESIDE)
    found: dict[str, shapely.Geometry] = {}
    for each in shapes:
        if each.name == pattern.panel:
            continue
        stands = []
        for share in depths:
            origin = np.array(pattern.frame.origin) - pattern.frame.normal * (pattern.thickness * share)
            level = Frame(triple(origin), pattern.frame.u, pattern.frame.v)
            stands += [shapely.intersection(clip_lines(run, level, thick=True), near) for run in each.convex]
        area = shapely.union_all(stands)
        if not area.is_empty:
            found[each.name] = area.buffer(ROOM, join_style="mitre")
    outward = pattern.frame.normal * (-1.0 if depths[-1] > 0.0 else 1.0)
    axes = np.column_stack([pattern.frame.u, pattern.frame.v])
    for run in runs:
        if run.stringer.under == pattern.panel and run.up @ outward < 0.0:
            flat = (run.points - np.array(pattern.frame.origin)) @ axes
            found[run.name] = shapely.LineString(flat).buffer(run.stringer.width + ROOM, cap_style="square")
    return found


def straps_over(pattern: Pattern, face: StrapFace, line: Floats, joint: Joint, number: int, most: float) -> list[Pattern]:
    """Butt straps on a face along a joint, clear of the panel's edges and of what is taken there, each over the joint itself.

    A strap longer than `most` [m] comes in pieces as long as each other, end to end.
    """
    width = joint.width
    start, end = (line[1], line[0]) if face.drawn else (line[0], line[1])
    direction = (end - start) / np.linalg.norm(end - start)
    aside = np.array([-direction[1], direction[0]])
    axes = np.array([direction, -aside if face.drawn else aside])
    along = float(np.linalg.norm(end - start))
    laid = shapely.transform(face.free, lambda flat: (flat - start) @ axes.T + [0.0, width / 2])
    middle = shapely.LineString([[0.0, width / 2], [along, width / 2]])
    straps: list[shapely.Polygon] = []
    for part in polygons(shapely.intersection(laid, shapely.box(0.0, 0.0, along, width))):
        if shapely.intersection(part, middle).length <= SHORTEST:
            continue
        west, _, east, _ = part.bounds
        edges = np.linspace(west, east, int(np.ceil((east - west) / most - 1e-9)) + 1)
        pieces = [largest(shapely.intersection(part, shapely.box(a, 0.0, b, width))) for a, b in pairwise(edges.tolist())]
        straps += [piece for piece in pieces if shapely.intersection(piece, middle).length > SHORTEST]
    return [_strap(pattern, face, start, axes, part, number + k, joint) for k, part in enumerate(straps)]


def longest_strap(limits: Limits, pattern: Pattern) -> float:
    """How long [m] a strap comes out of a sheet: with its grain across the joint, no longer than the sheet is wide."""
    return max(max(size) if pattern.grain is None else size[1] for size in limits.sheets) - ROOM


def joint_marks(joint: shapely.Geometry) -> list[Mark]:
    """The lines of a joint, to be drawn on a board."""
    return [
        Mark(kind="joint", line=np.asarray(part.coords), says=Phrase("joint-mark"))
        for part in shapely.get_parts(joint).tolist()
        if part.geom_type == "LineString" and not part.is_empty
    ]


def _strap(
    pattern: Pattern,
    face: StrapFace,
    start: Floats,
    axes: Floats,
    area: shapely.Polygon,
    number: int,
    joint: Joint,
) -> Pattern:
    """One strap: its outline along and across the joint, which starts at a place of the pattern and has these axes in it."""
    west, south, east, north = area.bounds
    width = joint.width
    corner = np.array([west, south])
    area = shapely.transform(area, lambda flat: flat - corner)
    origin = pattern.frame.space((start + (corner - [0.0, width / 2]) @ axes)[None])[0]
    if not face.drawn:
        origin = origin - pattern.frame.normal * pattern.thickness
    u, v = axes @ np.array([pattern.frame.u, pattern.frame.v])
    named, checks = corners_and_diagonals(area)
    name = f"{pattern.name}, strap {number}"
    per_area = None if pattern.mass is None else 2 * pattern.mass / (pattern.outline.area + pattern.other_outline.area)
    plain = area.area > (1 - 1e-6) * (east - west) * (north - south)
    middle = width / 2 - south
    centred = abs(north + south - width) < _CENTRED
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
        forward=Phrase("glued-over-joint", {"parts": between, "face": face.name, "centred": centred}),
        area=area.area,
        mass=None if per_area is None else per_area * area.area,
        marks=tuple(joint_marks(shapely.intersection(shapely.LineString([[0.0, middle], [east - west, middle]]), area))),
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
