"""Bearers along the hull as they are sawn, planed and bent: lengths, end cuts, the bevel of the back, the pattern."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from sketcher.analysis.cut.bevels import EVERY, TURN, bevel_angles
from sketcher.analysis.cut.boards.corners import corners_and_diagonals
from sketcher.analysis.cut.boards.marks import datum_marks
from sketcher.analysis.cut.outlines import HULL, clip_lines, half_plane
from sketcher.analysis.cut.results import BackBevel, Bevel, EndCut, Mark, Pattern, StringerPattern
from sketcher.analysis.cut.timber.bends import least_radius, strips_for
from sketcher.analysis.cut.timber.hull_edges import lowered
from sketcher.analysis.cut.timber.stringers import RunEnd, StringerRun, axes_at, stringer_runs
from sketcher.analysis.findings import Finding, Length, Phrase
from sketcher.analysis.results import Layout, PanelShape, WaterPlane
from sketcher.geometry.flat.regions import largest, polygons
from sketcher.geometry.mesh import Floats
from sketcher.geometry.solid.section import Frame
from sketcher.geometry.tolerances import HOLE_AREA, INTO_NEIGHBOUR
from sketcher.geometry.vectors import cross, triple

UPPER, UNDER = "upper", "under"

_FREE_END = "free end"


def stringer_patterns(layout: Layout, water: WaterPlane | None = None) -> tuple[StringerPattern, ...]:
    """The stringers of a scene as they are sawn and bent, by the hull's fine facets."""
    if not layout.scene.stringers:
        return ()
    return tuple(_pattern(layout, run, water) for run in stringer_runs(layout.scene, layout.hull.fine))


def _pattern(layout: Layout, run: StringerRun, water: WaterPlane | None) -> StringerPattern:
    points, stringer = run.points, run.stringer
    chord = points[-1] - points[0]
    length = float(np.linalg.norm(chord))
    straight = chord / length
    off = points - points[0]
    near = slice(run.at(points[0]), run.at(points[-1]) + 1)
    radius, stock = least_radius(points), stringer.width + max(0.0, -float(run.edge.lean[near].min()) * stringer.depth)
    settings = tuple(_settings(run))
    return StringerPattern(
        name=run.name,
        stringer=stringer.name,
        side="port" if run.side < 0 else "starboard",
        width=stringer.width,
        depth=stringer.depth,
        points=points,
        length=float(_along(points)[-1]),
        chord=length,
        curve_depth=float(np.linalg.norm(off - (off @ straight)[:, None] * straight, axis=1).max()),
        least_radius=radius,
        twist=settings[-1].angle - settings[0].angle,
        strips=strips_for(stock, radius),
        stock=stock,
        shallowest=float(run.depths[near].min()),
        hollow=float(run.edge.hollow[near].max()),
        ends=(_end_cut(run, first=True), _end_cut(run, first=False)),
        settings=settings,
        board=_board(layout, run, settings, water),
        source="cold-bend",
    )


def _along(points: Floats) -> Floats:
    """Lengths (k,) along a line (k, 3)."""
    lengths: Floats = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    return lengths


def _settings(run: StringerRun) -> Iterator[BackBevel]:
    """The bevel of the back at both ends, and between them after every EVERY metre or TURN degrees."""
    along = _along(run.points)
    places = [run.at(point) for point in run.points]
    angles = run.edge.bevel[places]
    kept = 0
    for k in range(len(along)):
        if k in (0, len(along) - 1) or along[k] - along[kept] >= EVERY or abs(angles[k] - angles[kept]) >= TURN:
            kept, down = k, run.depths[places[k]]
            under = max(run.stringer.width - float(run.edge.lean[places[k]]) * down, 0.0)
            yield BackBevel(along=float(along[k]), angle=float(angles[k]), under=under)


def _end_cut(run: StringerRun, *, first: bool) -> EndCut:
    """How an end is cut: angles in the wood, on its upper face from the outer edge, on the hull's face from the upper edge."""
    end, k = (run.ends[0], 0) if first else (run.ends[1], len(run.points) - 1)
    along, inboard, up = axes_at(run, k)
    into, normal = along if first else -along, end.plane.normal
    down = inboard * np.tan(np.radians(run.bevel_at(run.points[k]))) - up
    across = cross(normal, up)
    back = cross(normal, cross(along, down))
    across *= np.sign(across @ inboard) or 1.0
    back *= np.sign(back @ down) or 1.0
    side, face = (float(np.degrees(np.arccos(np.clip(into @ way / np.linalg.norm(way), -1.0, 1.0)))) for way in (across, back))
    return EndCut(place=end.place, side=side, face=face, tilt=float(np.degrees(np.arccos(np.clip(normal @ up, -1.0, 1.0)))))


def outline_at(run: StringerRun, frame: Frame, down: float) -> shapely.Polygon:
    """The outline of a run as cut, so far [m] below its upper face, in a frame on that plane; empty where nothing is left."""
    sections = run.sections
    deep = np.maximum((sections[:, 0] - sections[:, 3]) @ run.up, 1e-9)
    share = np.minimum(down / deep, 1.0)[:, None]
    outer = sections[:, 0] + (sections[:, 3] - sections[:, 0]) * share
    inner = sections[:, 1] + (sections[:, 2] - sections[:, 1]) * share
    ring = frame.flat(np.concatenate([outer, inner[::-1]]))
    area = shapely.make_valid(shapely.Polygon(ring), method="structure", keep_collapsed=False)
    for end in run.ends:
        across, beyond = frame.line(end.plane)
        size = float(np.hypot(*across))
        area = shapely.intersection(area, half_plane(-across / size, -beyond / size))
    return largest(area)


