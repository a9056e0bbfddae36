"""Figures and marks round a drawing: distances aft, heights, widths, the water, openings and berths."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.analysis.results import PanelShape
from sketcher.outputs.drawing.cut_outlines import Kind, PlaneCut
from sketcher.outputs.drawing.ordinates import SIZE, Ordinate
from sketcher.outputs.drawing.recording import Item, Line, LineStyle, PaperPlacing, Words, dimension, line
from sketcher.outputs.palette import ACCENT, CUSHION, PENCIL, WATER
from sketcher.outputs.wording.quantities import length

WATER_LINE = LineStyle(WATER, 0.35)
OPENING = LineStyle(ACCENT, 0.2, (1.2, 0.8))
BERTH = LineStyle(CUSHION, 0.35, (2.5, 1.0))
FIGURE = LineStyle(PENCIL, 0.15)
LID_WIDTH_UP = 2.0
"""[mm] over a lid's top at which its width is written in a section."""
FACING = 0.5
"""An opening faces the eye when it is less deep than so many times its lesser width: turned by 27 degrees at most."""


def ordinates_along(found: PlaneCut, evaluation: Evaluation, placing: PaperPlacing, unit: str) -> list[Ordinate]:
    """Figures beneath the drawing: how far aft each bulkhead's forward face is, or how far off the centre each partition."""
    ordinates = []
    for panel in found.panels:
        shape = panel.shape
        wanted = "partition" if found.kind == "section" else "bulkhead"
        if shape.kind != wanted:
            continue
        begins = panel.outline.bounds[1]
        if wanted == "bulkhead":
            value = _forward_face(shape, found, begins)
            figure = length(value, unit)
        else:
            value = (panel.outline.bounds[0] + panel.outline.bounds[2]) / 2
            figure = _off_centre(value, unit)
        spot = placing.spot(value, begins)
        ordinates.append(Ordinate(spot[0], spot[1], f"{shape.name} {figure}", f"{shape.kind}/{shape.name}", figure))
    for value, end in zip(_ends(found), ("hull from", "hull to"), strict=False):
        spot = placing.spot(value, found.hull.bounds[1]) if not found.hull.is_empty else placing.spot(value, 0.0)
        figure = _off_centre(value, unit) if found.kind == "section" else length(value, unit)
        word = "hull" if found.kind == "section" else end
        ordinates.append(Ordinate(spot[0], spot[1], f"{word} {figure}", figure=figure))
    return ordinates


def ordinates_up(found: PlaneCut, evaluation: Evaluation, placing: PaperPlacing, unit: str) -> list[Ordinate]:
    """Figures at the left: heights of lids' tops and of the water, or how far off the centre partitions are in a plan."""
    ordinates = []
    wanted = "partition" if found.kind == "plan" else "lid"
    for panel in found.panels:
        shape = panel.shape
        if shape.kind != wanted:
            continue
        x0, y0, x1, y1 = panel.outline.bounds
        begins = min(placing.spot(x0, 0.0)[0], placing.spot(x1, 0.0)[0])
        if wanted == "lid":
            value = _top_at_left(shape, found, x0 if placing.signs[0] > 0 else x1, y1)
            figure = length(value, unit)
        else:
            value = (y0 + y1) / 2
            figure = _off_centre(value, unit)
        place = placing.spot(0.0, value)[1]
        ordinates.append(Ordinate(place, begins, f"{shape.name} {figure}", f"{shape.kind}/{shape.name}", figure))
    if found.kind != "plan":
        left = placing.spot(found.hull.bounds[0] if placing.signs[0] > 0 else found.hull.bounds[2], 0.0)[0] if found.hull else 0.0
        figure = length(0.0, unit)
        ordinates.append(Ordinate(placing.spot(0.0, 0.0)[1], left, f"base line {figure}", figure=figure))
        water = evaluation.water
        if water is not None:
            height = water.forward if found.kind == "profile" else water.height(found.at)
            spot = placing.spot(water.x_forward if found.kind == "profile" else 0.0, height)
            figure = length(height, unit)
            ordinates.append(Ordinate(spot[1], left, f"water {figure}", "waterline/waterline", figure))
    return ordinates


def water_marks(
    evaluation: Evaluation, kind: Kind, at: float, placing: PaperPlacing, reach: tuple[float, float]
) -> Iterator[Item]:
    """The waterline across a drawing seen from the side or ahead, a little past the boat's ends. reach: left and right [mm]."""
    water = evaluation.water
    if water is None or kind == "plan":
        return
    left, right = reach[0] - 3.0, reach[1] + 3.0
    spots = []
    for x in (left, right):
        u, _ = placing.boat(x, 0.0)
        height = water.height(u, at) if kind == "profile" else water.height(at, u)
        spots.append(placing.spot(u, height))
    yield line(spots, WATER_LINE, "water", "waterline/waterline")
    x, y = spots[1]
    mark = [(x - 1.4, y + 2.4), (x + 1.4, y + 2.4), (x, y)]
    yield line(mark, LineStyle(WATER, 0.25), "water", "waterline/waterline", closed=True)
    stated = water.after if kind == "profile" else water.height(at)
    text = length(stated, evaluation.scene.units)
    yield Words((x, y + 3.2), text, SIZE, WATER, "water", "middle", halo=True, part="waterline/waterline")


