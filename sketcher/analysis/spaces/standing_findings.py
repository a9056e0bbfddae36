"""Findings about an intact layout: where the collision bulkhead stands, which spaces are joined, which are shut in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely

from sketcher.analysis.findings import Finding, Length, Phrase, Share
from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.results import OUTSIDE, FlowPath, Layout, PanelShape, WaterPlane
from sketcher.analysis.sources import SOURCES
from sketcher.analysis.spaces.leaks.opening_shapes import outline
from sketcher.analysis.spaces.leaks.orifice_flow import mean_head, orifice_flow
from sketcher.analysis.spaces.leaks.shut_in_air import sealed_air_findings
from sketcher.geometry.caching import kept_with_owner
from sketcher.geometry.crossing import crossed_at, met
from sketcher.geometry.mesh import TriMesh
from sketcher.geometry.plane import Plane
from sketcher.geometry.solid.clip import volume_under
from sketcher.geometry.tolerances import HOLE_AREA
from sketcher.model.scene import Bulkhead

LIVED_IN = frozenset({"accommodation", "machinery"})
"""Uses between which an opening is a door, not a mistake."""
RACING_SHARE = 0.15
PASSENGER_SHARES = (0.05, 0.15)
ARM_OPENING, EASY_OPENING = 0.15, 0.2
"""[m] An opening that an arm and a lamp go through, and one that they go through with ease; source `access-opening`."""


def standing_findings(layout: Layout, water: WaterPlane | None) -> tuple[Finding, ...]:
    """Notes on the collision bulkhead and on what cannot be known; warnings of spaces joined under water, shut in, or sealed."""
    found = [*_straddling(layout), *_across_steps(layout), *_shut_in(layout), *_running_on(layout), *sealed_air_findings(layout)]
    if water is not None:
        found = [*collision_findings(layout, water), *_joined_under_water(layout, water), *found, *_nothing_outside(layout)]
        found += _dry_crash_spaces(layout, water)
    return tuple(found)


def waterline_ends(form: HullForm, water: WaterPlane) -> tuple[float, float] | None:
    """x [m] of the foremost and aftmost point where the outside of the hull meets the water; None where it does not."""
    return _ends(form.outside, water.plane)


@kept_with_owner(4)
def _ends(outside: TriMesh, plane: Plane) -> tuple[float, float] | None:
    over = plane.over(outside.vertices)
    a, b, c = crossed_at(over, outside.triangles).vertices(outside.triangles)
    along = np.concatenate([met(outside.vertices, over, a, other)[:, 0] for other in (b, c)])
    return (float(along.min()), float(along.max())) if len(along) else None


def collision_bulkhead(layout: Layout, water: WaterPlane) -> tuple[PanelShape, float] | None:
    """The foremost watertight bulkhead from hull to deck and side to side, and x [m] of its forward face at the water.

    One that carries the mast stands where the mast does, and is none. None where there is none.
    """
    standing = []
    for shape in layout.panels:
        panel = shape.panel
        if isinstance(panel, Bulkhead) and panel.watertight and _whole(panel) and "mast" not in panel.carries:
            standing.append((_forward_face(shape, water), shape))
    if not standing:
        return None
    x, shape = min(standing, key=lambda each: each[0])
    return shape, x


def _whole(panel: Bulkhead) -> bool:
    return panel.bottom == "hull" and panel.top == "deck" and panel.span == (None, None)


def _forward_face(shape: PanelShape, water: WaterPlane) -> float:
    """x [m] where the forward face meets the water on the centreline."""
    places = []
    for plane in shape.named("forward"):
        surface = water.plane
        pair = np.array([[plane.normal[0], plane.normal[2]], [surface.normal[0], surface.normal[2]]])
        places.append(float(np.linalg.solve(pair, [plane.distance, surface.distance])[0]))
    return min(places)


class RuleWindows(NamedTuple):
    """Where two printed rules want a collision bulkhead, by x [m]. line_end None: not known, and the second rule says nothing.

    bow, line_start, line_end: the bow, and both ends of the waterline; length [m] of the hull. None binds a private boat.
    """

    bow: float
    length: float
    line_start: float
    line_end: float | None

    @property
    def racing(self) -> tuple[float, float]:
        """Abaft the waterline's forward end, and no further than a share of her length from the bow."""
        return self.line_start, self.bow + RACING_SHARE * self.length

    @property
    def passenger(self) -> tuple[float, float] | None:
        """Between two shares of the waterline's length abaft its forward end."""
        if self.line_end is None:
            return None
        least, most = (self.line_start + share * (self.line_end - self.line_start) for share in PASSENGER_SHARES)
        return least, most


