"""The three drawings of a layout: profile at a distance off the centreline, plan at a height, section at a place; dimensioned.

All are true sections to scale: what is cut is drawn as it is there. The bow is to the left, starboard is up in the plan, and
a section is seen from ahead.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from sketcher.analysis.evaluation import Evaluation
from sketcher.outputs.drawing.chains import chain_beneath, chain_beside, heights_over_lids, lids_ground
from sketcher.outputs.drawing.cut_outlines import AXES, CutSpace, Kind, PlaneCut, outline_polygons, plane_cut
from sketcher.outputs.drawing.dimensions import (
    across,
    berth_marks,
    kept_clear,
    opening_marks,
    ordinates_along,
    ordinates_up,
    water_marks,
)
from sketcher.outputs.drawing.lettering import LEADING, clear_of, fit, lettered, spot_inside
from sketcher.outputs.drawing.ordinates import level_row, ordinate_row, room
from sketcher.outputs.drawing.recording import (
    Drawing,
    FilledArea,
    Item,
    LineStyle,
    PaperPlacing,
    Spot,
    Words,
    line,
    moved,
    text_width,
)
from sketcher.outputs.palette import ACCENT, FAINT, INK, PENCIL, TIMBER, TIMBER_EDGE, TINTS, WATER
from sketcher.outputs.wording.known_spaces import KnownSpace, relation
from sketcher.outputs.wording.quantities import FOOT, UNIT_WORDS, flooded_words, length_with_unit, litres, run_unit, share, sized

SCALES = (1, 2, 2.5, 4, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200, 500)
"""The n of 1 : n that a drawing may have: those of scale rules and their halves."""

BOAT_LENGTH = 360.0
"""[mm] that a boat may take on the paper unless a scale is asked for: a page of A3 laid flat."""
LEAST_WIDTH = 130.0
"""[mm]: room for the title and scale bar."""
MARGIN = 6.0
TITLE = 9.0
BESIDE = 0.005
"""[m] that a profile keeps off a partition on the centreline, so that it shows the space beside it."""
ROW_GAP = 5.0
"""[mm] between the boat and a row of figures."""
CHAIN_ASIDE, CHAIN_DOWN = 7.5, 4.5
"""[mm] from the boat to the chain at its right, clear of the water's mark, and to the one beneath it."""
BENEATH = CHAIN_DOWN + 3.0 + 2.6
"""[mm] that the chain and a row of level figures take beneath a drawing."""
KEY_SIZE = 2.2
OUTLINE = LineStyle(INK, 0.35)
SHEER = LineStyle(PENCIL, 0.18)
SPACE_EDGE = LineStyle(PENCIL, 0.1)
PANEL_EDGE = LineStyle(TIMBER_EDGE, 0.2)
CHOSEN_EDGE = LineStyle(ACCENT, 0.6)
RULING = LineStyle(WATER, 0.1)
WHOLE: Mapping[str, float | None] = {}
"""The water in the flooded spaces of a boat that has none."""
BY_WATER: Mapping[str, str] = {}
"""No tints but those by how spaces stand to the water."""
FAR = 5000.0
"""[mm]: beyond any sheet of paper."""
LEADER_CLEAR = 0.4
"""[mm] that names keep off the lines that lead to the heights beside a drawing."""
FINEST = 0.01
"""[mm] by which an outline on paper may leave the true one: a tenth of the thinnest pen."""
RULE_PITCH = 1.4
"""[mm] between the water lines that rule what lies below the water."""


def scale_for(evaluation: Evaluation, width: float) -> float:
    """The largest usual scale, as n of 1 : n, at which the boat is no longer than `width` [mm] on the paper."""
    form = evaluation.layout.hull
    low, high = form.outside.bounds
    boat = float(high[0] - low[0]) * 1000.0
    return next((float(n) for n in SCALES if boat / n <= width), float(SCALES[-1]))


def profile_drawing(
    evaluation: Evaluation,
    off_centre: float | None = None,
    scale: float | None = None,
    units: str | None = None,
    chosen: str = "",
) -> Drawing:
    """The boat cut lengthwise at a distance off the centreline [m]; None: on it, or beside a partition that stands there.

    chosen: the part (`kind/name`) to be picked out.
    """
    return _draw(evaluation, "profile", profile_place(evaluation) if off_centre is None else off_centre, scale, units, chosen)


