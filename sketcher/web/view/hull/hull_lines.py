"""The hull's lines as she is entered: body plan, profile and plan, through her points at once, her surface's lines once known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import radians, tan

import numpy as np

from sketcher.analysis.hull.form import HullForm
from sketcher.analysis.hull.transom import drop_forward
from sketcher.geometry.mesh import Floats
from sketcher.geometry.surface.curve import curve_through
from sketcher.geometry.tolerances import POINTS_APART
from sketcher.model.edits.hull_outlines import DRAWINGS, Drawing, OutlineGrip, outline_grips, section_side
from sketcher.model.edits.hull_sides import points_of_side
from sketcher.model.hull import Hull, Station, mirrored_hull, starboard_alone, with_heights_up
from sketcher.outputs.drawing.recording import Item, LineStyle, Spot, line
from sketcher.outputs.drawing.svg import items_as_svg
from sketcher.outputs.palette import ACCENT, INK, PENCIL
from sketcher.web.view.hull.hull_grips import HullFrame, grips_over

ACROSS = 200.0
"""[mm] The paper's width; the page shows each drawing as wide as it has room."""
EDGE = 6.0
"""[mm] Paper left white about a drawing."""
STEPS = 40
"""Pieces in which a section is drawn."""
ROWS = 4
"""Lines along the hull that are drawn between keel and sheer."""
THIN, PLAIN, BROAD = (LineStyle(PENCIL, 0.15), LineStyle(INK, 0.2), LineStyle(ACCENT, 0.45))
DOT, DOUBTED = LineStyle(PENCIL, 0.8), LineStyle(ACCENT, 1.6)
CROSS = 12.0
"""[pixels] Half a mark of a known point on a picture."""
GUESSED = LineStyle(PENCIL, 0.15, (1.0, 0.8))

Lines = Iterable[tuple[Floats, LineStyle]]
"""Points (n, 2) [m] across and up, and how they are drawn."""


def hull_lines(hull: Hull, form: HullForm | None, chosen: int, doubted: frozenset[str]) -> dict[str, str]:
    """The drawings as SVG by name. chosen: the station that is worked on, from 1; doubted: keys of numbers probably wrong."""
    if not any(station.points for station in hull.stations):
        return {}
    up = with_heights_up(hull)
    lines = {
        "body plan": _body_plan(up, chosen, doubted),
        "profile": [*_profile(up, form), *_stations_across(up, chosen, 1)],
        "plan": [*_plan(up, form), *_stations_across(up, chosen, 0)],
    }
    return {name: _svg(name, lines[name], outline_grips(hull, name, chosen), hull.units, chosen) for name in DRAWINGS}


def _svg(name: Drawing, lines: Lines, grips: tuple[OutlineGrip, ...], units: str, chosen: int) -> str:
    """Lines on paper that is as wide as ever and as high as they need, and over them what can be dragged."""
    drawn = [(points, stroke) for points, stroke in lines if len(points)]
    held = np.array([grip.at for grip in grips]).reshape(-1, 2)
    low = np.min([points.min(axis=0) for points in (held, *(points for points, _ in drawn)) if len(points)], axis=0)
    high = np.max([points.max(axis=0) for points in (held, *(points for points, _ in drawn)) if len(points)], axis=0)
    scale = (ACROSS - 2 * EDGE) / max(float(high[0] - low[0]), POINTS_APART)
    height = float(high[1] - low[1]) * scale + 2 * EDGE

    def on_paper(points: Floats) -> list[Spot]:
        return [(float(x), float(y)) for x, y in (points - low) * scale + EDGE]

    items: list[Item] = [line(on_paper(points), stroke, "hull") for points, stroke in drawn]
    frame = HullFrame(name, (float(low[0]), float(low[1])), scale, height, EDGE, units)
    over = grips_over(grips, frame, chosen)
    size = f'viewBox="0 0 {ACROSS:g} {height:.1f}"'
    return (
        f'<svg {size} role="group" aria-label="{name.capitalize()}" {frame.marks}>{items_as_svg(items, height, 5.0)}{over}</svg>'
    )


