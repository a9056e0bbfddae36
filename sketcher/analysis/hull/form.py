"""The hull's surfaces from its measurements: the space inside and the body outside, both closed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import ceil, dist, sqrt
from typing import TypeVar

import numpy as np
import shapely

from sketcher.analysis.findings import Finding, Length, Value, Volume
from sketcher.analysis.hull.bodies import DECK, OPEN_END, SKIN, HullBodies
from sketcher.analysis.hull.checks import check_measurements, check_sections
from sketcher.analysis.hull.standing import level_findings, own_axes
from sketcher.analysis.hull.station_curves import Frames, frames_of
from sketcher.analysis.hull.transom import END_SAG, CurvedEnd, curved_end
from sketcher.geometry.mesh import Floats, GeometryError, Ints, TriMesh
from sketcher.geometry.solid.section import frame_x, frame_y, section
from sketcher.geometry.surface.loft import BackwardLineError, LoftedGrid, loft
from sketcher.geometry.surface.seam import joined_sides
from sketcher.model.errors import SketchError
from sketcher.model.hull import Hull, mirrored_hull, starboard_alone

__all__ = ["DECK", "OPEN_END", "SKIN", "HullForm", "form_hull"]

Made = TypeVar("Made")

SKIN_CELLS = 5000
"""Most cells of one side's skin at resolution 1: with the deck 20 000 to 26 000 triangles."""

SKIN_ERROR = 5e-5
"""[share of the skin's box] What facets may cost each way at resolution 1; flat sides need fewer cells than round ones for that.

All the demo boats come to 0.028 to 0.034 % of their volume, with 7 000 to 26 000 triangles.
"""

DECK_STEPS = 8
"""Steps of a cambered deck or coachroof from its edge to its middle at resolution 1: 0.2 mm in the mean for 80 mm of camber."""


BOARD_SAG = 1e-4
"""[m] How far the facets that boards are cut by may leave the surface, each way and by twist: far less than a saw does."""

ATHWARTSHIPS = 1e-3
"""[1] Skin whose square has no more of itself across the boat than this belongs to a flat end, not to a side."""

_LEFT_OUT = "shell-piece-left-out"
LEFT_OUT = 1e-5
"""[m3] Pieces of the derived face smaller than a hundredth of a litre are left out without a word."""


