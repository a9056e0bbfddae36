"""Each berth's clear outline at the cushion's top, between finished faces, and the longest straight run in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.results import BerthFigures, Layout, PanelShape
from sketcher.analysis.spaces.panel_limits import panel_edges
from sketcher.analysis.spaces.panel_planes import Faces, faces_by_name
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import ring_part
from sketcher.geometry.flat.inset import drawn_in
from sketcher.geometry.flat.runs import Run, clear_across, longest_run
from sketcher.geometry.mesh import Floats, TriMesh, bounds_of
from sketcher.geometry.solid.rays import pierced
from sketcher.geometry.solid.section import Frame, section
from sketcher.geometry.tolerances import TOUCHING
from sketcher.model.errors import SketchError
from sketcher.model.scene import Berth, Fitting, Lid

Direction = Literal["forward", "aft"]

STATURE_MARGIN = 0.100
"""A berth is as long as who lies in it plus this [m]; common practice, source `stature-margin`."""
SHOULDERS_FROM_HEAD = 0.400
"""Shoulders lie about so far [m] from the head end of the cushion, pillow included; common practice."""
HALF_A_HEAD = 0.075
"""[m] What lies or sits there keeps its middle so far from what the cushion ends at: a wall that leans is no ceiling at its
foot."""
AT_THE_END = 1e-6
"""How far [m] inside the foot end its width is taken: clear of the face itself."""
SMALLEST_PART = 0.01
"""Parts of a berth's outline smaller than this [m2] are corners, not places to lie."""


@dataclass(frozen=True, slots=True)
class _Surface:
    """The cushion's top: height at x = 0 on the centreline [m] and rise per metre aft."""

    height: float
    rise: float

    @property
    def frame(self) -> Frame:
        """Coordinates (distance along the slope, off centre)."""
        size = float(np.hypot(1.0, self.rise))
        return Frame((0.0, 0.0, self.height), (1.0 / size, 0.0, self.rise / size), (0.0, 1.0, 0.0))


def berth_figures(layout: Layout, *, outlines_only: bool = False) -> tuple[tuple[BerthFigures, ...], tuple[Finding, ...]]:
    """The figures of every berth, in the file's order, and what there is to say of it; whether anybody fits is not in it.

    outlines_only: of the figures only the length, for what moves.

    Raises SketchError where a berth is tied to what does not exist or states no height.
    """
    measured_berths: list[BerthFigures] = []
    findings: list[Finding] = []
    faces = faces_by_name(layout.scene, layout.hull) if layout.scene.berths else {}
    for berth in layout.scene.berths:
        figures, said = _figures(layout, berth, faces, outlines_only)
        measured_berths.append(figures)
        findings += said
    return tuple(measured_berths), tuple(findings)


def _figures(
    layout: Layout, berth: Berth, faces: dict[str, Faces], outlines_only: bool
) -> tuple[BerthFigures, tuple[Finding, ...]]:
    surface = _surface(layout, berth, faces)
    frame = surface.frame
    parts = [part for part in shapely.get_parts(_clear(layout, berth, frame, faces)) if part.area > SMALLEST_PART]
    runs = [(part, run) for part in parts if (run := longest_run(part)) is not None]
    if not runs:
        return _nowhere(berth, surface), (_no_room(berth),)
    outline, run = max(runs, key=lambda item: item[1].length)
    ends = frame.space(np.array([[run.start, run.across], [run.end, run.across]]))
    plan = [frame.space(np.asarray(ring.coords)[:-1])[:, :2] for ring in (outline.exterior, *outline.interiors)]
    figures = BerthFigures(
        name=berth.name,
        surface=surface.height + surface.rise * float(ends[0, 0]),
        outline=plan[0],
        holes=tuple(plan[1:]),
        line=((float(ends[0, 0]), float(ends[0, 1])), (float(ends[1, 0]), float(ends[1, 1]))),
        stature=berth.stature,
    )
    if layout.hull.hull.open_aft and ends[1, 0] >= layout.hull.inside.bounds[1][0] - TOUCHING:
        return figures, (_runs_out(berth),)
    if outlines_only:
        return replace(figures, length=run.length), ()
    figures = _measured(layout, figures, outline, run, frame)
    named = any(person.berth == berth.name for person in layout.scene.people)
    return figures, () if named or berth.stature is not None else (_no_stature(berth),)