def plan_drawing(
    evaluation: Evaluation, height: float | None = None, scale: float | None = None, units: str | None = None, chosen: str = ""
) -> Drawing:
    """The boat cut level at a height [m]; None: at the first berth's cushion, else at the water, else at half her depth."""
    return _draw(evaluation, "plan", plan_height(evaluation) if height is None else height, scale, units, chosen)


def section_drawing(
    evaluation: Evaluation, at: float, scale: float | None = None, units: str | None = None, chosen: str = ""
) -> Drawing:
    """The boat cut across at a distance aft [m], seen from ahead."""
    return _draw(evaluation, "section", at, scale, units, chosen)


def profile_place(evaluation: Evaluation) -> float:
    """How far off the centreline [m] a profile shows the spaces: 0, or just to port of the partitions that stand there."""
    place = 0.0
    for shape in evaluation.layout.panels:
        low, high = shape.mesh.bounds
        if shape.kind == "partition" and low[1] <= place <= high[1]:
            place = float(low[1]) - BESIDE
    return place


def plan_height(evaluation: Evaluation) -> float:
    """A height for a plan that shows most: the first berth's cushion, else the water amidships, else half the hull's depth."""
    if evaluation.berths:
        return evaluation.berths[0].surface
    form = evaluation.layout.hull
    if evaluation.water is not None:
        return evaluation.water.height((form.x_forward + form.x_after) / 2)
    low, high = form.inside.bounds
    return float(low[2] + high[2]) / 2


def _draw(evaluation: Evaluation, kind: Kind, at: float, scale: float | None, units: str | None, chosen: str) -> Drawing:
    """One drawing on its sheet: placed with the boat's zero at the paper's corner, then moved as a whole to where it fits."""
    unit = units or evaluation.scene.units
    n = scale or scale_for(evaluation, BOAT_LENGTH)
    cut = plane_cut(evaluation, kind, at)
    placing = placing_of(kind, n)
    left, bottom, right, top = _extent(evaluation, placing)
    items, key = _body(evaluation, cut, placing, unit, chosen)
    beside, beneath = ordinates_up(cut, evaluation, placing, unit), ordinates_along(cut, evaluation, placing, unit)
    side_edge, low_edge = left - ROW_GAP, bottom - ROW_GAP
    items += [*ordinate_row(beside, side_edge, "left"), *ordinate_row(beneath, low_edge, "below")]
    sheet_left = side_edge - room(beside) - MARGIN
    sheet_right = max(right, sheet_left + LEAST_WIDTH) + MARGIN + ROW_GAP
    lines = _key_lines(key, sheet_right - sheet_left - 2 * MARGIN)
    key_top = low_edge - room(beneath)
    sheet_bottom = key_top - len(lines) * KEY_SIZE * 1.5 - MARGIN
    sheet_top = top + ROW_GAP + TITLE + MARGIN
    items += [
        Words((sheet_left + MARGIN, key_top - (k + 1) * KEY_SIZE * 1.5), text, KEY_SIZE, INK, "names")
        for k, text in enumerate(lines)
    ]
    items += _title(evaluation, kind, at, n, unit, (sheet_left + MARGIN, sheet_right - MARGIN, sheet_top - MARGIN))
    return Drawing(
        title=f"{evaluation.scene.name}: {heading(evaluation, kind, at, unit)}",
        width=sheet_right - sheet_left,
        height=sheet_top - sheet_bottom,
        items=tuple(moved(item, -sheet_left, -sheet_bottom) for item in items),
        placing=replace(placing, origin=(-sheet_left, -sheet_bottom)),
    )


def placing_of(kind: Kind, scale: float, origin: Spot = (0.0, 0.0)) -> PaperPlacing:
    """How the boat lies in a drawing of a kind, her zero at a spot of the paper [mm]."""
    axes, signs = AXES[kind]
    return PaperPlacing(axes=axes, signs=signs, scale=scale, origin=origin)