def rule_windows(form: HullForm, water: WaterPlane) -> RuleWindows | None:
    """Both rules' windows; of a hull measured only in part by the length its `boat` block states. None where nothing is known."""
    ends = waterline_ends(form, water)
    if ends is None:
        return None
    if not form.hull.open_aft:
        return RuleWindows(form.x_forward, form.x_after - form.x_forward, *ends)
    boat = form.hull.boat
    if boat is None or boat.length is None:
        return None
    return RuleWindows(form.x_forward, boat.length, ends[0], boat.waterline_to)


def share_from_bow(form: HullForm, shape: PanelShape, water: WaterPlane) -> float | None:
    """Where a bulkhead's forward face meets the water on the centreline, as a share of her length; None: not known."""
    windows = rule_windows(form, water)
    return None if windows is None else (_forward_face(shape, water) - windows.bow) / windows.length


def collision_findings(layout: Layout, water: WaterPlane) -> list[Finding]:
    """The collision bulkhead judged by both rules."""
    bulkhead, windows = collision_bulkhead(layout, water), rule_windows(layout.hull, water)
    if bulkhead is None or windows is None:
        return []
    shape, x = bulkhead
    passenger = _passenger(shape.name, x, windows)
    return [_racing(shape.name, x, windows), *([] if passenger is None else [passenger])]


def _dry_crash_spaces(layout: Layout, water: WaterPlane) -> list[Finding]:
    """A note where all that lies forward of the collision bulkhead holds next to nothing under the waterline."""
    bulkhead = collision_bulkhead(layout, water)
    ahead = [] if bulkhead is None else [s for s in layout.compartments if (bulkhead[0].name, "forward") in s.bounds]
    below = sum(volume_under(space.mesh, water.plane) for space in ahead)
    if not ahead or below >= NEXT_TO_NOTHING:
        return []
    return [
        Finding(
            code="crash-space-above-water",
            severity="note",
            object=ahead[0].name,
            values={"spaces": tuple(space.name for space in ahead), "litres": 1000.0 * NEXT_TO_NOTHING},
            measured=below,
            limit=NEXT_TO_NOTHING,
        )
    ]


NEXT_TO_NOTHING = 1e-3
"""[m3] Less than this under the waterline is next to nothing: a crash space that floods with it keeps no water out."""


def _racing(name: str, x: float, windows: RuleWindows) -> Finding:
    least, most = windows.racing
    ends = {"least": Length(least - windows.bow), "most": Length(most - windows.bow)}
    return Finding(
        code="collision-bulkhead-racing",
        severity="note",
        object=name,
        values={
            "panel": name,
            "from_bow": Length(x - windows.bow),
            "share": Share((x - windows.bow) / windows.length),
            "most_share": Share(RACING_SHARE),
            **ends,
            "verdict": _against(x, least, most),
        },
        measured=x - windows.bow,
        limit=Phrase("from-the-bow", ends),
        source="collision-racing",
        binding=SOURCES["collision-racing"].binding,
    )


def _passenger(name: str, x: float, windows: RuleWindows) -> Finding | None:
    if windows.passenger is None or windows.line_end is None:
        return None
    (least, most), line_start = windows.passenger, windows.line_start
    ends = {"least": Length(least - line_start), "most": Length(most - line_start)}
    return Finding(
        code="collision-bulkhead-passenger",
        severity="note",
        object=name,
        values={
            "panel": name,
            "abaft": Length(x - line_start),
            "share": Share((x - line_start) / (windows.line_end - line_start)),
            "least_share": Share(PASSENGER_SHARES[0]),
            "most_share": Share(PASSENGER_SHARES[1]),
            **ends,
            "verdict": _against(x, least, most),
        },
        measured=x - line_start,
        limit=Phrase("abaft-the-waterlines-end", ends),
        source="collision-small-passenger",
        binding=SOURCES["collision-small-passenger"].binding,
    )


def _against(x: float, least: float, most: float) -> Phrase:
    if x < least:
        return Phrase("too-far-forward", {"by": Length(least - x)})
    return Phrase("too-far-aft", {"by": Length(x - most)}) if x > most else Phrase("inside-that-window")