def _surface(layout: Layout, berth: Berth, faces: dict[str, Faces]) -> _Surface:
    key, file = f"berths.{berth.name}", layout.scene.file
    if berth.lies_on is None:
        if berth.height is None:
            raise SketchError(
                f"{berth.name!r} has neither a height nor a lid it lies on", "write height: or lies_on:", file, key=key
            )
        return _Surface(berth.height + berth.cushion, 0.0)
    if not any(lid.name == berth.lies_on for lid in layout.scene.lids):
        known = ", ".join(lid.name for lid in layout.scene.lids) or "(there is no lid)"
        raise SketchError(f"{berth.lies_on!r} is no lid", f"write one of: {known}", file, key=f"{key}.lies_on")
    top = next(iter(faces[berth.lies_on].values()))[0]
    rise = -top.normal[0] / top.normal[2]
    return _Surface(top.distance / top.normal[2] + berth.cushion * float(np.hypot(1.0, rise)), rise)


def _clear(layout: Layout, berth: Berth, frame: Frame, faces: dict[str, Faces]) -> shapely.Geometry:
    """The clear area in the cushion's plane: in the hull, outside panels and fittings, within the berth's own limits."""
    inside = _cut(layout.hull.inside, frame)
    solids = [_cut(shape.mesh, frame) for shape in layout.panels]
    solids += [_footprint(fitting, frame) for fitting in layout.scene.fittings]
    clear = shapely.intersection(inside, _limits(layout, berth, frame, faces))
    there = [solid for solid in solids if not solid.is_empty]
    return shapely.difference(clear, shapely.union_all(there)) if there else clear


def _footprint(fitting: Fitting, frame: Frame) -> Polygon:
    """Where a fitting's box, its sides along the boat's axes, stands through the cushion's plane: a post, a pump, a winch."""
    middle, half = np.array(fitting.at), np.array(fitting.size) / 2
    (fore, port, bottom), (aft, starboard, top) = middle - half, middle + half
    if frame.u[2]:
        slope = frame.u[2] / frame.u[0]
        ends = sorted((level - frame.origin[2]) / slope for level in (bottom, top))
        fore, aft = max(fore, ends[0]), min(aft, ends[1])
    elif not bottom < frame.origin[2] < top:
        return Polygon()
    return box(fore / frame.u[0], port, aft / frame.u[0], starboard) if fore < aft else Polygon()


_cut = kept_with_owner(4)(section)


def _limits(layout: Layout, berth: Berth, frame: Frame, faces: dict[str, Faces]) -> Polygon:
    """The berth's own extents as a region of the cushion's plane."""
    low, high = layout.hull.inside.bounds
    reach = float(np.abs(np.concatenate([low, high])).max()) + 1.0
    corners: Floats = np.asarray(box(-reach, -reach, reach, reach).exterior.coords)[:-1]
    as_lid = Lid(name=berth.name, height=0.0, start=berth.start, end=berth.end, thickness=1.0, span=berth.span)
    edges = panel_edges(as_lid, layout.scene, faces, layout.hull.inside.bounds)
    for edge in edges.halves:
        for half in edge.values():
            corners = ring_part(corners, -half.plane.over(frame.space(corners)))
    return Polygon(corners) if len(corners) >= 3 else Polygon()


def _measured(layout: Layout, figures: BerthFigures, outline: Polygon, run: Run, frame: Frame) -> BerthFigures:
    in_from_head = min(SHOULDERS_FROM_HEAD, run.length / 2)
    widths = [_width(outline, place, run.across) for place in (run.start + in_from_head, run.end - in_from_head)]
    head_aft = widths[1] >= widths[0]
    foot, head, inward = (run.start, run.end, -1.0) if head_aft else (run.end, run.start, 1.0)
    over_head = head + inward * np.linspace(AT_THE_END, in_from_head, 5)
    heads = drawn_in(outline, np.column_stack([over_head, np.full(len(over_head), run.across)]), HALF_A_HEAD)
    clear = headroom(layout, frame.space(heads))
    return replace(
        figures,
        length=run.length,
        shoulder_width=max(widths),
        foot_width=_width(outline, foot - inward * AT_THE_END, run.across),
        headroom=clear,
    )