@dataclass(frozen=True, eq=False, kw_only=True)
class HullForm:
    """Both faces of the shell as closed solids in the boat's level axes; the deck, coachroof and cockpit belong to them.

    lines: the loft's grid on the measured face, starboard, (sections, rows, 3), keel to sheer, kept for drawings.
    sheer: (k, 3) the deck's edge of the outside body, starboard, from forward to aft; freeboard is measured to it.
    own: the hull with heights over her base line, and her deck's houses and appendages turned back as she was.
    x_forward, x_after [m]: the outside body's foremost and aftmost point on the centreline.
    station_columns: the section of `lines` at each station (and at the stem and the stern, when they have a profile).
    lofted: it was made of the hull's measurements, and can be made of them again in finer facets.
    image: where her sides were measured apart the boat whose starboard side is a mirror image of her port side, and whose port
    side of that: her own port side in whatever is known of one side only.
    """

    hull: Hull
    inside: TriMesh
    outside: TriMesh
    lines: Floats = field(repr=False)
    sheer: Floats = field(repr=False)
    x_forward: float
    x_after: float
    findings: tuple[Finding, ...] = ()
    station_columns: tuple[int, ...] = ()
    lofted: bool = False
    image: HullForm | None = None

    @property
    def to_port(self) -> HullForm:
        """The boat whose starboard side is a mirror image of her port side: herself where both are alike."""
        return self.image or self

    @cached_property
    def port_sheer(self) -> Floats:
        """(k, 3) the deck's edge to port, at as many places from end to end as `sheer` has."""
        there = self.to_port.sheer * [1.0, -1.0, 1.0]
        if self.image is None or not len(there) or not len(self.sheer):
            return there
        share = (self.sheer[:, 0] - self.sheer[0, 0]) / max(float(np.ptp(self.sheer[:, 0])), 1e-9)
        x = there[0, 0] + share * np.ptp(there[:, 0])
        return np.column_stack([x, np.interp(x, there[:, 0], there[:, 1]), np.interp(x, there[:, 0], there[:, 2])])

    @cached_property
    def own(self) -> Hull:
        return own_axes(self.hull)

    @cached_property
    def fine(self) -> HullForm:
        """The same boat in facets fine enough to cut boards by: BOARD_SAG from her surface, where volumes bear ten times more."""
        return form_hull(self.hull, sag=BOARD_SAG) if self.lofted else self

    def deck_underside(self, x: float, y: float) -> float | None:
        """Height [m] of the highest inside point over (x, y), coachroof included; None outside the deck's plan."""
        (height,) = self.deck_undersides(np.array([[x, y]])).tolist()
        return None if np.isnan(height) else height

    def deck_undersides(self, places: Floats) -> Floats:
        """The same over each of (n, 2) places: (n,), not a number outside the deck's plan."""
        if not len(places):
            return np.zeros(0)
        near = self._deck_near(places)
        a, e1, e2, base = (each[near] for each in self._deck_plan)
        px, py = (places[:, k : k + 1] - a[:, k] for k in range(2))
        u = px * e2[:, 1] - py * e2[:, 0]
        v = e1[:, 0] * py - e1[:, 1] * px
        place, met = np.nonzero((u >= -1e-12) & (v >= -1e-12) & (u + v <= base + 1e-12))
        highest = np.full(len(places), -np.inf)
        np.maximum.at(highest, place, a[met, 2] + (u[place, met] * e1[met, 2] + v[place, met] * e2[met, 2]) / base[met])
        return np.where(np.isinf(highest), np.nan, highest)

    def _deck_near(self, places: Floats) -> Ints:
        """Numbers of the deck's triangles in plan that may hold one of the places, by the bounds of all."""
        low, high = self._deck_bounds
        return np.flatnonzero((low <= places.max(axis=0) + 1e-9).all(axis=1) & (high >= places.min(axis=0) - 1e-9).all(axis=1))

    def stem_at(self, height: float) -> float | None:
        """x [m] of the inside face's foremost point on the centreline at a height; None above or below the hull."""
        met = _met_at(self._inside_profile, height)
        return float(met.min()) if len(met) else None

    def profile(self, face: str = "outside") -> shapely.MultiPolygon:
        """The cut along the centreline, (x, z); face: `inside` or `outside`."""
        return section(self._face(face), frame_y(0.0))

    def section_at(self, x: float, face: str = "outside") -> shapely.MultiPolygon:
        """The cut across at x, (y, z)."""
        return section(self._face(face), frame_x(x))

    def _face(self, face: str) -> TriMesh:
        return self.inside if face == "inside" else self.outside

    @cached_property
    def _inside_profile(self) -> Floats:
        """Pieces (k, 2, 2) of the inside's outline on the centreline, (x, z)."""
        outline = self.profile("inside")
        rings = [np.asarray(part.exterior.coords) for part in outline.geoms]
        return np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])

    @cached_property
    def _deck_bounds(self) -> tuple[Floats, Floats]:
        """The lowest and highest x and y (n, 2) of each triangle of `_deck_plan`."""
        a, e1, e2, _ = self._deck_plan
        corners = np.stack([a, a + e1, a + e2])[:, :, :2]
        return corners.min(axis=0), corners.max(axis=0)

    @cached_property
    def _deck_plan(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Corner, two edges and twice the plan area of the deck's triangles that face up."""
        a, b, c = self.inside.vertices[self.inside.triangles[self.inside.labels == DECK].T]
        e1, e2 = b - a, c - a
        base = e1[:, 0] * e2[:, 1] - e1[:, 1] * e2[:, 0]
        up = base > 0.0
        return a[up], e1[up], e2[up], base[up]


def form_hull(hull: Hull, resolution: float = 1.0, sag: float | None = None) -> HullForm:
    """Loft a hull and close both its faces; resolution multiplies the number of triangles, some 22 000 in a round hull.

    sag: in place of a resolution, how far facets may leave the surface each way and by its twist [m].

    It is made with its foremost place at zero and then put where it is stated, so that the same boat has the same facets
    wherever her measurements begin. Where she was measured out of trim her zero is what she is turned about, and stays.

    Raises SketchError where the measurements cannot make a hull (turned inside out, no area), naming station and remedy.
    """
    check_measurements(hull)
    form = _placed(own_axes(hull), resolution, sag)
    return replace(form, hull=hull, findings=(*level_findings(hull), *form.findings))


def _placed(hull: Hull, resolution: float, sag: float | None) -> HullForm:
    """A hull in its own axes, made with its foremost place at zero where she was measured in trim."""
    ahead = min(station.at for station in hull.stations)
    ahead = min([ahead, *(x for x, _ in hull.stem)])
    if ahead == 0.0 or not np.isfinite(ahead) or hull.measured_trim:
        return _formed(hull, resolution, sag)
    try:
        own = _formed(_slid(hull, -ahead), resolution, sag)
    except SketchError:
        _formed(hull, resolution, sag)  # raises the same with the numbers that the file has
        raise
    left_out = [finding for finding in own.findings if finding.code == _LEFT_OUT]
    # What there is to say of her frames is said in the file's numbers; mostly there is nothing.
    findings = (*(_of_frames(hull) if len(own.findings) > len(left_out) else ()), *left_out)
    return _carried(own, hull, ahead, findings)


def _carried(own: HullForm, hull: Hull, ahead: float, findings: tuple[Finding, ...]) -> HullForm:
    """A form made `ahead` [m] further forward, put where its hull is stated."""
    along = np.array([ahead, 0.0, 0.0])
    inside, outside = (TriMesh(mesh.vertices + along, mesh.triangles, mesh.labels) for mesh in (own.inside, own.outside))
    return HullForm(
        hull=hull,
        inside=inside,
        outside=outside if own.outside is not own.inside else inside,
        lines=own.lines + along,
        sheer=own.sheer + along,
        x_forward=own.x_forward + ahead,
        x_after=own.x_after + ahead,
        station_columns=own.station_columns,
        lofted=True,
        findings=findings,
        image=None if own.image is None else _carried(own.image, starboard_alone(mirrored_hull(hull)), ahead, ()),
    )


def _slid(hull: Hull, by: float) -> Hull:
    """The hull's surfaces so far [m] further aft, to a millionth of a millimetre."""

    def aft(x: float) -> float:
        return round(x + by, 9)

    roof, well = hull.coachroof, hull.cockpit
    return replace(
        hull,
        stations=tuple(replace(station, at=aft(station.at)) for station in hull.stations),
        stem=tuple((aft(x), z) for x, z in hull.stem),
        stern=tuple((aft(x), z) for x, z in hull.stern),
        coachroof=roof and replace(roof, start=aft(roof.start), end=aft(roof.end)),
        cockpit=well and replace(well, start=aft(well.start), end=aft(well.end)),
    )


def _formed(hull: Hull, resolution: float, sag: float | None) -> HullForm:
    """The hull's surfaces in the axes of its file. Raises as `form_hull` does."""
    if hull.apart:
        return _formed_apart(hull, resolution, sag)
    frames, sheet = _skin(hull, resolution, sag)
    return _with_bodies(hull, frames, sheet, HullBodies(hull, sheet, _deck_steps(hull, resolution, sag)))


def _formed_apart(hull: Hull, resolution: float, sag: float | None) -> HullForm:
    """The same of a hull whose sides were measured apart: each side's own boat, alike on both sides, and a half of each.

    The deck goes from edge to edge. Each side has its own other face; on the centreline they meet half-way between the two.
    """
    sides = (starboard_alone(hull), starboard_alone(mirrored_hull(hull)))
    skins = [_skin(sides[0], resolution, sag), _to_port(lambda: _skin(sides[1], resolution, sag))]
    edges, steps = [sheet.points[:, -1] for _, sheet in skins], _deck_steps(hull, resolution, sag)
    bodies = [HullBodies(side, sheet, steps, edge) for side, (_, sheet), edge in zip(sides, skins, edges[::-1], strict=True)]
    one = _with_bodies(sides[0], *skins[0], bodies[0])
    image = _to_port(lambda: _with_bodies(sides[1], *skins[1], bodies[1]))
    measured = hull.offsets_to
    try:
        inside = joined_sides(one.inside, image.inside, DECK, halfway=measured == "outside")
        thin = one.outside is one.inside
        outside = inside if thin else joined_sides(one.outside, image.outside, DECK, halfway=measured == "inside")
    except GeometryError as problem:
        raise _unclosed(hull, problem) from None
    lost = {finding.measured or 0.0: finding for form in (one, image) for finding in form.findings if finding.code == _LEFT_OUT}
    whole = _of_bodies(hull, skins[0][1], inside, outside)
    findings = (*_of_frames(hull), *lost.values())
    return replace(whole, sheer=one.sheer, findings=findings, image=replace(image, findings=()))


def _to_port(made: Callable[[], Made]) -> Made:
    """What is made of the port side; a problem says that it is there."""
    try:
        return made()
    except SketchError as problem:
        raise SketchError(f"to port, {problem.message}", problem.remedy, problem.file, problem.line, problem.key) from None


def _of_frames(hull: Hull) -> tuple[Finding, ...]:
    """What was noticed of the measurements as such, of both sides where they were measured apart."""
    found = frames_of(starboard_alone(hull)).findings
    if not hull.apart:
        return found
    found = (_apart(hull), *found)
    to_port = (finding for finding in frames_of(starboard_alone(mirrored_hull(hull))).findings if finding not in found)
    return (*found, *(replace(finding, object=f"{finding.object}, to port") for finding in to_port))


def _apart(hull: Hull) -> Finding:
    """Where the sides differ most."""
    off = [
        (dist(one, other), station.at, number)
        for station in hull.stations
        for number, (one, other) in enumerate(zip(station.points, station.to_port, strict=True), 1)
    ]
    by, at, point = max(off)
    values: dict[str, Value] = {"at": Length(at), "point": point, "by": Length(by)}
    return Finding(code="sides-apart", severity="note", object=hull.name, values=values, measured=by)


def _skin(hull: Hull, resolution: float, sag: float | None) -> tuple[Frames, LoftedGrid]:
    """One side's cross curves and the sheet through them."""
    frames = frames_of(hull)
    sheet = _sheet(hull, frames, resolution, sag)
    check_sections(hull, sheet.points, sheet.curve_columns, frames.names)
    return frames, sheet


def _with_bodies(hull: Hull, frames: Frames, sheet: LoftedGrid, bodies: HullBodies) -> HullForm:
    """The form of a hull that is alike on both sides."""
    thin = hull.shell == 0.0 and hull.deck.thickness == 0.0
    try:
        measured = bodies.measured()
        other, lost = (measured, 0.0) if thin else bodies.other()
    except GeometryError as problem:
        raise _unclosed(hull, problem) from None
    inside, outside = (measured, other) if hull.offsets_to == "inside" else (other, measured)
    return replace(_of_bodies(hull, sheet, inside, outside), findings=(*frames.findings, *_left_out(lost)))


def _of_bodies(hull: Hull, sheet: LoftedGrid, inside: TriMesh, outside: TriMesh) -> HullForm:
    keel = outside.vertices[outside.vertices[:, 1] == 0.0, 0]
    bent = curved_end(hull, sheet.points[-1, 0])
    return HullForm(
        hull=hull,
        inside=inside,
        outside=outside,
        lines=sheet.points,
        sheer=_sheer(outside, None if bent is None else bent.moved(hull.shell if hull.offsets_to == "inside" else 0.0)),
        x_forward=float(keel.min()),
        x_after=float(keel.max()),
        station_columns=sheet.curve_columns,
        lofted=True,
    )


def _unclosed(hull: Hull, problem: GeometryError) -> SketchError:
    return SketchError(
        f"no closed hull comes of these measurements: {problem}",
        "Check `shell`, `deck`, `units` and the stations at the ends.",
        hull.file,
    )


def _left_out(lost: float) -> tuple[Finding, ...]:
    """What to say of pieces of the other face that came apart from it."""
    if lost < LEFT_OUT:
        return ()
    return (
        Finding(
            code=_LEFT_OUT,
            severity="note",
            object="shell",
            values={"volume": Volume(lost)},
            measured=lost,
            limit=LEFT_OUT,
        ),
    )


def _deck_steps(hull: Hull, resolution: float, sag: float | None) -> int:
    """Steps of a camber from its edge to its middle: a parabola's chord over one of n lies off by the camber over 4 n^2."""
    if sag is None:
        return max(1, round(DECK_STEPS * sqrt(resolution)))
    camber = max(hull.deck.camber, hull.coachroof.camber if hull.coachroof else 0.0)
    return max(1, ceil(sqrt(camber / (4.0 * sag))))


def _sheet(hull: Hull, frames: Frames, resolution: float, sag: float | None) -> LoftedGrid:
    straight, cells = hull.between_stations == "straight", int(SKIN_CELLS * resolution)
    error = SKIN_ERROR / resolution
    try:
        return loft(frames.cross_curves, smooth=not straight, cells=cells, by_index=straight, error=error, sag=sag)
    except BackwardLineError as back:
        first, second = frames.names[back.cross_curve], frames.names[back.cross_curve + 1]
        raise SketchError(
            f"{second} lies forward of {first} at some height, so that the hull runs back",
            "Check their distances, the transom's rake and the profile.",
            hull.file,
        ) from None


def _sheer(body: TriMesh, bent: CurvedEnd | None) -> Floats:
    """The starboard edge between the side's skin and the deck, from forward to aft; an end's top edge is no part of it.

    bent: the body's curved transom.
    """
    skin, deck = (body.triangles[body.labels == label] for label in (SKIN, DECK))
    a, b, c = body.vertices[skin.T]
    square = np.cross(b - a, c - a)
    side = np.abs(square[:, 1]) > ATHWARTSHIPS * np.linalg.norm(square, axis=1)
    if bent is not None:
        side &= (np.abs(bent.over(body.vertices)) > 2.0 * END_SAG)[skin].any(axis=1)
    touched = np.zeros((2, len(body.vertices)), dtype=bool)
    touched[0, skin[side]] = touched[1, deck] = True
    edge = body.vertices[touched.all(axis=0) & (body.vertices[:, 1] >= 0.0)]
    return edge[np.lexsort((-edge[:, 1], edge[:, 0]))]


def _met_at(pieces: Floats, height: float) -> Floats:
    """x where the pieces (k, 2, 2) of an outline cross a height."""
    low, high = pieces[:, :, 1].min(axis=1), pieces[:, :, 1].max(axis=1)
    met = pieces[(low <= height) & (high >= height)]
    rise = met[:, 1, 1] - met[:, 0, 1]
    share = np.where(rise != 0.0, (height - met[:, 0, 1]) / np.where(rise != 0.0, rise, 1.0), 0.0)
    x: Floats = met[:, 0, 0] + share * (met[:, 1, 0] - met[:, 0, 0])
    return x