def _board(layout: Layout, run: StringerRun, settings: Sequence[BackBevel], water: WaterPlane | None) -> Pattern:
    frame, upper, under = _on_paper(run)
    blank = largest(shapely.union(upper, under))
    named, checks = corners_and_diagonals(upper)
    passed = tuple(_passed(layout.panels, run, frame, upper))
    return Pattern(
        name=run.name,
        panel=run.stringer.name,
        kind="bearer",
        thickness=run.stringer.depth,
        frame=frame,
        drawn_face=UPPER,
        other_face=UNDER,
        outline=upper,
        other_outline=under,
        blank=blank,
        up=Phrase("bearer-lies", {"lid": run.stringer.under}),
        forward=Phrase("bearer-on-paper"),
        area=float(upper.area),
        mass=None,
        hand="port" if run.side < 0 else "starboard",
        marks=(*datum_marks("lid", frame, blank, water, layout.scene.units), *passed),
        bevels=tuple(_bevels(run, settings, frame, upper)),
        corners=named,
        diagonals=checks,
        touches=tuple(dict.fromkeys(mark.panel for mark in passed if mark.panel is not None)),
        notes=tuple(_notes(layout, run)),
    )


def _on_paper(run: StringerRun) -> tuple[Frame, shapely.Polygon, shapely.Polygon]:
    """The frame of the upper face, its chord to the right and its lowest, leftmost point at 0; both faces' outlines in it."""
    chord = run.points[-1] - run.points[0]
    u = chord / np.linalg.norm(chord)
    frame = Frame(triple(run.points[0]), triple(u), triple(cross(run.up, u)))
    both = [outline_at(run, lowered(frame, down), down) for down in (0.0, run.stringer.depth)]
    west, south, _, _ = shapely.total_bounds(both)
    corner = np.array([west, south])
    moved = [shapely.transform(area, lambda flat: flat - corner) for area in both]
    return Frame(triple(frame.space(corner[None])[0]), frame.u, frame.v), moved[0], moved[1]


def _bevels(run: StringerRun, settings: Sequence[BackBevel], frame: Frame, upper: shapely.Polygon) -> list[Bevel]:
    """The back's bevels and those of both ends, in the order in which the drawn outline goes."""
    along, ring = _along(run.points), upper.exterior
    spots = [np.array([np.interp(each.along, along, run.points[:, k]) for k in range(3)]) for each in settings]
    found = [_bevel(ring, frame.flat(at[None])[0], each.angle, HULL) for each, at in zip(settings, spots, strict=True)]
    for end, k in zip(run.ends, (0, len(run.points) - 1), strict=True):
        _, inboard, up = axes_at(run, k)
        angle = float(bevel_angles(-end.plane.normal[None], up)[0])
        for share in (0.3, 0.7):
            at = run.points[k] + inboard * run.stringer.width * share
            at = at - end.plane.normal * (end.plane.over(at) / (1.0 - (end.plane.normal @ up) ** 2))
            found.append(_bevel(ring, frame.flat(at[None])[0], angle, end.place or _FREE_END))
    return sorted(found, key=lambda bevel: bevel.along)


def _bevel(ring: shapely.LinearRing, at: Floats, angle: float, against: str) -> Bevel:
    along = float(ring.project(shapely.Point(at)))
    x, y = ring.interpolate(along).coords[0]
    return Bevel(at=(x, y), along=along, angle=angle, against=against, edge="hull" if against == HULL else "panel")


def _passed(shapes: Sequence[PanelShape], run: StringerRun, frame: Frame, upper: shapely.Polygon) -> Iterator[Mark]:
    """Where it passes panels, on its upper face."""
    just_inside = lowered(frame, INTO_NEIGHBOUR)
    for shape in shapes:
        if shape.name == run.stringer.under or any(end.place == shape.name for end in run.ends):
            continue
        for piece in shape.convex:
            for part in polygons(shapely.intersection(clip_lines(piece, just_inside, thick=True), upper)):
                if part.area > HOLE_AREA:
                    says = Phrase("landing-mark", {"panel": shape.name, "face": None})
                    yield Mark(kind="touches", line=np.asarray(part.exterior.coords), says=says, panel=shape.name)


def _notes(layout: Layout, run: StringerRun) -> Iterator[Phrase]:
    """What was taken off its ends already."""
    gap = layout.scene.cutting.panel_gap
    if gap and any(_at_panel(layout, end) for end in run.ends):
        yield Phrase("ends-gap-taken-off", {"gap": Length(gap)})


def _at_panel(layout: Layout, end: RunEnd) -> bool:
    return any(shape.name == end.place for shape in layout.panels)


def bearer_findings(patterns: Sequence[StringerPattern]) -> Iterator[Finding]:
    """Findings for bearers that the bevel of their back leaves less deep than they are stated."""
    for each in patterns:
        if each.shallowest < each.depth - 1e-4:
            yield Finding(
                code="bearer-bevelled-through",
                severity="note",
                object=each.stringer,
                values={
                    "bearer": each.name,
                    "depth": Length(each.depth),
                    "left": Length(each.shallowest),
                    "wide": Length(each.width * each.depth / each.shallowest),
                },
                measured=each.shallowest,
                limit=each.depth,
            )