def opening_marks(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> Iterator[Item]:
    """Openings of the spaces that are cut: those the plane goes through, and beyond it those that face the eye."""
    u, v = ("xyz".index(axis) for axis in placing.axes)
    deep = 3 - u - v
    names = {space.known.name for space in found.spaces}
    for path in evaluation.layout.flow_paths:
        if path.kind != "opening" or len(path.outline) < 2 or names.isdisjoint(path.between):
            continue
        outline = np.asarray(path.outline)
        low, high = outline.min(axis=0), outline.max(axis=0)
        met = low[deep] <= found.at <= high[deep]
        faces_eye = high[deep] - low[deep] < FACING * min(high[u] - low[u], high[v] - low[v])
        if met or faces_eye:
            points = [placing.spot(float(p[u]), float(p[v])) for p in outline]
            yield line(points, OPENING, "openings", f"opening/{path.name}", closed=True)


def berth_marks(evaluation: Evaluation, kind: Kind, at: float, placing: PaperPlacing, unit: str) -> Iterator[Item]:
    """Each berth's clear outline in plan, its cushion's top from the side, and its longest clear run as a dimension."""
    for berth in evaluation.berths:
        part = f"berth/{berth.name}"
        outline = np.asarray(berth.outline)
        if kind == "section" or len(outline) < 3:
            continue
        if kind == "plan":
            yield line([placing.spot(float(x), float(y)) for x, y in outline], BERTH, "berths", part, closed=True)
        if berth.line is None or berth.length is None:
            continue
        (x0, y0), (x1, y1) = berth.line
        if kind == "profile":
            y0 = y1 = berth.surface
        text = f"{berth.name} {length(berth.length, unit)}"
        yield from dimension(placing.spot(x0, y0), placing.spot(x1, y1), 0.0, text, LineStyle(CUSHION, 0.25), SIZE, part)


def kept_clear(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> shapely.Geometry:
    """The paper [mm] that the waterline, openings and the berths' dimensions take, for names to keep off."""
    strips = [*_openings_ground(evaluation, found, placing), *_waterline_ground(found, placing)]
    strips += _lids_ground(found, placing) if found.kind == "section" else _berths_ground(evaluation, found, placing)
    return shapely.union_all(strips)


def _openings_ground(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> Iterator[shapely.Geometry]:
    for item in opening_marks(evaluation, found, placing):
        if isinstance(item, Line) and len(item.points) > 2:
            yield shapely.LinearRing(item.points).buffer(0.4)


def _waterline_ground(found: PlaneCut, placing: PaperPlacing) -> Iterator[shapely.Geometry]:
    if found.water is not None and found.kind != "plan":
        edge = [placing.spot(u, v) for u, v in found.water.exterior.coords[:2]]
        yield shapely.LineString(edge).buffer(0.5, cap_style="flat")


def _berths_ground(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> Iterator[shapely.Geometry]:
    for berth in evaluation.berths:
        if berth.line is not None:
            ends = [(x, berth.surface if found.kind == "profile" else y) for x, y in berth.line]
            yield shapely.LineString([placing.spot(u, v) for u, v in ends]).buffer(SIZE * 1.5, cap_style="flat")


def _lids_ground(found: PlaneCut, placing: PaperPlacing) -> Iterator[shapely.Geometry]:
    for panel in found.lids:
        x0, _, x1, y1 = panel.outline.bounds
        (a, y), (b, _) = placing.spot(x0, y1), placing.spot(x1, y1)
        yield shapely.box(min(a, b), y, max(a, b), y + LID_WIDTH_UP + SIZE * 1.5)


def across(found: PlaneCut, evaluation: Evaluation, placing: PaperPlacing, unit: str) -> Iterator[Item]:
    """In a section: how wide each lid is at its top, from face to face of what bounds it."""
    if found.kind != "section":
        return
    for panel in found.lids:
        x0, _, x1, y1 = panel.outline.bounds
        part = f"lid/{panel.shape.name}"
        a, b = sorted((placing.spot(x0, y1), placing.spot(x1, y1)))
        yield from dimension(a, b, LID_WIDTH_UP, length(x1 - x0, unit), FIGURE, SIZE, part)


def _forward_face(shape: PanelShape, found: PlaneCut, low: float) -> float:
    """Where the drawing's plane meets a bulkhead's forward face [m aft]: at its stated height in a profile."""
    if shape.kind != "bulkhead":
        return float(found.inside.bounds[0])
    if found.kind == "profile":
        return shape.front.coordinate(0, (0.0, found.at, getattr(shape.panel, "at_height", 0.0)))
    return shape.front.coordinate(0, (0.0, 0.0, found.at))


def _top_at_left(shape: PanelShape, found: PlaneCut, u: float, fallback: float) -> float:
    """Height of a lid's top [m] at the end of it that lies to the left in the drawing."""
    if shape.kind != "lid":
        return fallback
    x, y = (u, found.at) if found.kind == "profile" else (found.at, u)
    return shape.front.coordinate(2, (x, y, 0.0))


def _ends(found: PlaneCut) -> tuple[float, ...]:
    """The ends of the cut hull along the drawing."""
    return () if found.hull.is_empty else (found.hull.bounds[0], found.hull.bounds[2])


def _off_centre(value: float, unit: str) -> str:
    if abs(value) < 0.0005:
        return "centre"
    return f"{length(abs(value), unit)} {'S' if value > 0 else 'P'}"