def _width(outline: Polygon, along: float, across: float) -> float:
    stretch = clear_across(outline, along, across)
    return 0.0 if stretch is None else stretch[1] - stretch[0]


def headroom(layout: Layout, points: Floats) -> float:
    """Least clear height [m] above points (n, 3)."""
    return min(clear_heights(layout, points))


def clear_heights(layout: Layout, points: Floats) -> list[float]:
    """The clear height [m] above each of points (n, 3), to the deck, the hull's side or the nearest panel or fitting above."""
    low, high = bounds_of(points)
    near = [shape for shape in layout.panels if _may_be_over(shape.mesh.bounds, low, high)]
    decks = layout.hull.deck_undersides(points[:, :2])
    for place in np.flatnonzero(np.isnan(decks)):
        decks[place] = _side_above(layout.hull.inside, points[place])
    return [_headroom(layout, near, point, deck) for point, deck in zip(points, decks.tolist(), strict=True)]


def _side_above(inside: TriMesh, point: Floats) -> float:
    """Where a plumb line up from a point inside meets a hull's side that leans in over it; not a number where none does."""
    _, heights = pierced(inside.vertices, inside.triangles, point, 2)
    return float(min(heights[heights > point[2]], default=np.nan))


def _may_be_over(bounds: tuple[Floats, Floats], low: Floats, high: Floats) -> bool:
    """Whether anything within some bounds may be over any of the points between the lowest and highest corner."""
    (left, port, _), (right, starboard, top) = bounds[0].tolist(), bounds[1].tolist()
    return bool(left <= high[0] and right >= low[0] and port <= high[1] and starboard >= low[1] and top >= low[2])


def _headroom(layout: Layout, near: list[PanelShape], point: Floats, deck: float) -> float:
    """Clear height above one point. near: panels that may be over it; deck: height of the deck there, maybe not a number."""
    ceilings = [] if np.isnan(deck) else [deck]
    ceilings += [low for shape in near if (low := _lowest_above(shape, point)) is not None]
    ceilings += [low for fitting in layout.scene.fittings if (low := _hanging_over(fitting, point)) is not None]
    return max(0.0, min(ceilings, default=float(point[2])) - float(point[2]))


def _hanging_over(fitting: Fitting, point: Floats) -> float | None:
    """The height of a fitting's underside over a point; None where it is not over it."""
    low, high = np.array(fitting.at) - np.array(fitting.size) / 2, np.array(fitting.at) + np.array(fitting.size) / 2
    over = (low[:2] < point[:2]).all() and (point[:2] < high[:2]).all() and low[2] >= point[2]
    return float(low[2]) if over else None


def _lowest_above(shape: PanelShape, point: Floats) -> float | None:
    """The height at which a plumb line up from a point enters a panel; None where it does not."""
    (left, port, _), (right, starboard, top) = shape.mesh.bounds
    if not (left <= point[0] <= right and port <= point[1] <= starboard and point[2] <= top):
        return None
    lowest: float | None = None
    for piece in shape.convex:
        low, high = float(point[2]), np.inf
        for _, plane in piece.faces:
            rise = plane.normal[2]
            if abs(rise) < 1e-12:
                if plane.over(point) > 0.0:
                    low = np.inf
            elif rise > 0.0:
                high = min(high, plane.coordinate(2, point))
            else:
                low = max(low, plane.coordinate(2, point))
        if low < high and (lowest is None or low < lowest):
            lowest = low
    return lowest


def _nowhere(berth: Berth, surface: _Surface) -> BerthFigures:
    return BerthFigures(name=berth.name, surface=surface.height, outline=np.zeros((0, 2)), stature=berth.stature)


def _no_room(berth: Berth) -> Finding:
    return Finding(code="berth-nowhere", severity="warn", object=berth.name, values={"berth": berth.name})


def _runs_out(berth: Berth) -> Finding:
    return Finding(code="berth-runs-out", severity="note", object=berth.name, values={"berth": berth.name})


def _no_stature(berth: Berth) -> Finding:
    return Finding(code="berth-without-stature", severity="note", object=berth.name, values={"berth": berth.name})


def panel_move(panel: str, distance: float, direction: Direction) -> Phrase:
    """A panel that is to be moved so far [m]."""
    return Phrase("panel-moved", {"panel": panel, "distance": Length(distance), "direction": direction})