def lines_over_picture(
    size: tuple[float, float], sections: Iterable[tuple[Sequence[Spot], bool]], marks: Sequence[Spot], points: Sequence[Spot]
) -> str:
    """Over a picture of so many pixels: sections, each whether it is worked on, its points, and the marks of known points."""
    height = size[1]

    def up(spots: Sequence[Spot]) -> list[Spot]:
        return [(x, height - y) for x, y in spots]

    items: list[Item] = [line(up(spots), BROAD if chosen else PLAIN, "hull") for spots, chosen in sections]
    items += [line(up([spot, spot]), DOT, "hull") for spot in points]
    for x, y in marks:
        items += [line(up(ends), BROAD, "hull") for ends in ([(x - CROSS, y), (x + CROSS, y)], [(x, y - CROSS), (x, y + CROSS)])]
    return f'<svg viewBox="0 0 {size[0]:g} {height:g}" aria-hidden="true">{items_as_svg(items, height, 5.0)}</svg>'


def section_curve(station: Station, smooth: bool) -> Floats:
    """A station's section (n, 2), as it is lofted; straight between its points where those make no curve."""
    points = np.array(station.points, dtype=float).reshape(-1, 2)
    steps = np.hypot(*np.diff(points, axis=0).T) if len(points) > 1 else np.zeros(1)
    if len(points) < 2 or steps.min() < POINTS_APART:
        return points
    corners = tuple(number - 1 for number in station.knuckles if 1 < number < len(points))
    curve = curve_through(points, corners, smooth)
    return curve.at(np.linspace(0.0, 1.0, STEPS + 1))


def _body_plan(hull: Hull, chosen: int, doubted: frozenset[str]) -> Iterator[tuple[Floats, LineStyle]]:
    """Sections forward of the widest at the right, those aft of it at the left; the points of the chosen one as dots."""
    tall = [point[1] for station in hull.stations for point in station.points]
    yield np.array([[0.0, min(tall)], [0.0, max(tall)]]), THIN
    yield _deck_across(hull), THIN
    for number, station in enumerate(hull.stations, 1):
        for port in (False, True) if hull.apart else (False,):
            yield from _section(hull, number, station, chosen, doubted, port=port)


def _section(
    hull: Hull, number: int, station: Station, chosen: int, doubted: frozenset[str], *, port: bool
) -> Iterator[tuple[Floats, LineStyle]]:
    """A station's section to one side, its points where it is worked on."""
    side = np.array([section_side(hull, number, port=port), 1.0])
    stroke = BROAD if number == chosen else GUESSED if station.wholly_guessed else PLAIN
    points = points_of_side(station, port=port)
    yield section_curve(replace(station, points=points, port=()), hull.between_points == "smooth") * side, stroke
    for k, point in enumerate(points, 1):
        key = f"stations.{number}.{'port' if port else 'points'}.{k}"
        doubtful = any(f"{key}.{axis}" in doubted for axis in (1, 2))
        if number == chosen or doubtful:
            yield np.array([point, point]) * side, DOUBTED if doubtful else DOT


def _deck_across(hull: Hull) -> Floats:
    """The deck over the broadest station."""
    broad = max((station for station in hull.stations if station.points), key=lambda station: station.points[-1][0])
    half, edge = broad.points[-1]
    off = np.linspace(-half, half, STEPS + 1)
    return np.column_stack([off, edge + hull.deck.camber * (1.0 - (off / max(half, POINTS_APART)) ** 2)])


def _profile(hull: Hull, form: HullForm | None) -> Iterator[tuple[Floats, LineStyle]]:
    """Keel, sheer and the lines between, stem, stern and transom, coachroof and cockpit, her bow to the left."""
    yield from _along(hull, form, 2)
    for points in (hull.stem, hull.stern):
        if points:
            yield np.array(points), PLAIN
    if (hull.transom_rake or hull.transom_curve) and not hull.stern and not hull.open_aft and hull.stations[-1].points:
        side, middle = transom_lines(hull)
        yield middle, PLAIN
        yield side, PLAIN if hull.transom_curve else THIN
    roof, well = hull.coachroof, hull.cockpit
    if roof is not None:
        low, high = (_sheer_at(hull, x) + hull.deck.camber for x in (roof.start, roof.end))
        top = [(roof.start, low + roof.height), (roof.end, high + roof.height)]
        yield np.array([(roof.start, low), *top, (roof.end, high)]), PLAIN
    if well is not None:
        ends = [(x, _sheer_at(hull, x)) for x in (well.start, well.end)]
        yield np.array([ends[0], (well.start, well.sole), (well.end, well.sole), ends[1]]), THIN
    for item in hull.appendages:
        if item.outline:
            yield np.array([*item.outline, item.outline[0]]), PLAIN
            continue
        low = item.at[2] if item.lowest is None else item.lowest
        yield np.array([(item.at[0], item.at[2]), (item.at[0], low)]), THIN