def _joined_under_water(layout: Layout, water: WaterPlane) -> list[Finding]:
    """Openings and conduits under the floating waterline that make one space of two, doors between living spaces apart."""
    uses = {space.name: space.use for space in layout.compartments}
    findings = []
    for path in layout.flow_paths:
        if (
            path.kind not in ("opening", "conduit")
            or OUTSIDE in path.between
            or all(uses[name] in LIVED_IN for name in path.between)
        ):
            continue
        depth = -float(water.plane.over(path.outline).min())
        if depth > 0:
            findings.append(_joined(path, depth))
    return findings


def _joined(path: FlowPath, depth: float) -> Finding:
    one, other = path.between
    wet, head = mean_head(float(np.ptp(path.outline[:, 2])), depth)
    flow = orifice_flow(wet * path.area, head)
    return Finding(
        code="spaces-joined",
        severity="warn",
        object=path.name,
        values={
            "path": path.name,
            "depth": Length(depth),
            "one": one,
            "other": other,
            "litres_a_minute": flow,
            "is_opening": path.kind == "opening",
        },
        measured=-depth,
        limit=0.0,
        source="orifice",
        at=path.lowest_at,
    )


def _straddling(layout: Layout) -> list[Finding]:
    """Openings, however they are covered, that lie across a panel behind them and so open into more spaces than they should."""
    by_name: dict[str, list[FlowPath]] = {}
    for path in (*layout.flow_paths, *layout.closed):
        if path.kind == "opening":
            by_name.setdefault(path.name, []).append(path)
    findings = []
    for name, paths in by_name.items():
        met = {space for path in paths for space in path.between}
        spaces = tuple(space.name for space in layout.compartments if space.name in met)
        outward = any(OUTSIDE in path.between for path in paths)
        if len(spaces) <= (1 if outward else 2):
            continue
        findings.append(
            Finding(
                code="opening-straddles",
                severity="warn",
                object=name,
                values={"opening": name, "spaces": spaces, "outward": outward},
                at=paths[0].lowest_at,
            )
        )
    return findings


def _across_steps(layout: Layout) -> list[Finding]:
    """Openings in the deck across an edge of coachroof or cockpit: no frame lies flat there."""
    hull, findings = layout.scene.hull, []
    for opening in layout.scene.openings:
        if opening.through != "deck":
            continue
        hole = shapely.transform(outline(opening), lambda flat, at=opening.at: flat + np.array(at[:2]))
        for kind, house in (("coachroof", hull.coachroof), ("cockpit", hull.cockpit)):
            if house is None:
                continue
            fore, aft = house.half_breadth
            corners = ((house.start, -fore), (house.start, fore), (house.end, aft), (house.end, -aft))
            on = shapely.intersection(hole, shapely.Polygon(corners)).area
            if HOLE_AREA < on < hole.area - HOLE_AREA:
                values = {"opening": opening.name, "part": kind}
                findings.append(Finding(code="opening-across-step", severity="warn", object=opening.name, values=values))
    return findings


def _shut_in(layout: Layout) -> list[Finding]:
    """Spaces that no opening leads into, however it is covered; one through the hull is no way in.

    Of a boat with nothing in her yet nothing is said.
    """
    ways_in = [path for path in (*layout.flow_paths, *layout.closed) if path.kind == "opening" and path.through != "hull"]
    reached = {name for path in ways_in for name in path.between}
    if not (layout.panels or layout.scene.openings or layout.flow_paths or layout.closed):
        return []
    return [
        Finding(
            code="no-access",
            severity="warn",
            object=space.name,
            values={"space": space.name, "least": Length(ARM_OPENING), "easy": Length(EASY_OPENING)},
            source="access-opening",
            at=space.centroid,
        )
        for space in layout.compartments
        if space.bounded and space.name not in reached
    ]


def _running_on(layout: Layout) -> list[Finding]:
    """The spaces that run out of a hull's open end, in one note about the first of them."""
    names = tuple(space.name for space in layout.compartments if not space.bounded)
    if not names:
        return []
    return [
        Finding(
            code="space-runs-on",
            severity="note",
            object=names[0],
            values={"measured_to": Length(layout.hull.x_after), "spaces": names},
            measured=layout.hull.x_after,
        )
    ]


def _nothing_outside(layout: Layout) -> list[Finding]:
    """A note where no flow path to the outside has a known height over the water."""
    if any(OUTSIDE in path.between and len(path.outline) for path in layout.flow_paths):
        return []
    return [Finding(code="no-way-outside", severity="note", object=layout.scene.name)]