def view_items(
    evaluation: Evaluation,
    kind: Kind,
    at: float,
    placing: PaperPlacing,
    chosen: str = "",
    beside: bool = True,
    beneath: bool = True,
    named: bool = True,
    water_in: Mapping[str, float | None] = WHOLE,
    tints: Mapping[str, str] = BY_WATER,
) -> tuple[list[Item], dict[int, str]]:
    """One view placed on a sheet of one's own, without heading, and what the numbers in it mean.

    beside, beneath: which rows of dimensions it brings; named: whether those beside it say what they are of. water_in: the water
    [m3] in each flooded space. tints: of spaces by name, where not by how they stand to the water.
    """
    unit = evaluation.scene.units
    cut = plane_cut(evaluation, kind, at)
    left, bottom, right, _ = _extent(evaluation, placing)
    items, key = _body(evaluation, cut, placing, unit, chosen, water_in, tints)
    chained = profile_place(evaluation)
    if beside:
        heights = ordinates_up(cut, evaluation, placing, unit)
        shown = heights if named else [replace(each, text=each.figure) for each in heights]
        items += ordinate_row(shown, left - ROW_GAP, "left")
    if kind == "section":
        items += chain_beside(cut, chained, right + CHAIN_ASIDE, placing, unit)
    if beneath:
        chain = chain_beneath(cut, chained, bottom - CHAIN_DOWN, placing, unit) if kind == "plan" else []
        edge = bottom - CHAIN_DOWN - 3.0 if chain else bottom - 3.0
        items += level_row(ordinates_along(cut, evaluation, placing, unit), edge, (left - 2 * ROW_GAP, right + ROW_GAP))
        items += chain
    return items, {number: ", ".join(space_lines(space.known, water_in)) for number, space in key}


def _body(
    evaluation: Evaluation,
    found: PlaneCut,
    placing: PaperPlacing,
    unit: str,
    chosen: str,
    water_in: Mapping[str, float | None] = WHOLE,
    tints: Mapping[str, str] = BY_WATER,
) -> tuple[list[Item], list[tuple[int, CutSpace]]]:
    """The items inside the outline and on it, and the compartments that only a number names."""
    left, _, right, _ = _extent(evaluation, placing)
    numbers = {space.name: number for number, space in enumerate(evaluation.layout.compartments, 1)}
    names, key = _names(found, placing, _taken(evaluation, found, placing), numbers, water_in)
    items: list[Item] = [
        *_areas(found, placing, chosen, lettered(names), tints),
        *_beyond(evaluation, found.kind, placing),
        *water_marks(evaluation, found.kind, found.at, placing, (left, right)),
        *opening_marks(evaluation, found, placing),
        *_stringers(evaluation, found, placing),
        *_contents(evaluation, found, placing),
        *berth_marks(evaluation, found.kind, found.at, placing, unit),
        *across(found, evaluation, placing, unit),
        *(item for each in heights_over_lids(found, placing, unit) for item in each),
        *names,
    ]
    return items, key