def _plan(hull: Hull, form: HullForm | None) -> Iterator[tuple[Floats, LineStyle]]:
    """The sheer and the lines between it and the centreline, coachroof and cockpit; of one side where both are alike."""
    yield from ((points * (1.0, -1.0), stroke) for points, stroke in _along(hull, form, 1))
    if hull.apart:
        yield from _along(starboard_alone(mirrored_hull(hull)), None if form is None else form.to_port, 1)
    ends = [hull.stations[0].at, hull.stations[-1].at, *(x for x, _ in (*hull.stem, *hull.stern))]
    yield np.array([(min(ends), 0.0), (max(ends), 0.0)]), THIN
    if hull.transom_curve and not hull.stern and not hull.open_aft and hull.stations[-1].points:
        yield _transom_arc(hull), PLAIN
    for part in (hull.coachroof, hull.cockpit):
        if part is not None:
            fore, aft = part.half_breadth
            yield np.array([(part.start, 0.0), (part.start, -fore), (part.end, -aft), (part.end, 0.0)]), PLAIN


def transom_lines(hull: Hull) -> tuple[Floats, Floats]:
    """The transom in profile, points (n, 2): through the last station's points, and its middle from their lowest to the sheer."""
    last, rake = hull.stations[-1], tan(radians(hull.transom_rake))
    points = np.array(last.points)
    aft = last.at + (points[:, 1] - points[:, 1].min()) * rake
    side = np.column_stack([aft - drop_forward(hull, points[:, 0]), points[:, 1]])
    ends = [int(np.argmin(points[:, 1])), -1]
    return side, np.column_stack([aft[ends], points[ends, 1]])


def _transom_arc(hull: Hull) -> Floats:
    """The transom's top edge in plan, to starboard."""
    last = hull.stations[-1]
    offs = np.linspace(0.0, last.points[-1][0], STEPS + 1)
    x = transom_lines(hull)[1][-1, 0]
    return np.column_stack([x - drop_forward(hull, offs), -offs])


def _along(hull: Hull, form: HullForm | None, axis: int) -> Iterator[tuple[Floats, LineStyle]]:
    """Lines along the hull: those of her surface, or straight through the keel and sheer of her stations."""
    if form is not None:
        count = form.lines.shape[1]
        for number in range(ROWS + 2):
            row = form.lines[:, round(number * (count - 1) / (ROWS + 1))]
            yield row[:, [0, axis]], PLAIN if number in (0, ROWS + 1) else THIN
        return
    stations = [station for station in hull.stations if station.points]
    for end in (0, -1):
        yield np.array([(station.at, station.points[end][axis - 1]) for station in stations]), GUESSED


def _stations_across(hull: Hull, chosen: int, axis: int) -> Iterator[tuple[Floats, LineStyle]]:
    """Where each station stands, and the chosen one's points. axis: 0 half-breadths, to starboard downwards; 1 heights."""
    sign = -1.0 if axis == 0 else 1.0
    for number, station in enumerate(hull.stations, 1):
        measured = [sign * point[axis] for point in station.points] + [point[axis] for point in station.port]
        if not measured:
            continue
        low, high = min(measured), max(measured) if axis == 1 else max(0.0, *measured)
        stroke = BROAD if number == chosen else GUESSED if station.wholly_guessed else THIN
        yield np.array([(station.at, low), (station.at, high)]), stroke
        if number == chosen:
            for value in measured:
                yield np.array([(station.at, value)] * 2), DOT


def _sheer_at(hull: Hull, x: float) -> float:
    """About how high the sheer is at a distance aft [m]."""
    stations = [station for station in hull.stations if station.points]
    return float(np.interp(x, [station.at for station in stations], [station.points[-1][1] for station in stations]))