def _taken(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> shapely.Geometry:
    """The paper that names of compartments keep clear of [mm]."""
    leaders = [
        shapely.box(-FAR, o.place - LEADER_CLEAR, o.begins, o.place + LEADER_CLEAR)
        for o in ordinates_up(found, evaluation, placing, evaluation.scene.units)
    ]
    over_lids = lids_ground(found, placing, evaluation.scene.units)
    taken = shapely.union_all([kept_clear(evaluation, found, placing), *leaders, *over_lids])
    if evaluation.contents is None and not evaluation.scene.fittings:
        return taken
    from sketcher.outputs.drawing.contents_marks import names_kept_clear

    return shapely.union(taken, names_kept_clear(evaluation, found.kind, found.at, placing))


def _contents(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> list[Item]:
    """What goes into the spaces and what is in the way there; its module is loaded only where there is something."""
    if evaluation.contents is None and not evaluation.scene.fittings:
        return []
    from sketcher.outputs.drawing.contents_marks import contents_marks

    return list(contents_marks(evaluation, found.kind, found.at, placing))


def _stringers(evaluation: Evaluation, found: PlaneCut, placing: PaperPlacing) -> Iterator[Item]:
    """Stringers where a section cuts them."""
    if found.kind != "section" or not evaluation.scene.stringers:
        return
    from sketcher.analysis.cut.timber.stringers import cut_across, stringer_runs

    for run in stringer_runs(evaluation.scene, evaluation.layout.hull):
        corners = cut_across(run, found.at)
        if corners is not None:
            ring = tuple(placing.spot(float(y), float(z)) for _, y, z in corners)
            yield FilledArea((ring,), TIMBER, PANEL_EDGE, "panels", f"stringer/{run.stringer.name}")


def heading(evaluation: Evaluation, kind: Kind, at: float, unit: str) -> str:
    """The heading of a drawing: what it shows, in words."""
    if kind == "profile":
        if abs(at) < 0.0005:
            return "profile on the centreline"
        return f"profile {length_with_unit(abs(at), unit)} to {'starboard' if at > 0 else 'port'}"
    if kind == "plan":
        return f"plan at {length_with_unit(at, unit)} above the base line"
    return f"section at {length_with_unit(at, unit)} aft, seen from ahead"


def _extent(evaluation: Evaluation, placing: PaperPlacing) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the boat on the paper [mm]."""
    low, high = evaluation.layout.hull.outside.bounds
    u, v = ("xyz".index(axis) for axis in placing.axes)
    a, b = placing.spot(float(low[u]), float(low[v])), placing.spot(float(high[u]), float(high[v]))
    return min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])


def _areas(
    found: PlaneCut, placing: PaperPlacing, chosen: str, names: shapely.Geometry, tints: Mapping[str, str]
) -> Iterator[Item]:
    """Shell, tinted compartments ruled below the water, panels. names: the paper that names take, left unruled."""
    shell = outline_polygons(shapely.difference(found.hull, found.inside))
    yield _area(shell, FAINT, None, "hull", "", placing)
    for space in found.spaces:
        part = f"compartment/{space.known.name}"
        edge = CHOSEN_EDGE if part == chosen else SPACE_EDGE
        tint = tints.get(space.known.name, TINTS[relation(space.known)])
        yield _area(space.outline, tint, edge, "compartments", part, placing)
        yield from _ruling(space, part, placing, names)
    for panel in found.panels:
        part = f"{panel.shape.kind}/{panel.shape.name}"
        edge = CHOSEN_EDGE if part == chosen else PANEL_EDGE
        yield _area(panel.outline, TIMBER, edge, "panels", part, placing)
    yield _area(found.hull, None, OUTLINE, "hull", "", placing)


def _area(
    outline: shapely.MultiPolygon, fill: str | None, edge: LineStyle | None, layer: str, part: str, placing: PaperPlacing
) -> FilledArea:
    paper = outline_polygons(shapely.simplify(_paper_outline(outline, placing), FINEST))
    rings = [ring for polygon in paper.geoms for ring in (polygon.exterior, *polygon.interiors)]
    return FilledArea(tuple(tuple(map(tuple, shapely.get_coordinates(ring).tolist())) for ring in rings), fill, edge, layer, part)


def _ruling(space: CutSpace, part: str, placing: PaperPlacing, names: shapely.Geometry) -> Iterator[Item]:
    """Level lines through what lies below the water, interrupted by names."""
    if space.wet.is_empty:
        return
    wet = _paper_outline(space.wet, placing)
    x0, y0, x1, y1 = wet.bounds
    levels = np.arange(np.ceil(y0 / RULE_PITCH), y1 / RULE_PITCH) * RULE_PITCH
    rules = shapely.linestrings([[(x0 - 1.0, y), (x1 + 1.0, y)] for y in levels]) if len(levels) else []
    for piece in shapely.get_parts(shapely.difference(shapely.intersection(wet, rules), names)):
        if isinstance(piece, shapely.LineString):
            yield line(piece.coords, RULING, "water", part)


def _paper_outline(outline: shapely.MultiPolygon, placing: PaperPlacing) -> shapely.MultiPolygon:
    k = 1000.0 / placing.scale * np.array(placing.signs)
    return shapely.transform(outline, lambda points: points * k + np.array(placing.origin))


def _beyond(evaluation: Evaluation, kind: Kind, placing: PaperPlacing) -> Iterator[Item]:
    """The deck's edge, which lies beyond the plane."""
    sheer, to_port = evaluation.layout.hull.sheer, evaluation.layout.hull.port_sheer
    u, v = ("xyz".index(axis) for axis in placing.axes)
    if kind == "section" or not len(sheer):
        return
    yield line([placing.spot(float(p[u]), float(p[v])) for p in sheer], SHEER, "hull")
    if kind == "plan":
        yield line([placing.spot(float(p[u]), float(p[v])) for p in to_port], SHEER, "hull")


def _names(
    found: PlaneCut, placing: PaperPlacing, taken: shapely.Geometry, numbers: dict[str, int], water_in: Mapping[str, float | None]
) -> tuple[list[Item], list[tuple[int, CutSpace]]]:
    """Name, litres and relation to the water in each outline; a number where they do not fit, and what the numbers mean.

    taken: what else is written or drawn there [mm]; words keep clear of it. numbers: the same in every view.
    """
    items: list[Item] = []
    key: list[tuple[int, CutSpace]] = []
    for space in found.spaces:
        part = f"compartment/{space.known.name}"
        lines = space_lines(space.known, water_in)
        outline = _paper_outline(space.outline, placing)
        free = clear_of(outline, taken)
        found_fit = fit(free, lines)
        if found_fit is None:
            number = numbers[space.known.name]
            key.append((number, space))
            x, y = spot_inside(outline if free.is_empty else free)
            items.append(
                Words((x, y - KEY_SIZE * 0.36), str(number), KEY_SIZE, INK, "names", "middle", bold=True, halo=True, part=part)
            )
            continue
        (x, y), size = found_fit.middle, found_fit.size
        start = y + ((len(lines) - 1) / 2 * LEADING - 0.36) * size
        for k, text in enumerate(lines):
            spot = (x, start - k * size * LEADING)
            items.append(Words(spot, text, size, INK, "names", "middle", bold=k == 0, halo=True, part=part))
    return items, key


def space_lines(known: KnownSpace, water_in: Mapping[str, float | None] = WHOLE) -> list[str]:
    """What is written in a compartment: its name, its litres, and how it stands to the water, or what water is in it."""
    amount = f"{litres(known.volume)} L" if known.volume is not None else f"over {litres(known.at_least)} L"
    if known.name in water_in:
        return [known.name, amount, flooded_words(water_in[known.name])]
    if known.position == "crosses" and known.below is not None:
        return [known.name, amount, f"{share(known.below, known.volume)} below water"]
    words = {"below": "below water", "above": "above water", "crosses": "crosses water", "unknown": "water not known"}
    return [known.name, amount, words[relation(known)]]


def _key_lines(key: Sequence[tuple[int, CutSpace]], width: float) -> list[str]:
    """The meaning of the numbers, as many to a line as fit."""
    lines: list[str] = []
    for number, space in key:
        entry = f"{number}  {', '.join(space_lines(space.known))}"
        if lines and text_width(f"{lines[-1]}      {entry}", KEY_SIZE) <= width:
            lines[-1] += f"      {entry}"
        else:
            lines.append(entry)
    return lines


def _title(evaluation: Evaluation, kind: Kind, at: float, n: float, unit: str, place: tuple[float, float, float]) -> list[Item]:
    """Name and what is shown, a scale bar at the right. place: left, right and top [mm]."""
    left, right, top = place
    metres, called = _bar_length((right - left) / 4 * n / 1000.0, unit)
    bar = metres * 1000.0 / n
    words = f"{heading(evaluation, kind, at, unit)}; {UNIT_WORDS[unit]}"
    y = top - 6.5
    half = right - bar / 2
    space = right - bar - left - 2 * MARGIN
    name, name_size = sized(evaluation.scene.name, space, text_width, 3.2, 2.0)
    shown, shown_size = sized(words, space, text_width, 2.4, 1.8)
    return [
        Words((left, top - 3.2), name, name_size, INK, "title", bold=True),
        Words((left, top - 7.2), shown, shown_size, PENCIL, "title"),
        FilledArea((((right - bar, y), (half, y), (half, y + 1.0), (right - bar, y + 1.0)),), INK, None, "title"),
        line(
            [(right - bar, y), (right, y), (right, y + 1.0), (right - bar, y + 1.0)], LineStyle(INK, 0.15), "title", closed=True
        ),
        Words((right - bar / 2, y - 2.8), f"1 : {n:g}", 2.2, PENCIL, "title", "middle"),
        Words((right - bar, y + 1.8), "0", 2.2, PENCIL, "title", "middle"),
        Words((right, y + 1.8), called, 2.2, PENCIL, "title", "middle"),
    ]


def _bar_length(most: float, unit: str) -> tuple[float, str]:
    """The longest usual length of a scale bar [m] that is not longer than `most`, and what it is called."""
    called = run_unit(unit)
    one, usual = (1.0, (5.0, 2.0, 1.0, 0.5, 0.2, 0.1)) if called == "m" else (FOOT, (20.0, 10.0, 5.0, 2.0, 1.0, 0.5))
    length = next((length for length in usual if length * one <= most), usual[-1] / 2)
    return length * one, f"{length:g} {called}"
